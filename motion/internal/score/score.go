package score

import (
	"math"
	"slices"

	"github.com/plectrace/plectrace/motion"
	"github.com/plectrace/plectrace/motion/simulate"
)

// Strokes says how the strokes found compare with those made.
type Strokes struct {
	// F1 is the harmonic mean of precision and recall over the strokes that
	// the tracker saw at least a part of. A stroke is found when one of the
	// same direction has its middle within 0.35 of its duration.
	F1 float64
	// Lost is the number of strokes that the tracker did not see at all.
	Lost int
	// TurnMS is the median absolute error of the times of turns seen, in ms.
	TurnMS float64
	// Angle90 bounds the errors of 90 % of the path angles of settled strokes,
	// in degrees; Covered is the share of them inside their interval, Angles
	// their number. Strokes on the way to another string are left out.
	Angle90, Covered float64
	Angles           int
	// Length is the median absolute relative error of lengths.
	Length float64
	// InPauses is the number of strokes found while the hand rests.
	InPauses int
}

// Compare matches the strokes got with those of the take.
func Compare(take *simulate.Take, got []motion.Stroke) Strokes {
	tr := take.Truth
	stamps := take.Recording.T
	unseen := func(s simulate.Stroke) bool {
		for _, f := range tr.Faults {
			if stamps[f.First] <= s.Start && stamps[f.Last] >= s.End {
				return true
			}
		}
		return false
	}
	var s Strokes
	used := make([]bool, len(got))
	var turns, angles, lengths []float64
	hit, seen, in := 0, 0, 0
	for _, want := range tr.Strokes {
		mid, d := (want.Start+want.End)/2, want.End-want.Start
		best := -1
		for j, g := range got {
			if used[j] || (g.Direction == motion.Down) != want.Down || math.Abs(g.Middle()-mid) > 0.35*d {
				continue
			}
			if best < 0 || math.Abs(g.Middle()-mid) < math.Abs(got[best].Middle()-mid) {
				best = j
			}
		}
		if best >= 0 {
			used[best] = true
		}
		if unseen(want) {
			s.Lost++
			continue
		}
		seen++
		if best < 0 {
			continue
		}
		hit++
		g := got[best]
		if !want.Hidden && !g.TurnHidden() {
			turns = append(turns, math.Abs(g.Start-want.Start)*1000, math.Abs(g.End-want.End)*1000)
			lengths = append(lengths, math.Abs(g.Length/want.Length-1))
		}
		if want.Settled && !want.Changed && g.PathAngle == g.PathAngle {
			angles = append(angles, math.Abs((g.PathAngle - want.PathAngle).Axial().Degrees()))
			if g.PathAngleLow <= want.PathAngle && want.PathAngle <= g.PathAngleHigh {
				in++
			}
		}
	}
	extra := 0
	for _, u := range used {
		if !u {
			extra++
		}
	}
	for _, p := range tr.Pauses {
		for _, g := range got {
			if g.Middle() > p.Start && g.Middle() < p.End {
				s.InPauses++
			}
		}
	}
	s.F1 = 2 * float64(hit) / float64(seen+hit+extra)
	s.TurnMS, s.Angle90, s.Length = Quantile(turns, 0.5), Quantile(angles, 0.9), Quantile(lengths, 0.5)
	s.Covered, s.Angles = float64(in)/float64(len(angles)), len(angles)
	return s
}

// Quantile returns the p quantile of x, which it sorts; NaN of none.
func Quantile(x []float64, p float64) float64 {
	if len(x) == 0 {
		return math.NaN()
	}
	slices.Sort(x)
	return x[int(p*float64(len(x)-1))]
}
