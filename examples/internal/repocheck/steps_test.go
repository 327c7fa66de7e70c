package repocheck

import (
	"go/ast"
	"go/parser"
	"go/token"
	"slices"
	"strings"
	"testing"
)

// shownAndCalled lists the functions whose code a program shows, as arguments of
// steps.Of, and those that it calls.
func shownAndCalled(files []*ast.File) (shown, called []string) {
	for _, f := range files {
		ast.Inspect(f, func(n ast.Node) bool {
			call, ok := n.(*ast.CallExpr)
			if !ok {
				return true
			}
			switch fun := call.Fun.(type) {
			case *ast.Ident:
				called = append(called, fun.Name)
			case *ast.IndexExpr: // of a generic function
				if id, ok := fun.X.(*ast.Ident); ok {
					called = append(called, id.Name)
				}
			case *ast.SelectorExpr:
				if x, ok := fun.X.(*ast.Ident); ok && x.Name == "steps" && fun.Sel.Name == "Of" {
					for _, a := range call.Args {
						if id, ok := a.(*ast.Ident); ok {
							shown = append(shown, id.Name)
						}
					}
				}
			}
			return true
		})
	}
	return shown, called
}

// TestShownCodeRuns: the functions whose code is shown are called in the package that
// shows it, and every program shows code: its own, or that of a package that it, or
// what lies in its folder, imports.
func TestShownCodeRuns(t *testing.T) {
	files, imports := map[string][]*ast.File{}, map[string][]string{}
	var programs []string
	for _, s := range sources(t) {
		if !within(s.Dir, "examples") || s.Test {
			continue
		}
		files[s.Dir] = append(files[s.Dir], s.Syntax)
		imports[s.Dir] = append(imports[s.Dir], s.Imports...)
		if s.Syntax.Name.Name == "main" && !slices.Contains(programs, s.Dir) {
			programs = append(programs, s.Dir)
		}
	}
	shows := map[string]bool{}
	for dir, of := range files {
		shown, called := shownAndCalled(of)
		shows[dir] = len(shown) > 0
		for _, name := range shown {
			if !slices.Contains(called, name) {
				t.Errorf("%s shows the code of %s, which it does not call", dir, name)
			}
		}
	}
	for _, program := range programs {
		found := false
		for dir, of := range imports {
			if within(dir, program) {
				found = found || shows[dir] || slices.ContainsFunc(of, func(p string) bool { return shows[strings.TrimPrefix(p, module+"/")] })
			}
		}
		if !found {
			t.Errorf("%s shows no code: see steps.Of in package notebook", program)
		}
	}
	if len(programs) < 5 {
		t.Errorf("the programs are %q: has the test lost them?", programs)
	}
}

func TestShownAndCalled(t *testing.T) {
	f, err := parser.ParseFile(token.NewFileSet(), "", `package main
func page() {
	x := measure(1)
	s.Step(steps.Of(measure, draw), x)
	other.Of(elsewhere)
}`, 0)
	if err != nil {
		t.Fatal(err)
	}
	shown, called := shownAndCalled([]*ast.File{f})
	if !slices.Equal(shown, []string{"measure", "draw"}) || !slices.Equal(called, []string{"measure"}) {
		t.Errorf("shown %q, called %q", shown, called)
	}
}
