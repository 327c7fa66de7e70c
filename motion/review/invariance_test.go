package review_test

import (
	"bytes"
	"encoding/csv"
	"slices"
	"strings"
	"testing"

	"github.com/plectrace/plectrace/motion/review"
	"github.com/plectrace/plectrace/motion/simulate"
	"github.com/plectrace/plectrace/trajectory"
	"github.com/plectrace/plectrace/trajectory/tracks"
	"github.com/plectrace/plectrace/variability/circular"
)

// remade is rec with its columns passed through f: axis 0 to 2, or -1 for the
// times, which have no point. f must not change what it gets.
func remade(rec *trajectory.Recording, f func(point string, axis int, x []float64) []float64) *trajectory.Recording {
	out := &trajectory.Recording{Source: rec.Source, Unit: rec.Unit, T: f("", -1, rec.T)}
	for _, p := range rec.Points {
		q := trajectory.Path{Name: p.Name, T: out.T, X: f(p.Name, 0, p.X), Y: f(p.Name, 1, p.Y)}
		if p.Z != nil {
			q.Z = f(p.Name, 2, p.Z)
		}
		out.Points = append(out.Points, q)
	}
	return out
}

// faulty is a take with all that a tracker does, and tracked marks.
func faulty(view trajectory.View) simulate.Options {
	return simulate.Options{
		Seed: 8, Duration: 12, Rate: 8, View: view, PathAngle: 20 * circular.Degree, Skew: 10 * circular.Degree,
		Curvature: 0.02, TrackMarks: true, Sway: 15, SwayAngle: 2 * circular.Degree,
		DropOuts: 0.01, Outliers: 0.002, HideDown: 0.1, MarkDropOuts: 0.005,
		Plan:   []simulate.Stretch{{Search: simulate.Fresh}, {Start: 4}},
		Pauses: []simulate.Pause{{At: 8, For: 1}},
	}
}

// TestColumnsOfNoConcern: what else stands in the export, and in which order,
// changes nothing.
func TestColumnsOfNoConcern(t *testing.T) {
	take, err := simulate.Make(faulty(trajectory.EndOn))
	if err != nil {
		t.Fatal(err)
	}
	var export bytes.Buffer
	if err := tracks.Write(&export, &take.Recording, tracks.WriteOptions{Units: true}); err != nil {
		t.Fatal(err)
	}
	rows, err := csv.NewReader(&export).ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	files := func(change func(row []string, first bool) []string) [3]string {
		var text bytes.Buffer
		w := csv.NewWriter(&text)
		for i, row := range rows {
			w.Write(change(slices.Clone(row), i == 0))
		}
		w.Flush()
		s := setup(take)
		o, _ := s.Tracks(true)
		rec, err := tracks.Read(&text, o)
		if err != nil {
			t.Fatal(err)
		}
		r, err := review.Run(rec, s, review.Options{})
		if err != nil {
			t.Fatal(err)
		}
		var out [3]bytes.Buffer
		if err := r.WriteStrokes(&out[0]); err != nil {
			t.Fatal(err)
		}
		if err := r.WriteSpans(&out[1]); err != nil {
			t.Fatal(err)
		}
		if err := r.WriteJSON(&out[2]); err != nil {
			t.Fatal(err)
		}
		return [3]string{out[0].String(), out[1].String(), out[2].String()}
	}
	want := files(func(row []string, _ bool) []string { return row })
	if strings.Count(want[0], "\n") < 50 {
		t.Fatal("hardly any strokes: nothing is compared")
	}
	for _, c := range []struct {
		name   string
		change func(row []string, first bool) []string
	}{
		{"a constant point", func(row []string, first bool) []string {
			if first {
				return append(row, "lamp_x", "lamp_y")
			}
			return append(row, "1", "2")
		}},
		{"a constant column that is no point", func(row []string, first bool) []string {
			if first {
				return slices.Insert(row, 1, "batch")
			}
			return slices.Insert(row, 1, "7")
		}},
		{"the other order", func(row []string, _ bool) []string {
			slices.Reverse(row)
			return row
		}},
	} {
		if got := files(c.change); got != want {
			for i, name := range []string{"strokes.csv", "spans.csv", "review.json"} {
				if got[i] != want[i] {
					t.Errorf("%s: %s differs", c.name, name)
				}
			}
		}
	}
}
