package clitest

import (
	"io"
	"io/fs"
	"maps"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"
)

// Save writes a file of text.
func Save(t testing.TB, name, text string) {
	t.Helper()
	if err := os.WriteFile(name, []byte(text), 0o666); err != nil {
		t.Fatal(err)
	}
}

// Read returns the text of a file.
func Read(t testing.TB, name string) string {
	t.Helper()
	data, err := os.ReadFile(name)
	if err != nil {
		t.Fatal(err)
	}
	return string(data)
}

// Copy saves what open opens under the same names.
func Copy(t testing.TB, dir string, open func(name string) (io.ReadCloser, error), names ...string) {
	t.Helper()
	for _, name := range names {
		in, err := open(name)
		if err != nil {
			t.Fatal(err)
		}
		data, err := io.ReadAll(in)
		if err != nil {
			t.Fatal(err)
		}
		Save(t, filepath.Join(dir, name), string(data))
	}
}

// Tree returns the files under dir and their contents; folders end in a slash.
func Tree(t testing.TB, dir string) map[string]string {
	t.Helper()
	got := map[string]string{}
	err := filepath.WalkDir(dir, func(name string, d fs.DirEntry, err error) error {
		if err != nil || name == dir {
			return err
		}
		rel, err := filepath.Rel(dir, name)
		if err != nil {
			return err
		}
		rel = filepath.ToSlash(rel)
		if d.IsDir() {
			got[rel+"/"] = ""
			return nil
		}
		got[rel] = Read(t, name)
		return nil
	})
	if err != nil {
		t.Fatal(err)
	}
	return got
}

// Plant makes under dir what Tree would return as files.
func Plant(t testing.TB, dir string, files map[string]string) {
	t.Helper()
	for _, name := range slices.Sorted(maps.Keys(files)) { // a folder before its files
		at := filepath.Join(dir, name)
		if !strings.HasSuffix(name, "/") {
			Save(t, at, files[name])
		} else if err := os.Mkdir(at, 0o777); err != nil {
			t.Fatal(err)
		}
	}
}
