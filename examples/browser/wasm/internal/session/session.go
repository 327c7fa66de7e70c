package session

import (
	"bytes"
	"errors"
	"fmt"
	"slices"

	"github.com/plectrace/plectrace/examples/internal/cli"
	"github.com/plectrace/plectrace/examples/internal/onepage"
	"github.com/plectrace/plectrace/motion/cohort"
	"github.com/plectrace/plectrace/motion/review"
	"github.com/plectrace/plectrace/trajectory"
	"github.com/plectrace/plectrace/trajectory/tracks"
)

// File is a file that was given, by its name without a folder.
type File struct {
	Name string
	Data []byte
}

// Session holds a take, until another is given.
type Session struct {
	// Tell is called with what is being done, and with the share of it that is done,
	// or a negative one where that is not known.
	Tell func(doing string, share float64)

	export   File
	layout   tracks.Layout
	points   *trajectory.Recording // all of them, by rows
	invented bool                  // it is the bundled take
	beside
	reviewed *review.Review
	page     onepage.About
	offset   float64 // of the captions
}

// Take is what the form shows.
type Take struct {
	Name         string       `json:"name"` // of the export, "" before there is one
	SettingsName string       `json:"settings_name"`
	Points       []string     `json:"points"`
	Spatial      bool         `json:"spatial"`
	Timed        bool         `json:"timed"`   // there are times in the export, or a rate
	Columns      []string     `json:"columns"` // that may hold the times
	Unit         string       `json:"unit"`
	Setup        review.Setup `json:"setup"` // with guesses filled in
	Notes        []string     `json:"notes"`
	Used         []Used       `json:"used"`
	Places       []Place      `json:"places"`
	Invented     bool         `json:"invented"`
}

// Open takes files in: an export, settings, a list of onsets, a reference motion,
// whatever is there. What was given before stays where nothing takes its place; form is
// the settings file as the form has it, nil for none, and settings that are given take
// its place. Without an export so far, the take has no name.
func (s *Session) Open(files []File, form []byte) (Take, error) {
	if len(files) == 0 {
		return Take{}, cli.Input(errors.New("no file was given"), "choose the export of one take")
	}
	next := *s // nothing changes where a file is bad
	var given [kinds]int
	for _, f := range files {
		is, err := next.takeIn(f)
		if err != nil {
			return Take{}, err
		}
		if given[is]++; given[is] > 1 {
			return Take{}, cli.Input(fmt.Errorf("several %s were given, %s among them", kindNames[is][0], f.Name), kindNames[is][1])
		}
	}
	if given[anExport] > 0 && s.export.Name != "" { // another take: what is its own, if anything, comes with it
		if given[onsets] == 0 {
			next.onsets, next.listed = nil, ""
		}
		if given[settings] == 0 {
			next.own = nil
		}
	}
	if given[settings]+given[shared] > 0 {
		setup, names, err := next.layered()
		if err != nil {
			return Take{}, plain("the settings", err)
		}
		if form, err = setup.JSON(); err != nil {
			return Take{}, err
		}
		next.began = names
	}
	next.reviewed = nil
	carried := given[anExport] > 0 && given[settings]+given[shared] == 0 && form != nil && s.export.Name != ""
	if given[anExport] > 0 {
		if err := next.readAll(); err != nil {
			return Take{}, err
		}
	}
	if carried && spatial(s.layout) != spatial(next.layout) { // another kind of view
		setup, err := review.ParseSetup(bytes.NewReader(form))
		if err != nil {
			return Take{}, plain("the settings", err)
		}
		setup.View = trajectory.ViewUnknown
		if form, err = setup.JSON(); err != nil {
			return Take{}, err
		}
	}
	t, err := next.take(form)
	if err != nil {
		return Take{}, err
	}
	if carried {
		t.Notes = append(t.Notes, fmt.Sprintf("The rest of the form is as it was for %s: check whether it holds for this take.", s.export.Name))
	}
	*s = next
	return t, nil
}

// spatial reports whether an export has three axes.
func spatial(l tracks.Layout) bool {
	return slices.ContainsFunc(l.Columns, func(c tracks.Column) bool { return c.Axis == "z" })
}

// Demo opens the bundled take, as Open does. Of what was given before it keeps the
// reference motion alone.
func (s *Session) Demo(files []File) (Take, error) {
	next := *s
	next.beside = beside{reference: s.reference, from: s.from}
	if _, err := next.Open(files, nil); err != nil {
		return Take{}, err
	}
	next.invented = true
	setup, _, err := next.layered()
	if err != nil {
		return Take{}, plain("the settings", err)
	}
	form, err := setup.JSON()
	if err != nil {
		return Take{}, err
	}
	*s = next
	return s.take(form)
}

// take is what the form shows, with the guesses that the names of points make safe.
func (s *Session) take(form []byte) (Take, error) {
	t := Take{
		Name: s.export.Name, Timed: s.layout.Time != "" || s.layout.Rate > 0, Unit: s.layout.Unit, Points: s.layout.Points,
		Used: s.used(), Invented: s.invented,
	}
	if s.invented {
		t.Notes = append(t.Notes, onepage.Invented)
	}
	if form != nil {
		var err error
		if t.Setup, err = review.ParseSetup(bytes.NewReader(form)); err != nil {
			return t, plain("the settings", err)
		}
	}
	if t.Name == "" {
		return t, nil
	}
	t.SettingsName, t.Spatial = cohort.SettingsName(t.Name), spatial(s.layout)
	for _, c := range s.layout.Columns {
		if c.Role != tracks.RoleCoordinate && c.Role != tracks.RoleConfidence && len(t.Columns) < mostPlaces {
			t.Columns = append(t.Columns, c.Name)
		}
	}
	var notes []string
	t.Setup, notes = t.Setup.Guess(s.layout.Points, t.Spatial)
	t.Notes = append(t.Notes, notes...)
	t.Places = places(s.points)
	return t, nil
}

// readAll reads all points of the export, by rows: what is needed to draw them
// whatever its times are.
func (s *Session) readAll() error {
	rec, err := tracks.Read(s.reading("Reading "+s.export.Name), tracks.Options{
		Source: s.export.Name, Time: "-", Rate: 1, ByRow: true, IgnoreConfidence: true,
	})
	if err != nil {
		return plain(s.export.Name, err)
	}
	s.points = rec
	return nil
}
