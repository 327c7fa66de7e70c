package session

import (
	"bytes"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"strings"

	"github.com/plectrace/plectrace/examples/internal/cli"
	"github.com/plectrace/plectrace/examples/internal/measured"
	"github.com/plectrace/plectrace/motion/cohort"
	"github.com/plectrace/plectrace/motion/contact"
	"github.com/plectrace/plectrace/motion/cycle"
	"github.com/plectrace/plectrace/motion/review"
	"github.com/plectrace/plectrace/trajectory/tracks"
)

// kind is what a file is, which shows in its content.
type kind int

const (
	anExport kind = iota
	settings      // of the take
	shared        // of all takes of its folder
	onsets
	reference
	kinds
)

const kindsRead = "give the settings that this page saves, a reference motion, or an export with a column for each axis of each point"

// kindNames name several files of a kind, and say what to do with them.
var kindNames = [kinds][2]string{
	anExport:  {"exports", "give one take at a time, with its settings file if there is one"},
	settings:  {"settings files", "give the one of this take, and " + cohort.SharedSettings + " of its folder if there is one"},
	shared:    {"settings files of a folder", "give one of them"},
	onsets:    {"lists of onsets", "give the one of this take"},
	reference: {"reference motions", "compare with one at a time"},
}

// beside are the files that were given with the export.
type beside struct {
	own, shared *File // settings
	began       []string
	onsets      []contact.Onset
	listed      string // the name of their file
	reference   *cycle.Reference
	from        string // the name of its file
}

// Used is a file that the next review uses besides the export.
type Used struct {
	Name  string `json:"name"`
	Holds string `json:"holds"`
	Leave bool   `json:"leave"` // Leave takes it away again
}

// used are the files that are in use.
func (b *beside) used() []Used {
	out := []Used{}
	for _, name := range b.began {
		out = append(out, Used{name, "settings, which are in the form", false})
	}
	if b.listed != "" {
		out = append(out, Used{b.listed, measured.Count(len(b.onsets), "onset"), true})
	}
	if b.from != "" {
		out = append(out, Used{b.from, "the motion to compare with", true})
	}
	return out
}

// Leave leaves the onsets or the reference motion of that file out of the next review.
func (s *Session) Leave(name string, form []byte) (Take, error) {
	switch name {
	case "":
	case s.listed:
		s.onsets, s.listed = nil, ""
	case s.from:
		s.reference, s.from = nil, ""
	}
	s.reviewed = nil
	return s.take(form)
}

// takeIn takes one file in, by what is in it.
func (s *Session) takeIn(f File) (kind, error) {
	if text := bytes.TrimLeft(bytes.TrimPrefix(f.Data, []byte("\ufeff")), " \t\r\n"); len(text) > 0 && text[0] == '{' {
		return s.takeJSON(f)
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

// takeJSON takes in settings or a reference motion.
func (s *Session) takeJSON(f File) (kind, error) {
	var is struct{ Schema string }
	if err := json.Unmarshal(f.Data, &is); err == nil && is.Schema == cycle.ReferenceSchema {
		ref, err := cycle.ParseReference(bytes.NewReader(f.Data))
		if err != nil {
			return reference, cli.Input(fmt.Errorf("%s: %w", f.Name, err), "give a reference motion as this page or onetake keeps it")
		}
		s.reference, s.from = &ref, f.Name
		return reference, nil
	} else if err == nil && is.Schema != "" && is.Schema != review.SetupSchema {
		return settings, cli.Input(fmt.Errorf("%s holds %q, which this page does not read", f.Name, is.Schema), kindsRead)
	}
	if _, err := review.ParseSetup(bytes.NewReader(f.Data)); err != nil {
		return settings, cli.Input(fmt.Errorf("%s is taken for settings, and %w", f.Name, err),
			kindsRead)
	}
	if strings.EqualFold(f.Name, cohort.SharedSettings) {
		s.shared = &f
		return shared, nil
	}
	s.own = &f
	return settings, nil
}

// layered are the settings that were given, those of the take laid over those of its
// folder as every program does it, and the names of their files.
func (b *beside) layered() (review.Setup, []string, error) {
	files := map[string]*File{}
	var names []string
	for _, f := range []*File{b.shared, b.own} {
		if f != nil {
			files[f.Name] = f
			names = append(names, f.Name)
		}
	}
	return cohort.Settings(func(name string) (io.ReadCloser, error) {
		f, ok := files[name]
		if !ok {
			return nil, fs.ErrNotExist
		}
		return io.NopCloser(bytes.NewReader(f.Data)), nil
	}, names...)
}

// Settings is the settings file for a form. The text says what of it does not hold where
// the settings of the folder lie beside it, if there is such a thing.
func (s *Session) Settings(form []byte) (File, string, error) {
	setup, err := review.ParseSetup(bytes.NewReader(form))
	if err != nil {
		return File{}, "", plain("the settings", err)
	}
	if s.export.Name == "" {
		return File{}, "", cli.Input(errors.New("there is no take to save settings for"), "give its export first")
	}
	f := File{Name: cohort.SettingsName(s.export.Name)}
	if s.shared == nil {
		f.Data, err = setup.JSON()
		return f, "", err
	}
	// Over others a file says no as well as yes.
	if f.Data, err = setup.Starter(); err != nil {
		return f, "", err
	}
	both := beside{shared: s.shared, own: &f}
	read, _, err := both.layered()
	if err != nil {
		return f, "", err
	}
	same, err := sameSettings(read, setup)
	if err != nil || same {
		return f, "", err
	}
	return f, fmt.Sprintf("What you took out of the form, %s still says: put this file into another folder, or change that one.", s.shared.Name), nil
}

// sameSettings reports whether settings say the same.
func sameSettings(a, b review.Setup) (bool, error) {
	for _, s := range []*review.Setup{&a, &b} {
		if s.SlowedBy == 1 {
			s.SlowedBy = 0
		}
	}
	x, err := a.JSON()
	if err != nil {
		return false, err
	}
	y, err := b.JSON()
	return bytes.Equal(x, y), err
}
