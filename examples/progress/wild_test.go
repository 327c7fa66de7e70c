package main

import (
	"encoding/json"
	"fmt"
	"strings"
	"testing"

	"github.com/plectrace/plectrace/examples/internal/browsertest"
	"github.com/plectrace/plectrace/examples/internal/clitest"
)

// wild is a code as nobody should give it.
const wild = clitest.Hostile

// TestWildNames: codes, set-ups, columns and names of files come out as text.
func TestWildNames(t *testing.T) {
	t.Chdir(t.TempDir())
	list := fmt.Sprintf("player,date,take,file,setup,comfort,%s\n", wild)
	for e := range 2 {
		made, name := fmt.Sprintf("p01-%d-1.csv", e+1), fmt.Sprintf("%s%d", wild, e)
		film(t, made)
		for _, end := range []string{".csv", ".take.json"} {
			clitest.Save(t, name+end, clitest.Read(t, strings.TrimSuffix(made, ".csv")+end))
		}
		list += fmt.Sprintf("%[1]s,2026-01-%[2]d,%[1]s,%[3]s.csv,%[1]s,good,%[1]s\n", wild, 12+7*e, name)
	}
	list += fmt.Sprintf("%[1]s,2026-01-30,1,%[1]snone.csv,%[1]s,good,\n", wild)
	clitest.Save(t, "takes.csv", list)
	out := must(t, "-json", "-out", "out", "-notebook", "-primary", "settled_share,picture_angle_deg", "takes.csv")
	var got results
	if err := json.Unmarshal([]byte(out), &got); err != nil {
		t.Fatal(err)
	}
	if len(got.Players) != 1 || got.Players[0].Player != wild || len(got.LeftOut) != 1 || got.LeftOut[0].File != wild+"none.csv" {
		t.Errorf("the JSON names %+v", got.LeftOut)
	}
	made := clitest.Tree(t, "out")
	clitest.WantEscaped(t, made)
	clitest.WantAll(t, "the page", clitest.Visible(made["page.html"]), wild+" 2 takes", wild+"none.csv", "Takes of the set-up")
	if !testing.Short() {
		browsertest.Open(t, "out/page.html").Check()
	}
}
