package settling

import (
	"math"

	"gonum.org/v1/gonum/stat"
	"gonum.org/v1/gonum/stat/distuv"

	"github.com/plectrace/plectrace/variability/estimate"
)

// Stretch is a settled or searching span with its length.
type Stretch struct {
	Span
	Strokes int
	Seconds float64 // from the start of its first stroke to the end of its last
	// CutStart and CutEnd say that the take, or its part between two breaks,
	// begins or ends with the span: it may have lasted longer, and Strokes and
	// Seconds are lower bounds.
	CutStart, CutEnd bool
	// Rate is strokes per second, with an interval that bears autocorrelation.
	Rate estimate.Value[float64]
}

// Length is how long the spans of a kind last: the median by Kaplan & Meier
// (1958), which bears those cut off at the end, with the interval of Brookmeyer
// & Crowley (1982).
type Length struct {
	Strokes, Seconds estimate.Value[float64]
	// Whole spans lie between two changes. CutOff are those of which the end
	// was not seen: they count as at least so long. LeftOut are those of which
	// the beginning was not seen: a span that is going on when the recording
	// begins is longer than most, by an amount that nothing tells.
	Whole, CutOff, LeftOut int
}

// Rank is the place of a length among others: 1 for the longest, and the better
// one for equals. Best and Worst are the bounds that spans cut off leave: one
// of them may be longer than was seen. Of is the number of all.
type Rank struct{ Rank, Best, Worst, Of int }

// stretches lists the spans of r of either kind.
func (c *columns) stretches(spans []Span) (holds, searches []Stretch) {
	buf := make([]float64, 0, len(c.x))
	for _, s := range spans {
		p := c.partOf(s.First)
		st := Stretch{
			Span: s, Strokes: s.Last - s.First + 1, Seconds: s.End - s.Start,
			CutStart: s.First == p.lo, CutEnd: s.Last == p.hi-1,
		}
		buf = buf[:0]
		for i := s.First; i <= s.Last; i++ {
			buf = append(buf, c.end[i]-c.start[i])
		}
		st.Rate = rateOf(buf)
		if s.Settled {
			holds = append(holds, st)
		} else {
			searches = append(searches, st)
		}
	}
	return holds, searches
}

// rateOf returns strokes per second of strokes that last so long, with the
// interval of [estimate.Mean].
func rateOf(lasts []float64) estimate.Value[float64] {
	n := float64(len(lasts))
	mean := stat.Mean(lasts, nil)
	v := estimate.Value[float64]{Value: 1 / mean, Low: math.NaN(), High: math.NaN(), N: len(lasts)}
	if variance, df := estimate.LongRun(lasts); df > 1 {
		if t := student(z975, float64(df)) * math.Sqrt(variance/n); t < mean {
			v.Low, v.High, v.Level = 1/(mean+t), 1/(mean-t), 0.95
		}
	}
	return v
}

// lengthOf returns the median length of spans of a kind.
func lengthOf(kind string, ss []Stretch) (l Length) {
	var strokes, seconds []lifetime
	for _, s := range ss {
		switch {
		case s.CutStart:
			l.LeftOut++
			continue
		case s.CutEnd:
			l.CutOff++
		default:
			l.Whole++
		}
		strokes = append(strokes, lifetime{float64(s.Strokes), s.CutEnd})
		seconds = append(seconds, lifetime{s.Seconds, s.CutEnd})
	}
	l.Strokes = medianLength("median strokes of a "+kind+" span", strokes)
	l.Seconds = medianLength("median seconds of a "+kind+" span", seconds)
	return l
}

// rankOfLast ranks the last of the holds by seconds.
func rankOfLast(hs []Hold) (r Rank) {
	if len(hs) == 0 {
		return r
	}
	last := &hs[len(hs)-1]
	cut := last.CutStart || last.CutEnd
	r = Rank{Rank: 1, Best: 1, Worst: 1, Of: len(hs)}
	for i := range hs[:len(hs)-1] {
		h := &hs[i]
		longer := h.Seconds > last.Seconds*(1+1e-9) // more than rounding
		if longer {
			r.Rank++
		}
		if longer && !cut {
			r.Best++ // the last will not grow past it
		}
		if longer || h.CutStart || h.CutEnd {
			r.Worst++
		}
	}
	return r
}

// minGaps is the number of gaps between events below which their scatter is not
// known well enough.
const minGaps = 5

// perMinute returns events in that many seconds of playing as a rate per
// minute; gaps are the seconds between neighbouring ones. The interval is that
// of a renewal process,
//
//	rate × exp(±t CV/√n), CV of the gaps (Cox 1962, 3.3)
//
// and with few gaps the exact one of a Poisson process (Garwood 1936), which is
// wider: settled and searching take turns, and both need their time.
func perMinute(count int, gaps []float64, seconds float64, spans int) estimate.Value[float64] {
	n, minutes := float64(count), seconds/60
	v := estimate.Value[float64]{Value: n / minutes, Level: 0.95, N: spans}
	if len(gaps) >= minGaps {
		mean, sd := stat.MeanStdDev(gaps, nil)
		f := math.Exp(student(z975, float64(len(gaps)-1)) * sd / mean / math.Sqrt(n))
		v.Low, v.High = v.Value/f, v.Value*f
		return v
	}
	if count > 0 {
		v.Low = distuv.ChiSquared{K: 2 * n}.Quantile(0.025) / 2 / minutes
	}
	v.High = distuv.ChiSquared{K: 2*n + 2}.Quantile(0.975) / 2 / minutes
	return v
}

// Third is one of three parts of a take that last equally long.
type Third struct {
	Start, End float64 // seconds
	// Share is the settled share of the playing time. A stroke that straddles
	// a bound counts on either side with its own part. The interval holds how
	// well the ends of the spans are known, and unlike that of Result.Share not
	// whether each is one.
	Share estimate.Value[float64]
	// Holds is the number of settled spans with some of their time in the
	// third: one that straddles a bound counts on both sides. Begun is the
	// number of those that begin in it.
	Holds, Begun int
}

// thirds divides the time between the first and the last stroke.
func (c *columns) thirds(r *Result) (out [3]Third) {
	n := len(c.x)
	from := c.start[0]
	to := from
	for _, t := range c.end {
		to = max(to, t)
	}
	reach := c.reachOf(r.Spans)
	for k := range out {
		t := &out[k]
		t.Start, t.End = from+(to-from)*float64(k)/3, from+(to-from)*float64(k+1)/3
		within := func(i int) float64 { return max(0, min(c.end[i], t.End)-max(c.start[i], t.Start)) }
		var settled, total, inner, outer float64
		strokes := 0
		for i := range n {
			d := within(i)
			if d > 0 {
				strokes++
			}
			total += d
			if r.Labels[i] {
				settled += d
			}
		}
		h := 0
		for _, s := range r.Spans {
			if !s.Settled {
				continue
			}
			if s.Start < t.End && s.End > t.Start {
				t.Holds++
			}
			if s.Start >= t.Start && s.Start < t.End {
				t.Begun++
			}
			in, o := c.ends(run{s.First, s.Last + 1}, reach[h], r.P, within)
			inner += in
			outer += o
			h++
		}
		if total == 0 {
			t.Share = estimate.Missing[float64]("no-playing", "settled share of a third of the take", "nothing was played in it")
			continue
		}
		t.Share = estimate.Value[float64]{
			Value: settled / total,
			Low:   max(0, settled-math.Sqrt(inner)) / total,
			High:  min(total, settled+math.Sqrt(outer)) / total,
			Level: 0.95, N: strokes,
		}
	}
	return out
}

// reachOf returns the reach of each of the settled spans.
func (c *columns) reachOf(spans []Span) []run {
	var cs []run
	for _, s := range spans {
		if s.Settled {
			cs = append(cs, run{s.First, s.Last + 1})
		}
	}
	return c.reach(cs)
}
