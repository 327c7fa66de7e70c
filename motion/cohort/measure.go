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
	"path"
	"regexp"
	"strings"

	"github.com/plectrace/plectrace/motion/progress"
	"github.com/plectrace/plectrace/motion/review"
	"github.com/plectrace/plectrace/trajectory"
	"github.com/plectrace/plectrace/trajectory/tracks"
	"github.com/plectrace/plectrace/variability/estimate"
)

// Options are those of Measure. The zero value reviews with every default and
// needs a settings file beside each export.
type Options struct {
	Review review.Options
	// Setup is taken for exports without a settings file of their own, nil for
	// none.
	Setup *review.Setup
}

// exportBytes is the size beyond which a file is no take: an hour of a dozen
// points at 240 frames/s is a tenth of it.
const exportBytes = 1 << 30

// Measure measures one take: it reads the export and the settings beside it
// (NAME.take.json for NAME.csv), reviews it, and keeps the measures. open opens
// the file that the list names; a settings file that is not there is
// fs.ErrNotExist.
//
// It depends on nothing but its arguments, so takes may be measured in any order,
// at the same time and on different machines. A take that cannot be measured is a
// record too, with the reason and the next step in Failure.
func Measure(t progress.Take, open func(name string) (io.ReadCloser, error), o Options) *Record {
	t.Summary = nil
	rec := &Record{Take: t, Lost: math.NaN(), SampleHz: math.NaN(), PerStroke: math.NaN(), Version: review.Version(), Options: o.Review.Digest()}
	if code, err := rec.measure(open, o); err != nil {
		rec.Failure = &estimate.Absence{Code: code, What: t.File, Why: reason(err)}
	}
	return rec
}

// measure fills in the record. The code says what an error is about.
func (rec *Record) measure(open func(string) (io.ReadCloser, error), o Options) (string, error) {
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
	setup, _ = setup.Guess(layout.Points, spatial)
	if err := setup.Validate(); err != nil {
		return CodeRefused, err
	}
	how, _ := setup.Tracks(layout.Time != "")
	recording, err := tracks.Read(bytes.NewReader(data), how)
	if err != nil {
		return CodeBroken, err
	}
	r, err := review.Run(recording, setup, o.Review)
	if err != nil {
		return CodeRefused, err
	}
	s := r.Summary()
	rec.Setup, rec.View, rec.Unit = s.Setup, s.View.String(), s.Unit
	rec.Seconds, rec.Strokes, rec.Flags, rec.Options = s.Seconds, s.Strokes, s.Flags, s.Digest
	rec.Lost, rec.SampleHz, rec.PerStroke = r.Loss.Share(), r.Motion.SampleHz, r.Motion.SamplesPerStroke
	for i, m := range review.Measures() {
		rec.Rows = append(rec.Rows, Row{m.Name, r.UnitOf(m), s.Values[i]})
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

// settings returns the settings beside an export, or else those that stand for
// them.
func settings(open func(string) (io.ReadCloser, error), export string, otherwise *review.Setup) (review.Setup, error) {
	name := strings.TrimSuffix(export, path.Ext(export)) + ".take.json"
	data, err := readAll(open, name)
	switch {
	case errors.Is(err, fs.ErrNotExist) && otherwise != nil:
		return *otherwise, nil
	case errors.Is(err, fs.ErrNotExist):
		return review.Setup{}, fmt.Errorf("there is no settings file %s: write one, or name one for the takes that have none", name)
	case err != nil:
		return review.Setup{}, fmt.Errorf("%s cannot be opened: %w; check the file", name, err)
	}
	s, err := review.ParseSetup(bytes.NewReader(data))
	if err != nil {
		return review.Setup{}, fmt.Errorf("%s: %w; correct the settings file", name, err)
	}
	return s, nil
}

// reason returns an error on one line, with its next step.
func reason(err error) string {
	text := err.Error()
	var e *trajectory.DataError
	if errors.As(err, &e) && e.Hint != "" && !strings.Contains(text, e.Hint) {
		text += "; " + e.Hint
	}
	var p *fs.PathError
	if errors.As(err, &p) && errors.Is(err, fs.ErrNotExist) {
		text = strings.Replace(text, p.Error(), "there is no such file", 1)
	}
	return strings.Join(strings.Fields(packages.ReplaceAllString(text, "$1")), " ")
}

// packages are the names with which errors of the packages begin. They do not
// help whoever keeps the list.
var packages = regexp.MustCompile(`(^|: )(?:(?:camera|contact|cycle|drive|estimate|filter|motion|review|settling|tracks|trajectory): )+`)
