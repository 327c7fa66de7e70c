package main

import (
	"encoding/json"
	"strings"
	"testing"

	"github.com/plectrace/plectrace/examples/internal/browsertest"
	"github.com/plectrace/plectrace/examples/internal/clitest"
	"github.com/plectrace/plectrace/motion/simulate"
)

// wild is a name as nobody should give it.
const wild = clitest.Hostile

// TestWildNames: text from files, their names and lists comes out as text.
func TestWildNames(t *testing.T) {
	t.Chdir(t.TempDir())
	names := []string{wild + "1", wild + "2"}
	for i, name := range names {
		film(t, name, simulate.Options{Seed: uint64(1 + i)})
		header, rest, _ := strings.Cut(clitest.Read(t, name+".csv"), "\n")
		clitest.Save(t, name+".csv", strings.ReplaceAll(header, "tip_", wild+"_")+"\n"+rest)
		var settings map[string]any
		if err := json.Unmarshal([]byte(clitest.Read(t, name+".take.json")), &settings); err != nil {
			t.Fatal(err)
		}
		settings["tip"], settings["setup"] = wild, wild
		data, err := json.Marshal(settings)
		if err != nil {
			t.Fatal(err)
		}
		clitest.Save(t, name+".take.json", string(data))
	}
	clitest.Save(t, "takes.csv", "player,date,take,file,setup\n"+wild+",2026-01-12,1,"+names[0]+".csv,"+wild+"\n"+wild+",2026-01-19,"+wild+","+names[1]+".csv,"+wild+"\n")
	out := must(t, "-json", "-out", "out", "-notebook", "-list", "takes.csv", names[0]+".csv", names[1]+".csv")
	var c struct {
		First, Second struct{ File, Player, Setup string }
	}
	if err := json.Unmarshal([]byte(out), &c); err != nil {
		t.Fatal(err)
	}
	if c.First.File != names[0]+".csv" || c.First.Player != wild || c.First.Setup != wild || c.Second.File != names[1]+".csv" {
		t.Errorf("the JSON names %+v", c)
	}
	made := clitest.Tree(t, "out")
	clitest.WantEscaped(t, made)
	clitest.WantAll(t, "the page", clitest.Visible(made["page.html"]), names[0]+".csv of 2026-01-12", "set-up \"")
	if !testing.Short() {
		browsertest.Open(t, "out/page.html").Check()
	}
}
