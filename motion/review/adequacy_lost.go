package review

import (
	"fmt"

	"github.com/plectrace/plectrace/motion"
	"github.com/plectrace/plectrace/variability/estimate"
	"github.com/plectrace/plectrace/variability/robust"
)

// leastLost is how many strokes or samples must be lost before it is asked
// which: of fewer, chance decides.
const leastLost = 8

// lostBySpeed says whether what was lost differs from what was seen: fast
// strokes from slow ones, and the fast middle of strokes from their turns.
func (r *Review) lostBySpeed() []Finding {
	return append(lostStrokes(r.Motion.Strokes), lostParts(r.Motion.Strokes, r.Clean.T, r.Clean.X)...)
}

// lostStrokes compares the strokes lost among the faster half with those of the
// slower half. Lost is a stroke with a hidden turn, and one of those that a gap
// too long to be bridged must have held at the pace around it. How fast a lost
// stroke was is told by its neighbours.
func lostStrokes(strokes []motion.Stroke) []Finding {
	const around = 4
	var pace, lost []float64
	total := 0.0
	add := func(duration, gone float64) {
		pace, lost = append(pace, duration), append(lost, gone)
		total += gone
	}
	local := make([]float64, len(strokes))
	var own []float64
	for i := range strokes {
		own = own[:0]
		for _, s := range strokes[max(0, i-around):min(len(strokes), i+around+1)] {
			if !s.TurnHidden() {
				own = append(own, s.Duration())
			}
		}
		if len(own) < 3 {
			for _, s := range strokes[max(0, i-around):min(len(strokes), i+around+1)] {
				own = append(own, s.Duration())
			}
		}
		local[i] = robust.MedianInPlace(own)
	}
	for i, s := range strokes {
		if i > 0 && !s.Joined && (strokes[i-1].EndHidden || s.StartHidden) {
			// A gap, not a rest.
			d := min(local[i-1], local[i])
			for range min(int((s.Start-strokes[i-1].End)/d), 50) {
				add((local[i-1]+local[i])/2, 1)
			}
		}
		gone := 0.0
		if s.TurnHidden() {
			gone = 1
		}
		add(local[i], gone)
	}
	if total < leastLost {
		return nil
	}
	border := robust.Median(pace)
	var fast, slow [2][]float64 // strokes and lost ones
	for i, d := range pace {
		one := 0.0
		if d < border {
			one = 1
		}
		fast[0], fast[1] = append(fast[0], one), append(fast[1], one*lost[i])
		slow[0], slow[1] = append(slow[0], 1-one), append(slow[1], (1-one)*lost[i])
	}
	c := compareShares(fast, slow)
	const what = "lost strokes"
	numbers := fmt.Sprintf("%.0f %% against %.0f %%", 100*c.in, 100*c.out)
	switch {
	case c.more():
		return []Finding{aside(what, "fast strokes are lost more often: %s; what is said of the fast ones rests on those that were seen", numbers)}
	case c.fewer():
		return []Finding{aside(what, "slow strokes are lost more often: %.0f %% against %.0f %%; what is said of the slow ones rests on those that were seen", 100*c.out, 100*c.in)}
	case c.known():
		return []Finding{aside(what, "the faster half of the strokes is lost about as often as the slower: %s", numbers)}
	}
	return nil
}

// lostParts compares the samples missing from the middle half of strokes, where
// the tip is fast, with those missing from the quarters beside the turns.
func lostParts(strokes []motion.Stroke, t, x []float64) []Finding {
	var middle, turns [2][]float64 // samples and missing ones of each stroke
	i, gone := 0, 0.0
	for _, s := range strokes {
		if s.Bridged {
			continue // no part of it was seen
		}
		var n, miss [2]float64
		for i < len(t) && t[i] < s.Start {
			i++
		}
		for ; i < len(t) && t[i] < s.End; i++ {
			part := 0
			if u := (t[i] - s.Start) / s.Duration(); u < 0.25 || u > 0.75 {
				part = 1
			}
			n[part]++
			if x[i] != x[i] {
				miss[part]++
			}
		}
		middle[0], middle[1] = append(middle[0], n[0]), append(middle[1], miss[0])
		turns[0], turns[1] = append(turns[0], n[1]), append(turns[1], miss[1])
		gone += miss[0] + miss[1]
	}
	if gone < leastLost {
		return nil
	}
	c := compareShares(middle, turns)
	const what = "where samples are lost"
	switch {
	case c.more():
		return []Finding{aside(what, "the fast middle of strokes loses more samples than the turns: %.0f %% against %.0f %%, as with a tip that blurs", 100*c.in, 100*c.out)}
	case c.fewer():
		return []Finding{aside(what, "the turns lose more samples than the fast middle of strokes: %.0f %% against %.0f %%, as with a tip that goes behind the hand", 100*c.out, 100*c.in)}
	}
	return nil
}

// shares are two shares and the interval of their difference.
type shares struct {
	in, out    float64
	difference estimate.Value[float64]
}

func (s shares) known() bool { return s.difference.Level > 0 }
func (s shares) more() bool  { return s.known() && s.difference.Low > 0 }
func (s shares) fewer() bool { return s.known() && s.difference.High < 0 }

// compareShares compares the share of what is lost in two parts of the strokes,
// each given as two columns over the strokes in order of time: how much there is
// of the part in a stroke, and how much of that is lost. The interval of the
// difference is that of the mean influence of a stroke on it (the linear terms
// of the ratios), which bears that losses come together.
func compareShares(in, out [2][]float64) shares {
	sum := func(x []float64) (total float64) {
		for _, v := range x {
			total += v
		}
		return total
	}
	nIn, nOut := sum(in[0]), sum(out[0])
	s := shares{in: sum(in[1]) / nIn, out: sum(out[1]) / nOut}
	n := float64(len(in[0]))
	influence := make([]float64, len(in[0]))
	for i := range influence {
		influence[i] = n*(in[1][i]-s.in*in[0][i])/nIn - n*(out[1][i]-s.out*out[0][i])/nOut
	}
	s.difference = estimate.Mean(influence, 0.95)
	s.difference.Value += s.in - s.out
	s.difference.Low += s.in - s.out
	s.difference.High += s.in - s.out
	return s
}
