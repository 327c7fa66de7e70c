package repocheck

import (
	"go/ast"
	"path"
	"strings"
	"testing"
)

// A names knows what the packages of the repository declare, by their folders.
type names map[string]map[string]bool

// namesOf collects the names that files declare outside of functions: those of the
// package, and with a dot after that of their type its methods and fields.
func namesOf(files []source) names {
	all := names{}
	for _, s := range files {
		if s.Test {
			continue
		}
		if all[s.Dir] == nil {
			all[s.Dir] = map[string]bool{}
		}
		in := all[s.Dir]
		for _, d := range s.Syntax.Decls {
			switch d := d.(type) {
			case *ast.FuncDecl:
				in[funcName(d)] = true
			case *ast.GenDecl:
				for _, spec := range d.Specs {
					switch spec := spec.(type) {
					case *ast.ValueSpec:
						for _, id := range spec.Names {
							in[id.Name] = true
						}
					case *ast.TypeSpec:
						in[spec.Name.Name] = true
						for _, member := range members(spec.Type) {
							in[spec.Name.Name+"."+member] = true
						}
					}
				}
			}
		}
	}
	return all
}

// funcName is the name of a function, with that of its type before it if it is a
// method.
func funcName(d *ast.FuncDecl) string {
	if d.Recv == nil {
		return d.Name.Name
	}
	t := d.Recv.List[0].Type
	if star, ok := t.(*ast.StarExpr); ok {
		t = star.X
	}
	if index, ok := t.(*ast.IndexExpr); ok {
		t = index.X
	}
	if id, ok := t.(*ast.Ident); ok {
		return id.Name + "." + d.Name.Name
	}
	return d.Name.Name
}

// members lists the fields of a struct, or the methods of an interface.
func members(t ast.Expr) []string {
	var list *ast.FieldList
	switch t := t.(type) {
	case *ast.StructType:
		list = t.Fields
	case *ast.InterfaceType:
		list = t.Methods
	default:
		return nil
	}
	var found []string
	for _, f := range list.List {
		for _, id := range f.Names {
			found = append(found, id.Name)
		}
		if len(f.Names) == 0 { // embedded
			switch t := f.Type.(type) {
			case *ast.Ident:
				found = append(found, t.Name)
			case *ast.SelectorExpr:
				found = append(found, t.Sel.Name)
			}
		}
	}
	return found
}

// has reports whether a comment of the package in dir may call something name: its own
// names, or those of another package of the repository behind that package's name. What
// begins with the name of a package that is not of the repository is not looked up.
func (n names) has(dir, name string) bool {
	if n[dir][name] {
		return true
	}
	first, rest, more := strings.Cut(name, ".")
	if !more || ast.IsExported(first) {
		return false
	}
	ours := false
	for other, in := range n {
		if path.Base(other) == first {
			ours = true
			if in[rest] {
				return true
			}
		}
	}
	return !ours
}

func TestNames(t *testing.T) {
	n := namesOf(sources(t))
	for _, c := range []struct {
		dir, name string
		want      bool
	}{
		{"motion", "Analyze", true},
		{"motion", "Stroke.Direction", true},
		{"motion", "Stroke.Duration", true},
		{"motion", "Stroke.Colour", false},
		{"motion", "estimate.Mean", true},
		{"motion", "estimate.Average", false},
		{"motion", "json.Marshal", true},
		{"variability/estimate", "Value.Absent", true},
		{"motion", "Compare", false},
	} {
		if got := n.has(c.dir, c.name); got != c.want {
			t.Errorf("a comment of %s may write %s = %t, want %t", c.dir, c.name, got, c.want)
		}
	}
}
