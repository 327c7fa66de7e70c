package repocheck

import (
	"go/ast"
	"slices"
	"strings"
	"testing"
)

// implied are the methods that are called by fmt, errors and encoding/json rather than
// by a user.
var implied = []string{
	"String", "Error", "Unwrap", "IsZero", "MarshalText", "UnmarshalText", "MarshalJSON", "UnmarshalJSON",
}

// TestExamples: every exported function and method of a library package is called in an
// Example of that package, or in what stands beside one in an example file.
func TestExamples(t *testing.T) {
	called := map[string]map[string]bool{}
	all := sources(t)
	for _, s := range all {
		if !s.Test || !isLibrary(s.Dir) {
			continue
		}
		if called[s.Dir] == nil {
			called[s.Dir] = map[string]bool{}
		}
		for _, d := range s.Syntax.Decls {
			f, ok := d.(*ast.FuncDecl)
			if ok && !strings.HasPrefix(f.Name.Name, "Example") && !strings.Contains(s.Path, "example_") {
				continue
			}
			ast.Inspect(d, func(n ast.Node) bool {
				if sel, ok := n.(*ast.SelectorExpr); ok {
					called[s.Dir][sel.Sel.Name] = true
				}
				return true
			})
		}
	}
	looked := 0
	for _, s := range all {
		if !s.library() || strings.Contains(s.Dir, "internal/") {
			continue
		}
		for _, d := range s.Syntax.Decls {
			f, ok := d.(*ast.FuncDecl)
			if !ok || !f.Name.IsExported() || f.Recv != nil && (slices.Contains(implied, f.Name.Name) || !ast.IsExported(funcName(f))) {
				continue
			}
			looked++
			if !called[s.Dir][f.Name.Name] {
				t.Errorf("no Example of %s calls %s", s.Dir, funcName(f))
			}
		}
	}
	if looked < 300 {
		t.Errorf("%d functions were looked at: has the test lost them?", looked)
	}
}
