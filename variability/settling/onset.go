package settling

import (
	"fmt"
	"math"

	"github.com/plectrace/plectrace/variability/estimate"
)

// Onset is how a settled span takes hold: over how many strokes, and how many
// seconds, the scatter about its centre falls from that of the searching
// before to its own. 0 strokes: from one stroke to the next.
type Onset struct{ Strokes, Seconds estimate.Value[float64] }

// onsetWidths are the widths tried, in strokes.
var onsetWidths = [...]int{0, 1, 2, 3, 4, 6, 8, 12, 16, 24}

const (
	// minOnset is the number of strokes on either side below which a scatter
	// is not known well enough.
	minOnset = 8
	// onsetReach is how many strokes beside the start of the span the middle of
	// the fall is looked for.
	onsetReach = 12
	// onsetDeviance is the 0.95 quantile of twice the log-likelihood ratio, χ²
	// with one degree of freedom.
	onsetDeviance = 3.841459
	// onsetPlugIn raises it, as the scatters are those of the best width for
	// all; calibrated, see the package's comment.
	onsetPlugIn = 2.0
)

// onset fits to the strokes of the searching span before and of the hold after
// it, whose deviations from the coming centre are taken as normal,
//
//	s.d. = searching, i < a; settled, i ≥ b; in between falling in a straight
//	line
//
// by likelihood over the middle (a+b)/2 and the width b-a. The interval is that
// of the profile likelihood, its limit raised by (1+φ²)/(1-φ²) for strokes
// that resemble each other with a serial correlation φ.
func (ft *onsetFitter) onset(before, hold run, pl *place) (o Onset) {
	const what = "strokes to take hold"
	absent := func(code, why string) Onset {
		return Onset{estimate.Missing[float64](code, what, why), estimate.Missing[float64](code, what, why)}
	}
	if n := min(before.len(), hold.len()); n < minOnset {
		return absent("too-few-strokes", fmt.Sprintf("one side has only %d strokes; %d are needed", n, minOnset))
	}
	// Strokes far away say nothing about the fall.
	at := hold.lo
	lo, hi := max(before.lo, at-5*onsetReach), min(hold.hi, at+5*onsetReach)
	ft.load(lo, hi, pl)
	n := hi - lo
	start := at - lo
	var best onsetFit
	from, to := max(minOnset, start-onsetReach/2), min(n-minOnset, start+onsetReach/2)
	for range 2 { // the second time, what falls is no part of either scatter
		ft.scatters(from, to, n)
		best = ft.fit(start, n)
		from, to = max(minOnset, best.a), min(n-minOnset, best.b)
	}
	if !ft.contrast() {
		return absent("alike", "searching before it scatters too little more than the span itself")
	}
	limit := onsetDeviance * ft.inflation(from) * ft.tails(from, to) * onsetPlugIn
	low, high, open := best.interval(limit)
	o.Strokes = estimate.Value[float64]{Value: float64(best.b - best.a), Low: low, High: high, Level: 0.95, N: n}
	if open {
		if low == 0 {
			return absent("cannot-tell", "the strokes are too few or too uneven to tell how fast the scatter falls")
		}
		o.Strokes.Low, o.Strokes.High, o.Strokes.Level = math.NaN(), math.NaN(), 0
	}
	per := (ft.c.end[hi-1] - ft.c.start[lo]) / float64(n)
	o.Seconds = o.Strokes
	o.Seconds.Value, o.Seconds.Low, o.Seconds.High = o.Strokes.Value*per, o.Strokes.Low*per, o.Strokes.High*per
	return o
}

// onsetFitter holds the scratch.
type onsetFitter struct {
	c                 *columns
	d                 [][features]float64 // deviations from the coming centre
	terms             []terms
	early, late       [features]float64 // s.d.
	sumEarly, sumLate []float64         // log-densities up to each stroke
	sum               []float64
}

// onsetFit is the best place of the fall, and the log-likelihood by width.
type onsetFit struct {
	a, b    int
	loglik  float64
	profile [len(onsetWidths)]float64
}

func (ft *onsetFitter) load(lo, hi int, pl *place) {
	ft.d, ft.terms = ft.d[:0], ft.terms[:0]
	for i := lo; i < hi; i++ {
		d := 0
		if ft.c.up[i] {
			d = 1
		}
		x := ft.c.x[i]
		for f := range x {
			x[f] += ft.c.signed(i, ft.c.half[f]) - pl[d][f].mean
			if pl[d][f].n == 0 {
				x[f] = math.NaN()
			}
		}
		var t terms
		for f, v := range x {
			if v == v {
				t.squares[f], t.had[f] = v*v, 1
			}
		}
		ft.d, ft.terms = append(ft.d, x), append(ft.terms, t)
	}
}

// scatters sets the s.d. before stroke a and from stroke b on, and the sums of
// log-densities under either. A stroke that stands out counts little.
func (ft *onsetFitter) scatters(a, b, n int) {
	rms := func(lo, hi int, f int) float64 {
		var sum, k float64
		for _, d := range ft.d[lo:hi] {
			if v := d[f] * d[f]; v == v {
				sum += v
				k++
			}
		}
		lim := clip * clip * sum / max(1, k)
		sum = 0
		for _, d := range ft.d[lo:hi] {
			if v := d[f] * d[f]; v == v {
				sum += min(v, lim)
			}
		}
		return max(leastSD, math.Sqrt(sum/max(1, k)))
	}
	for f := range features {
		ft.early[f], ft.late[f] = rms(0, a, f), rms(b, n, f)
	}
	early, late := ft.scale(1), ft.scale(0)
	ft.sumEarly, ft.sumLate = append(ft.sumEarly[:0], 0), append(ft.sumLate[:0], 0)
	for j := range ft.d {
		e := early.density(&ft.terms[j])
		ft.sumEarly = append(ft.sumEarly, ft.sumEarly[j]+e)
		ft.sumLate = append(ft.sumLate, ft.sumLate[j]+max(late.density(&ft.terms[j]), e-oddFirst))
	}
}

// terms are what the log-density of a stroke is made of: the squared deviations,
// and 1 for those that are had, both 0 for the others.
type terms struct{ squares, had [features]float64 }

// scale is the normal density of a scatter: 1/(2 variance) and log s.d.
type scale struct{ half, logs [features]float64 }

// scale returns that where so much of the searching scatter is left.
func (ft *onsetFitter) scale(left float64) (s scale) {
	for f := range features {
		sd := ft.late[f] + left*(ft.early[f]-ft.late[f])
		s.half[f], s.logs[f] = 0.5/(sd*sd), math.Log(sd)
	}
	return s
}

func (s *scale) density(t *terms) (ll float64) {
	for f := range features {
		ll -= t.squares[f]*s.half[f] + t.had[f]*s.logs[f]
	}
	return ll
}

// fit looks for the fall about stroke start.
func (ft *onsetFitter) fit(start, n int) (best onsetFit) {
	best.loglik = math.Inf(-1)
	for k, w := range onsetWidths {
		best.profile[k] = math.Inf(-1)
		lo := max(minOnset, start-onsetReach-w/2)
		hi := min(n-minOnset, start+onsetReach+w-w/2) - w
		if lo > hi {
			continue
		}
		ft.sum = ft.sum[:0]
		for a := lo; a <= hi; a++ {
			ft.sum = append(ft.sum, ft.sumEarly[a]+ft.sumLate[n]-ft.sumLate[a+w])
		}
		for j := range w {
			s := ft.scale(1 - float64(j+1)/float64(w+1))
			for i := range ft.sum {
				ft.sum[i] += s.density(&ft.terms[lo+i+j])
			}
		}
		for i, ll := range ft.sum {
			best.profile[k] = max(best.profile[k], ll)
			if ll > best.loglik {
				best.loglik, best.a, best.b = ll, lo+i, lo+i+w
			}
		}
	}
	return best
}

// interval returns the widths that are within limit of the best, twice the
// log-likelihood, and whether the widest tried is one.
func (o *onsetFit) interval(limit float64) (low, high float64, open bool) {
	low, high = math.NaN(), math.NaN()
	deviance := func(k int) float64 { return 2 * (o.loglik - o.profile[k]) }
	for k, w := range onsetWidths {
		if deviance(k) > limit {
			continue
		}
		if low != low {
			low = float64(w)
			if k > 0 {
				low = between(onsetWidths[k-1], w, deviance(k-1), deviance(k), limit)
			}
		}
		if k+1 == len(onsetWidths) || math.IsInf(deviance(k+1), 0) {
			return low, high, true
		}
		high = between(onsetWidths[k+1], w, deviance(k+1), deviance(k), limit)
	}
	return low, high, false
}

// between returns where the deviance reaches limit between the width out, where
// it is above, and in.
func between(out, in int, above, below, limit float64) float64 {
	if math.IsInf(above, 0) || above <= limit {
		return float64(out)
	}
	return float64(in) + float64(out-in)*(limit-below)/(above-below)
}

// contrast reports whether searching scatters twice as much as the span in some
// measurement.
func (ft *onsetFitter) contrast() bool {
	for f := range features {
		if ft.early[f] > 2*ft.late[f] {
			return true
		}
	}
	return false
}

// inflation returns the factor by which strokes before the fall carry less than
// independent ones would.
func (ft *onsetFitter) inflation(n int) float64 {
	var products, squares float64
	for j := 1; j < n; j++ {
		for f, d := range ft.d[j] {
			if p := d * ft.d[j-1][f] / (ft.early[f] * ft.early[f]); p == p {
				products += p
				squares += (d*d + ft.d[j-1][f]*ft.d[j-1][f]) / (2 * ft.early[f] * ft.early[f])
			}
		}
	}
	if squares == 0 {
		return 1
	}
	phi := max(0, min(maxPhi, products/squares))
	return (1 + phi*phi) / (1 - phi*phi)
}

// tails returns the factor by which the squares of the strokes before a and from
// b on scatter more than those of a normal law, which is 1 for it.
func (ft *onsetFitter) tails(a, b int) float64 {
	var fourth, second, n float64
	for j, d := range ft.d {
		sd := &ft.early
		if j >= b {
			sd = &ft.late
		} else if j >= a {
			continue
		}
		for f, v := range d {
			if v == v {
				q := min(v*v/(sd[f]*sd[f]), clip*clip)
				second += q
				fourth += q * q
				n++
			}
		}
	}
	if n == 0 || second == 0 {
		return 1
	}
	return max(1, (fourth*n/(second*second)-1)/2)
}
