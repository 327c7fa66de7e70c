package trajectory_test

import (
	"math"
	"testing"

	"github.com/plectrace/plectrace/trajectory"
)

// TestUniformSince1970: frames that are even stay as they are where their clock counts
// from 1970, whose seconds a float64 holds to a quarter of a microsecond, in full or
// rounded to microseconds.
func TestUniformSince1970(t *testing.T) {
	for _, round := range []func(float64) float64{
		func(s float64) float64 { return s },
		func(s float64) float64 { return math.Round(s*1e6) / 1e6 },
	} {
		var p trajectory.Path
		for k := range 2000 {
			p.T = append(p.T, 1.7e9+round(float64(k)/240))
			p.X = append(p.X, math.Sin(float64(k)))
			p.Y = append(p.Y, math.Cos(float64(k)))
		}
		q, edits, err := trajectory.Uniform(trajectory.Path{}, p, trajectory.UniformOptions{})
		if err != nil || len(edits) > 0 || q.Len() != p.Len() {
			t.Fatalf("%d samples of %d, edits %v, %v", q.Len(), p.Len(), edits, err)
		}
		for k := range p.X {
			if q.X[k] != p.X[k] || q.Y[k] != p.Y[k] {
				t.Fatalf("sample %d is (%v, %v), want (%v, %v)", k, q.X[k], q.Y[k], p.X[k], p.Y[k])
			}
		}
	}
}

// TestFrameOfTinyTimes: marks are smoothed, or left, whatever the times are.
func TestFrameOfTinyTimes(t *testing.T) {
	for _, step := range []float64{1e-300, 1e-30, 1e-9, 1, 1e9, 1e300} {
		rec := trajectory.Recording{}
		bass, treble := trajectory.Path{Name: "bass"}, trajectory.Path{Name: "treble"}
		for k := range 200 {
			rec.T = append(rec.T, float64(k)*step)
			v := math.Sin(float64(k * k))
			bass.X, bass.Y = append(bass.X, v), append(bass.Y, -v)
			treble.X, treble.Y = append(treble.X, 100+v), append(treble.Y, v)
		}
		bass.T, treble.T = rec.T, rec.T
		rec.Points = []trajectory.Path{bass, treble}
		f, err := trajectory.NewFrame(&rec, trajectory.FrameOptions{View: trajectory.Front,
			Marks: trajectory.Marks{Bass: trajectory.Mark{Point: "bass"}, Treble: trajectory.Mark{Point: "treble"}}})
		if err != nil {
			t.Errorf("steps of %g s: %v", step, err)
			continue
		}
		if a := f.Across(100); !(a[0] > 0.9) {
			t.Errorf("steps of %g s: across is %v", step, a)
		}
	}
}
