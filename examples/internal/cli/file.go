package cli

import (
	"bytes"
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
type Staged struct {
	name  string
	stage *stage
}

// StageFile writes data beside the place of the file name, for Commit to put it
// there. It refuses to replace a file that is there unless force is set and ours
// says of its content that the program wrote it: with force, nobody's work is
// lost. A nil ours holds for every file. A link to a file is replaced in its stead:
// none leads out of where one writes.
func StageFile(name string, data []byte, force bool, ours func([]byte) bool) (*Staged, error) {
	fail := func(err error, next string) (*Staged, error) {
		return nil, Input(fmt.Errorf("cannot write %s: %w", name, plain(err)), next)
	}
	switch info, err := os.Lstat(name); {
	case err == nil && !info.IsDir() && info.Mode()&fs.ModeType&^fs.ModeSymlink != 0:
		return fail(errors.New("it is a device or a pipe, and no file"), "choose another place")
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
	parent := filepath.Dir(name)
	sweep(parent)
	s, err := newStage(parent)
	if err != nil {
		return fail(err, "choose another place")
	}
	if err := os.WriteFile(s.new(), data, 0o666); err != nil {
		s.remove()
		return fail(err, "choose another place")
	}
	return &Staged{name, s}, nil
}

// Commit puts the file in its place.
func (s *Staged) Commit() error {
	if s == nil {
		return nil
	}
	_, err := s.stage.put(s.name, false)
	s.Discard()
	if err != nil {
		return Input(fmt.Errorf("cannot write %s: %w", s.name, plain(err)), "choose another place")
	}
	return nil
}

// Discard removes what was written; what was there stays. After Commit it does
// nothing.
func (s *Staged) Discard() {
	if s != nil {
		s.stage.remove()
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

// MaxFile is the length of the largest file that ReadFile reads.
const MaxFile = 256 << 20

// ReadFile reads the file name, which holds what, of MaxFile bytes at most.
func ReadFile(name, what, next string) ([]byte, error) { return readFile(name, what, next, MaxFile) }

func readFile(name, what, next string, most int64) ([]byte, error) {
	f, err := OpenFile(name, what, next)
	if err != nil {
		return nil, err
	}
	defer f.Close()
	var b bytes.Buffer
	size := int64(0) // as far as it is known
	if info, err := f.Stat(); err == nil {
		size = info.Size()
	}
	if size <= most {
		b.Grow(int(size) + bytes.MinRead)
		_, err = b.ReadFrom(io.LimitReader(f, most+1))
	}
	if size > most || int64(b.Len()) > most {
		err = fmt.Errorf("it is larger than %d MiB", most>>20)
	}
	if err != nil {
		return nil, Input(fmt.Errorf("cannot read the %s from %q: %w", what, name, plain(err)), next)
	}
	return b.Bytes(), nil
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
