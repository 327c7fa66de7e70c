package review_test

import (
	"bytes"
	"math"
	"reflect"
	"strings"
	"testing"

	"github.com/plectrace/plectrace/motion/review"
	"github.com/plectrace/plectrace/motion/simulate"
	"github.com/plectrace/plectrace/testdata"
	"github.com/plectrace/plectrace/trajectory"
	"github.com/plectrace/plectrace/variability/circular"
)

// settings are texts that fuzzing starts from: the demo takes' settings and some with
// what they have not.
func settings(f *testing.F) [][]byte {
	var out [][]byte
	for _, name := range testdata.Names {
		_, text, err := testdata.Take(name)
		if err != nil {
			f.Fatal(err)
		}
		out = append(out, text)
	}
	for _, text := range []string{
		`{}`, `{"tip": "tip", "view": "front", "outward": "left", "rate": 1e-300, "slowed_by": 4}`,
		`{"tip": "tip", "marks": {"bass": [1, 2], "treble": "treble", "nut": [[1, 2], "nut"], "distance_mm": 42}, "clock": "frames"}`,
		`{"tip": "tip", "tip_is": "pick", "marks": {"bass": [400, 500], "treble": [900, 520], "distance_mm": 52},
		  "touch": {"start": 0, "end": 0.2}, "strings": {"count": 4, "kind": "pairs"}, "rest_mm": 1}`,
		"{\"tip\": \"\xff\", \"min_confidence\": -1}", `{"marks": {"bass": [1, 2, 3, 4]}}`,
	} {
		out = append(out, []byte(text))
	}
	return out
}

// FuzzParseSetup: a settings file is an error of one line, or one that comes back as
// it was when it is written, and with which a take gives a review or an error.
func FuzzParseSetup(f *testing.F) {
	for _, text := range settings(f) {
		f.Add(text)
	}
	take, err := simulate.Make(simulate.Options{Seed: 3, Duration: 1.5, Rate: 9, TrackMarks: true, PathAngle: 12 * circular.Degree})
	if err != nil {
		f.Fatal(err)
	}
	f.Fuzz(func(t *testing.T, text []byte) {
		s, err := review.ParseSetup(bytes.NewReader(text))
		if err != nil {
			wantOneLine(t, err)
			return
		}
		written, err := s.JSON()
		if err != nil {
			t.Fatalf("read but not written: %v", err)
		}
		again, err := review.ParseSetup(bytes.NewReader(written))
		if err != nil || !reflect.DeepEqual(again, s) {
			t.Fatalf("comes back as %+v (%v), want %+v", again, err, s)
		}
		if starter, err := s.Starter(); err == nil {
			if _, err := review.ParseSetup(bytes.NewReader(starter)); err != nil {
				t.Fatalf("its starter is not read: %v", err)
			}
		}
		rec := take.Recording
		r, err := review.Run(&rec, s, review.Options{})
		if err != nil {
			wantOneLine(t, err)
			return
		}
		for i, v := range r.Values {
			if v.Known() && (math.IsNaN(v.Value) || math.IsInf(v.Value, 0) || v.Low > v.High) {
				t.Errorf("%s is %+v", review.Measures()[i].Name, v)
			}
		}
		if err := r.WriteJSON(&bytes.Buffer{}); err != nil {
			t.Errorf("the review is not written: %v", err)
		}
	})
}

// wantOneLine holds an error to have words, on one line, that a terminal can show.
func wantOneLine(t *testing.T, err error) {
	t.Helper()
	if s := err.Error(); s == "" || strings.ContainsAny(s, "\n\r\x1b\x00") {
		t.Errorf("error %q", s)
	}
}

// FuzzParseSetupOver: settings over others are an error, or hold all that they say.
func FuzzParseSetupOver(f *testing.F) {
	for _, text := range settings(f) {
		f.Add(text, settings(f)[0])
	}
	f.Fuzz(func(t *testing.T, above, below []byte) {
		under, err := review.ParseSetup(bytes.NewReader(below))
		if err != nil {
			return
		}
		alone, err := review.ParseSetup(bytes.NewReader(above))
		both, errBoth := review.ParseSetupOver(under, bytes.NewReader(above))
		if (err == nil) != (errBoth == nil) {
			t.Fatalf("alone %v, over others %v", err, errBoth)
		}
		if err != nil {
			return
		}
		if alone.Tip != "" && both.Tip != alone.Tip || alone.Tip == "" && both.Tip != under.Tip {
			t.Errorf("tip %q over %q is %q", alone.Tip, under.Tip, both.Tip)
		}
		if alone.View != trajectory.ViewUnknown && both.View != alone.View {
			t.Errorf("view %v over %v is %v", alone.View, under.View, both.View)
		}
		over, err := review.ParseSetupOver(both, bytes.NewReader(above))
		if err != nil || !reflect.DeepEqual(over, both) {
			t.Errorf("laid over twice %+v (%v), once %+v", over, err, both)
		}
	})
}
