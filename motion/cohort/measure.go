package cohort

import (
	"bytes"
	"crypto/sha256"
	"encoding/hex"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"math"
	"path/filepath"
	"regexp"
	"strings"

	"github.com/plectrace/plectrace/motion/progress"
	"github.com/plectrace/plectrace/motion/review"
	"github.com/plectrace/plectrace/trajectory"
	"github.com/plectrace/plectrace/trajectory/tracks"
	"github.com/plectrace/plectrace/variability/estimate"
)

// Options are those of Measure and Review. The zero value reviews with every
// default and needs a settings file beside each export.
type Options struct {
	Review review.Options
	// Setup is taken for exports without a settings file beside them, nil for
	// none.
	Setup *review.Setup
}

// exportBytes is the size beyond which a file is no take: an hour of a dozen
// points at 240 frames/s is a tenth of it.
const exportBytes = 1 << 30

// Measure measures one take: it reads the export and the settings beside it
// (NAME.take.json for NAME.csv, over the folder.take.json of its folder), reviews it,
// and keeps the measures. open opens
// the file that the list names; a settings file that is not there is
// fs.ErrNotExist.
//
// It depends on nothing but its arguments, so takes may be measured in any order,
// at the same time and on different machines. A take that cannot be measured is a
// record too, with the reason and the next step in Failure.
func Measure(t progress.Take, open func(name string) (io.ReadCloser, error), o Options) *Record {
	return Review(t, open, o).Record
}

// Reviewed is a take that was measured, with its review.
type Reviewed struct {
	*Record
	// Review is what Record was measured in, nil where Failure says why there is
	// none.
	Review *review.Review
	// Notes are what was guessed and assumed about the take, for its user to see.
	Notes []string
	// Err is the error behind Failure.
	Err error
}

// ErrNoSettings is behind the failure of a take without a settings file, where
// Options have none for it either.
var ErrNoSettings = errors.New("write one, or name one for the takes that have none")

// Review measures one take as Measure does, and keeps its review, for those who ask
// more of a take than its measures. A review holds the take's samples.
func Review(t progress.Take, open func(name string) (io.ReadCloser, error), o Options) Reviewed {
	t.Summary = nil
	r := Reviewed{Record: &Record{Take: t, Lost: math.NaN(), SampleHz: math.NaN(), PerStroke: math.NaN(), Version: review.Version(), Options: o.Review.Digest()}}
	var code string
	if code, r.Err = r.run(open, o); r.Err != nil {
		r.Failure = &estimate.Absence{Code: code, What: t.File, Why: reason(r.Err)}
	}
	return r
}

// run reviews the take and fills in the record. The code says what an error is
// about.
func (r *Reviewed) run(open func(string) (io.ReadCloser, error), o Options) (string, error) {
	rec := r.Record
	data, err := readAll(open, rec.File)
	if err != nil {
		return CodeBroken, fmt.Errorf("it cannot be opened: %w; check the name and the folder", err)
	}
	sum := sha256.Sum256(data)
	rec.Content = hex.EncodeToString(sum[:6])
	layout, err := tracks.Inspect(bytes.NewReader(data))
	if err != nil {
		return CodeBroken, err
	}
	setup, err := settings(open, rec.File, o.Setup)
	if err != nil {
		return CodeBroken, err
	}
	if setup.SetupName == "" {
		setup.SetupName = rec.Setup
	}
	spatial := false
	for _, c := range layout.Columns {
		spatial = spatial || c.Axis == "z"
	}
	setup, r.Notes = setup.Guess(layout.Points, spatial)
	if err := setup.Validate(); err != nil {
		return CodeRefused, fmt.Errorf("%w; correct %s", err, SettingsName(rec.File))
	}
	how, note := setup.Tracks(layout.Time != "")
	if note != "" {
		r.Notes = append(r.Notes, note)
	}
	recording, err := tracks.Read(bytes.NewReader(data), how)
	if err != nil {
		return CodeBroken, err
	}
	recording.Source = rec.File
	reviewed, err := review.Run(recording, setup, o.Review)
	if err != nil {
		var d *trajectory.DataError
		if !errors.As(err, &d) || d.Hint == "" { // reason tells the hint
			err = fmt.Errorf("%w; correct %s", err, SettingsName(rec.File))
		}
		return CodeRefused, err
	}
	r.Review = reviewed
	s := reviewed.Summary()
	rec.Setup, rec.View, rec.Unit = s.Setup, s.View.String(), s.Unit
	rec.Seconds, rec.Strokes, rec.Flags, rec.Options = s.Seconds, s.Strokes, s.Flags, s.Digest
	rec.Lost, rec.SampleHz, rec.PerStroke = reviewed.Loss.Share(), reviewed.Motion.SampleHz, reviewed.Motion.SamplesPerStroke
	for i, m := range review.Measures() {
		rec.Rows = append(rec.Rows, Row{m.Name, reviewed.UnitOf(m), s.Values[i]})
	}
	return "", nil
}

func readAll(open func(string) (io.ReadCloser, error), name string) ([]byte, error) {
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

// SettingsName is the name of the settings file beside an export.
func SettingsName(export string) string {
	return strings.TrimSuffix(export, filepath.Ext(export)) + ".take.json"
}

// SharedSettings is the name of the settings file that the exports of a folder
// share.
const SharedSettings = "folder.take.json"

// SettingsNames are the names of the settings files of an export, in the order in
// which Settings lays them over each other: that which its folder shares, and its own.
func SettingsNames(export string) []string {
	return []string{filepath.Join(filepath.Dir(export), SharedSettings), SettingsName(export)}
}

// Settings reads the settings files of these names, each laid over the one before, key
// by key (see review.ParseSetupOver). One that is not there, fs.ErrNotExist of open,
// is passed over; found are the others. An error names the file and the next step.
func Settings(open func(name string) (io.ReadCloser, error), names ...string) (s review.Setup, found []string, err error) {
	for _, name := range names {
		f, err := open(name)
		if errors.Is(err, fs.ErrNotExist) {
			continue
		}
		if err != nil {
			return review.Setup{}, nil, fmt.Errorf("cannot read the settings from %q: %w; check the file", name, plain(err))
		}
		s, err = review.ParseSetupOver(s, f)
		f.Close()
		if p := (*fs.PathError)(nil); errors.As(err, &p) {
			return review.Setup{}, nil, fmt.Errorf("cannot read the settings from %q: %w; check the file", name, plain(err))
		}
		if err != nil {
			return review.Setup{}, nil, fmt.Errorf("%s: %w; correct the settings file", name, err)
		}
		found = append(found, name)
	}
	return s, found, nil
}

// plain is an error without the path that an error of a file has.
func plain(err error) error {
	var p *fs.PathError
	if errors.As(err, &p) {
		return p.Err
	}
	return err
}

// settings returns the settings of an export: those of its folder, and over them,
// key by key, its own; those that stand for them where there are neither.
func settings(open func(string) (io.ReadCloser, error), export string, otherwise *review.Setup) (review.Setup, error) {
	s, found, err := Settings(open, SettingsNames(export)...)
	switch {
	case err != nil || len(found) > 0:
		return s, err
	case otherwise != nil:
		return *otherwise, nil
	}
	return s, fmt.Errorf("there is no settings file %s: %w", SettingsName(export), ErrNoSettings)
}

// reason returns an error on one line, with its next step.
func reason(err error) string {
	text := err.Error()
	var e *trajectory.DataError
	if errors.As(err, &e) && e.Hint != "" && !strings.Contains(text, e.Hint) {
		text += "; " + e.Hint
	}
	var p *fs.PathError
	if errors.As(err, &p) {
		what := p.Err.Error()
		if errors.Is(err, fs.ErrNotExist) {
			what = "there is no such file"
		}
		text = strings.Replace(text, p.Error(), what, 1)
	} else if errors.Is(err, fs.ErrNotExist) {
		text = strings.Replace(text, fs.ErrNotExist.Error(), "there is no such file", 1)
	}
	return strings.Join(strings.Fields(packages.ReplaceAllString(text, "$1")), " ")
}

// packages are the names with which errors of the packages begin. They do not
// help whoever keeps the list.
var packages = regexp.MustCompile(`(^|: )(?:(?:camera|circular|cohort|contact|cycle|drive|estimate|filter|learning|motion|progress|review|robust|settling|tempo|tracks|trajectory|variability): )+`)
