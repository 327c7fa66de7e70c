package learning

import (
	"fmt"
	"math"
	"strings"

	"github.com/plectrace/plectrace/variability/estimate"
)

const (
	verdictLevel = 0.95
	// minLevel is the number of values below which no level is claimed while
	// the likeness of neighbours has to be estimated from them too: of those
	// claimed for 8 values fewer than nine in ten held the truth.
	minLevel = 10
	// done is the share of all change at which the level counts as reached.
	done = 0.95
	// bend is the least difference of AICc by which a curve must be better
	// than a line before a bend is claimed.
	bend = 4
)

// judge sets the verdict, its sentence and what belongs to a level.
func (r *Result) judge(j *judgement) {
	places := 0
	if j != nil {
		places = len(distinct(j.p.x))
	}
	switch {
	case r.N < minValues:
		r.refuse(TooFew, fmt.Sprintf("%s: too few to tell a change from chance. Record takes or sessions until there are at least %d.",
			count(r.N, "value"), minValues))
		return
	case places < 4:
		r.refuse(TooFew, fmt.Sprintf("%d values at %s on the x axis: too few to tell a change from chance. Record on at least 4 days.",
			r.N, count(places, "place")))
		return
	case j.degenerate():
		r.refuse(NoChange, fmt.Sprintf("All %d values are equal: no change seen. Check that they are measurements.", r.N))
		return
	}
	r.P = j.test()
	if !(r.P <= 1-verdictLevel) {
		text := fmt.Sprintf("No change seen over %d values.", r.N)
		if v := r.Change; v.Known() && v.Level > 0 {
			text += fmt.Sprintf(" From first to last it lies between %s and %s.", short(v.Low), short(v.High))
		}
		r.refuse(NoChange, text+" Keep recording: smaller changes need more sessions.")
		return
	}
	pool := j.levelling()
	open := math.Inf(1) // the best of the kinds that tend to no level
	for _, k := range []Kind{Line, Logarithm, PowerToZero} {
		if f := j.fits[k]; f != nil {
			open = min(open, f.aicc)
		}
	}
	level := math.Inf(1)
	if pool != nil {
		level = pool.first.aicc
	}
	moved := "The values have changed" + r.by()
	bent := moved + ", less and less so"
	if f := j.fits[PowerToZero]; r.Best == PowerToZero && f.node.kappa < -f.clock.span {
		bent = moved + ", more and more so" // y = B (x + Prior)^-C, C below -1
	}
	switch {
	case j.fits[Line].aicc <= min(level, open)+bend:
		r.refuse(Trend, moved+", and a line describes that as well as a curve does: nothing can be said about a level. Keep recording until a bend shows.")
	case level > open-alike:
		r.refuse(StillChanging, bent+", but curves that never level off describe that as well: still changing, level not yet in sight. Keep recording.")
	case r.N < minLevel && !r.Options.Independent:
		r.refuse(StillChanging, fmt.Sprintf("%s, but %d values are too few for a level: still changing. Record at least %d.", bent, r.N, minLevel))
	case pool.first.tooFast():
		r.refuse(Trend, moved+", nearly all of it between the first places on the x axis: too fast for a curve. Record more takes there.")
	default:
		r.level(j, pool, moved, bent)
	}
}

// level judges whether the level is in sight and reached.
func (r *Result) level(j *judgement, p *pool, moved, bent string) {
	first := p.first
	far := farthest * math.Abs(first.node.b1)
	// The far bound of what is still to come, over what has come so far.
	low, high := p.interval(expected, verdictLevel, far)
	if beyond := max(low/first.node.b1, high/first.node.b1); !(beyond <= r.Options.Reach) {
		r.refuse(StillChanging, bent+": still changing, level not yet in sight. Keep recording.")
		return
	}
	r.Plateau = j.value(p, plateau, true, far)
	r.Expected = j.value(p, expected, false, far)
	share := func(t float64) float64 { return -math.Expm1(-math.Exp(t)) }
	start := first.node.u
	kappa := func(_ *shape, t float64) float64 { return math.Exp(t) }
	r.Done = point(share(start), r.N)
	if l := r.Options.Level; l > 0 && l < 1 {
		low, high := p.kappaInterval(l, start, kappa, true)
		bound(&r.Done, share(low), share(high), l)
	}
	r.Half = r.reaches(p, 0.5)
	r.NinetyFive = r.reaches(p, 0.95)
	text := fmt.Sprintf("%s and level off towards %s", moved, short(r.Plateau.Value))
	if r.Plateau.Level > 0 {
		text += fmt.Sprintf(" (%s to %s)", short(r.Plateau.Low), short(r.Plateau.High))
	}
	if least, _ := p.kappaInterval(verdictLevel, start, kappa, true); share(least) >= done {
		r.Verdict, r.Sentence = Reached, text+". That level is reached: look at what else this measure may depend on before more of the same practice."
		return
	}
	r.Verdict, r.Sentence = Levelling, fmt.Sprintf("%s, about %.0f %% of the way done. Keep recording: later values will tell when the level is reached.",
		text, 100*r.Done.Value)
}

// reaches is where on the x axis a share of all change is done.
func (r *Result) reaches(p *pool, share float64) estimate.Value[float64] {
	what := fmt.Sprintf("where %.0f %% of the change is done", 100*share)
	f := p.first
	need := -math.Log1p(-share) // κ z
	width := r.Last - r.First
	value := f.clock.x(need / f.node.kappa)
	if !(value <= r.Last+r.Options.Reach*width) {
		return estimate.Missing[float64]("beyond-reach", what, "it lies farther beyond the values than Options.Reach")
	}
	v := point(value, r.N)
	if l := r.Options.Level; l > 0 && l < 1 {
		// Times are searched as First + exp(t).
		at := func(t float64) float64 { return r.First + math.Exp(t) }
		low, high := p.kappaInterval(l, math.Log(value-r.First), func(s *shape, t float64) float64 {
			return need / s.clock.at(at(t))
		}, false)
		bound(&v, at(low), at(high), l)
		if v.High > r.Last+r.Options.Reach*width {
			v.High = math.Inf(1)
		}
	}
	return v
}

// refuse sets a verdict that goes without a level, and why there is none.
func (r *Result) refuse(v Verdict, sentence string) {
	r.Verdict, r.Sentence = v, sentence
	if v == TooFew {
		r.Best, r.Alike = KindUnknown, nil
	}
	why := map[Verdict]string{
		TooFew:        "there are too few values",
		NoChange:      "no change is seen",
		Trend:         "no bend is seen in the change",
		StillChanging: "the level is not in sight yet",
	}[v]
	missing := func(what string) estimate.Value[float64] {
		return estimate.Missing[float64](strings.ReplaceAll(v.String(), " ", "-"), what, why)
	}
	r.Plateau, r.Expected, r.Done = missing("level"), missing("change still to come"), missing("share done")
	r.Half, r.NinetyFive = missing("where half of the change is done"), missing("where 95 % of the change is done")
}

// by says how much the values have changed.
func (r *Result) by() string {
	v := r.Change
	if !v.Known() {
		return ""
	}
	times := ""
	if r.Options.Log {
		times = " a factor of"
	}
	if v.Level == 0 {
		return fmt.Sprintf(" by%s %s", times, short(v.Value))
	}
	return fmt.Sprintf(" by%s %s (%s to %s)", times, short(v.Value), short(v.Low), short(v.High))
}

func short(v float64) string { return fmt.Sprintf("%.3g", v) }

func count(n int, what string) string {
	if n == 1 {
		return "1 " + what
	}
	return fmt.Sprintf("%d %ss", n, what)
}
