package takefile

import (
	"bytes"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"path/filepath"
	"runtime"
	"strings"
	"sync"

	"github.com/plectrace/plectrace/examples/internal/cli"
	"github.com/plectrace/plectrace/motion/cohort"
	"github.com/plectrace/plectrace/motion/progress"
	"github.com/plectrace/plectrace/motion/review"
	"github.com/plectrace/plectrace/motion/simulate"
	"github.com/plectrace/plectrace/testdata"
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

// Open reviews the take, for programs that cannot do without it. The error names the
// file and the next step.
func Open(t progress.Take, open Opener, o cohort.Options) (cohort.Reviewed, error) {
	r := cohort.Review(t, open, o)
	return r, Refused(r)
}

// Refused is the failure of a take as an error that names the file and the next
// step, nil for one that was reviewed.
func Refused(r cohort.Reviewed) error {
	if r.Failure == nil {
		return nil
	}
	next := ""
	if errors.Is(r.Err, cohort.ErrNoSettings) {
		next = "see onetake -write-settings, and -settings"
	}
	return cli.Input(errors.New(Failure(r.Record)), next)
}

// Failure names a take that could not be measured, and says why.
func Failure(r *cohort.Record) string { return r.File + ": " + r.Failure.Why }

// Bundled opens the bundled demo takes, as NAME.csv with NAME.take.json.
func Bundled(name string) (io.ReadCloser, error) {
	stem, isSettings := strings.CutSuffix(name, ".take.json")
	export, settings, err := testdata.Take(strings.TrimSuffix(stem, ".csv"))
	switch {
	case err != nil:
		return nil, fs.ErrNotExist
	case isSettings:
		export = settings
	}
	return io.NopCloser(bytes.NewReader(export)), nil
}

// Made is the export of a made take, or its settings.
func Made(take *simulate.Take, settings bool) (io.ReadCloser, error) {
	var b bytes.Buffer
	if !settings {
		err := tracks.Write(&b, &take.Recording, tracks.WriteOptions{})
		return io.NopCloser(&b), err
	}
	s := review.Setup{Schema: review.SetupSchema, Tip: "tip", TipIs: review.TipOfPick, View: take.Options.View, Orientation: take.Options.Orientation}
	s.Marks.Bass.At, s.Marks.Treble.At, s.Marks.DistanceMM = take.Truth.Bass[:2], take.Truth.Treble[:2], take.Truth.MarkDistance
	data, err := s.JSON()
	return io.NopCloser(bytes.NewReader(data)), err
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
	s, err := review.ParseSetup(bytes.NewReader(data))
	if err != nil {
		return nil, cli.Input(fmt.Errorf("%s: %w", name, err), "correct the settings file")
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
