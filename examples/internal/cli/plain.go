package cli

import (
	"errors"
	"io/fs"
	"os"
	"regexp"
	"syscall"
)

// plain returns the reason inside a path error, in plain words: the message that
// it becomes part of names the path already.
func plain(err error) error {
	for _, r := range []struct {
		is   error
		says string
	}{
		{syscall.EISDIR, "it is a folder"},
		{syscall.ENOTDIR, "what should be a folder on the way to it is a file"},
		{fs.ErrNotExist, "there is no such file or folder"},
		{fs.ErrPermission, "this computer does not permit it"},
		{syscall.ENOSPC, "the disk is full"},
		{syscall.ELOOP, "it is a link that leads back to itself"},
	} {
		if errors.Is(err, r.is) {
			return reason{r.says, err}
		}
	}
	var p *fs.PathError
	var l *os.LinkError
	switch {
	case errors.As(err, &p):
		return p.Err
	case errors.As(err, &l):
		return l.Err
	}
	return err
}

// reason says an error in other words.
type reason struct {
	says string
	err  error
}

func (r reason) Error() string { return r.says }
func (r reason) Unwrap() error { return r.err }

// packages are the names with which errors of the packages begin. They do not
// help whoever runs a program.
var packages = regexp.MustCompile(`(^|: )(?:(?:advice|camera|circular|cohort|contact|cues|cycle|drive|estimate|figure|filter|json|learning|live|motion|notebook|progress|review|robust|settling|simulate|tempo|testdata|tracks|trajectory|variability): )+`)

// inWords returns the text of an error without what only programmers can use.
func inWords(text string) string { return packages.ReplaceAllString(text, "$1") }
