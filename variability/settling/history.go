package settling

import (
	"fmt"
	"math"

	"github.com/plectrace/plectrace/variability/estimate"
)

// HistoryOptions are the settings of [HistoryOf].
type HistoryOptions struct {
	// Margin is how far apart, in tolerances, the centres of one and the same
	// motion may lie. Zero or less means 1.
	Margin float64
	// Reference is a motion to hold the settled spans against, nil for none.
	Reference *Motion
}

// Hold is a settled span with what it keeps to.
type Hold struct {
	Stretch
	Motion Motion
	// Onset is absent for a span that nothing searching comes before.
	Onset Onset
	// FromLast compares the motion with that of the hold before; the zero value
	// for the first.
	FromLast Likeness
	// Again is the earlier hold that this one is a return to: the nearest of
	// those whose motion is the same; -1 if there is none.
	Again int
	// FromReference compares the motion with the reference, if one is given.
	FromReference Likeness
}

// History is how a take settles.
type History struct {
	Thirds   [3]Third
	Holds    []Hold    // settled spans
	Searches []Stretch // searching spans

	HoldLength, SearchLength Length

	// Leaves counts changes from settled to searching, Returns those back that
	// follow a leave, Switches changes from one settled span to another with
	// nothing between. What happens at a break is not seen and does not count.
	Leaves, Returns, Switches int
	// LeavesPerMinute and ReturnsPerMinute are per minute of playing. With five
	// of them or fewer the interval is that of events that come independently,
	// which these do not, and is too wide rather than too narrow.
	LeavesPerMinute, ReturnsPerMinute estimate.Value[float64]

	EndsSettled bool
	LastHold    Rank // by seconds; zero if there is no hold

	// OnsetMedian is the median over the holds whose onset can be told.
	OnsetMedian Onset

	// Trends over the order of the spans of a kind, those that are cut off left
	// out: lengths in seconds, rates in strokes per second.
	HoldTrend, SearchTrend         Trend
	HoldRateTrend, SearchRateTrend Trend

	// OnReference, Elsewhere and CannotSay divide the settled time by what
	// FromReference says. Absent without a reference or a hold.
	OnReference, Elsewhere, CannotSay estimate.Value[float64]

	Options HistoryOptions // those used
	Notes   []string
	Absent  *estimate.Absence
}

// HistoryOf describes how a take settles. r must be what [Find] returned for
// strokes; it panics if their numbers differ.
//
// Where r is absent so is the history, with the same reason. A part that cannot
// be had is absent by itself.
//
// The lengths of the spans may be tested for a trend: nothing but the least
// length of a settled span makes them what they are, and that is the same for
// all. Rates are not tested: the durations of the strokes have told the spans
// apart.
func HistoryOf(strokes []Stroke, r Result, o HistoryOptions) History {
	if len(strokes) != len(r.Labels) || len(strokes) != len(r.P) {
		panic("settling: strokes and result of unequal length")
	}
	if !(o.Margin > 0) {
		o.Margin = 1
	}
	h := History{Options: o}
	if h.Absent = r.Absent; h.Absent != nil {
		h.allAbsent()
		return h
	}
	t := r.Options.orDefault().Tolerances
	c, why := newColumns(strokes, t)
	if why != nil {
		h.Absent = why
		h.allAbsent()
		return h
	}
	h.Thirds = c.thirds(&r)
	var holds []Stretch
	holds, h.Searches = c.stretches(r.Spans)
	h.HoldLength, h.SearchLength = lengthOf("settled", holds), lengthOf("searching", h.Searches)
	if k := h.HoldLength.LeftOut + h.SearchLength.LeftOut; k > 0 {
		what := "1 span that goes on when the take or a part of it begins is"
		if k > 1 {
			what = fmt.Sprintf("%d spans that go on when the take or a part of it begins are", k)
		}
		h.Notes = append(h.Notes, what+" left out of the median lengths")
	}
	h.HoldTrend = trendOf("settled seconds", byPart(holds, c.parts, seconds))
	h.SearchTrend = trendOf("searching seconds", byPart(h.Searches, c.parts, seconds))
	const defines = "the durations of the strokes have told the spans apart, and their rates cannot be tested on these"
	h.HoldRateTrend = trendOf("settled rates", byPart(holds, c.parts, rate)).described("settled rates", defines)
	h.SearchRateTrend = trendOf("searching rates", byPart(h.Searches, c.parts, rate)).described("searching rates", defines)
	h.changes(c, r.Spans)
	h.motions(c, r.Spans, holds, t)
	h.LastHold = rankOfLast(h.Holds)
	h.EndsSettled = r.Labels[len(r.Labels)-1]
	return h
}

func seconds(s *Stretch) float64 { return s.Seconds }

func rate(s *Stretch) float64 { return s.Rate.Value }

// changes counts leaves, returns and switches.
func (h *History) changes(c *columns, spans []Span) {
	playing := 0.0
	for i := range c.x {
		playing += c.lasts(i)
	}
	left := false
	none := math.NaN()
	leave, back := none, none // when last, since the last break
	var leaves, returns []float64
	gap := func(dst []float64, last *float64, at float64) []float64 {
		if v := at - *last; v == v {
			dst = append(dst, v)
		}
		*last = at
		return dst
	}
	for k := range spans[1:] {
		a, b := spans[k], spans[k+1]
		if c.partOf(a.First) != c.partOf(b.First) {
			left, leave, back = false, none, none
			continue
		}
		switch {
		case a.Settled && b.Settled:
			h.Switches++
		case a.Settled:
			h.Leaves++
			leaves = gap(leaves, &leave, b.Start)
			left = true
		case left:
			h.Returns++
			returns = gap(returns, &back, b.Start)
			left = false
		}
	}
	h.LeavesPerMinute, h.ReturnsPerMinute = perMinute(h.Leaves, leaves, playing, len(spans)), perMinute(h.Returns, returns, playing, len(spans))
}

// motions fills in the holds and what is told from their motions.
func (h *History) motions(c *columns, spans []Span, holds []Stretch, t Tolerances) {
	var ref place
	if h.Options.Reference != nil {
		ref = c.place(h.Options.Reference, t)
	}
	ft := onsetFitter{c: c}
	places := make([]place, len(holds))
	buf := make([]float64, 0, 2*len(c.x))
	var onsets, onsetSeconds []float64
	at := 0
	for k, s := range holds {
		r := run{s.First, s.Last + 1}
		places[k] = c.placeOf(r, buf)
		hold := Hold{Stretch: s, Motion: c.motion(places[k], t), Again: -1}
		for spans[at].First != s.First {
			at++
		}
		if at > 0 && !spans[at-1].Settled && !s.CutStart {
			hold.Onset = ft.onset(run{spans[at-1].First, spans[at-1].Last + 1}, r, &places[k])
		} else {
			const why = "no searching comes before it"
			hold.Onset = Onset{
				estimate.Missing[float64]("no-searching", "strokes to take hold", why),
				estimate.Missing[float64]("no-searching", "seconds to take hold", why),
			}
		}
		if v := hold.Onset.Strokes; v.Known() {
			onsets = append(onsets, v.Value)
			onsetSeconds = append(onsetSeconds, hold.Onset.Seconds.Value)
		}
		nearest := math.Inf(1)
		if k > 0 {
			hold.FromLast = c.likeness(&places[k], &places[k-1], t, h.Options.Margin)
		}
		for j := range k {
			far, _, _ := c.farthest(&places[k], &places[j], t)
			if far >= min(nearest, h.Options.Margin) {
				continue // saves the work of an interval
			}
			if l := c.likeness(&places[k], &places[j], t, h.Options.Margin); l.Verdict == SameMotion {
				nearest, hold.Again = far, j
			}
		}
		if h.Options.Reference != nil {
			hold.FromReference = c.likeness(&places[k], &ref, t, h.Options.Margin)
		}
		h.Holds = append(h.Holds, hold)
	}
	if len(onsets) == 0 {
		const why = "of no settled span can it be told how it takes hold"
		h.OnsetMedian = Onset{
			estimate.Missing[float64]("none", "median strokes to take hold", why),
			estimate.Missing[float64]("none", "median seconds to take hold", why),
		}
	} else {
		h.OnsetMedian = Onset{estimate.MedianInterval(onsets, 0), estimate.MedianInterval(onsetSeconds, 0)}
	}
	h.reference()
}

// reference divides the settled time by the verdicts against the reference.
func (h *History) reference() {
	var by [MotionUnsure + 1]float64
	total := 0.0
	for i := range h.Holds {
		s := h.Holds[i].Seconds
		v := h.Holds[i].FromReference.Verdict
		if v == 0 {
			v = MotionUnsure
		}
		by[v] += s
		total += s
	}
	code, why := "", ""
	switch {
	case h.Options.Reference == nil:
		code, why = "no-reference", "no reference motion is given"
	case len(h.Holds) == 0:
		code, why = "none-settled", "no span of this take is settled"
	}
	for v, dst := range map[Verdict]*estimate.Value[float64]{SameMotion: &h.OnReference, AnotherMotion: &h.Elsewhere, MotionUnsure: &h.CannotSay} {
		if code != "" {
			*dst = estimate.Missing[float64](code, "settled time by the reference", why)
			continue
		}
		*dst = estimate.Value[float64]{Value: by[v] / total, Low: math.NaN(), High: math.NaN(), N: len(h.Holds)}
	}
}

// allAbsent gives every part the reason of the whole.
func (h *History) allAbsent() {
	v := estimate.Value[float64]{Absent: h.Absent}
	for k := range h.Thirds {
		h.Thirds[k].Share = v
	}
	l := Length{Strokes: v, Seconds: v}
	h.HoldLength, h.SearchLength = l, l
	h.LeavesPerMinute, h.ReturnsPerMinute = v, v
	h.OnsetMedian = Onset{v, v}
	t := Trend{Slope: v, Tau: math.NaN(), P: v}
	h.HoldTrend, h.SearchTrend, h.HoldRateTrend, h.SearchRateTrend = t, t, t, t
	h.OnReference, h.Elsewhere, h.CannotSay = v, v, v
}
