package take

import (
	"math"

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
		f.Reference = reference(*ref, f.Mean, out)
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

// reference returns the cycle of a reference in the place of a mean cycle: about
// the same middle, and at the same distance of its turns. It is empty where the
// two share only one axis, or the mean cycle lacks a turn.
func reference(ref cycle.Reference, mean figure.Loop, out bool) figure.Loop {
	across, along := ref.Shape.Across, ref.Shape.Along
	if out {
		along = ref.Shape.Out
	}
	if len(across) == 0 || len(along) == 0 || mean.Down == 0 || mean.Down == len(mean.Across) {
		return figure.Loop{}
	}
	margin := ref.Margins.WithDefaults().Shape
	turn := phases * ref.Shape.DownShare
	length := math.Hypot(harmonics(across, turn)-harmonics(across, 0), harmonics(along, turn)-harmonics(along, 0))
	scale := math.Hypot(mean.Across[mean.Down]-mean.Across[0], mean.Second[mean.Down]-mean.Second[0]) / length
	x0, y0 := middle(mean.Across), middle(mean.Second)
	l := figure.Loop{Down: int(math.Ceil(turn))}
	for i := range phases {
		l.Across = append(l.Across, x0+scale*harmonics(across, float64(i)))
		l.Second = append(l.Second, y0+scale*harmonics(along, float64(i)))
		if margin > 0 {
			l.HalfAcross = append(l.HalfAcross, margin*scale*length)
			l.HalfSecond = append(l.HalfSecond, margin*scale*length)
		}
	}
	return l
}

// harmonics returns one axis of a shape at the i-th of all phases.
func harmonics(coef [][2]float64, i float64) float64 {
	v := 0.0
	for h, c := range coef {
		sin, cos := math.Sincos(2 * math.Pi * float64(h+1) * i / phases)
		v += c[0]*cos + c[1]*sin
	}
	return v
}

// middle is the mean over the cycle, NaN if a part of it was never seen.
func middle(x []float64) float64 {
	sum := 0.0
	for _, v := range x {
		sum += v
	}
	return sum / float64(len(x))
}
