package main

import (
	"bytes"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"path/filepath"
	"strconv"
	"strings"

	"github.com/plectrace/plectrace/examples/internal/cli"
	"github.com/plectrace/plectrace/examples/internal/onepage"
	"github.com/plectrace/plectrace/motion/contact"
	"github.com/plectrace/plectrace/motion/cycle"
	"github.com/plectrace/plectrace/motion/review"
	"github.com/plectrace/plectrace/testdata"
	"github.com/plectrace/plectrace/trajectory"
	"github.com/plectrace/plectrace/trajectory/tracks"
)

// source is an export with what is known about the take in it.
type source struct {
	onepage.About
	base     string   // the name of the export without folder and ending
	settings []string // the files they were read from
	setup    review.Setup
	open     func() (io.ReadCloser, error)
	timed    bool // the export has a time column
}

// demo is the bundled take of a beginner. Flags win over its settings too: what
// a wrong sign does is worth a look.
func demo(f *flags) (*source, error) {
	const name = "beginner-1"
	data, settings, err := testdata.Take(name)
	if err != nil {
		return nil, err
	}
	s, err := review.ParseSetup(bytes.NewReader(settings))
	if err != nil {
		return nil, fmt.Errorf("the demo's settings: %w", err)
	}
	src := &source{
		About: f.about, base: "demo", setup: s, timed: true,
		open: func() (io.ReadCloser, error) { return io.NopCloser(bytes.NewReader(data)), nil },
	}
	src.Name = name + ".csv"
	src.Notes = []string{onepage.Invented}
	f.apply(&src.setup)
	return src, nil
}

// open looks at the export and gathers its settings: files, flags, guesses.
func open(name string, f *flags, from []string) (*source, error) {
	src := &source{About: f.about, base: base(name)}
	src.Name = name
	src.open = func() (io.ReadCloser, error) { return os.Open(name) }
	if _, err := os.Stat(name); errors.Is(err, fs.ErrNotExist) {
		return nil, cli.Input(fmt.Errorf("there is no file %q", name), "check the name and the folder")
	}
	layout, err := tracks.InspectFile(name)
	if err != nil {
		return nil, badExport(err)
	}
	src.timed = layout.Time != ""
	if src.setup, src.settings, err = f.read(from); err != nil {
		return nil, err
	}
	if len(src.settings) > 0 {
		src.Notes = append(src.Notes, "Settings from "+strings.Join(src.settings, ", then ")+".")
	}
	f.apply(&src.setup)
	spatial := false
	for _, c := range layout.Columns {
		spatial = spatial || c.Axis == "z"
	}
	var notes []string
	src.setup, notes = src.setup.Guess(layout.Points, spatial)
	src.Notes = append(src.Notes, notes...)
	if src.timed && f.rate && src.setup.Time != "-" {
		src.Notes = append(src.Notes, fmt.Sprintf("The export has a column of times (%s), so -rate is not used; -time - does without that column.", layout.Time))
	}
	for _, c := range layout.Columns {
		if layout.Format == tracks.FormatC3D && c.Role == tracks.RoleOther {
			src.Notes = append(src.Notes, fmt.Sprintf("%q in the export is not a position, and is left out.", c.Name))
		}
	}
	switch points := quoted(layout.Points); {
	case src.setup.Tip != "":
	case f.starter: // to be filled in
		src.Notes = append(src.Notes, "It is not clear which point is the tip: the export holds "+points+".")
	default:
		return nil, cli.Input(fmt.Errorf("%s: it is not clear which point is the tip", name),
			"name it with -tip; the export holds "+points)
	}
	return src, nil
}

// base is the name of an export without folder and ending.
func base(name string) string { return strings.TrimSuffix(filepath.Base(name), filepath.Ext(name)) }

// quoted lists the names of points, quoted, a dozen at most.
func quoted(names []string) string {
	var q []string
	for i, n := range names {
		if i == 12 {
			q = append(q, fmt.Sprintf("and %d more", len(names)-i))
			break
		}
		q = append(q, strconv.Quote(n))
	}
	if len(q) == 0 {
		return "no point that has both x and y"
	}
	return strings.Join(q, ", ")
}

// badExport returns an error of the reader as a failure of the input. Where a
// flag helps, the next step names it.
func badExport(err error) error {
	var e *tracks.Error
	if !errors.As(err, &e) {
		return cli.Input(err, "check the file")
	}
	next := map[string]string{
		"rate":       "say -rate FRAMES or -time NAME",
		"time-unit":  "say -time-unit UNIT",
		"column":     "see -time",
		"point":      "see -tip, -bass, -treble, -nut, -card, -landmarks and -pick-points",
		"unit":       "see -unit",
		"confidence": "see -min-confidence",
		"read":       "check that the file can be read",
	}[e.Rule]
	return cli.Input(e, next)
}

// valid refuses settings that cannot be.
func (src *source) valid() error {
	if err := src.setup.Validate(); err != nil {
		return src.bad(err, "see "+program.Name+" -h, or start from the file that -write-settings makes")
	}
	return nil
}

// bad is what is wrong with the take, with where the help tells of it.
func (src *source) bad(err error, otherwise string) error {
	return cli.Input(fmt.Errorf("%s: %w", src.Name, err), nextStep(err, otherwise))
}

// recording reads the points that the settings name.
func (src *source) recording() (*trajectory.Recording, error) {
	in, err := src.open()
	if err != nil {
		return nil, badExport(err)
	}
	defer in.Close()
	rec, note, err := onepage.Read(in, src.Name, src.setup, src.timed)
	if err != nil {
		return nil, badExport(err)
	}
	if note != "" {
		src.Notes = append(src.Notes, note)
	}
	return rec, nil
}

// review measures the take.
func (src *source) review(rec *trajectory.Recording, o review.Options) (*review.Review, error) {
	r, err := onepage.Measure(rec, src.setup, o)
	if err != nil {
		return nil, src.bad(err, "")
	}
	return r, nil
}

// prepare checks, before any long work, all that can be: the settings, what lies
// beside the export, and the places to write to.
func prepare(src *source, f *flags, dir string) (review.Options, error) {
	if err := src.valid(); err != nil {
		return review.Options{}, err
	}
	if !f.check {
		if err := mayKeep(f, src, dir); err != nil {
			return review.Options{}, err
		}
		if dir != "" {
			if err := cli.CheckFolder(dir, onepage.Names, f.Force); err != nil {
				return review.Options{}, err
			}
		}
	}
	return beside(f)
}

// beside reads what lies beside the export: onsets and a reference motion.
func beside(f *flags) (review.Options, error) {
	var o review.Options
	read := func(name, what, next string, parse func(io.Reader) error) error {
		if name == "" {
			return nil
		}
		data, err := cli.ReadFile(name, what, "check the name and the folder")
		if err != nil {
			return err
		}
		if err := parse(bytes.NewReader(data)); err != nil {
			return cli.Input(fmt.Errorf("%s: %w", name, err), next)
		}
		return nil
	}
	err := read(f.onsets, "onsets", hint(theStrings), func(r io.Reader) (err error) {
		if o.Onsets, err = contact.ReadOnsets(r); o.Onsets == nil {
			o.Onsets = []contact.Onset{}
		}
		return err
	})
	if err != nil {
		return o, err
	}
	return o, read(f.reference, "reference motion", "give a file that -keep-reference wrote", func(r io.Reader) error {
		ref, err := cycle.ParseReference(r)
		o.Reference = &ref
		return err
	})
}
