package progress

import (
	"cmp"
	"math"

	"github.com/plectrace/plectrace/variability/estimate"
)

const withinDraws = 1999

// within fills in the rank correlation of rate and scatter within days: Kendall's
// tau over the pairs of takes of one day, ties counting for neither.
func (r *RateAndScatter) within(days []pairDay, seed uint64) {
	const what = "rate and scatter within a day"
	score := func(d pairDay, order []int) (s, pairs float64) {
		for i := range d.rate {
			for k := range i {
				a, b := cmp.Compare(d.rate[i], d.rate[k]), cmp.Compare(d.scatter[order[i]], d.scatter[order[k]])
				s += float64(a * b)
				if a*b != 0 {
					pairs++
				}
			}
		}
		return s, pairs
	}
	var used []pairDay
	var own, pairs []float64
	takes := 0
	deals := 1.0 // ways to deal out the scatters
	for _, d := range days {
		order := make([]int, len(d.rate))
		for i := range order {
			order[i] = i
		}
		s, n := score(d, order)
		if n == 0 {
			continue
		}
		used, own, pairs = append(used, d), append(own, s), append(pairs, n)
		takes += len(d.rate)
		for k := 2; k <= len(d.rate); k++ {
			deals *= float64(k)
		}
	}
	if len(used) == 0 {
		r.WithinDays = estimate.Missing[float64]("too-few", what, "no day has two takes that have both; film three takes on a day")
		return
	}
	tau := func(index []int) float64 {
		var s, n float64
		for _, i := range index {
			s, n = s+own[i], n+pairs[i]
		}
		return s / n
	}
	// The interval, from twelve days on, is over days.
	r.WithinDays = estimate.Bootstrap(len(used), 1, tau, estimate.BootstrapOptions{Seed: seed, Use: "progress: within days, " + r.Scatter})
	r.WithinDays.N = takes
	var total float64
	for _, s := range own {
		total += s
	}
	rng := estimate.Stream(seed, "progress: dealt within days, "+r.Scatter)
	hits := 1
	for range withinDraws {
		var s float64
		for _, d := range used {
			v, _ := score(d, rng.Perm(len(d.rate)))
			s += v
		}
		if math.Abs(s) >= math.Abs(total) {
			hits++
		}
	}
	r.Least = math.Max(1.0/(withinDraws+1), math.Min(1, 2/deals))
	r.P = math.Max(r.Least, float64(hits)/(withinDraws+1))
}
