package repocheck

import (
	"go/ast"
	"go/doc/comment"
	"path"
	"regexp"
	"slices"
	"strings"
	"testing"
)

// packageComment returns the comment of a package as go doc shows it.
func packageComment(f *ast.File) *comment.Doc {
	return new(comment.Parser).Parse(f.Doc.Text())
}

// TestPackageComments: what a package is for stands in its doc.go, alone. Those for
// users show a first use, and say what they do with missing values.
func TestPackageComments(t *testing.T) {
	described, packages := map[string]bool{}, map[string]bool{}
	for _, s := range sources(t) {
		if s.Test || s.Syntax.Name.Name == "main" || s.Dir == "testdata" {
			continue
		}
		packages[s.Dir] = true
		if path.Base(s.Path) != "doc.go" {
			if s.Syntax.Doc != nil {
				t.Errorf("%s has a comment of its package: that belongs into doc.go", s.Path)
			}
			continue
		}
		described[s.Dir] = true
		if len(s.Syntax.Decls) > 0 {
			t.Errorf("%s declares something: it is for the comment of the package", s.Path)
		}
		if begin := "Package " + s.Syntax.Name.Name + " "; !strings.HasPrefix(s.Syntax.Doc.Text(), begin) {
			t.Errorf("%s does not begin with %q", s.Path, begin)
			continue
		}
		if !isLibrary(s.Dir) || strings.Contains(s.Dir, "internal/") {
			continue
		}
		code, missing := false, false
		for _, block := range packageComment(s.Syntax).Content {
			switch block := block.(type) {
			case *comment.Code:
				code = code || strings.Contains(block.Text, s.Syntax.Name.Name+".")
			case *comment.Heading:
				text := new(comment.Printer).Text(&comment.Doc{Content: []comment.Block{block}})
				missing = missing || strings.HasPrefix(string(text), "# Missing")
			}
		}
		if !code {
			t.Errorf("%s shows no first use of the package", s.Path)
		}
		if !missing {
			t.Errorf("%s has no heading on what is done with missing values", s.Path)
		}
	}
	for dir := range packages {
		if !described[dir] {
			t.Errorf("package %s has no doc.go", dir)
		}
	}
}

// A link in a comment, to a name of the package or, after a dot, of another.
var link = regexp.MustCompile(`(?:^|[\s(])\[(\*?[A-Za-z]\w*(?:\.[A-Z]\w*){0,2})\]`)

// links lists the names to which a comment links. Code is no link.
func links(text string) []string {
	var found []string
	for line := range strings.Lines(text) {
		if strings.HasPrefix(line, "\t") || strings.HasPrefix(line, "  ") {
			continue
		}
		for _, m := range link.FindAllStringSubmatch(line, -1) {
			name := strings.TrimPrefix(m[1], "*")
			if strings.Contains(name, ".") || ast.IsExported(name) {
				found = append(found, name)
			}
		}
	}
	return found
}

// TestLinks: the names in brackets in a package's comments exist.
func TestLinks(t *testing.T) {
	all := sources(t)
	n := namesOf(all)
	looked := 0
	for _, s := range all {
		if s.Test {
			continue
		}
		for _, group := range s.Syntax.Comments {
			for _, name := range links(group.Text()) {
				looked++
				if !n.has(s.Dir, name) {
					t.Errorf("%s links to [%s], which does not exist", s.Path, name)
				}
			}
		}
	}
	if looked < 100 {
		t.Errorf("%d links were looked at: has the test lost them?", looked)
	}
}

// tabled lists the names in the first column of the tables in a package's comment that
// are headed so. Rows that are set in belong to the one above.
func tabled(d *comment.Doc, heading string) (found []string, tables int) {
	for _, block := range d.Content {
		code, ok := block.(*comment.Code)
		if !ok || !strings.HasPrefix(code.Text, heading+" ") {
			continue
		}
		tables++
		rows := strings.Split(strings.TrimSpace(code.Text), "\n")[1:]
		for _, row := range rows {
			if strings.HasPrefix(row, " ") {
				continue
			}
			first, _, _ := strings.Cut(row, "  ")
			found = append(found, strings.Split(first, ", ")...)
		}
	}
	return found, tables
}

// withoutFormulas are the packages that compute nothing for which there is a source.
var withoutFormulas = []string{
	"motion/cues", "motion/figure", "motion/figure/take", "motion/live", "trajectory/cells", "trajectory/tracks",
}

// TestFormulaTables: every package that computes has a table of its formulas, and what
// stands in its first column exists.
func TestFormulaTables(t *testing.T) {
	all := sources(t)
	n := namesOf(all)
	for _, s := range all {
		if !s.library() || path.Base(s.Path) != "doc.go" || strings.Contains(s.Dir, "internal/") {
			continue
		}
		found, tables := tabled(packageComment(s.Syntax), "function")
		if tables == 0 && !slices.Contains(withoutFormulas, s.Dir) {
			t.Errorf("%s has no table that is headed function, formula, source", s.Path)
		}
		for _, name := range found {
			if !n.has(s.Dir, name) {
				t.Errorf("%s has a row for %q, which does not exist", s.Path, name)
			}
		}
	}
}

// TestFigures: every figure stands in the table of its package's comment, and among
// those that are drawn of missing, single and odd values.
func TestFigures(t *testing.T) {
	const dir = "motion/figure"
	var figures, listed []string
	wild := map[string]bool{}
	for _, s := range sources(t) {
		if s.Dir != dir {
			continue
		}
		switch path.Base(s.Path) {
		case "doc.go":
			listed, _ = tabled(packageComment(s.Syntax), "figure")
		case "wild_test.go":
			ast.Inspect(s.Syntax, func(n ast.Node) bool {
				if lit, ok := n.(*ast.CompositeLit); ok {
					if sel, ok := lit.Type.(*ast.SelectorExpr); ok {
						wild[sel.Sel.Name] = true
					}
				}
				return true
			})
		}
		for _, d := range s.Syntax.Decls {
			if f, ok := d.(*ast.FuncDecl); ok && !s.Test && f.Recv != nil && f.Name.Name == "draw" && ast.IsExported(funcName(f)) {
				figures = append(figures, strings.TrimSuffix(funcName(f), ".draw"))
			}
		}
	}
	if len(figures) < 10 {
		t.Fatalf("the figures are %q: has the test lost them?", figures)
	}
	for _, name := range figures {
		if !slices.Contains(listed, name) {
			t.Errorf("the table in %s/doc.go lacks %s", dir, name)
		}
		if !wild[name] {
			t.Errorf("%s/wild_test.go draws no %s", dir, name)
		}
	}
	for _, name := range listed {
		if !slices.Contains(figures, name) {
			t.Errorf("the table in %s/doc.go has %s, which is no figure", dir, name)
		}
	}
}

func TestReadingOfComments(t *testing.T) {
	const text = `Package x is [New] and [estimate.Mean], not [0, 1], a[I] or [see].

	function   formula  source
	New        1        -
	  inner    2        -
	A, B.C     [Not]    -

Of [Options].Level.
`
	if got, want := links(text), []string{"New", "estimate.Mean", "Options"}; !slices.Equal(got, want) {
		t.Errorf("links %q, want %q", got, want)
	}
	got, tables := tabled(new(comment.Parser).Parse(text), "function")
	if want := []string{"New", "A", "B.C"}; !slices.Equal(got, want) || tables != 1 {
		t.Errorf("rows %q of %d tables, want %q of 1", got, tables, want)
	}
}
