package take

import (
	"math"

	"github.com/plectrace/plectrace/motion/figure"
	"github.com/plectrace/plectrace/motion/review"
	"github.com/plectrace/plectrace/tempo"
	"github.com/plectrace/plectrace/trajectory"
)

// Strokes returns the tip across the strings over time, in settled and searching
// strokes, or all alike where that could not be judged.
func Strokes(r *review.Review) figure.StrokesOverTime {
	in := r.SettledStrokes()
	f := figure.StrokesOverTime{T: r.Placed.T, Across: r.Placed.Across, Unit: unit(r), Unjudged: in == nil}
	for i, st := range r.Motion.Strokes {
		f.Strokes = append(f.Strokes, figure.Stroke{
			Start: st.Start, End: st.End, Settled: in != nil && in[i],
			StartHidden: st.StartHidden, EndHidden: st.EndHidden,
		})
	}
	return f
}

// Rate returns the rate of every cycle over time, with its curve (Pace.Curve) and
// that of the take across. It is empty where the film's pace changes within the
// take.
func Rate(r *review.Review) figure.RateOverTime {
	if len(r.Jumps) > 0 {
		return figure.RateOverTime{}
	}
	f := figure.RateOverTime{Settled: settled(r), Note: r.Setup.TempoNote}
	if v := r.Value("notes_per_second"); v.Known() {
		f.Typical = v.Value
	}
	if r.Pace != nil {
		c := r.Pace.Curve
		f.Curve = figure.Curve{X: c.T, Y: column(c.Rate), Low: column(c.Low), High: column(c.High)}
	}
	for i, st := range r.Motion.Strokes {
		if i == 0 {
			continue
		}
		rate := math.NaN()
		if st.Joined {
			rate = 2 / (st.End - r.Motion.Strokes[i-1].Start)
		}
		f.T, f.Rate = append(f.T, st.Start), append(f.Rate, rate)
	}
	return f
}

// column returns rates as plain numbers.
func column(rates []tempo.NotesPerSecond) []float64 {
	out := make([]float64, len(rates))
	for i, v := range rates {
		out[i] = float64(v)
	}
	return out
}

// Angle returns the path angles of the strokes over time, as the picture shows
// them, with their bounds; those of an oblique view are named picture angles. It
// is empty where the take has none.
func Angle(r *review.Review) figure.AngleOverTime {
	if !r.Angle().Known() {
		return figure.AngleOverTime{}
	}
	f := figure.AngleOverTime{Settled: settled(r), Level: 0.95} // as motion.Stroke has them
	if r.Frame.View == trajectory.Oblique {
		f.Name = "picture angle"
	}
	for _, st := range r.Motion.Strokes {
		f.T = append(f.T, st.Middle())
		f.Angle = append(f.Angle, st.PathAngle.Degrees())
		f.Low = append(f.Low, st.PathAngleLow.Degrees())
		f.High = append(f.High, st.PathAngleHigh.Degrees())
	}
	return f
}

// Carry returns the carry of the strokes over time, that of the point which
// stands for the hand (the first of r.Carries). It is empty without one.
func Carry(r *review.Review) figure.CarryOverTime {
	if len(r.Carries) == 0 || !r.Carries[0].Value.Known() {
		return figure.CarryOverTime{}
	}
	f := figure.CarryOverTime{Settled: settled(r)}
	for _, c := range r.Carries[0].Strokes {
		if c.Own {
			f.T, f.Carry = append(f.T, c.Time), append(f.Carry, c.Hand/c.Tip)
		}
	}
	return f
}

// Spans returns the settled and searching spans, the settled ones numbered from 1,
// over the time from the first sample to the last. Add a Strip to hold a
// viewer's marks against them. It is empty where spans could not be judged, and
// where the film's pace changes within the take.
func Spans(r *review.Review) figure.SpansOverTake {
	var f figure.SpansOverTake
	if r.Settling.Absent != nil || len(r.Jumps) > 0 || len(r.Spans) == 0 {
		return f
	}
	f.Take = figure.Span{Start: r.Tip.T[0], End: r.Tip.T[len(r.Tip.T)-1]}
	strip := figure.Strip{Name: "spans", Numbered: true}
	for _, sp := range r.Spans {
		strip.Parts = append(strip.Parts, figure.Part{Span: figure.Span{Start: sp.Start, End: sp.End}, Kind: sp.Kind()})
	}
	f.Strips = []figure.Strip{strip}
	return f
}

// EarlyLate returns the strokes' quantities in the early and the late part of
// the take, those of both; durations in milliseconds. It is empty where the
// film's pace changes within the take.
func EarlyLate(r *review.Review) figure.EarlyLate {
	var f figure.EarlyLate
	if len(r.Jumps) > 0 {
		return f
	}
	for _, c := range r.EarlyLate {
		p := figure.Pair{Name: c.Title, Unit: c.Unit}
		scale := 1.0
		if c.Unit == "s" {
			p.Unit, scale = "ms", 1000
		}
		for i, t := range c.Times {
			switch v := c.Values[i] * scale; {
			case v != v:
			case t >= c.Early.From && t <= c.Early.To:
				p.Early = append(p.Early, v)
			case t >= c.Late.From && t <= c.Late.To:
				p.Late = append(p.Late, v)
			}
		}
		if len(p.Early) > 0 && len(p.Late) > 0 {
			f.Pairs = append(f.Pairs, p)
		}
	}
	return f
}

// settled are the settled spans.
func settled(r *review.Review) []figure.Span {
	var spans []figure.Span
	for _, sp := range r.Spans {
		if sp.Settled {
			spans = append(spans, figure.Span{Start: sp.Start, End: sp.End})
		}
	}
	return spans
}
