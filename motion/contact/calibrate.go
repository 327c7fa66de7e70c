package contact

import (
	"math"
	"slices"

	"gonum.org/v1/gonum/stat"

	"github.com/plectrace/plectrace/motion"
	"github.com/plectrace/plectrace/variability/estimate"
	"github.com/plectrace/plectrace/variability/robust"
)

// calibrate measures on all strokes what a single one cannot tell: the bend of
// each direction's path and its scatter, how far the samples scatter about
// the arcs, and whether that scatter is slow.
func (f *finder) calibrate() {
	var bends, vars [3][]float64
	none := prior{0, math.Inf(1)}
	each := func(visit func(s *motion.Stroke, lo, hi int, w float64)) {
		for i := range f.m.Strokes {
			s := &f.m.Strokes[i]
			lo, hi := f.within(s.Start, s.End)
			if w := f.width(s, lo, hi); hi-lo >= 4 && w > 0 {
				visit(s, lo, hi, w)
			}
		}
	}
	middle := func(s *motion.Stroke, lo, hi int) float64 {
		if mid := (s.AcrossStart + s.AcrossEnd) / 2; mid == mid {
			return mid
		}
		low, high := f.span(lo, hi)
		return (low + high) / 2
	}
	each(func(s *motion.Stroke, lo, hi int, w float64) {
		if s.TurnHidden() {
			return
		}
		if a, ok := f.fitArc(lo, hi, middle(s, lo, hi), 1.3*w/arcReach, 1, none); ok && a.n >= 4 {
			bends[s.Direction] = append(bends[s.Direction], a.bend)
			vars[s.Direction] = append(vars[s.Direction], a.bendVar)
		}
	})
	noise := math.Max(f.noise, 1e-6)
	for d := range f.prior {
		f.prior[d] = none
		if len(bends[d]) < 8 {
			continue
		}
		// With few samples most single bends are noise: the scatter that is
		// left over is the strokes' own.
		own := robust.Scale(bends[d])
		own = math.Sqrt(math.Max(own*own-noise*noise*robust.Median(vars[d]), 0))
		mean := robust.Median(bends[d])
		f.prior[d] = prior{mean, math.Max(own, 0.1*math.Abs(mean)+noise*math.Sqrt(robust.Median(vars[d])/float64(len(bends[d]))))}
	}
	// Residuals over the whole stroke, about its own arc, and the same of white
	// noise in the place of out: the fit itself turns white residuals into ones
	// that alternate.
	var scatter, lag, whiteScatter, whiteLag, misses []float64
	rng := estimate.Stream(f.o.Seed, "contact/white")
	white := samples{t: f.t, across: f.across, out: make([]float64, len(f.t))}
	for i := range white.out {
		white.out[i] = noise * rng.NormFloat64()
	}
	each(func(s *motion.Stroke, lo, hi int, w float64) {
		mid, pr := middle(s, lo, hi), f.prior[s.Direction]
		if v, r, ok := f.residuals(lo, hi, mid, w, noise, pr); ok {
			scatter, lag = append(scatter, v), append(lag, r)
		}
		pr.bend = 0
		if v, r, ok := white.residuals(lo, hi, mid, w, noise, pr); ok {
			whiteScatter, whiteLag = append(whiteScatter, v), append(whiteLag, r)
		}
	})
	f.sigma = noise
	if len(scatter) < 8 {
		return
	}
	f.sigma = math.Max(noise, noise*math.Sqrt(robust.Median(scatter)/robust.Median(whiteScatter)))
	if r := stat.Mean(lag, nil) - stat.Mean(whiteLag, nil); r > 0.05 {
		r = math.Min(r, 0.9)
		f.colour = math.Sqrt((1 + r) / (1 - r))
	}
	// What leaving a sample out misses it by, more than noise does.
	each(func(s *motion.Stroke, lo, hi int, w float64) {
		at, _ := f.within(s.Middle(), s.End)
		if at <= lo || at >= hi {
			return
		}
		a, ok := f.fitArc(lo, hi, f.across[at], w, f.sigma, f.prior[s.Direction])
		if left := 1 - a.own; ok && left > 0.05 {
			without := (a.levelVar - a.own*a.own) / (left * left)
			misses = append(misses, square((f.out[at]-a.level)/left)-f.sigma*f.sigma*(1+without))
		}
	})
	if len(misses) >= 8 {
		f.arcMisfit = math.Max(0, mean(misses, 0.02))
	}
}

// residuals returns the mean square of the samples [lo, hi) about their arc in
// mid-stroke, and their correlation from sample to sample.
func (s *samples) residuals(lo, hi int, mid, w, noise float64, pr prior) (meanSquare, lag float64, ok bool) {
	a, ok := s.fitArc(lo, hi, mid, w, noise, pr)
	if !ok {
		return 0, 0, false
	}
	sum, product, last, n := 0.0, 0.0, math.NaN(), 0
	for i := lo; i < hi; i++ {
		u := s.across[i] - mid
		if math.Abs(u) > 0.35*w {
			last = math.NaN()
			continue
		}
		e := s.out[i] - a.level - u*(a.slope+u*a.bend)
		sum += e * e
		if last == last {
			product += e * last
		}
		last = e
		n++
	}
	return sum / float64(n), product / sum, n >= 6 && sum > 0
}

// measureMisfit finds how far the path of across in mid-stroke strays from the
// polynomials that are fitted to it: what leaving a sample out misses it by, more
// than noise does.
func (f *finder) measureMisfit() {
	var misses []float64
	for i := range f.m.Strokes {
		s := &f.m.Strokes[i]
		lo, hi := f.within(s.Start, s.End)
		mid, _ := f.within(s.Middle(), s.End)
		if mid <= lo || mid >= hi {
			continue
		}
		k, a, b, ok := f.about(f.t[mid], s.Duration())
		if !ok || b-a < k.order+2 {
			continue
		}
		k.fit(f.t[a:b], f.across[a:b])
		left := 1 - k.valueVar(f.t[mid])
		// The error without the sample is e/left, noise alone makes it
		// σ²/left in the square.
		if left > 0.05 {
			misses = append(misses, square((f.across[mid]-k.value(f.t[mid]))/left)-f.noise*f.noise/left)
		}
	}
	if len(misses) >= 8 {
		// Leave out the worst, which are samples gone astray.
		f.misfit = math.Max(0, mean(misses, 0.02))
	}
}

// mean is that of x without a share of the greatest.
func mean(x []float64, share float64) float64 {
	slices.Sort(x)
	return stat.Mean(x[:len(x)-int(share*float64(len(x)))], nil)
}
