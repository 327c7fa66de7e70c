package repocheck

import (
	"go/ast"
	"go/parser"
	"go/token"
	"io/fs"
	"os"
	"path"
	"path/filepath"
	"strconv"
	"strings"
	"testing"
)

const (
	module = "github.com/plectrace/plectrace"
	root   = "../../.." // from this package's folder, where tests run
)

// A source is one Go file of the repository.
type source struct {
	Path    string // slash-separated, from the top level
	Dir     string // its folder, which is its package's path in the module
	Test    bool
	Imports []string
	Syntax  *ast.File
}

// library reports whether the file is part of a package for users.
func (s source) library() bool { return isLibrary(s.Dir) && !s.Test }

// isLibrary reports whether the package at dir is one for users, or an
// internal part of one.
func isLibrary(dir string) bool {
	top, _, _ := strings.Cut(dir, "/")
	return top != "examples" && top != "testdata"
}

// parsed are the files that sources has parsed once.
var parsed []source

// sources returns all Go files of the repository, whatever their build tags.
func sources(t *testing.T) []source {
	t.Helper()
	if parsed == nil {
		parsed = parse(t)
	}
	return parsed
}

func parse(t *testing.T) []source {
	t.Helper()
	var all []source
	fset := token.NewFileSet()
	err := fs.WalkDir(os.DirFS(root), ".", func(name string, d fs.DirEntry, err error) error {
		if err != nil {
			return err
		}
		if d.IsDir() {
			hidden := name != "." && strings.HasPrefix(d.Name(), ".")
			data := d.Name() == "testdata" && name != "testdata"
			if hidden || data {
				return fs.SkipDir
			}
			return nil
		}
		if path.Ext(name) != ".go" {
			return nil
		}
		f, err := parser.ParseFile(fset, filepath.Join(root, filepath.FromSlash(name)), nil, parser.ParseComments|parser.SkipObjectResolution)
		if err != nil {
			return err
		}
		s := source{Path: name, Dir: path.Dir(name), Test: strings.HasSuffix(name, "_test.go"), Syntax: f}
		for _, spec := range f.Imports {
			p, err := strconv.Unquote(spec.Path.Value)
			if err != nil {
				return err
			}
			s.Imports = append(s.Imports, p)
		}
		all = append(all, s)
		return nil
	})
	if err != nil {
		t.Fatal(err)
	}
	if len(all) == 0 {
		t.Fatal("no Go files found: has this package moved?")
	}
	return all
}
