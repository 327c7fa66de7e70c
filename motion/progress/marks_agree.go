package progress

import (
	"fmt"
	"math"
	"slices"

	"github.com/plectrace/plectrace/variability/estimate"
)

// Agreement says how far two viewers, or a viewer and the program, agree on what
// each moment of a take is. Only time that both have judged counts; all shares
// are shares of that time.
type Agreement struct {
	// Takes is the number of takes.
	Takes int
	// Kinds are the kinds that one of the two used where both judged, in
	// alphabetical order. Table[i][j] is the time in seconds for which the first
	// says Kinds[i] and the second Kinds[j].
	Kinds []string
	Table [][]float64
	// Judged is the time that both judged, OnlyFirst and OnlySecond that which
	// one of them left unmarked, in seconds.
	Judged, OnlyFirst, OnlySecond float64
	// SpansFirst and SpansSecond are the numbers of stretches of one kind
	// there, those that touch joined.
	SpansFirst, SpansSecond int

	// Agreed is the share of the time for which they say the same, Chance that
	// for which they would if each said the kinds as often as they do, at
	// random. Kappa is (Agreed - Chance)/(1 - Chance): 1 for full agreement, 0
	// for that of chance. N counts spans (those of the viewer with fewer), or
	// takes where the interval is by takes.
	Agreed, Kappa estimate.Value[float64]
	Chance        float64
	// NoInterval says why Kappa and Agreed have no interval, "" where they do.
	NoInterval string
	// Of two kinds, Prevalence is by how much more of the time the two agree on
	// the first of Kinds than on the second, and Bias by how much more of it the
	// first viewer says the first kind than the second viewer does. Either far
	// from 0 makes a low kappa of much agreement. Adjusted is 2 Agreed - 1, the
	// kappa that there would be without. NaN unless there are two kinds.
	Prevalence, Bias, Adjusted float64
	// Overlap is, for each of Kinds, the time for which both say it over that
	// for which either does.
	Overlap []float64

	// Matched is the number of spans that the two have in common: of one kind,
	// each overlapping the other more than any else.
	Matched int
	// Starts and Ends are by how much later the second viewer begins and ends
	// them, the median in seconds; StartsApart and EndsApart the medians
	// without the sign. The beginning of the first span and the end of the last
	// one of a take do not count: there the marks end, not the kind.
	Starts, Ends, StartsApart, EndsApart estimate.Value[float64]
}

// leastMarkSpans is the number of spans of one take, and leastMarkTakes that of
// takes, below which the agreement has no interval. With 12 to 17 spans intervals
// held kappa in 90 % of simulated takes only; of takes six is the least tried.
const (
	leastMarkSpans = 20
	leastMarkTakes = 6
)

// Agree holds the marks of one viewer of a take against those of another, or of
// the program (see [SpanMarks]).
//
//	κ = (p₀ - pₑ)/(1 - pₑ), p₀ = Σ p(ii), pₑ = Σ p(i·) p(·i)
//
// with p the shares of the time that both judged, exactly and without any
// sampling of it. A moment resembles the one before it, so that seconds are no
// observations: the interval is by what each moment adds to κ to first order
// (which for independent moments gives the variance of Fleiss, Cohen and Everitt
// 1969), whose long-run variance comes from its q lowest cosine components over
// the take, as in estimate.LongRun but in continuous time, times n/(n - 2), with q
// = n/6, at least 4 and at most 48, of n spans. Its bounds are those of log(1 - κ),
// so that none is above 1. There is none with fewer than 20 spans, which one take
// seldom has, nor for full agreement: see [AgreeTakes].
//
// An error means marks that overlap or are none; no time that both have judged
// makes the result absent.
func Agree(first, second []Mark) (Agreement, error) {
	return AgreeTakes([][]Mark{first}, [][]Mark{second})
}

// AgreeTakes is [Agree] over several takes, first[i] and second[i] being the marks
// of the same one. The interval of κ is by whole takes: what each take adds to
// it, with Student's t of one degree of freedom less than there are takes, so that
// it also bears that takes differ. Its variance is that of the takes times
// n/(n - 2), since they add so to first order only. There is none with fewer than
// 6 takes that both have judged; of one take the interval is that of Agree. It
// panics if the numbers of takes differ.
func AgreeTakes(first, second [][]Mark) (Agreement, error) {
	if len(first) != len(second) {
		panic("progress: two viewers of unequal numbers of takes")
	}
	var takes []jointTake
	for i := range first {
		t, err := joinMarks(first[i], second[i])
		if err != nil {
			return Agreement{}, err
		}
		takes = append(takes, t)
	}
	g := Agreement{Takes: len(takes), Prevalence: math.NaN(), Bias: math.NaN(), Adjusted: math.NaN(), Chance: math.NaN()}
	for _, t := range takes {
		g.OnlyFirst += t.onlyFirst
		g.OnlySecond += t.onlySecond
		g.SpansFirst += len(t.spans[0])
		g.SpansSecond += len(t.spans[1])
		for _, p := range t.parts {
			g.Kinds = append(g.Kinds, p.kinds[0], p.kinds[1])
		}
	}
	slices.Sort(g.Kinds)
	g.Kinds = slices.Compact(g.Kinds)
	g.Table = make([][]float64, len(g.Kinds))
	for i := range g.Table {
		g.Table[i] = make([]float64, len(g.Kinds))
	}
	for _, t := range takes {
		for _, p := range t.parts {
			i, j := g.cell(p)
			g.Table[i][j] += p.length()
			g.Judged += p.length()
		}
	}
	g.bounds(takes)
	if g.Judged == 0 {
		const why = "there is no time that both have judged: see whether the marks are of the same take, in the same seconds"
		g.Agreed = estimate.Missing[float64]("not judged", "agreement", why)
		g.Kappa = estimate.Missing[float64]("not judged", "kappa", why)
		return g, nil
	}
	g.measure(takes)
	return g, nil
}

// cell returns the place of a part in the table.
func (g *Agreement) cell(p jointPart) (i, j int) {
	i, _ = slices.BinarySearch(g.Kinds, p.kinds[0])
	j, _ = slices.BinarySearch(g.Kinds, p.kinds[1])
	return i, j
}

// measure fills in what the table shows.
func (g *Agreement) measure(takes []jointTake) {
	k := newKappaTable(g.Table)
	g.Agreed = estimate.Value[float64]{Value: k.agreed, Low: math.NaN(), High: math.NaN()}
	g.Kappa = estimate.Value[float64]{Value: k.kappa, Low: math.NaN(), High: math.NaN()}
	g.Chance = k.chance
	g.Overlap = make([]float64, len(g.Kinds))
	for i := range g.Kinds {
		g.Overlap[i] = k.p[i][i] / (k.rows[i] + k.cols[i] - k.p[i][i])
	}
	if len(g.Kinds) == 2 {
		g.Prevalence = k.p[0][0] - k.p[1][1]
		g.Bias = k.rows[0] - k.cols[0]
		g.Adjusted = 2*k.agreed - 1
	}
	n := min(g.SpansFirst, g.SpansSecond)
	g.Agreed.N, g.Kappa.N = n, n
	if len(g.Kinds) < 2 {
		g.Kappa = estimate.Missing[float64]("one kind", "kappa",
			fmt.Sprintf("both say %s throughout, which leaves nothing to tell apart: go by the share on which they agree", g.Kinds[0]))
	}
	judged := 0
	for _, t := range takes {
		if len(t.parts) > 0 {
			judged++
		}
	}
	switch {
	case judged == 1 && n < leastMarkSpans:
		g.NoInterval = fmt.Sprintf("one viewer has %s in this take, and an interval needs %d: let both view %d takes or more", counted(n, "span"), leastMarkSpans, leastMarkTakes)
		return
	case judged > 1 && judged < leastMarkTakes:
		g.NoInterval = fmt.Sprintf("both judged %d takes, and an interval needs %d: let both view more", judged, leastMarkTakes)
		return
	case k.agreed == 1 || k.agreed == 0:
		g.NoInterval = "the two agree throughout or not at all, which does not show how far they may differ: let both view more takes"
		return
	}
	adds := [2]func(i, j int) float64{k.addsToAgreed, k.addsToKappa}
	for which, v := range []*estimate.Value[float64]{&g.Agreed, &g.Kappa} {
		if !v.Known() {
			continue
		}
		at := func(p jointPart) float64 { return adds[which](g.cell(p)) }
		se, df, units := 0.0, 0, n
		if judged == 1 {
			se, df = serialError(takes, at, g.Judged, n)
		} else {
			se, df = takesError(takes, at, g.Judged)
			units = judged
		}
		v.N = units
		least := []float64{0, -1}[which]
		v.Low, v.High, v.Level = belowOne(v.Value, se, df, least)
	}
}
