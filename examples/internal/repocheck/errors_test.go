package repocheck

import (
	"errors"
	"go/ast"
	"go/token"
	"io"
	"path"
	"strconv"
	"strings"
	"testing"

	"github.com/plectrace/plectrace/examples/internal/cli"
	"github.com/plectrace/plectrace/motion/cohort"
	"github.com/plectrace/plectrace/motion/progress"
)

// TestErrorsWithoutPackages: the names of packages with which their errors begin reach
// no reader: not from a program, nor from a study of many takes, as far as the packages
// that it calls go.
func TestErrorsWithoutPackages(t *testing.T) {
	begins := map[string]bool{}
	for _, s := range sources(t) {
		if _, ours := room(s.Dir); !ours && s.Dir != "examples/internal/notebook" || s.Test {
			continue
		}
		name := path.Base(s.Dir)
		ast.Inspect(s.Syntax, func(n ast.Node) bool {
			if lit, ok := n.(*ast.BasicLit); ok && lit.Kind == token.STRING {
				text, err := strconv.Unquote(lit.Value)
				begins[s.Dir] = begins[s.Dir] || err == nil && strings.HasPrefix(text, name+": ")
			}
			return true
		})
	}
	found := 0
	for dir, does := range begins {
		if !does {
			continue
		}
		found++
		err := errors.New("take 3: " + path.Base(dir) + ": it is empty")
		if got, want := cli.Input(err, "look").Error(), "take 3: it is empty; look"; got != want {
			t.Errorf("a program says %q, want %q: add the package to the list in examples/internal/cli/plain.go", got, want)
		}
		if within, _ := room(dir); !mayImport("motion/cohort", within) {
			continue
		}
		open := func(string) (io.ReadCloser, error) { return nil, err }
		if got := cohort.Measure(progress.Take{File: "a.csv"}, open, cohort.Options{}).Failure.Why; strings.Contains(got, path.Base(dir)+": ") {
			t.Errorf("a record of a study says %q: add the package to the list in motion/cohort/measure.go", got)
		}
	}
	if found < 15 {
		t.Errorf("%d packages begin their errors with their name: has the test lost them?", found)
	}
}
