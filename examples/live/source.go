package main

import (
	"bytes"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"path/filepath"
	"strings"

	"github.com/plectrace/plectrace/examples/internal/cli"
	"github.com/plectrace/plectrace/examples/internal/measured"
	"github.com/plectrace/plectrace/examples/internal/onepage"
	"github.com/plectrace/plectrace/examples/internal/takefile"
	"github.com/plectrace/plectrace/motion/cohort"
	"github.com/plectrace/plectrace/motion/review"
	"github.com/plectrace/plectrace/trajectory/tracks"
)

// source is where lines come from, with what is known about the take in them.
type source struct {
	name   string
	base   string // what the name of the folder begins with
	lines  io.ReadCloser
	setup  review.Setup
	notes  []string
	above  int  // lines of the header, 0 for not known
	replay bool // comes from a file
	demo   bool
}

const demoTake = "beginner-1.csv"

// source opens what the arguments name.
func (f *flags) source(rest []string, in io.Reader) (*source, error) {
	stdin := len(rest) == 1 && rest[0] == "-"
	switch {
	case len(rest) > 0 && !stdin:
		return nil, cli.Usage(fmt.Errorf("%s given", measured.Count(len(rest), "argument")), "give - for standard input, or -replay FILE")
	case stdin && f.replay != "":
		return nil, cli.Usage(errors.New("- and -replay are two sources"), "give one of them")
	case stdin && f.speeds:
		return nil, cli.Usage(errors.New("-speed does nothing beside -"), "it is for -replay; leave it out")
	}
	src := &source{name: demoTake, base: "demo-", replay: true}
	var err error
	switch {
	case stdin:
		src.name, src.base, src.lines, src.replay = "standard input", "", io.NopCloser(in), false
	case f.replay != "":
		src.name = f.replay
		src.base = strings.TrimSuffix(filepath.Base(f.replay), filepath.Ext(f.replay)) + "-"
		src.lines, err = takefile.Folder(".")(f.replay)
		if errors.Is(err, fs.ErrNotExist) {
			return nil, cli.Input(fmt.Errorf("there is no file %q", f.replay), "check the name and the folder")
		}
		if err != nil {
			return nil, cli.Input(fmt.Errorf("%q cannot be read: %w", f.replay, err), "name a file of lines with -replay")
		}
		if err = src.look(); err != nil {
			return nil, err
		}
	default:
		src.demo = true
		src.notes = []string{onepage.Invented}
		src.lines, err = takefile.Bundled(demoTake)
		if err != nil {
			return nil, err
		}
	}
	if err := src.settle(f.settings); err != nil {
		src.lines.Close()
		return nil, err
	}
	return src, nil
}

// look looks into the file that is replayed: where its header ends, which a pipe tells by
// its first lines only. A file without lines (C3D), or one whose header counts them (TRC),
// becomes lines that hold the same samples.
func (src *source) look() error {
	file, ok := src.lines.(*os.File)
	if !ok {
		return nil
	}
	if info, err := file.Stat(); err != nil || !info.Mode().IsRegular() {
		return nil // lines come while it is read
	}
	layout, _ := tracks.Inspect(file) // what cannot be read is told with the lines
	if _, err := file.Seek(0, io.SeekStart); err != nil {
		return cli.Input(fmt.Errorf("%q cannot be read: %w", src.name, err), "name another file with -replay")
	}
	if layout.Format != tracks.FormatC3D && layout.Format != tracks.FormatTRC {
		src.above = layout.HeaderLines
		return nil
	}
	defer file.Close()
	rec, err := tracks.Read(file, tracks.Options{Source: src.name})
	if err != nil {
		return badExport(err)
	}
	var text bytes.Buffer
	if err := tracks.Write(&text, rec, tracks.WriteOptions{Units: true}); err != nil {
		return badExport(err)
	}
	src.lines = io.NopCloser(&text)
	return nil
}

// settle reads the settings: those of the named file, or those beside the file that is
// replayed, each laid over the one before.
func (src *source) settle(named string) error {
	if named != "" {
		s, err := takefile.Settings(named)
		if err == nil {
			src.setup = *s
			src.notes = append(src.notes, "Settings from "+named+".")
		}
		return err
	}
	if !src.replay {
		return nil
	}
	open := takefile.Folder(".")
	if src.demo {
		open = takefile.Bundled
	}
	s, found, err := cohort.Settings(open, cohort.SettingsNames(src.name)...)
	if err != nil {
		return cli.Input(err, "")
	}
	src.setup = s
	if len(found) > 0 && !src.demo {
		src.notes = append(src.notes, "Settings from "+strings.Join(found, ", then ")+".")
	}
	return nil
}
