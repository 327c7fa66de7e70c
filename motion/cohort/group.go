package cohort

import (
	"math"
	"slices"

	"gonum.org/v1/gonum/stat"
	"gonum.org/v1/gonum/stat/distuv"

	"github.com/plectrace/plectrace/motion/review"
	"github.com/plectrace/plectrace/variability/circular"
	"github.com/plectrace/plectrace/variability/estimate"
	"github.com/plectrace/plectrace/variability/robust"
)

// Group is one measure over the players of a study.
type Group struct {
	Measure string
	// Players and Takes are numbers of those that have the measure, Zeros that of
	// takes with a scatter below the noise, which have no logarithm.
	Players, Takes, Zeros int
	// Centre is the median over players of their means, players being the units:
	// its N is theirs. Of a ratio the mean of a player is the geometric one.
	Centre estimate.Value[float64]
	// Between and Within are standard deviations on the measure's scale, over
	// players and over the takes of one player: of natural logarithms for a
	// ratio, so that 0.1 is about 10 %. Within holds what changes over the weeks
	// too. Between is without the scatter of takes, 0 where that explains all.
	Between, Within float64
	// ICC is the share of the variance over single takes that is between
	// players, ICC(1,1) of Shrout & Fleiss (1979). It has no interval where
	// players come in groups.
	ICC estimate.Value[float64]
}

// Groups returns the summary of every measure, in the order of review.Measures.
// A measure whose takes were filmed too unlike each other is absent with the
// reason (review.Alike).
func (s *Study) Groups() []Group {
	var list []Group
	for _, m := range table {
		list = append(list, s.group(m))
	}
	return list
}

func (s *Study) group(m review.Measure) Group {
	g := Group{Measure: m.Name, Between: math.NaN(), Within: math.NaN()}
	var byPlayer [][]float64
	var of []int
	codes := map[string]int{}
	for k := range s.players {
		p := &s.players[k]
		var own []float64
		for _, t := range p.takes {
			x := t.values[places[m.Name]]
			y := onScale(m, x)
			if y == y {
				own = append(own, y)
			} else if x == x {
				g.Zeros++
			}
		}
		if len(own) == 0 {
			continue
		}
		name := p.groupOr(k)
		if _, ok := codes[name]; !ok {
			codes[name] = len(codes)
		}
		byPlayer, of = append(byPlayer, own), append(of, codes[name])
		g.Players++
		g.Takes += len(own)
	}
	if g.Players == 0 {
		g.Centre = estimate.Missing[float64]("none", m.Title, "no take has it")
		g.ICC = estimate.Value[float64]{Absent: g.Centre.Absent}
		return g
	}
	if why := s.unlike(m); why != nil {
		g.Centre, g.ICC = estimate.Value[float64]{Absent: why}, estimate.Value[float64]{Absent: why}
		return g
	}
	if m.Scale == review.Axis && !unwrap(byPlayer) {
		g.Centre = estimate.Missing[float64]("no direction", m.Title, "the angles cancel each other")
		g.ICC = estimate.Value[float64]{Absent: g.Centre.Absent}
		return g
	}
	means := make([]float64, len(byPlayer))
	for i, own := range byPlayer {
		means[i] = stat.Mean(own, nil)
	}
	g.Centre = s.centre(means, of, len(codes))
	if v := &g.Centre; m.Scale == review.Ratio {
		v.Value, v.Low, v.High = math.Exp(v.Value), math.Exp(v.Low), math.Exp(v.High)
	}
	g.variance(byPlayer, s.plan.Level)
	if s.cluster >= 0 { // players of one group are alike: F is too sure
		g.ICC.Low, g.ICC.High, g.ICC.Level = math.NaN(), math.NaN(), 0
	}
	return g
}

// unwrap turns angles in degrees into numbers about their mean axis. It reports
// whether they have one.
func unwrap(byPlayer [][]float64) bool {
	var all []circular.Angle
	for _, own := range byPlayer {
		for _, x := range own {
			all = append(all, circular.Angle(x*math.Pi/180))
		}
	}
	axis := circular.Axial(all, circular.Options{Level: -1}).Mean.Value.Degrees()
	for _, own := range byPlayer {
		for i, x := range own {
			own[i] = axis + math.Remainder(x-axis, 180)
		}
	}
	return axis == axis
}

// centre returns the median over players. Its interval is that of independent
// ones, or with groups that of order statistics whose ranks allow for players of
// one group being alike:
//
//	(n ± t √(Σ S(g)² G/(G-1)))/2, S(g) the sum over a group of the signs about the median
func (s *Study) centre(means []float64, of []int, groups int) estimate.Value[float64] {
	if s.cluster < 0 {
		return estimate.MedianInterval(means, s.plan.Level)
	}
	v := estimate.Value[float64]{Value: robust.Median(means), Low: math.NaN(), High: math.NaN(), N: len(means)}
	if groups < minUnits {
		return v
	}
	sign := make([]float64, groups)
	for i, x := range means {
		switch {
		case x > v.Value:
			sign[of[i]]++
		case x < v.Value:
			sign[of[i]]--
		}
	}
	sum := 0.0
	for _, x := range sign {
		sum += x * x
	}
	n, g := float64(len(means)), float64(groups)
	half := distuv.StudentsT{Sigma: 1, Nu: g - 1}.Quantile(0.5+s.plan.Level/2) * math.Sqrt(sum*g/(g-1))
	k := int(math.Floor((n - half) / 2)) // rank of the lower bound, from 1
	if k < 1 {
		return v
	}
	sorted := slices.Sorted(slices.Values(means))
	v.Low, v.High, v.Level = sorted[k-1], sorted[len(sorted)-k], s.plan.Level
	return v
}

// variance splits the variance of takes into that between players and that
// within them: one-way analysis of variance with random effects.
func (g *Group) variance(byPlayer [][]float64, level float64) {
	grand, n, squares, harmonic := 0.0, 0.0, 0.0, 0.0
	for _, own := range byPlayer {
		k := float64(len(own))
		grand += stat.Mean(own, nil) * k
		n += k
		squares += k * k
		harmonic += 1 / k
	}
	grand /= n
	a := float64(len(byPlayer))
	within, between := 0.0, 0.0
	for _, own := range byPlayer {
		m := stat.Mean(own, nil)
		between += float64(len(own)) * (m - grand) * (m - grand)
		for _, x := range own {
			within += (x - m) * (x - m)
		}
	}
	absent := func(code, why string) {
		g.ICC = estimate.Missing[float64](code, "share of the variance between players", why)
	}
	switch {
	case a < 2:
		absent("too few", "one player does not show how much players differ")
		if n > a {
			g.Within = math.Sqrt(within / (n - a))
		}
		return
	case n == a:
		absent("repeats", "one take of each player does not show how much the takes of one differ: film two or more")
		return
	}
	msb, msw := between/(a-1), within/(n-a)
	k := (n - squares/n) / (a - 1)
	g.Within, g.Between = math.Sqrt(msw), math.Sqrt(max(0, (msb-msw)/k))
	if !(msb+(k-1)*msw > 0) {
		absent("no spread", "all takes are equal")
		return
	}
	if msw == 0 {
		absent("no difference", "the takes of no player differ, which does not tell by how much they may")
		return
	}
	g.ICC = estimate.Value[float64]{Value: (msb - msw) / (msb + (k-1)*msw), Low: math.NaN(), High: math.NaN(), N: len(byPlayer)}
	if a < 6 { // below, the interval spans nearly all
		return
	}
	// F of the mean squares of players' means, which unequal numbers of takes
	// leave nearly exact (Thomas & Hultquist 1978); with equal ones it is MSB/MSW.
	k = a / harmonic
	unweighted, centre := 0.0, 0.0
	for _, own := range byPlayer {
		centre += stat.Mean(own, nil) / a
	}
	for _, own := range byPlayer {
		d := stat.Mean(own, nil) - centre
		unweighted += d * d
	}
	f := k * unweighted / (a - 1) / msw
	lo := f / distuv.F{D1: a - 1, D2: n - a}.Quantile(0.5+level/2)
	hi := f / distuv.F{D1: a - 1, D2: n - a}.Quantile(0.5-level/2)
	g.ICC.Low, g.ICC.High, g.ICC.Level = (lo-1)/(lo+k-1), (hi-1)/(hi+k-1), level
}
