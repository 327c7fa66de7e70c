package repocheck

import (
	"go/ast"
	"go/doc/comment"
	"os"
	"path"
	"path/filepath"
	"strings"
	"testing"
)

// Above these a reader is lost: a file is one idea, a package one subject.
const (
	fileLines    = 400
	packageLines = 1200
	packageNames = 30
)

// TestSizes: files are short, and a package that is not says why, under a heading Size
// in its doc.go.
func TestSizes(t *testing.T) {
	all := sources(t)
	lines, names, why := map[string]int{}, map[string]int{}, map[string]bool{}
	for _, s := range all {
		text, err := os.ReadFile(filepath.Join(root, filepath.FromSlash(s.Path)))
		if err != nil {
			t.Fatal(err)
		}
		n := strings.Count(string(text), "\n")
		if n > fileLines {
			t.Errorf("%s has %d lines, of at most %d", s.Path, n, fileLines)
		}
		if !s.library() {
			continue
		}
		lines[s.Dir] += n
		for _, d := range s.Syntax.Decls {
			switch d := d.(type) {
			case *ast.FuncDecl:
				if d.Recv == nil && d.Name.IsExported() {
					names[s.Dir]++
				}
			case *ast.GenDecl:
				for _, spec := range d.Specs {
					if spec, ok := spec.(*ast.TypeSpec); ok && spec.Name.IsExported() {
						names[s.Dir]++
					}
				}
			}
		}
		if path.Base(s.Path) == "doc.go" {
			for _, block := range packageComment(s.Syntax).Content {
				if h, ok := block.(*comment.Heading); ok && len(h.Text) == 1 && h.Text[0] == comment.Plain("Size") {
					why[s.Dir] = true
				}
			}
		}
	}
	for dir, n := range lines {
		if (n > packageLines || names[dir] > packageNames) && !why[dir] {
			t.Errorf("package %s has %d lines and %d functions and types: its doc.go does not say why, under a heading Size", dir, n, names[dir])
		}
	}
}
