package session

import (
	"bytes"
	"errors"
	"fmt"
	"io"
	"math"
	"path"
	"strconv"
	"strings"

	"github.com/plectrace/plectrace/examples/internal/cli"
	"github.com/plectrace/plectrace/examples/internal/measured"
	"github.com/plectrace/plectrace/examples/internal/onepage"
	"github.com/plectrace/plectrace/motion/cues"
	"github.com/plectrace/plectrace/motion/cycle"
	"github.com/plectrace/plectrace/motion/review"
)

// Player is what the form says besides the settings; what is empty is not said.
type Player struct {
	Task    string `json:"task"`    // "one string" or "changing strings"
	Comfort string `json:"comfort"` // "good", "tired" or "pain"
	// Begins is when the take begins in the film, in seconds, for the captions.
	Begins string `json:"begins"`
}

// read fills in what the player is said to do and feel.
func (p Player) read(about *onepage.About) (offset float64, err error) {
	for text, read := range map[string]func([]byte) error{p.Task: about.Task.UnmarshalText, p.Comfort: about.Comfort.UnmarshalText} {
		if text == "" {
			continue
		}
		if err := read([]byte(text)); err != nil {
			return 0, plain("the player", err)
		}
	}
	if p.Begins == "" {
		return 0, nil
	}
	offset, err = strconv.ParseFloat(strings.Replace(p.Begins, ",", ".", 1), 64)
	if err != nil || math.IsNaN(offset) || math.IsInf(offset, 0) {
		return 0, cli.Input(fmt.Errorf("the take is said to begin at %q of the film", p.Begins), "give seconds, or leave that field empty")
	}
	return offset, nil
}

// Review reviews the take with the settings of a form, and returns its page.
func (s *Session) Review(form []byte, p Player) (File, error) {
	s.reviewed = nil
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
	if len(s.began) > 0 {
		about.Notes = append(about.Notes, "They began with "+strings.Join(s.began, ", then ")+".")
	}
	if s.offset, err = p.read(&about); err != nil {
		return File{}, err
	}
	if err := setup.Validate(); err != nil {
		return File{}, plain("the settings", err)
	}
	rec, note, err := onepage.Read(s.reading(step(1, "Reading")), s.export.Name, setup, s.layout.Time != "")
	if err != nil {
		return File{}, plain(s.export.Name, err)
	}
	if note != "" {
		about.Notes = append(about.Notes, note)
	}
	s.tell(step(2, "Measuring "+measured.Count(len(rec.T), "sample")), -1)
	r, err := onepage.Measure(rec, setup, review.Options{Onsets: s.onsets, Reference: s.reference})
	if err != nil {
		return File{}, plain(s.export.Name, err)
	}
	s.tell(step(3, "Drawing the page"), -1)
	var b bytes.Buffer
	if err := onepage.Page(r, about).HTML(&b); err != nil {
		return File{}, fmt.Errorf("the page could not be made: %w", err)
	}
	s.reviewed, s.page = r, about
	return File{onepage.PageFile, b.Bytes()}, nil
}

// Files are the other files of the last review, the reference motion the last. Where the
// take has none, the text says why.
func (s *Session) Files() ([]File, string, error) {
	if s.reviewed == nil {
		return nil, "", errors.New("nothing is reviewed yet")
	}
	captions, err := cues.Of(s.reviewed, cues.Options{Offset: s.offset})
	if err != nil {
		return nil, "", cli.Input(err, "change when the take begins in the film")
	}
	outputs := []cli.Output{
		{Name: onepage.DetailsFile, Write: onepage.Details(s.reviewed, s.page).HTML},
		{Name: onepage.StrokesFile, Write: s.reviewed.WriteStrokes},
		{Name: onepage.SpansFile, Write: s.reviewed.WriteSpans},
		{Name: onepage.ReviewFile, Write: s.reviewed.WriteJSON},
		{Name: onepage.CaptionsFile, Write: captions.WriteVTT},
		{Name: onepage.NotebookFile, Write: onepage.Page(s.reviewed, s.page).Jupyter},
	}
	why := ""
	base := strings.TrimSuffix(s.export.Name, path.Ext(s.export.Name))
	if ref, err := s.reviewed.KeepReference("the longest settled span of "+s.export.Name, cycle.Margins{}); err != nil {
		why = Words(err)
	} else {
		outputs = append(outputs, cli.Output{Name: base + ".reference.json", Write: func(w io.Writer) error {
			data, err := ref.JSON()
			if err == nil {
				_, err = w.Write(data)
			}
			return err
		}})
	}
	var out []File
	for i, o := range outputs {
		s.tell(step(4, "Making the files to keep"), float64(i)/float64(len(outputs)))
		made, err := cli.Files([]cli.Output{o})
		if err != nil {
			return nil, "", err
		}
		out = append(out, File(made[0]))
	}
	return out, why, nil
}
