package session

import (
	"bytes"
	"errors"
	"fmt"

	"github.com/plectrace/plectrace/examples/internal/cli"
	"github.com/plectrace/plectrace/examples/internal/onepage"
	"github.com/plectrace/plectrace/motion/review"
)

// Player is what the form says of the player; what is empty is not said.
type Player struct {
	Task    string `json:"task"`    // "one string" or "changing strings"
	Comfort string `json:"comfort"` // "good", "tired" or "pain"
}

// Review reviews the take with the settings of a form, and returns its page.
func (s *Session) Review(form []byte, p Player) (File, error) {
	if s.export.Name == "" {
		return File{}, cli.Input(errors.New("there is no take to review"), "give its export first")
	}
	setup, err := review.ParseSetup(bytes.NewReader(form))
	if err != nil {
		return File{}, plain("the settings", err)
	}
	about := onepage.About{Name: s.export.Name, ByForm: true, Notes: []string{"Settings as the form of the page in the browser had them."}}
	if s.invented {
		about.Notes = append([]string{onepage.Invented}, about.Notes...)
	}
	if s.settings != "" {
		about.Notes = append(about.Notes, "They began with "+s.settings+".")
	}
	for text, read := range map[string]func([]byte) error{p.Task: about.Task.UnmarshalText, p.Comfort: about.Comfort.UnmarshalText} {
		if text == "" {
			continue
		}
		if err := read([]byte(text)); err != nil {
			return File{}, plain("the player", err)
		}
	}
	if err := setup.Validate(); err != nil {
		return File{}, plain("the settings", err)
	}
	rec, note, err := onepage.Read(s.reading("Reading"), s.export.Name, setup, s.layout.Time != "")
	if err != nil {
		return File{}, plain(s.export.Name, err)
	}
	if note != "" {
		about.Notes = append(about.Notes, note)
	}
	s.tell("Measuring", -1)
	r, err := onepage.Measure(rec, setup, review.Options{Onsets: s.onsets})
	if err != nil {
		return File{}, plain(s.export.Name, err)
	}
	s.tell("Drawing the page", -1)
	var b bytes.Buffer
	if err := onepage.Page(r, about).HTML(&b); err != nil {
		return File{}, fmt.Errorf("the page could not be made: %w", err)
	}
	s.reviewed, s.page = r, about
	return File{onepage.PageFile, b.Bytes()}, nil
}

// Files are the other files of the last review.
func (s *Session) Files() ([]File, error) {
	if s.reviewed == nil {
		return nil, errors.New("nothing is reviewed yet")
	}
	files, err := cli.Files([]cli.Output{
		{Name: onepage.DetailsFile, Write: onepage.Details(s.reviewed, s.page).HTML},
		{Name: onepage.StrokesFile, Write: s.reviewed.WriteStrokes},
		{Name: onepage.SpansFile, Write: s.reviewed.WriteSpans},
		{Name: onepage.ReviewFile, Write: s.reviewed.WriteJSON},
	})
	out := make([]File, len(files))
	for i, f := range files {
		out[i] = File(f)
	}
	return out, err
}
