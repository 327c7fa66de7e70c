package cli

import (
	"bytes"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"path/filepath"
	"slices"
)

// File is a file to write: its name in the folder and its content.
type File struct {
	Name string
	Data []byte
}

// Output is a file of a folder by what writes it.
type Output struct {
	Name  string
	Write func(io.Writer) error
}

// Names are the names of outputs.
func Names(outputs []Output) []string {
	var names []string
	for _, o := range outputs {
		names = append(names, o.Name)
	}
	return names
}

// Files are the outputs as files.
func Files(outputs []Output) ([]File, error) {
	var files []File
	for _, o := range outputs {
		var b bytes.Buffer
		if err := o.Write(&b); err != nil {
			return nil, Input(fmt.Errorf("%s: %w", o.Name, err), "")
		}
		files = append(files, File{o.Name, b.Bytes()})
	}
	return files, nil
}

// WriteFolder writes files as the folder dir, whole or not at all: they are
// written to a new folder beside it, which then takes its name. When anything
// fails, nothing is left behind and what was there is as it was. Of a program that
// is killed the next one that writes there removes what is left; in the moment in
// which one folder takes the place of another, it also puts the earlier one back.
//
// A folder that holds anything is replaced only if force is set, and only if
// it holds no other files than those to write and those that the program may have
// written there before, called earlier: what it did not make, it does not delete. A
// link to such a folder is replaced in its stead: none leads out of where one writes.
func WriteFolder(dir string, files []File, force bool, earlier ...string) error {
	var names []string
	for _, f := range files {
		names = append(names, f.Name)
	}
	for _, name := range earlier {
		if !slices.Contains(names, name) {
			names = append(names, name)
		}
	}
	f, err := StageFolder(dir, names, force)
	if err != nil {
		return err
	}
	return f.Commit(files)
}

// CheckFolder returns the error with which WriteFolder would refuse to write files
// of these names, for programs that work long before they write.
func CheckFolder(dir string, names []string, force bool) error {
	if err := checkNames(names); err != nil {
		return err
	}
	dir = filepath.Clean(dir)
	parent := filepath.Dir(dir)
	sweep(parent)
	if _, err := checkPlace(dir, names, force); err != nil {
		return err
	}
	if _, err := os.Stat(parent); err != nil {
		return Input(fmt.Errorf("cannot write %s: %w", dir, plain(err)), "make the folder "+parent+" first, or choose another with -out")
	}
	return nil
}

// Folder is a folder that is being written, as WriteFolder writes it, but not yet
// in its place.
type Folder struct {
	dir   string
	stage *stage
	names []string
	force bool
	open  []*os.File
}

// StageFolder begins a folder of files of these names. One of Commit and Discard
// must follow.
func StageFolder(dir string, names []string, force bool) (*Folder, error) {
	if err := CheckFolder(dir, names, force); err != nil {
		return nil, err
	}
	f := &Folder{dir: filepath.Clean(dir), names: names, force: force}
	var err error
	if f.stage, err = newStage(filepath.Dir(f.dir)); err != nil {
		return nil, f.cannot(err, "choose another folder with -out")
	}
	if err := os.Mkdir(f.stage.new(), 0o777); err != nil {
		f.Discard()
		return nil, f.cannot(err, "choose another folder with -out")
	}
	return f, nil
}

func (f *Folder) cannot(err error, next string) error {
	return Input(fmt.Errorf("cannot write %s: %w", f.dir, plain(err)), next)
}

// Create begins a file that is written while the work goes on. Commit and Discard
// close it.
func (f *Folder) Create(name string) (io.Writer, error) {
	file, err := os.Create(filepath.Join(f.stage.new(), name))
	if err != nil {
		return nil, f.cannot(err, "choose another folder with -out")
	}
	f.open = append(f.open, file)
	return growing{file, f}, nil
}

// growing is a file of a folder that says of what, in words, if it cannot be written.
type growing struct {
	file *os.File
	of   *Folder
}

func (g growing) Write(b []byte) (int, error) {
	n, err := g.file.Write(b)
	if err != nil {
		err = g.of.cannot(err, "choose another folder with -out")
	}
	return n, err
}

// close closes what Create began.
func (f *Folder) close() error {
	var err error
	for _, file := range f.open {
		err = errors.Join(err, file.Close())
	}
	f.open = nil
	return err
}

// Commit writes the other files and puts the folder in its place.
func (f *Folder) Commit(files []File) error {
	err := f.close()
	for _, file := range files {
		if err == nil {
			err = os.WriteFile(filepath.Join(f.stage.new(), file.Name), file.Data, 0o666)
		}
	}
	if err != nil {
		f.Discard()
		return f.cannot(err, "choose another folder with -out")
	}
	there, err := checkPlace(f.dir, f.names, f.force) // it may have come meanwhile
	if err != nil {
		f.Discard()
		return err
	}
	left, err := f.stage.put(f.dir, there)
	if left != "" {
		return f.cannot(err, "what was there is now in "+left)
	}
	f.Discard()
	if err != nil {
		return f.cannot(err, "close what has it open, or choose another folder with -out, such as one in it")
	}
	return nil
}

// Discard removes what was written; what was there stays.
func (f *Folder) Discard() {
	f.close()
	f.stage.remove()
}

// checkNames sees to it that the names stay inside the folder and differ.
func checkNames(names []string) error {
	seen := map[string]bool{}
	for _, name := range names {
		if name == "" || name != filepath.Base(name) || !filepath.IsLocal(name) || seen[name] {
			return fmt.Errorf("cli: %q is no name for a file of a folder, or stands twice", name)
		}
		seen[name] = true
	}
	return nil
}

// checkPlace reports whether dir exists, and refuses it if it must be kept.
func checkPlace(dir string, names []string, force bool) (there bool, err error) {
	info, err := os.Lstat(dir)
	link := err == nil && info.Mode()&fs.ModeSymlink != 0
	entries, err := os.ReadDir(dir)
	switch {
	case link && errors.Is(err, fs.ErrNotExist):
		return false, Input(fmt.Errorf("cannot write the folder %s: it is a link that leads nowhere", dir), "remove it, or choose another with -out")
	case link && err == nil && !force:
		return false, Input(fmt.Errorf("%s is a link to a folder", dir), "replace it with -force, or give the folder that it leads to with -out")
	case errors.Is(err, fs.ErrNotExist):
		return false, nil
	case err != nil:
		return false, Input(fmt.Errorf("cannot write the folder %s: %w", dir, plain(err)), "choose another with -out")
	case len(entries) > 0 && !force:
		return false, Input(fmt.Errorf("the folder %s is there already", dir), "replace it with -force, or choose another with -out")
	}
	// What file browsers leave behind is nobody's work.
	ours := map[string]bool{".DS_Store": true, "Thumbs.db": true, "desktop.ini": true}
	for _, name := range names {
		ours[name] = true
	}
	for _, e := range entries {
		if !ours[e.Name()] || !e.Type().IsRegular() {
			return false, Input(fmt.Errorf("the folder %s also holds %s, which would be lost", dir, e.Name()), "move it away, or choose another folder with -out")
		}
	}
	return true, nil
}
