package tempo

import (
	"fmt"
	"math"

	"github.com/plectrace/plectrace/variability/estimate"
	"github.com/plectrace/plectrace/variability/robust"
)

// Verdict says which of two rates of a take to believe.
type Verdict int

const (
	// CannotSay is the verdict where the evidence does not decide.
	CannotSay Verdict = iota
	// RatesAgree says that both rates are the same within their intervals.
	RatesAgree
	// TurnsWrong says that turns were missed or found twice.
	TurnsWrong
	// SpectrumWrong says that the spectrum shows another motion than the cycle.
	SpectrumWrong
)

var verdicts = [...]string{"cannot say", "rates agree", "turns wrong", "spectrum wrong"}

// String returns "cannot say", "rates agree", "turns wrong" or "spectrum wrong".
func (v Verdict) String() string {
	if v < 0 || int(v) >= len(verdicts) {
		return fmt.Sprintf("Verdict(%d)", int(v))
	}
	return verdicts[v]
}

// MarshalText implements encoding.TextMarshaler.
func (v Verdict) MarshalText() ([]byte, error) {
	if v < 0 || int(v) >= len(verdicts) {
		return nil, fmt.Errorf("tempo: verdict %d is unknown", int(v))
	}
	return []byte(verdicts[v]), nil
}

// UnmarshalText implements encoding.TextUnmarshaler.
func (v *Verdict) UnmarshalText(text []byte) error {
	for i, name := range verdicts {
		if name == string(text) {
			*v = Verdict(i)
			return nil
		}
	}
	return fmt.Errorf("tempo: verdict %q is unknown", text)
}

// Evidence is what else is known of the strokes whose rate is compared. NaN
// or zero is not known.
type Evidence struct {
	// Lengths and Durations of the strokes in order, NaN where unknown; strokes
	// that follow each other are neighbours.
	Lengths, Durations []float64
	// RepairedShare is [Curve.RepairedShare].
	RepairedShare float64
	// SamplesPerStroke is by the rate of the strokes.
	SamplesPerStroke float64
}

// Agreement compares the rate of the strokes with that of the spectrum.
type Agreement struct {
	Verdict Verdict
	// Ratio is the strokes' rate over the spectrum's.
	Ratio estimate.Value[float64]
	// Of and To are the simple ratio that Ratio is within its interval, such as
	// 2 to 1; 0 where it is none.
	Of, To int
	// Why says the likely cause and what to look at.
	Why string
}

// simple ratios, the likeliest first.
var simple = [...][2]int{{1, 1}, {2, 1}, {1, 2}, {3, 2}, {2, 3}, {3, 1}, {1, 3}}

// Evidence that decides.
const (
	leastTolerance = 0.02 // of a ratio, whatever the intervals say
	unsaid         = 0.05 // the same, for a rate without an interval
	shortLong      = 0.6  // shorter over longer neighbour: unlike halves
	alike          = 0.8  // alike
	manyRepairs    = 0.2  // of the strokes
	fewRepairs     = 0.05
	roomForTurns   = 4.0 // samples that a stroke needs
)

// Agree holds the rate from turns, such as [FromTurns] gives, against that of
// the spectrum ([Spectral]) and says which to believe where they differ.
//
// Both can be wrong, in ways of their own. Turns are lost in pairs, with the
// short stroke between them, where strokes have few samples; and a hesitation
// within a stroke, at the string for instance, is found as two turns more, that
// part a stroke in unlike pieces. The spectrum knows nothing of turns and
// shows the strongest period: that of two cycles where every second one goes
// to another string (strokes' rate twice the spectrum's), and that of one
// stroke where the tip's strongest motion repeats with every stroke, down and
// up alike, as height does over a string (half). So the lengths and durations
// of neighbouring strokes, the share of repaired strokes, and the samples that
// strokes have decide between them:
//
//	strokes too many   unlike neighbours or many repairs: turns are wrong
//	                   neighbours alike and few repairs: the spectrum is
//	strokes too few    many repairs or fewer than 4 samples to a stroke of the
//	                   spectrum's rate: turns are wrong
//	                   8 samples and few repairs: the spectrum is
//
// Where two of them speak against each other, or none is known, the verdict is
// CannotSay. The bounds in numbers are this project's own.
//
// The interval of Ratio takes both rates as independent. Rates closer than 2 %
// (5 % where one of them has no interval) always agree.
func Agree(strokes, spectrum estimate.Value[NotesPerSecond], e Evidence) Agreement {
	if !strokes.Known() || !spectrum.Known() || !(strokes.Value > 0) || !(spectrum.Value > 0) {
		return Agreement{
			Ratio: estimate.Missing[float64]("no-rate", "ratio of the rates", "one of the two rates is not known"),
			Why:   "one of the two rates is not known: nothing is compared",
		}
	}
	ratio := float64(strokes.Value / spectrum.Value)
	tolerance := math.Hypot(halfWidth(strokes), halfWidth(spectrum))
	nan := math.NaN()
	a := Agreement{Ratio: estimate.Value[float64]{Value: ratio, Low: nan, High: nan, N: min(strokes.N, spectrum.N)}}
	if math.IsNaN(tolerance) {
		tolerance = unsaid
	} else {
		a.Ratio.Low, a.Ratio.High = ratio*math.Exp(-tolerance), ratio*math.Exp(tolerance)
		a.Ratio.Level = min(strokes.Level, spectrum.Level)
		tolerance = max(tolerance, leastTolerance)
	}
	best := math.Inf(1)
	for _, s := range simple {
		if off := math.Abs(math.Log(ratio * float64(s[1]) / float64(s[0]))); off <= tolerance && off < best-tolerance/2 {
			a.Of, a.To, best = s[0], s[1], off
		}
	}
	switch {
	case a.Of == 1 && a.To == 1:
		a.Verdict = RatesAgree
		a.Why = "turns and spectrum give the same rate"
	case ratio > 1:
		a.tooMany(e)
	default:
		a.tooFew(e)
	}
	return a
}

// halfWidth returns half of the interval of a rate, of its logarithm.
func halfWidth(v estimate.Value[NotesPerSecond]) float64 {
	if !(v.Level > 0) {
		return math.NaN()
	}
	return math.Log(float64(v.High/v.Low)) / 2
}

// tooMany judges strokes that are quicker than the spectrum.
func (a *Agreement) tooMany(e Evidence) {
	even := neighbours(e.Lengths)
	if math.IsNaN(even) {
		even = neighbours(e.Durations)
	}
	repaired := known(e.RepairedShare)
	turns := even < shortLong || repaired > manyRepairs
	spectrum := a.Of > 0 && even >= alike && !(repaired > fewRepairs)
	switch {
	case turns && !(even >= alike):
		a.Verdict = TurnsWrong
		a.Why = "turns were found that are none: neighbouring strokes are unlike, as when a stroke falters at the string and counts as more than one; look at the path between two turns, and smooth more"
	case spectrum && !turns:
		a.Verdict = SpectrumWrong
		a.Why = "the spectrum shows a longer period than the cycle: neighbouring strokes are alike, so that the pattern may be one of several cycles, such as a change of string; look at where the tip turns across the strings"
	default:
		a.Why = "there are more strokes than the spectrum shows, and nothing says which is right: count the strokes of two seconds in the film"
	}
}

// tooFew judges strokes that are slower than the spectrum.
func (a *Agreement) tooFew(e Evidence) {
	repaired := known(e.RepairedShare)
	samples := known(e.SamplesPerStroke) * a.Ratio.Value // to a stroke of the spectrum's rate
	turns := repaired > manyRepairs || samples < roomForTurns
	spectrum := a.Of > 0 && a.To > a.Of && samples >= 2*roomForTurns && !(repaired > fewRepairs)
	switch {
	case turns && !(samples >= 2*roomForTurns):
		a.Verdict = TurnsWrong
		a.Why = "turns were missed: by the spectrum's rate a stroke has few samples, or many strokes had to be repaired; film with more frames per second, and smooth less"
	case spectrum && !turns:
		a.Verdict = SpectrumWrong
		a.Why = "the spectrum shows the stroke and not the cycle: down- and upstroke look alike in the strongest motion, as height does; look at the spectrum of the motion across the strings alone"
	case repaired > manyRepairs:
		a.Verdict = TurnsWrong
		a.Why = "turns were missed: many strokes had to be repaired; look at the tracking of the tip where they are"
	default:
		a.Why = "there are fewer strokes than the spectrum shows, and nothing says which is right: count the strokes of two seconds in the film"
	}
}

// known returns v, NaN for zero.
func known(v float64) float64 {
	if v == 0 {
		return math.NaN()
	}
	return v
}

// neighbours returns how much shorter the shorter one of two neighbours is, in
// the middle of all pairs, as a share of the longer one; NaN below 8 pairs.
func neighbours(xs []float64) float64 {
	var ratios []float64
	for i := 1; i < len(xs); i++ {
		if a, b := xs[i-1], xs[i]; a > 0 && b > 0 {
			ratios = append(ratios, min(a, b)/max(a, b))
		}
	}
	if len(ratios) < 8 {
		return math.NaN()
	}
	return robust.MedianInPlace(ratios)
}
