package review_test

import (
	"errors"
	"fmt"
	"math"
	"math/rand/v2"
	"slices"
	"strings"
	"testing"

	"github.com/plectrace/plectrace/motion/drive"
	"github.com/plectrace/plectrace/motion/simulate"
	"github.com/plectrace/plectrace/trajectory"
)

// refused wants one error, of the data, that holds all of parts.
func refused(t *testing.T, what string, a asked, parts ...string) {
	t.Helper()
	r, err := a.review()
	var bad *trajectory.DataError
	if !errors.As(err, &bad) {
		t.Errorf("%s: %v, want an error of the data", what, err)
		return
	}
	if r != nil {
		t.Errorf("%s: a review beside the error %v", what, err)
	}
	for _, part := range parts {
		if !strings.Contains(err.Error(), part) {
			t.Errorf("%s: %q does not say %q", what, err, part)
		}
	}
}

// TestFarAway: coordinates far from zero lose the digits that a float64 does not have,
// and nothing else: at 1e9, 1e-7 of a pixel. Where marks cannot be told apart it is an
// error.
func TestFarAway(t *testing.T) {
	each(t, 2, func(t *testing.T, a asked, o simulate.Options, _ *rand.Rand) {
		far := func(by float64) asked {
			return a.moved(func(v [3]float64) [3]float64 { return [3]float64{v[0] + by, v[1] - by, v[2] + by} })
		}
		want := a.run(t)
		for _, by := range []float64{1e6, 1e9} {
			l := likeness{time: 1, at: same, matched: 1, turns: 0.1, share: 0.1, becomes: butSpans}
			l.holds(t, fmt.Sprintf("%g away", by), want, far(by).run(t))
		}
		for _, by := range []float64{1e13, 1e16, 1e100, 1e308} {
			refused(t, fmt.Sprintf("%g away", by), far(by), "the marks")
		}
	})
}

// TestExtremeScales: from 1e-9 to 1e9 times the pixels numbers are as good as ever; so
// large and so small that squares are lost, they are refused.
func TestExtremeScales(t *testing.T) {
	each(t, 2, func(t *testing.T, a asked, o simulate.Options, _ *rand.Rand) {
		// A pixel of error of the marks is then all there is, or nothing, and
		// says which strings are reached.
		a.setup.StringCount, a.setup.TouchS, a.setup.TouchString, a.onsets = 0, nil, 0, nil
		c := exact
		c.except = pixelOfMarks
		b := a
		b.setup.Marks.DistanceMM, b.rec = 0, &trajectory.Recording{T: a.rec.T, Points: a.rec.Points}
		want, bare := a.run(t), b.run(t)
		for _, by := range []float64{1e-30, 1e-9, 1e9, 1e30} {
			c.length = 0
			c.holds(t, fmt.Sprintf("%g times", by), want, a.scaled(by).run(t))
			c.length = by
			c.absolute = exact.absolute
			c.holds(t, fmt.Sprintf("%g times, without mm", by), bare, b.scaled(by).run(t))
		}
		for _, by := range []float64{1e-300, 1e-160, 1e-100, 1e100, 1e160, 1e300} {
			refused(t, fmt.Sprintf("%g times", by), a.scaled(by))
			refused(t, fmt.Sprintf("%g times, without mm", by), b.scaled(by))
		}
	})
}

// TestOtherSeconds: times in another unit than seconds give no number of strokes: too
// fast is an error or finds nothing, too slow finds nothing, and it ends.
func TestOtherSeconds(t *testing.T) {
	each(t, 1, func(t *testing.T, a asked, o simulate.Options, _ *rand.Rand) {
		for _, k := range []float64{1e-300, 1e-12, 1e-9, 1e-6} {
			refused(t, fmt.Sprintf("times by %g", k), a.timed(func(s float64) float64 { return k * s }), "samples a second", "unit")
		}
		for _, k := range []float64{1e-3, 1e3, 1e6, 1e9, 1e18, 1e100, 1e300} {
			r := a.timed(func(s float64) float64 { return k * s }).run(t)
			if v := r.Value("notes_per_second"); v.Known() || v.Absent.Why == "" || len(r.Motion.Strokes) > 0 {
				t.Errorf("times by %g: %d strokes, rate %+v", k, len(r.Motion.Strokes), v)
			}
		}
		// Nanoseconds since 1970, taken for seconds.
		if r := a.timed(func(s float64) float64 { return 1e9 * (1.7e9 + s) }).run(t); len(r.Motion.Strokes) > 0 {
			t.Errorf("nanoseconds as seconds: %d strokes", len(r.Motion.Strokes))
		}
		refused(t, "times that cannot be told apart", a.timed(func(s float64) float64 { return 1e15 + s }), "times must increase")
	})
}

// with is a with a point more, or in place of that of its name, and in the order that
// is given: the new ones first, or last.
func (a asked) with(first bool, points ...trajectory.Path) asked {
	rec := &trajectory.Recording{Source: a.rec.Source, Unit: a.rec.Unit, T: a.rec.T}
	for _, p := range a.rec.Points {
		if !slices.ContainsFunc(points, func(q trajectory.Path) bool { return q.Name == p.Name }) {
			rec.Points = append(rec.Points, p)
		}
	}
	if first {
		rec.Points = append(slices.Clone(points), rec.Points...)
	} else {
		rec.Points = append(rec.Points, points...)
	}
	a.rec = rec
	return a
}

// hidden is a point as p that is never seen.
func hidden(p trajectory.Path) trajectory.Path {
	p.X, p.Y, p.Z = slices.Clone(p.X), slices.Clone(p.Y), slices.Clone(p.Z)
	for _, x := range [][]float64{p.X, p.Y, p.Z} {
		for i := range x {
			x[i] = math.NaN()
		}
	}
	return p
}

// TestOtherPoints: points that nobody asks for, constant, never seen or a copy of
// another, and the order of points change nothing, to the last digit.
func TestOtherPoints(t *testing.T) {
	to := change{}
	each(t, 3, func(t *testing.T, a asked, o simulate.Options, _ *rand.Rand) {
		want := a.run(t)
		tip, _ := a.rec.Point("tip")
		copied, unseen, constant := tip, hidden(tip), hidden(tip)
		copied.Name, unseen.Name, constant.Name = "copy", "unseen", "constant"
		for i := range constant.X {
			constant.X[i], constant.Y[i] = 1, 2
			if constant.Z != nil {
				constant.Z[i] = 3
			}
		}
		for _, first := range []bool{false, true} {
			to.holds(t, fmt.Sprintf("three points more, first %v", first), want, a.with(first, copied, unseen, constant).run(t))
		}
		back := *a.rec
		back.Points = slices.Clone(back.Points)
		slices.Reverse(back.Points)
		b := a
		b.rec = &back
		to.holds(t, "the other order", want, b.run(t))
	})
}

// TestUnseenPoints: a point that is asked for and never seen is an error where nothing
// goes without it, and else absent with the reason; so is one that is a copy of the tip.
func TestUnseenPoints(t *testing.T) {
	each(t, 4, func(t *testing.T, a asked, o simulate.Options, _ *rand.Rand) {
		want := a.run(t)
		for _, p := range a.rec.Points {
			b := a.with(false, hidden(p))
			switch {
			case p.Name == "tip", slices.Contains(a.setup.PickPoints, p.Name), o.TrackMarks && slices.Contains([]string{"bass", "treble"}, p.Name), o.TrackMarks && o.View == trajectory.Spatial && p.Name == "nut":
				refused(t, p.Name+" unseen", b, p.Name)
				continue
			}
			got := b.run(t)
			for i, v := range want.Values {
				if w := got.Values[i]; v.Known() && !w.Known() && w.Absent.Why == "" || math.IsInf(w.Value, 0) || w.Known() && w.Value != w.Value {
					t.Errorf("%s unseen: value %d is %+v", p.Name, i, w)
				}
			}
			if v, w := want.Value("notes_per_second"), got.Value("notes_per_second"); v != w {
				t.Errorf("%s unseen: rate %v, want %v", p.Name, w, v)
			}
		}
		// A wrist that is the tip itself carries all or nothing is said of it.
		tip, _ := a.rec.Point("tip")
		tip.Name = "wrist"
		b := a.with(false, tip)
		b.setup.Landmarks = map[drive.Landmark]string{drive.Wrist: "wrist"}
		r := b.run(t)
		if v := r.Value("carry"); v.Known() && math.Abs(v.Value-1) > 1e-6 || !v.Known() && v.Absent.Why == "" {
			t.Errorf("a wrist that is the tip: carry %+v", v)
		}
	})
}
