package cli

import (
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"path/filepath"
	"syscall"
)

// Staged is a file that is written, but not yet in its place. A nil one is no
// file: its methods do nothing.
type Staged struct{ name, temp string }

// StageFile writes data beside the place of the file name, for Commit to put it
// there. It refuses to replace a file that is there unless force is set and ours
// says of its content that the program wrote it: with force, nobody's work is
// lost. A nil ours holds for every file.
func StageFile(name string, data []byte, force bool, ours func([]byte) bool) (*Staged, error) {
	fail := func(err error, next string) (*Staged, error) {
		return nil, Input(fmt.Errorf("cannot write %s: %w", name, plain(err)), next)
	}
	switch info, err := os.Lstat(name); {
	case err == nil && info.IsDir():
		return fail(syscall.EISDIR, "name a file in it")
	case err == nil && !force:
		return fail(errors.New("it is there already"), "replace it with -force, or move it away")
	case err == nil && ours != nil:
		old, err := head(name)
		if err != nil {
			return fail(err, "choose another place")
		}
		if !ours(old) {
			return fail(errors.New("it is there, and not one of those that this program writes there"), "move it away, or choose another name")
		}
	case err != nil && !errors.Is(err, fs.ErrNotExist):
		return fail(err, "choose another place")
	}
	temp, err := os.CreateTemp(filepath.Dir(name), ".writing-")
	if err != nil {
		return fail(err, "choose another place")
	}
	_, err = temp.Write(data)
	if err = errors.Join(err, temp.Chmod(0o666&^0o022), temp.Close()); err != nil {
		os.Remove(temp.Name())
		return fail(err, "choose another place")
	}
	return &Staged{name, temp.Name()}, nil
}

// Commit puts the file in its place.
func (s *Staged) Commit() error {
	if s == nil {
		return nil
	}
	if err := os.Rename(s.temp, s.name); err != nil {
		s.Discard()
		return Input(fmt.Errorf("cannot write %s: %w", s.name, plain(err)), "choose another place")
	}
	return nil
}

// Discard removes what was written; what was there stays. After Commit it does
// nothing.
func (s *Staged) Discard() {
	if s != nil {
		os.Remove(s.temp)
	}
}

// WriteFile writes one file, whole or not at all, and refuses to replace one
// that is there unless force is set.
func WriteFile(name string, data []byte, force bool) error {
	s, err := StageFile(name, data, force, nil)
	if err != nil {
		return err
	}
	return s.Commit()
}

// ReadFile reads the file name, which holds what.
func ReadFile(name, what, next string) ([]byte, error) {
	data, err := os.ReadFile(name)
	if err != nil {
		return nil, Input(fmt.Errorf("cannot read the %s from %q: %w", what, name, plain(err)), next)
	}
	return data, nil
}

// OpenFile opens the file name, which holds what.
func OpenFile(name, what, next string) (*os.File, error) {
	f, err := os.Open(name)
	if err == nil {
		if info, bad := f.Stat(); bad == nil && info.IsDir() {
			f.Close()
			err = syscall.EISDIR
		}
	}
	if err != nil {
		return nil, Input(fmt.Errorf("cannot read the %s from %q: %w", what, name, plain(err)), next)
	}
	return f, nil
}

// head is the first MiB of a file: more than what the programs replace holds.
func head(name string) ([]byte, error) {
	f, err := os.Open(name)
	if err != nil {
		return nil, err
	}
	defer f.Close()
	return io.ReadAll(io.LimitReader(f, 1<<20))
}

// SameFile reports whether two names are of one file, whether or not it is
// there.
func SameFile(a, b string) bool {
	x, errX := os.Stat(a)
	y, errY := os.Stat(b)
	if errX == nil && errY == nil {
		return os.SameFile(x, y)
	}
	return place(a) == place(b)
}

// Inside reports whether a file of that name lies in the folder dir, or is it.
func Inside(name, dir string) bool {
	rel, err := filepath.Rel(place(dir), place(name))
	return err == nil && filepath.IsLocal(rel)
}

// place is a name from the root on, with the links in its folder followed.
func place(name string) string {
	abs, err := filepath.Abs(name)
	if err != nil {
		return filepath.Clean(name)
	}
	if dir, err := filepath.EvalSymlinks(filepath.Dir(abs)); err == nil {
		return filepath.Join(dir, filepath.Base(abs))
	}
	return abs
}
