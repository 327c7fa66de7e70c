package review_test

import (
	"bytes"
	"encoding/csv"
	"math"
	"slices"
	"strconv"
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

// strokesAndSpans are the rows of strokes.csv and spans.csv.
func strokesAndSpans(t *testing.T, r *review.Review) [][]string {
	t.Helper()
	var rows [][]string
	for _, write := range []func(*bytes.Buffer) error{
		func(b *bytes.Buffer) error { return r.WriteStrokes(b) },
		func(b *bytes.Buffer) error { return r.WriteSpans(b) },
	} {
		var b bytes.Buffer
		if err := write(&b); err != nil {
			t.Fatal(err)
		}
		part, err := csv.NewReader(&b).ReadAll()
		if err != nil {
			t.Fatal(err)
		}
		rows = append(rows, part...)
	}
	return rows
}

// wantSame compares two reviews by what they write: words must be equal,
// numbers within the last digit written: times to 2 µs, others to 2 in 10⁵. The
// times of got may be later by shift, in seconds.
func wantSame(t *testing.T, what string, want, got *review.Review, shift float64) {
	t.Helper()
	a, b := strokesAndSpans(t, want), strokesAndSpans(t, got)
	if len(a) != len(b) {
		t.Errorf("%s: %d strokes and %d spans, want %d and %d", what, len(got.Motion.Strokes), len(got.Spans), len(want.Motion.Strokes), len(want.Spans))
		return
	}
	same := func(column, x, y string) bool {
		u, errU := strconv.ParseFloat(x, 64)
		v, errV := strconv.ParseFloat(y, 64)
		switch {
		case errU != nil || errV != nil:
			return x == y
		case column == "start_s" || column == "end_s":
			return math.Abs(u-(v-shift)) <= 2e-6
		}
		return math.Abs(u-v) <= 2e-6+2e-5*math.Abs(u)
	}
	var head []string
	differing := 0
	for i := range a {
		if a[i][0] == "stroke" || a[i][0] == "kind" {
			head = a[i]
		}
		for j := range a[i] {
			if same(head[j], a[i][j], b[i][j]) {
				continue
			}
			if differing++; differing <= 3 {
				t.Errorf("%s: row %d, %s is %q, want %q", what, i, head[j], b[i][j], a[i][j])
			}
		}
	}
	if differing > 3 {
		t.Errorf("%s: %d fields differ", what, differing)
	}
	for i, m := range review.Measures() {
		u, v := want.Values[i], got.Values[i]
		if u.Known() != v.Known() || u.N != v.N || math.Abs(u.Value-v.Value) > 1e-6+2e-5*math.Abs(u.Value) {
			t.Errorf("%s: %s is %v of %d, want %v of %d", what, m.Name, v.Value, v.N, u.Value, u.N)
		}
	}
	if want.Clearing.Clearing != got.Clearing.Clearing {
		t.Errorf("%s: clearing %q, want %q", what, got.Clearing.Clearing, want.Clearing.Clearing)
	}
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

// TestMirroring: a film turned about is the same playing once the set-up says
// so, and what is turned about twice needs nothing said.
func TestMirroring(t *testing.T) {
	flip := func(axes ...int) func(string, int, []float64) []float64 {
		return func(_ string, axis int, x []float64) []float64 {
			if !slices.Contains(axes, axis) {
				return x
			}
			y := make([]float64, len(x))
			for i := range x {
				y[i] = -x[i]
			}
			return y
		}
	}
	for _, view := range []trajectory.View{trajectory.EndOn, trajectory.Front} {
		take, want := mustRun(t, faulty(view))
		for _, c := range []struct {
			name string
			axes []int
			say  func(*trajectory.Orientation)
		}{
			{"left and right, said as mirrored", []int{0}, func(o *trajectory.Orientation) { o.Mirrored = !o.Mirrored }},
			{"up and down, said as y up", []int{1}, func(o *trajectory.Orientation) { o.YUp = !o.YUp }},
			{"left and right, said as left-handed", []int{0}, func(o *trajectory.Orientation) { o.LeftHanded = !o.LeftHanded }},
			{"nothing, said as left-handed and mirrored", nil, func(o *trajectory.Orientation) {
				o.LeftHanded, o.Mirrored = !o.LeftHanded, !o.Mirrored
			}},
			{"both, nothing said", []int{0, 1}, func(*trajectory.Orientation) {}},
		} {
			s := setup(take)
			c.say(&s.Orientation)
			got, err := review.Run(remade(&take.Recording, flip(c.axes...)), s, review.Options{})
			if err != nil {
				t.Fatal(err)
			}
			wantSame(t, view.String()+", turned about: "+c.name, want, got, 0)
		}
	}
}

// TestTimeShift: a clock that starts at 1000 s shifts the strokes and nothing
// else.
func TestTimeShift(t *testing.T) {
	take, want := mustRun(t, faulty(trajectory.EndOn))
	rec := remade(&take.Recording, func(_ string, axis int, x []float64) []float64 {
		if axis >= 0 {
			return x
		}
		y := make([]float64, len(x))
		for i := range x {
			y[i] = x[i] + 1000
		}
		return y
	})
	got, err := review.Run(rec, setup(take), review.Options{})
	if err != nil {
		t.Fatal(err)
	}
	wantSame(t, "1000 s later", want, got, 1000)
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
