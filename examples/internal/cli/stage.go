package cli

import (
	"errors"
	"io/fs"
	"os"
	"path/filepath"
	"slices"
	"strings"
)

// stage is a folder beside the place of what is written. That is written into it and
// put into its place at once; a folder that was there goes into the stage first, and
// from there nowhere.
//
// A program that is killed leaves its stage behind. The next one that writes beside it
// knows that nobody holds it any more: it puts back what was taken from its place and
// not replaced, and removes the rest. (Where no folder can be locked, a stage stays.)
type stage struct {
	dir  string
	lock *os.File // of the folder, nil where it could not be locked
}

const (
	stages   = ".writing-" // how their names begin
	newPart  = "new"       // what is written, in a stage
	oldParts = "old"       // the folder for what was there, under its name
)

// errLocked is that another program holds a folder.
var errLocked = errors.New("it is locked")

// newStage makes a stage in the folder parent.
func newStage(parent string) (*stage, error) {
	for {
		dir, err := os.MkdirTemp(parent, stages)
		if err != nil {
			return nil, err
		}
		lock, err := lockFolder(dir)
		if err == nil || !errors.Is(err, errLocked) && !errors.Is(err, fs.ErrNotExist) {
			s := &stage{dir, lock}
			if s.stands() {
				return s, nil
			}
			s.remove()
		}
		// Another program was faster, and took it for one that was left behind.
	}
}

// stands reports whether the folder that is locked is the one of its name.
func (s *stage) stands() bool {
	if s.lock == nil {
		return true
	}
	locked, err := s.lock.Stat()
	named, other := os.Lstat(s.dir)
	return err == nil && other == nil && os.SameFile(locked, named)
}

// new is where that is written which takes the place.
func (s *stage) new() string { return filepath.Join(s.dir, newPart) }

// put gives what is written its place, where a folder is if there is set. left is
// where that folder is now, if it could neither be replaced nor put back.
func (s *stage) put(place string, there bool) (left string, err error) {
	old := filepath.Join(s.dir, oldParts, filepath.Base(place))
	if there {
		if err := os.Mkdir(filepath.Dir(old), 0o777); err != nil {
			return "", err
		}
		if err := os.Rename(place, old); err != nil {
			return "", err
		}
	}
	if err := os.Rename(s.new(), place); err != nil {
		if there && os.Rename(old, place) != nil {
			return old, err
		}
		return "", err
	}
	return "", nil
}

// remove removes the stage and what is in it.
func (s *stage) remove() {
	os.RemoveAll(s.dir) // what cannot be removed is for the next program to try
	if s.lock != nil {
		s.lock.Close()
	}
}

// sweep clears the folder parent of the stages that programs left behind.
func sweep(parent string) {
	entries, err := os.ReadDir(parent)
	if err != nil {
		return // whoever writes there meets it too
	}
	for _, e := range entries {
		if strings.HasPrefix(e.Name(), stages) && e.IsDir() {
			clearStage(filepath.Join(parent, e.Name()))
		}
	}
}

// clearStage removes a stage that nobody holds, and nothing that is none.
func clearStage(dir string) {
	lock, err := lockFolder(dir)
	if err != nil || lock == nil {
		return
	}
	s := &stage{dir, lock}
	parts, err := os.ReadDir(dir)
	if err != nil || !s.stands() || slices.ContainsFunc(parts, func(p fs.DirEntry) bool { return p.Name() != newPart && p.Name() != oldParts }) {
		lock.Close()
		return
	}
	if _, err := os.Lstat(s.new()); err == nil && !s.restore() {
		lock.Close()
		return
	}
	s.remove()
}

// restore puts back what was taken from its place and not replaced.
func (s *stage) restore() bool {
	taken, err := os.ReadDir(filepath.Join(s.dir, oldParts))
	if err != nil {
		return errors.Is(err, fs.ErrNotExist)
	}
	for _, e := range taken {
		place := filepath.Join(filepath.Dir(s.dir), e.Name())
		if _, err := os.Lstat(place); err == nil {
			continue // there is something else now
		}
		if os.Rename(filepath.Join(s.dir, oldParts, e.Name()), place) != nil {
			return false
		}
	}
	return true
}
