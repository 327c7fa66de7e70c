package cli

import (
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
)

// File is a file to write: its name in the folder and its content.
type File struct {
	Name string
	Data []byte
}

// WriteFolder writes files as the folder dir, whole or not at all: they are
// written to a new folder beside it, which then takes its name. When anything
// fails, nothing is left behind and what was there is as it was.
//
// A folder that holds anything is replaced only if force is set, and only if
// it holds no other files than those to write: what the program did not make,
// it does not delete.
func WriteFolder(dir string, files []File, force bool) error {
	dir = filepath.Clean(dir)
	if err := checkNames(files); err != nil {
		return err
	}
	there, err := checkFolder(dir, files, force)
	if err != nil {
		return err
	}

	parent := filepath.Dir(dir)
	if _, err := os.Stat(parent); err != nil {
		return Input(fmt.Errorf("cannot write %s: %w", dir, plain(err)), "make the folder "+parent+" first, or choose another with -out")
	}
	temp, err := os.MkdirTemp(parent, ".writing-")
	if err != nil {
		return Input(fmt.Errorf("cannot write %s: %w", dir, plain(err)), "choose another folder with -out")
	}
	fresh, old := filepath.Join(temp, "new"), filepath.Join(temp, "old")

	if err = writeAll(fresh, files); err == nil && there {
		err = os.Rename(dir, old)
	}
	if err == nil {
		err = os.Rename(fresh, dir)
	}
	if err == nil {
		return os.RemoveAll(temp)
	}

	if _, moved := os.Stat(old); moved == nil && os.Rename(old, dir) != nil {
		return Input(fmt.Errorf("cannot write %s: %w", dir, plain(err)), "what was there is now in "+old)
	}
	os.RemoveAll(temp)
	return Input(fmt.Errorf("cannot write %s: %w", dir, plain(err)), "close what has it open, or choose another folder with -out")
}

// checkNames sees to it that the names stay inside the folder and differ.
func checkNames(files []File) error {
	seen := map[string]bool{}
	for _, f := range files {
		if f.Name == "" || f.Name != filepath.Base(f.Name) || !filepath.IsLocal(f.Name) || seen[f.Name] {
			return fmt.Errorf("cli: %q is no name for a file of a folder, or stands twice", f.Name)
		}
		seen[f.Name] = true
	}
	return nil
}

// checkFolder reports whether dir exists, and refuses it if it must be kept.
func checkFolder(dir string, files []File, force bool) (there bool, err error) {
	entries, err := os.ReadDir(dir)
	switch {
	case errors.Is(err, fs.ErrNotExist):
		return false, nil
	case err != nil:
		return false, Input(fmt.Errorf("cannot write the folder %s: %w", dir, plain(err)), "choose another with -out")
	case len(entries) > 0 && !force:
		return false, Input(fmt.Errorf("the folder %s is there already", dir), "replace it with -force, or choose another with -out")
	}
	// What file browsers leave behind is nobody's work.
	ours := map[string]bool{".DS_Store": true, "Thumbs.db": true, "desktop.ini": true}
	for _, f := range files {
		ours[f.Name] = true
	}
	for _, e := range entries {
		if !ours[e.Name()] || !e.Type().IsRegular() {
			return false, Input(fmt.Errorf("the folder %s also holds %s, which would be lost", dir, e.Name()), "move it away, or choose another folder with -out")
		}
	}
	return true, nil
}

// writeAll makes dir and the files in it.
func writeAll(dir string, files []File) error {
	if err := os.Mkdir(dir, 0o777); err != nil {
		return err
	}
	for _, f := range files {
		if err := os.WriteFile(filepath.Join(dir, f.Name), f.Data, 0o666); err != nil {
			return err
		}
	}
	return nil
}
