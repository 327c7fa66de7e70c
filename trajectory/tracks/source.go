package tracks

import (
	"bufio"
	"io"
	"io/fs"
	"os"
)

// source is what an export is read from.
type source struct {
	io.Reader
	head   []byte // the first bytes, still to be read
	length int64  // of all of it, as far as that is known, -1 where it is not
}

// newSource looks at the beginning of an export. A failure of the reader comes
// again when it is read.
func newSource(r io.Reader) source {
	s := source{length: -1}
	switch r := r.(type) {
	case interface{ Len() int }: // bytes and strings: what is left
		s.length = int64(r.Len())
	case interface{ Stat() (fs.FileInfo, error) }:
		if info, err := r.Stat(); err == nil && info.Mode().IsRegular() {
			s.length = info.Size()
		}
	}
	const enough = 512
	b := bufio.NewReaderSize(r, enough)
	s.head, _ = b.Peek(enough)
	s.Reader = b
	return s
}

func open(name string) (*os.File, error) {
	f, err := os.Open(name)
	if err != nil {
		return nil, &Error{File: name, Rule: "read", Msg: "the file cannot be opened: " + err.Error(), Err: err}
	}
	return f, nil
}

// refusePipe is the error of a pipe: to open one waits until somebody writes to it.
func refusePipe(name string) error {
	if info, err := os.Stat(name); err != nil || info.Mode()&fs.ModeNamedPipe == 0 {
		return nil // what else is wrong shows when it is opened
	}
	return &Error{File: name, Rule: "read", Msg: "this is a pipe, which can be read only once",
		Hint: "save what comes out of it as a file"}
}
