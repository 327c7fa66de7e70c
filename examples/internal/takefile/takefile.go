// Package takefile opens and reviews takes for the example programs that work on
// several of them: each is an export with its settings file beside it.
package takefile

import (
	"bytes"
	"crypto/sha256"
	"encoding/hex"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"path"
	"path/filepath"
	"runtime"
	"strings"
	"sync"

	"github.com/plectrace/plectrace/examples/internal/cli"
	"github.com/plectrace/plectrace/motion/progress"
	"github.com/plectrace/plectrace/motion/review"
	"github.com/plectrace/plectrace/trajectory"
	"github.com/plectrace/plectrace/trajectory/tracks"
)

// Opener opens a file by the name that a list of takes, or a user, gives it. A file
// that is not there is fs.ErrNotExist.
type Opener func(name string) (io.ReadCloser, error)

// Folder opens files whose names are relative to dir.
func Folder(dir string) Opener {
	return func(name string) (io.ReadCloser, error) {
		name = filepath.FromSlash(name)
		if !filepath.IsAbs(name) {
			name = filepath.Join(dir, name)
		}
		if info, err := os.Stat(name); err == nil && info.IsDir() {
			return nil, errors.New("it is a folder")
		}
		return os.Open(name)
	}
}

// Options say how takes are opened and reviewed. With the zero value each export
// needs a settings file.
type Options struct {
	Review review.Options
	// Setup serves exports without a settings file of their own, nil for none.
	Setup *review.Setup
	// SetupName is taken for takes whose settings name no set-up.
	SetupName string
}

// Take is a take that was read and reviewed.
type Take struct {
	Review *review.Review
	// Notes are what was guessed and assumed, for the user to see.
	Notes []string
	// Content tells the bytes of the export from those of another: the first
	// twelve hexadecimal digits of their SHA-256.
	Content string
}

// Open reads the export of that name and the settings beside it (NAME.take.json
// for NAME.csv), and reviews the take. The error names the file and the next step.
func Open(name string, open Opener, o Options) (*Take, error) {
	data, err := readAll(open, name)
	if err != nil {
		return nil, cli.Input(fmt.Errorf("%s: it cannot be opened: %w", name, cause(err)), "check the name and the folder")
	}
	sum := sha256.Sum256(data)
	t := &Take{Content: hex.EncodeToString(sum[:6])}
	layout, err := tracks.Inspect(bytes.NewReader(data))
	if err != nil {
		return nil, badExport(name, err)
	}
	setup, err := settings(open, name, o.Setup)
	if err != nil {
		return nil, err
	}
	if setup.SetupName == "" {
		setup.SetupName = o.SetupName
	}
	spatial := false
	for _, c := range layout.Columns {
		spatial = spatial || c.Axis == "z"
	}
	setup, t.Notes = setup.Guess(layout.Points, spatial)
	if err := setup.Validate(); err != nil {
		return nil, cli.Input(fmt.Errorf("%s: %w", name, err), "correct its settings file "+SettingsName(name))
	}
	how, note := setup.Tracks(layout.Time != "")
	if note != "" {
		t.Notes = append(t.Notes, note)
	}
	how.Source = name
	rec, err := tracks.Read(bytes.NewReader(data), how)
	if err != nil {
		return nil, badExport(name, err)
	}
	if t.Review, err = review.Run(rec, setup, o.Review); err != nil {
		var d *trajectory.DataError
		next := "correct its settings file " + SettingsName(name)
		if errors.As(err, &d) && d.Hint != "" {
			next = d.Hint
		}
		return nil, cli.Input(fmt.Errorf("%s: %w", name, err), next)
	}
	return t, nil
}

// SettingsName is the name of the settings file beside an export.
func SettingsName(export string) string {
	return strings.TrimSuffix(export, path.Ext(export)) + ".take.json"
}

// exportBytes is the size beyond which a file is no take: an hour of a dozen points
// at 240 frames/s is a tenth of it.
const exportBytes = 1 << 30

func readAll(open Opener, name string) ([]byte, error) {
	f, err := open(name)
	if err != nil {
		return nil, err
	}
	defer f.Close()
	data, err := io.ReadAll(io.LimitReader(f, exportBytes+1))
	if err == nil && len(data) > exportBytes {
		err = errors.New("it is over 1 GiB, larger than any take")
	}
	return data, err
}

// settings returns the settings beside an export, or those that stand for them.
func settings(open Opener, export string, otherwise *review.Setup) (review.Setup, error) {
	name := SettingsName(export)
	data, err := readAll(open, name)
	switch {
	case errors.Is(err, fs.ErrNotExist) && otherwise != nil:
		return *otherwise, nil
	case errors.Is(err, fs.ErrNotExist):
		return review.Setup{}, cli.Input(fmt.Errorf("%s: there is no settings file %s", export, name),
			"write one with onetake -write-settings, or name one for the takes that have none with -settings")
	case err != nil:
		return review.Setup{}, cli.Input(fmt.Errorf("%s: it cannot be opened: %w", name, cause(err)), "check the file")
	}
	return parse(name, data)
}

func parse(name string, data []byte) (review.Setup, error) {
	s, err := review.ParseSetup(bytes.NewReader(data))
	if err != nil {
		return s, cli.Input(fmt.Errorf("%s: %w", name, err), "correct the settings file")
	}
	return s, nil
}

// badExport says where in an export something is wrong.
func badExport(name string, err error) error {
	var e *tracks.Error
	if errors.As(err, &e) && e.File == "" {
		at := *e
		at.File = name
		err = &at
	}
	return cli.Input(err, "export the take again, or leave it out")
}

// cause is an error without the path, which the message names already.
func cause(err error) error {
	var p *fs.PathError
	switch {
	case errors.Is(err, fs.ErrNotExist):
		return errors.New("there is no such file")
	case errors.As(err, &p):
		return p.Err
	}
	return err
}

// Settings reads the file that serves takes without settings of their own; nil for
// no name.
func Settings(name string) (*review.Setup, error) {
	if name == "" {
		return nil, nil
	}
	data, err := cli.ReadFile(name, "settings", "check the name given with -settings")
	if err != nil {
		return nil, err
	}
	s, err := parse(name, data)
	if err != nil {
		return nil, err
	}
	return &s, nil
}

// Roster reads a list of takes from a file.
func Roster(name string) (progress.Roster, error) {
	data, err := cli.ReadFile(name, "list of takes", "check the name and the folder")
	if err != nil {
		return progress.Roster{}, err
	}
	r, err := progress.ReadRoster(bytes.NewReader(data), name)
	if err != nil {
		return r, cli.Input(err, "")
	}
	return r, nil
}

// Each calls do for 0 to n-1, one call for each processor at a time, and returns
// when all are done.
func Each(n int, do func(i int)) {
	next := make(chan int)
	var all sync.WaitGroup
	for range min(n, runtime.GOMAXPROCS(0)) {
		all.Go(func() {
			for i := range next {
				do(i)
			}
		})
	}
	for i := range n {
		next <- i
	}
	close(next)
	all.Wait()
}
