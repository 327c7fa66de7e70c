package main

import (
	"fmt"
	"math"
	"sort"

	"github.com/plectrace/plectrace/examples/internal/notebook"
	"github.com/plectrace/plectrace/motion"
	"github.com/plectrace/plectrace/motion/figure"
	"github.com/plectrace/plectrace/motion/review"
	"github.com/plectrace/plectrace/variability/circular"
	"github.com/plectrace/plectrace/variability/estimate"
)

// figures are the pictures of the whole take.
func figures(s *notebook.Section, r *review.Review) {
	var settled []figure.Span
	for _, sp := range r.Spans {
		if sp.Settled {
			settled = append(settled, figure.Span{Start: sp.Start, End: sp.End})
		}
	}
	second, secondName := r.Placed.Out, "out"
	if r.Frame.View.HasOut() {
		f := figure.Paths{Across: r.Placed.Across, Out: r.Placed.Out, Unit: unit(r), HeightsKnown: !r.Motion.Options.Relative}
		if a := r.Value("path_angle_deg"); a.Known() {
			f.Angle = estimate.As[circular.Angle](a)
			f.Angle.Value *= circular.Degree
			f.Angle.Low *= circular.Degree
			f.Angle.High *= circular.Degree
		}
		switch half := r.Setup.Marks.DistanceMM / 2; {
		case r.Contacts != nil:
			for k := 1; k <= r.Strings.Number; k++ {
				low, high := r.Strings.Height(k)
				f.Strings = append(f.Strings, figure.Mark{Name: fmt.Sprintf("string %d", k), Point: figure.Point{X: r.Strings.Across(k), Y: (low + high) / 2}})
			}
		case half > 0 && r.Card == nil:
			f.Strings = []figure.Mark{{Name: "bass mark", Point: figure.Point{X: -half}}, {Name: "treble mark", Point: figure.Point{X: half}}}
		}
		s.Figure(notebook.Figure{
			Name:    "path",
			Of:      f,
			Alt:     "The tip's path seen along the strings, at equal scales, with the axis of the path and the string plane.",
			Caption: "The path as seen along the strings, across and out at the same scale. Out of the instrument is up.",
		})
	} else {
		second, secondName = r.Placed.Along, "along"
	}

	over := figure.StrokesOverTime{T: r.Placed.T, Across: r.Placed.Across, Unit: unit(r)}
	in := r.SettledStrokes()
	var times, rates, angles, low, high, middles []float64
	for i, st := range r.Motion.Strokes {
		over.Strokes = append(over.Strokes, figure.Stroke{
			Start: st.Start, End: st.End, Settled: in != nil && in[i], StartHidden: st.StartHidden, EndHidden: st.EndHidden,
		})
		middles = append(middles, st.Middle())
		angles, low, high = append(angles, st.PathAngle.Degrees()), append(low, st.PathAngleLow.Degrees()), append(high, st.PathAngleHigh.Degrees())
		if i > 0 {
			rate := math.NaN()
			if st.Joined {
				rate = 2 / (st.End - r.Motion.Strokes[i-1].Start)
			}
			times, rates = append(times, st.Start), append(rates, rate)
		}
	}
	s.Figure(notebook.Figure{
		Name:    "strokes",
		Of:      over,
		Alt:     "Where the tip is across the strings over time, settled and searching strokes told apart.",
		Caption: "The tip across the strings over time. Gaps are pauses or lost samples.",
	})
	if !changesPace(r) {
		s.Figure(notebook.Figure{
			Name:    "rate",
			Of:      figure.RateOverTime{T: times, Rate: rates, Settled: settled, Typical: positive(r.Value("notes_per_second"))},
			Alt:     "Strokes per second over time, with beats per minute of sixteenths beside.",
			Caption: "Speed from cycle to cycle (a downstroke and an upstroke); settled spans are shaded.",
		})
	}
	if r.Value("path_angle_deg").Known() {
		s.Figure(notebook.Figure{
			Name:    "angle",
			Of:      figure.AngleOverTime{T: middles, Angle: angles, Low: low, High: high, Settled: settled},
			Alt:     "Path angle of every stroke over time.",
			Caption: "Path angle of every stroke; a band shows how far the measurement alone may be off, where that is large.",
		})
	}
	if len(r.Carries) > 0 && r.Carries[0].Value.Known() {
		f := figure.CarryOverTime{Settled: settled}
		for _, c := range r.Carries[0].Strokes {
			if c.Own {
				f.T, f.Carry = append(f.T, c.Time), append(f.Carry, c.Hand/c.Tip)
			}
		}
		s.Figure(notebook.Figure{
			Name:    "carry",
			Of:      f,
			Alt:     "Carry of the hand in every stroke over time.",
			Caption: fmt.Sprintf("Carry of the %s in every stroke: how far it travels in step with the tip.", pointName(r.Carries[0])),
		})
	}
	var down, up figure.Turns
	for _, st := range r.Motion.Strokes {
		turns := &down
		if st.Direction == motion.Up {
			turns = &up
		}
		if at := st.End; !st.EndHidden {
			turns.Across = append(turns.Across, st.AcrossEnd)
			turns.Second = append(turns.Second, valueAt(r.Placed.T, second, at))
		}
	}
	s.Figure(notebook.Figure{
		Name:    "turns",
		Of:      figure.TurnScatter{AfterDown: down, AfterUp: up, Second: secondName, Unit: unit(r)},
		Alt:     "Where the strokes turn, on the treble side and on the bass side.",
		Caption: "Where the tip turns. A tight cloud is a turn that comes back to the same place; a hand that moves to another string spreads it sideways.",
	})
}

func positive(v estimate.Value[float64]) float64 {
	if !v.Known() {
		return 0
	}
	return v.Value
}

// valueAt is the value at the seen sample nearest to a time.
func valueAt(t, x []float64, at float64) float64 {
	best, v := math.Inf(1), math.NaN()
	i := sort.SearchFloat64s(t, at)
	for j := max(0, i-3); j < min(len(t), i+4); j++ {
		if d := math.Abs(t[j] - at); x[j] == x[j] && d < best {
			best, v = d, x[j]
		}
	}
	return v
}
