package repocheck

import (
	"go/ast"
	"os"
	"slices"
	"strings"
	"testing"
)

// within reports whether import path p is pkg or lies below it.
func within(p, pkg string) bool { return p == pkg || strings.HasPrefix(p, pkg+"/") }

// fonts are what gonum/plot measures texts with.
var fonts = []string{"codeberg.org/go-fonts/liberation/liberationsansregular", "golang.org/x/image/font/opentype"}

// banned says why file s must not import p, or nothing.
func banned(s source, p string) string {
	first, _, _ := strings.Cut(p, "/")
	switch {
	case p == "math/rand":
		return "use math/rand/v2"
	case within(p, "gonum.org/v1/plot") && s.Dir != "motion/figure":
		return "only motion/figure draws"
	case within(p, "gonum.org/v1/gonum/optimize") && !within(s.Dir, "variability/learning"):
		return "only variability/learning fits by search"
	case within(p, module+"/examples") && isLibrary(s.Dir):
		return "the library does not know its examples"
	case !s.library():
		return ""
	case within(p, "net") || p == "os/exec":
		return "the library opens no connection and starts no process"
	case s.Dir == "motion/figure" && slices.Contains(fonts, p):
		return ""
	case strings.Contains(first, ".") && !within(p, module) &&
		!within(p, "gonum.org/v1/gonum") && !within(p, "gonum.org/v1/plot"):
		return "the library depends on gonum alone"
	}
	return ""
}

func TestBannedImports(t *testing.T) {
	for _, s := range sources(t) {
		for _, p := range s.Imports {
			if why := banned(s, p); why != "" {
				t.Errorf("%s imports %s: %s", s.Path, p, why)
			}
		}
	}
}

func TestBanned(t *testing.T) {
	library := source{Dir: "motion"}
	libraryTest := source{Dir: "motion", Test: true}
	example := source{Dir: "examples/onetake"}
	figure := source{Dir: "motion/figure"}
	for _, c := range []struct {
		in   source
		path string
		want bool
	}{
		{library, "math", false},
		{library, "math/rand", true},
		{library, "math/rand/v2", false},
		{libraryTest, "math/rand", true},
		{example, "math/rand", true},
		{library, "net/http", true},
		{example, "net/http", false},
		{library, "os/exec", true},
		{libraryTest, "os/exec", false},
		{library, "gonum.org/v1/gonum/stat", false},
		{library, "gonum.org/v1/gonum/optimize", true},
		{source{Dir: "variability/learning"}, "gonum.org/v1/gonum/optimize", false},
		{library, "gonum.org/v1/plot/vg", true},
		{example, "gonum.org/v1/plot", true},
		{figure, "gonum.org/v1/plot/vg", false},
		{source{Dir: "motion/figure/take"}, "gonum.org/v1/plot/vg", true},
		{figure, fonts[0], false},
		{figure, "golang.org/x/image/draw", true},
		{library, fonts[0], true},
		{library, "github.com/google/go-cmp/cmp", true},
		{libraryTest, "github.com/google/go-cmp/cmp", false},
		{libraryTest, module + "/examples/internal/cli", true},
		{example, module + "/examples/internal/cli", false},
	} {
		if got := banned(c.in, c.path) != ""; got != c.want {
			t.Errorf("%s (test %t) importing %s: banned = %t, want %t", c.in.Dir, c.in.Test, c.path, got, c.want)
		}
	}
}

func TestNoGoroutines(t *testing.T) {
	for _, s := range sources(t) {
		if !s.library() {
			continue
		}
		ast.Inspect(s.Syntax, func(n ast.Node) bool {
			if _, ok := n.(*ast.GoStmt); ok {
				t.Errorf("%s starts a goroutine: results would depend on their order", s.Path)
			}
			return true
		})
	}
}

// TestTables: a table that people may open in a spreadsheet is written by
// trajectory/cells. (The program live joins cells for a reader of its own.)
func TestTables(t *testing.T) {
	for _, s := range sources(t) {
		if s.Test || s.Dir == "trajectory/cells" || s.Dir == "examples/live" {
			continue
		}
		ast.Inspect(s.Syntax, func(n ast.Node) bool {
			sel, ok := n.(*ast.SelectorExpr)
			if !ok || sel.Sel.Name != "NewWriter" {
				return true
			}
			if p, ok := sel.X.(*ast.Ident); ok && p.Name == "csv" {
				t.Errorf("%s writes a table that a spreadsheet may compute: use trajectory/cells", s.Path)
			}
			return true
		})
	}
}

// droppings are the ends of the names of what programs and tests write when
// run from the top level; .gitignore lists them.
var droppings = []string{"-out", "-review", ".test", ".out", ".prof"}

func TestTopLevel(t *testing.T) {
	want := []string{
		"CHANGELOG.md", "DEVELOPERS.md", "LICENSE", "README.md", "examples", "go.mod", "go.sum",
		"motion", "tempo", "testdata", "trajectory", "variability",
	}
	entries, err := os.ReadDir(root)
	if err != nil {
		t.Fatal(err)
	}
	var got []string
	for _, e := range entries {
		made := slices.ContainsFunc(droppings, func(end string) bool { return strings.HasSuffix(e.Name(), end) })
		if made || strings.HasPrefix(e.Name(), ".") {
			continue
		}
		got = append(got, e.Name())
	}
	slices.Sort(got)
	for _, name := range got {
		if !slices.Contains(want, name) {
			t.Errorf("%s does not belong at the top level", name)
		}
	}
	for _, name := range want {
		if !slices.Contains(got, name) {
			t.Errorf("%s is missing at the top level", name)
		}
	}
}
