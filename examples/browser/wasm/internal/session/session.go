// Package session is one take in the page of the browser: the files that were given,
// what the form shows of them, the settings that come back from it, and the review. It
// knows nothing of the browser itself.
package session

import (
	"bytes"
	"errors"
	"fmt"

	"github.com/plectrace/plectrace/examples/internal/cli"
	"github.com/plectrace/plectrace/examples/internal/onepage"
	"github.com/plectrace/plectrace/motion/cohort"
	"github.com/plectrace/plectrace/motion/contact"
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
	settings string                // the name of the file that the form began with
	onsets   []contact.Onset
	listed   string // the name of their file
	reviewed *review.Review
	page     onepage.About
}

// Take is what the form shows.
type Take struct {
	Name         string       `json:"name"` // of the export, "" before there is one
	SettingsName string       `json:"settings_name"`
	Points       []string     `json:"points"`
	Spatial      bool         `json:"spatial"`
	Timed        bool         `json:"timed"` // there are times in the export, or a rate
	Unit         string       `json:"unit"`
	Setup        review.Setup `json:"setup"` // with guesses filled in
	Notes        []string     `json:"notes"`
	Onsets       int          `json:"onsets"`
	Places       []Place      `json:"places"`
}

// Open takes files in: an export, a settings file, a list of onsets, whatever is
// there. What was given before stays where nothing takes its place; form is the
// settings file as the form has it, nil for none. Without an export so far, the take
// has no name.
func (s *Session) Open(files []File, form []byte) (Take, error) {
	if len(files) == 0 {
		return Take{}, cli.Input(errors.New("no file was given"), "choose the export of one take")
	}
	next := *s // nothing changes where a file is bad
	exports, lists := 0, 0
	for _, f := range files {
		is, err := next.takeIn(f, &form)
		if err != nil {
			return Take{}, err
		}
		switch is {
		case anExport:
			exports++
		case onsets:
			lists++
		}
	}
	if exports > 0 && lists == 0 && s.export.Name != "" { // another take: its onsets, if any, come with it
		next.onsets, next.listed = nil, ""
	}
	if exports > 1 {
		return Take{}, cli.Input(fmt.Errorf("%d exports were given", exports), "give one take at a time, with its settings file if there is one")
	}
	next.reviewed = nil
	if exports > 0 {
		if err := next.readAll(); err != nil {
			return Take{}, err
		}
	}
	t, err := next.take(form)
	if err != nil {
		return Take{}, err
	}
	*s = next
	return t, nil
}

// Demo opens the bundled take, as Open does.
func (s *Session) Demo(files []File) (Take, error) {
	t, err := s.Open(files, nil)
	if err == nil {
		s.invented = true
		t.Notes = append([]string{onepage.Invented}, t.Notes...)
	}
	return t, err
}

const (
	anExport = iota
	settings
	onsets
)

// takeIn takes one file in, by what is in it. Settings take the place of the form's.
func (s *Session) takeIn(f File, form *[]byte) (is int, err error) {
	if text := bytes.TrimLeft(bytes.TrimPrefix(f.Data, []byte("\ufeff")), " \t\r\n"); len(text) > 0 && text[0] == '{' {
		if _, err := review.ParseSetup(bytes.NewReader(f.Data)); err != nil {
			return settings, cli.Input(fmt.Errorf("%s is taken for settings, and %w", f.Name, err),
				"give the settings that this page saves, or an export with a column for each axis of each point")
		}
		s.settings, *form = f.Name, f.Data
		return settings, nil
	}
	layout, err := tracks.Inspect(bytes.NewReader(f.Data))
	if err != nil || len(layout.Columns) <= 2 { // times, and perhaps levels
		if list, bad := contact.ReadOnsets(bytes.NewReader(f.Data)); bad == nil && len(list) > 0 {
			s.onsets, s.listed = list, f.Name
			return onsets, nil
		}
	}
	if err != nil {
		return anExport, plain(f.Name, err)
	}
	if len(layout.Points) == 0 {
		return anExport, cli.Input(fmt.Errorf("%s holds no point that has both x and y", f.Name), "name the columns by point and axis, as tip_x and tip_y")
	}
	s.export, s.layout, s.invented = f, layout, false
	return anExport, nil
}

// take is what the form shows, with the guesses that the names of points make safe.
func (s *Session) take(form []byte) (Take, error) {
	t := Take{Name: s.export.Name, Timed: s.layout.Time != "" || s.layout.Rate > 0, Unit: s.layout.Unit, Points: s.layout.Points, Onsets: len(s.onsets)}
	if form != nil {
		var err error
		if t.Setup, err = review.ParseSetup(bytes.NewReader(form)); err != nil {
			return t, plain("the settings", err)
		}
	}
	if s.settings != "" {
		t.Notes = append(t.Notes, "Settings from "+s.settings+".")
	}
	if s.listed != "" {
		t.Notes = append(t.Notes, fmt.Sprintf("%d onsets from %s.", len(s.onsets), s.listed))
	}
	if t.Name == "" {
		return t, nil
	}
	t.SettingsName = cohort.SettingsName(t.Name)
	for _, c := range s.layout.Columns {
		t.Spatial = t.Spatial || c.Axis == "z"
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

// Settings is the settings file for a form.
func (s *Session) Settings(form []byte) (File, error) {
	setup, err := review.ParseSetup(bytes.NewReader(form))
	if err != nil {
		return File{}, plain("the settings", err)
	}
	if s.export.Name == "" {
		return File{}, cli.Input(errors.New("there is no take to save settings for"), "give its export first")
	}
	data, err := setup.JSON()
	return File{cohort.SettingsName(s.export.Name), data}, err
}
