package take

import (
	"math"

	"gonum.org/v1/gonum/floats"

	"github.com/plectrace/plectrace/motion/cycle"
	"github.com/plectrace/plectrace/motion/figure"
	"github.com/plectrace/plectrace/motion/review"
)

// phases is the number of places of a cycle that are drawn.
const phases = 90

// Cycle returns the mean cycle of the longest settled span, with the band of its
// interval, in the plane that the view shows; beside it the cycle of the
// reference (review.Options.Reference), at the length and about the middle of the
// take's own, with the margin of its shape. That is one of the root mean square
// over the cycle: a motion may leave it in places and still be inside. The figure
// is empty without a settled span that has a mean cycle.
func Cycle(r *review.Review) figure.MeanCycle {
	s := r.Longest()
	if s == nil || s.Cycle.Absent != nil {
		return figure.MeanCycle{}
	}
	c, out := s.Cycle, r.Frame.View.HasOut()
	f := figure.MeanCycle{Second: "along", Unit: unit(r)}
	if out {
		f.Second, f.HeightsKnown, f.Strings = "out", !r.Motion.Options.Relative, marks(r)
	}
	for i := range phases {
		phase := float64(i) / phases
		at, _ := c.At(phase)
		low, high := c.Band(phase)
		f.Mean.Across = append(f.Mean.Across, at.Across)
		f.Mean.Second = append(f.Mean.Second, second(at, out))
		f.Mean.HalfAcross = append(f.Mean.HalfAcross, (high.Across-low.Across)/2)
		f.Mean.HalfSecond = append(f.Mean.HalfSecond, (second(high, out)-second(low, out))/2)
		if c.DownShare.Known() && phase < c.DownShare.Value {
			f.Mean.Down++
		}
	}
	if ref := r.Options.Reference; ref != nil && ref.Shape != nil {
		f.Reference = reference(*ref, c, f.Mean, out)
	}
	return f
}

// second is the second axis of the plane that is shown.
func second(p cycle.Point, out bool) float64 {
	if out {
		return p.Out
	}
	return p.Along
}

// reference returns the cycle of a reference in the place of a mean cycle c: about the
// middle of what is drawn of it, and with its turns as far apart. It is empty where
// the two share only one axis, and where a part of c was never seen.
func reference(ref cycle.Reference, c cycle.Cycle, mean figure.Loop, out bool) figure.Loop {
	length := apart(ref.Shape.At(0), ref.Shape.At(ref.Shape.DownShare), out)
	scale := math.NaN()
	if c.DownShare.Known() && length > 0 {
		from, _ := c.At(0)
		to, _ := c.At(c.DownShare.Value)
		scale = apart(from, to, out) / length
	}
	x0, y0 := floats.Sum(mean.Across)/phases, floats.Sum(mean.Second)/phases // NaN where a part was not seen
	if math.IsNaN(scale + x0 + y0) {
		return figure.Loop{}
	}
	margin := ref.Margins.WithDefaults().Shape
	l := figure.Loop{Down: int(math.Ceil(phases * ref.Shape.DownShare))}
	for i := range phases {
		p := ref.Shape.At(float64(i) / phases)
		l.Across = append(l.Across, x0+scale*p.Across)
		l.Second = append(l.Second, y0+scale*second(p, out))
		if margin > 0 {
			l.HalfAcross = append(l.HalfAcross, margin*scale*length)
			l.HalfSecond = append(l.HalfSecond, margin*scale*length)
		}
	}
	return l
}

// apart is the distance of two places in the plane that is shown.
func apart(a, b cycle.Point, out bool) float64 {
	return math.Hypot(b.Across-a.Across, second(b, out)-second(a, out))
}
