package review_test

import (
	"math"
	"math/rand/v2"
	"testing"

	"github.com/plectrace/plectrace/motion/cycle"
	"github.com/plectrace/plectrace/motion/review"
	"github.com/plectrace/plectrace/motion/simulate"
	"github.com/plectrace/plectrace/trajectory"
	"github.com/plectrace/plectrace/variability/circular"
)

// TestTiltedHeights: with raise and skew known, how much further out a downstroke
// ends, and the heights of the turns, are those of the motion and not of the
// picture.
func TestTiltedHeights(t *testing.T) {
	rng := rand.New(rand.NewPCG(3, 9))
	held := [3]int{}
	const takes = 30
	off := 0.0
	for k := range takes {
		skew, raise := 60*rng.Float64()-30, 25*rng.Float64()
		take, err := simulate.Make(simulate.Options{
			Seed: uint64(k), Duration: 12, Rate: 7, PathAngle: circular.Angle(50*rng.Float64()-25) * circular.Degree, AngleScatter: circular.Degree,
			Skew: circular.Angle(skew) * circular.Degree, Raise: circular.Angle(raise) * circular.Degree, Distance: 500, Scale: 6, Noise: 0.3,
			Orientation: trajectory.Orientation{FromNeck: k%2 == 1},
		})
		if err != nil {
			t.Fatal(err)
		}
		s := setup(take)
		s.TipIs = review.TipOfPick
		s.RaiseDeg, s.RaiseErrorDeg, s.SkewDeg, s.SkewErrorDeg = &raise, 1, &skew, 1
		r, err := review.Run(&take.Recording, s, review.Options{})
		if err != nil {
			t.Fatal(err)
		}
		var down, up, n [2]float64
		for _, st := range take.Truth.Strokes {
			if st.Down {
				down[0] += st.HeightEnd
				up[0] += st.HeightEnd - st.HeightStart
				n[0]++
			} else {
				down[1] += st.HeightEnd
				n[1]++
			}
		}
		for i, c := range []struct {
			name string
			want float64
		}{{"rise", up[0] / n[0]}, {"height_after_down", down[0] / n[0]}, {"height_after_up", down[1] / n[1]}} {
			v := r.Value(c.name)
			if v.Low <= c.want && c.want <= v.High {
				held[i]++
			}
			if c.name == "rise" {
				off = max(off, math.Abs(v.Value-c.want))
			}
		}
	}
	t.Logf("rise %d, heights %d and %d of %d intervals hold the truth; rise at most %.2f mm off", held[0], held[1], held[2], takes, off)
	for _, h := range held {
		if h < takes-4 {
			t.Errorf("%d of %d intervals hold the truth", h, takes)
		}
	}
	if off > 0.6 {
		t.Errorf("the rise is up to %.2f mm off", off)
	}
}

// TestReferenceFromARaisedCamera: a reference that was kept as its picture
// showed it is not the motion of another camera.
func TestReferenceFromARaisedCamera(t *testing.T) {
	shown := func(name string, raise float64) (*simulate.Take, review.Setup) {
		take, err := simulate.Make(simulate.Options{
			Seed: 5, Duration: 15, Rate: 8, PathAngle: 20 * circular.Degree, Skew: 20 * circular.Degree, Raise: circular.Angle(raise) * circular.Degree,
		})
		if err != nil {
			t.Fatal(err)
		}
		s := setup(take)
		s.SetupName = name
		return take, s
	}
	take, s := shown("lamp", 20)
	r, err := review.Run(&take.Recording, s, review.Options{})
	if err != nil {
		t.Fatal(err)
	}
	ref, err := r.KeepReference("from above", cycle.Margins{})
	if err != nil {
		t.Fatal(err)
	}
	for name, want := range map[string]string{"lamp": "outside", "window": "cannot say"} {
		take, s := shown(name, 0)
		r, err := review.Run(&take.Recording, s, review.Options{Reference: &ref})
		if err != nil {
			t.Fatal(err)
		}
		c, _ := r.Longest().Distance.Component("path angle")
		if c.Answer.String() != want {
			t.Errorf("set-up %q: path angle %v (%v), want %s", name, c.Answer, c.Difference, want)
		}
	}
}
