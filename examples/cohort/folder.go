package main

import (
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"

	"github.com/plectrace/plectrace/examples/internal/cli"
)

// folder is an output folder whose large file is written while the work goes on.
// That file grows in a hidden folder beside the place of the output, which appears
// whole or not at all.
type folder struct {
	dir   string
	names []string
	force bool
	temp  string
	rows  *os.File
}

// rowsName is the file that is written as the takes come.
const rowsName = "rows.csv"

// openFolder checks that the output may be written before any work is done.
func openFolder(dir string, names []string, force bool) (*folder, error) {
	f := &folder{dir: filepath.Clean(dir), names: names, force: force}
	if err := f.check(); err != nil {
		return nil, err
	}
	fail := func(err error) (*folder, error) {
		return nil, cli.Input(fmt.Errorf("cannot write the folder %s: %w", dir, err), "make the folder that it lies in first, or choose another with -out")
	}
	var err error
	if f.temp, err = os.MkdirTemp(filepath.Dir(f.dir), ".writing-"); err != nil {
		return fail(cause(err))
	}
	if err = os.Mkdir(f.fresh(), 0o777); err == nil {
		f.rows, err = os.Create(filepath.Join(f.fresh(), rowsName))
	}
	if err != nil {
		os.RemoveAll(f.temp)
		return fail(cause(err))
	}
	return f, nil
}

func (f *folder) fresh() string { return filepath.Join(f.temp, "new") }

// check refuses a place that holds what must be kept.
func (f *folder) check() error {
	entries, err := os.ReadDir(f.dir)
	switch {
	case errors.Is(err, fs.ErrNotExist):
		return nil
	case err != nil:
		return cli.Input(fmt.Errorf("cannot write the folder %s: %w", f.dir, cause(err)), "choose another with -out")
	case len(entries) > 0 && !f.force:
		return cli.Input(fmt.Errorf("the folder %s is there already", f.dir), "replace it with -force, or choose another with -out")
	}
	ours := map[string]bool{rowsName: true, ".DS_Store": true, "Thumbs.db": true, "desktop.ini": true}
	for _, name := range f.names {
		ours[name] = true
	}
	for _, e := range entries {
		if !ours[e.Name()] || !e.Type().IsRegular() {
			return cli.Input(fmt.Errorf("the folder %s also holds %s, which would be lost", f.dir, e.Name()), "move it away, or choose another folder with -out")
		}
	}
	return nil
}

// commit writes the other files and puts the folder in its place.
func (f *folder) commit(files []cli.File) error {
	err := f.rows.Close()
	for _, file := range files {
		if err == nil {
			err = os.WriteFile(filepath.Join(f.fresh(), file.Name), file.Data, 0o666)
		}
	}
	if err == nil {
		err = f.check() // it may have come while the takes were measured
	}
	old := filepath.Join(f.temp, "old")
	moved := false
	if err == nil {
		if _, there := os.Lstat(f.dir); there == nil {
			err = os.Rename(f.dir, old)
			moved = err == nil
		}
	}
	if err == nil {
		err = os.Rename(f.fresh(), f.dir)
	}
	if err == nil {
		return os.RemoveAll(f.temp)
	}
	if moved && os.Rename(old, f.dir) != nil {
		return cli.Input(fmt.Errorf("cannot write %s: %w", f.dir, cause(err)), "what was there is now in "+old)
	}
	f.discard()
	var known *cli.Error
	if errors.As(err, &known) {
		return err
	}
	return cli.Input(fmt.Errorf("cannot write %s: %w", f.dir, cause(err)), "close what has it open, or choose another folder with -out")
}

// discard leaves nothing behind.
func (f *folder) discard() {
	f.rows.Close()
	os.RemoveAll(f.temp)
}

// cause is an error without the path, which the message names already.
func cause(err error) error {
	var p *fs.PathError
	if errors.As(err, &p) {
		return p.Err
	}
	return err
}
