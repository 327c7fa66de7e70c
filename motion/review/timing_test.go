package review_test

import (
	"fmt"
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"github.com/plectrace/plectrace/motion/contact"
	"github.com/plectrace/plectrace/motion/simulate"
	"github.com/plectrace/plectrace/trajectory"
)

// timed is a with every moment, of a sample, a note or a touch, passed through f.
func (a asked) timed(f func(float64) float64) asked {
	rec := &trajectory.Recording{Source: a.rec.Source, Unit: a.rec.Unit}
	for _, t := range a.rec.T {
		rec.T = append(rec.T, f(t))
	}
	rec.Points = slices.Clone(a.rec.Points)
	for i := range rec.Points {
		rec.Points[i].T = rec.T
	}
	a.rec = rec
	if a.onsets != nil {
		var onsets []contact.Onset
		for _, o := range a.onsets {
			onsets = append(onsets, contact.Onset{Time: f(o.Time), Level: o.Level})
		}
		a.onsets = onsets
	}
	if at := a.setup.TouchS; at != nil {
		touch := f(*at)
		a.setup.TouchS = &touch
	}
	return a
}

// TestTimeShift: a clock that starts elsewhere shifts the moments and nothing else:
// by 1000 s, by a day, by the seconds since 1970. There a float64 tells moments to
// half a microsecond only, which a stroke's numbers show to some 1e-4, far below what
// noise does to them.
func TestTimeShift(t *testing.T) {
	each(t, 3, func(t *testing.T, a asked, _ simulate.Options, _ *rand.Rand) {
		// Frames at whole 256ths of a second stay so wherever the clock starts.
		exactly := a.timed(func(s float64) float64 { return math.Ldexp(math.Round(240*s), -8) })
		want := exactly.run(t)
		for _, by := range []float64{1000, 86400, -math.Floor(a.rec.T[len(a.rec.T)-1] / 2), math.Ldexp(1, 31)} {
			b := exactly.timed(func(s float64) float64 { return s + by })
			if by < 0 && b.setup.TouchS != nil {
				continue // whose time is that of the film as it plays
			}
			rounding := math.Abs(by) * 0x1p-52
			c := change{shift: by, seconds: max(1e-9, 4*rounding), relative: max(1e-8, 2000*rounding), absolute: max(1e-8, 2000*rounding)}
			c.holds(t, fmt.Sprintf("%g s later", by), want, b.run(t))
		}
	})
}
