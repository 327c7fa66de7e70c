package notebook

import (
	"errors"
	"fmt"
	"go/ast"
	"go/parser"
	"go/token"
	"reflect"
	"runtime"
	"strings"
)

// Source is the text of a Go file of the program itself, embedded in it. The
// code that a page shows is cut out of it, and so is the code that was compiled.
//
//	//go:embed steps.go
//	var steps notebook.Source
type Source string

// Listing is Go code to show. Make one with Source.Of.
type Listing struct {
	text string
	err  error
}

// Of returns the declarations of functions that stand in the file, with their
// comments. It takes the functions themselves, so that a listing follows what
// the program calls. A function that is not declared in the file makes the
// renderers fail.
func (s Source) Of(functions ...any) Listing {
	if len(functions) == 0 {
		return Listing{err: errors.New("no function to show")}
	}
	set := token.NewFileSet()
	file, err := parser.ParseFile(set, "", string(s), parser.ParseComments|parser.SkipObjectResolution)
	if err != nil {
		return Listing{err: fmt.Errorf("the embedded source: %w", err)}
	}
	var texts []string
	for _, f := range functions {
		name, err := nameOf(f)
		if err != nil {
			return Listing{err: err}
		}
		decl := declaration(file, name)
		if decl == nil {
			return Listing{err: fmt.Errorf("no function %s in the embedded source", name)}
		}
		from := decl.Pos()
		if decl.Doc != nil {
			from = decl.Doc.Pos()
		}
		texts = append(texts, string(s[set.Position(from).Offset:set.Position(decl.End()).Offset]))
	}
	return Listing{text: strings.Join(texts, "\n\n")}
}

// nameOf returns the name of a function of the main package's top level.
func nameOf(f any) (string, error) {
	v := reflect.ValueOf(f)
	if v.Kind() != reflect.Func || v.IsNil() {
		return "", fmt.Errorf("%T is no function to show", f)
	}
	full := runtime.FuncForPC(v.Pointer()).Name()
	return full[strings.LastIndexByte(full, '.')+1:], nil
}

func declaration(file *ast.File, name string) *ast.FuncDecl {
	for _, d := range file.Decls {
		if f, ok := d.(*ast.FuncDecl); ok && f.Recv == nil && f.Name.Name == name {
			return f
		}
	}
	return nil
}
