package clitest

import (
	"bytes"
	"flag"
	"fmt"
	"math"
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"testing"

	"github.com/plectrace/plectrace/examples/internal/cli"
	"github.com/plectrace/plectrace/examples/internal/notebook"
)

var update = flag.Bool("update", false, "write the executed notebook of the program's folder anew")

// Notebook holds the executed notebook of a program's folder against what the
// program makes today: README.md with its figures, and notebook.ipynb. With -update
// it writes them; go generate calls the test so:
//
//	//go:generate go test . -run ^TestNotebook$ -update
//
// path is the folder's path from the top of the module, page the page that the
// program makes without arguments.
func Notebook(t *testing.T, p cli.Program, path string, page *notebook.Doc) {
	t.Helper()
	d := *page
	run := &notebook.Section{Title: "Run it"}
	run.Text(p.Does)
	var calls []string
	for _, e := range p.Examples {
		calls = append(calls, strings.TrimSpace("go run ./"+path+" "+e))
	}
	run.Code(strings.Join(append(calls, "go run ./"+path+" -h"), "\n"))
	run.Text("Below stands what it makes without arguments. The takes are invented: no real player was measured.")
	d.Sections = slices.Concat([]*notebook.Section{run}, page.Sections)

	var readme, jupyter bytes.Buffer
	readme.WriteString("<!-- Written by go generate ./examples/... -->\n\n")
	if err := d.Markdown(&readme); err != nil {
		t.Fatal(err)
	}
	if err := d.Jupyter(&jupyter); err != nil {
		t.Fatal(err)
	}
	drawings, err := d.Drawings()
	if err != nil {
		t.Fatal(err)
	}
	files := []cli.File{{Name: "README.md", Data: readme.Bytes()}, {Name: "notebook.ipynb", Data: jupyter.Bytes()}}
	for _, f := range drawings {
		files = append(files, cli.File{Name: filepath.Join("figures", f.Name), Data: f.SVG})
	}
	kept, err := filepath.Glob(filepath.Join("figures", "*"))
	if err != nil {
		t.Fatal(err)
	}
	for _, name := range kept {
		if slices.ContainsFunc(files, func(f cli.File) bool { return f.Name == name }) {
			continue
		}
		if !*update {
			t.Errorf("%s is no figure of the notebook any more: run go generate ./%s", name, path)
		} else if err := os.Remove(name); err != nil {
			t.Fatal(err)
		}
	}
	for _, f := range files {
		if *update {
			if err := os.MkdirAll(filepath.Dir(f.Name), 0o777); err != nil {
				t.Fatal(err)
			}
			if err := os.WriteFile(f.Name, f.Data, 0o666); err != nil {
				t.Fatal(err)
			}
			continue
		}
		data, err := os.ReadFile(f.Name)
		if err != nil {
			t.Errorf("%v: run go generate ./%s", err, path)
			continue
		}
		if diff := Differs(string(data), string(f.Data)); diff != "" {
			t.Errorf("%s is not what the program makes: run go generate ./%s and read the change\n%s", f.Name, path, diff)
		}
	}
}

var number = regexp.MustCompile(`\d+(\.\d+)?`)

// Differs says where two texts first differ, "" if they do not. Numbers with decimals
// may differ by a step and a half of their last digit: another processor's rounding may
// fall on the other side.
func Differs(want, got string) string {
	want, got = strings.ReplaceAll(want, "\r\n", "\n"), strings.ReplaceAll(got, "\r\n", "\n")
	wants, gots := strings.Split(want, "\n"), strings.Split(got, "\n")
	for i, w := range wants {
		if i >= len(gots) {
			return fmt.Sprintf("line %d is missing: %s", i+1, w)
		}
		if g := gots[i]; g != w && !sameNumbers(w, g) {
			at := max(0, sameBytes(w, g)-20)
			return fmt.Sprintf("line %d, from byte %d on\n-%.200s\n+%.200s", i+1, at, w[at:], g[at:])
		}
	}
	if len(gots) > len(wants) {
		return fmt.Sprintf("line %d is new: %s", len(wants)+1, gots[len(wants)])
	}
	return ""
}

// sameBytes is how many bytes two texts begin with alike.
func sameBytes(a, b string) int {
	n := 0
	for n < len(a) && n < len(b) && a[n] == b[n] {
		n++
	}
	return n
}

func sameNumbers(a, b string) bool {
	if !slices.Equal(number.Split(a, -1), number.Split(b, -1)) {
		return false
	}
	as, bs := number.FindAllString(a, -1), number.FindAllString(b, -1)
	for i := range as {
		x, errX := strconv.ParseFloat(as[i], 64)
		y, errY := strconv.ParseFloat(bs[i], 64)
		_, dx, _ := strings.Cut(as[i], ".")
		_, dy, _ := strings.Cut(bs[i], ".")
		most := 0.0 // counts are equal
		if n := max(len(dx), len(dy)); n > 0 {
			most = 1.5 * math.Pow(10, -float64(n))
		}
		if errX != nil || errY != nil || math.Abs(x-y) > most {
			return false
		}
	}
	return true
}
