package review

import (
	"fmt"
	"math"
	"strings"

	"github.com/plectrace/plectrace/motion"
	"github.com/plectrace/plectrace/variability"
	"github.com/plectrace/plectrace/variability/circular"
	"github.com/plectrace/plectrace/variability/estimate"
	"github.com/plectrace/plectrace/variability/settling"
)

// Better says whether more of a measure is what practice aims at.
type Better int

const (
	// Neither is for what describes a motion without ranking it.
	Neither Better = iota
	More
	Less
)

// Scale says how two values of a measure are held against each other.
type Scale int

const (
	// Difference is for values that may be of either sign.
	Difference Scale = iota
	// Ratio is for values above zero, which change by a factor.
	Ratio
	// Share is for parts of a whole, 0 to 1, held against each other by their
	// difference.
	Share
	// Axis is for angles of lines in degrees, modulo half a turn.
	Axis
)

// Alike says how alike two takes must have been filmed for a measure of both
// to be compared. Its zero value is the strictest.
type Alike int

const (
	// SameSetup asks for one arrangement of camera, marks and tracked points
	// (the set-up's name).
	SameSetup Alike = iota
	// SameView asks for one view, and for millimetres or one set-up.
	SameView
	// AnyView compares however the takes were filmed.
	AnyView
)

// Measure is one row of the table of what a review measures. All that shows,
// writes or compares measures goes through this table.
type Measure struct {
	// Name is the measure's key in files.
	Name string
	// Title says it in words.
	Title string
	// Unit is the unit, with "unit" standing for that of lengths.
	Unit string
	// Of names one of what the value's N counts: "stroke", "cycle" (a
	// downstroke and an upstroke), "turn", "span", or "part" (of the take).
	Of string
	// Better says which way practice aims.
	Better Better
	// Scale says how two of its values are held against each other.
	Scale Scale
	// Alike says how alike two takes must have been filmed for that.
	Alike Alike
	// Get returns the measure of a review.
	Get func(*Review) estimate.Value[float64]
}

// Measures returns the table of measures, in the order of Review.Values.
func Measures() []Measure { return append([]Measure(nil), measures...) }

// Value returns the measure of that name.
func (r *Review) Value(name string) estimate.Value[float64] { return valueOf(r.Values, name) }

// valueOf returns the value of the measure of that name from those of the table.
func valueOf(values []estimate.Value[float64], name string) estimate.Value[float64] {
	for i, m := range measures {
		if m.Name == name && i < len(values) {
			return values[i]
		}
	}
	return estimate.Missing[float64]("unknown", name, "there is no such measure")
}

func degrees(v estimate.Value[circular.Angle]) estimate.Value[float64] {
	d := estimate.As[float64](v)
	d.Value, d.Low, d.High = v.Value.Degrees(), v.Low.Degrees(), v.High.Degrees()
	return d
}

const paceChanges = "the pace of the film changes within the take: review the parts by themselves"

// inTime returns a measure that has to do with time: it is absent where the pace
// of the film seems to change within the take.
func inTime(what string, get func(*Review) estimate.Value[float64]) func(*Review) estimate.Value[float64] {
	return func(r *Review) estimate.Value[float64] {
		if len(r.Jumps) > 0 {
			return estimate.Missing[float64]("pace", what, paceChanges)
		}
		return get(r)
	}
}

// ofHistory returns a measure of how the take settles.
func ofHistory(what string, get func(*settling.History) estimate.Value[float64]) func(*Review) estimate.Value[float64] {
	return inTime(what, func(r *Review) estimate.Value[float64] {
		if a := r.History.Absent; a != nil {
			return estimate.Missing[float64](a.Code, what, a.Why)
		}
		return get(&r.History)
	})
}

// median returns the median of a quantity over all strokes.
func (r *Review) median(what string, f func(motion.Stroke) float64) estimate.Value[float64] {
	x := r.column(f)
	v := estimate.SeriesMedian(x, 0.95)
	if v.N == 0 {
		return estimate.Missing[float64]("none", what, r.whyNo(what, r.whyNo("curvature, heights and clearing", "no stroke has one")))
	}
	return v
}

// leastScatter is the number of strokes of each direction that a scatter needs:
// deviations from the median of a handful come out too small.
const leastScatter = 8

// scatter returns the robust spread of a quantity from stroke to stroke about
// its centre for each direction, with the measured noise removed.
func (r *Review) scatter(what string, f, noise func(motion.Stroke) float64) estimate.Value[float64] {
	x := r.centred(f)
	down, up := 0, 0
	for i, s := range r.Motion.Strokes {
		switch {
		case x[i] != x[i]:
		case s.Direction == motion.Down:
			down++
		default:
			up++
		}
	}
	if min(down, up) < leastScatter {
		why := fmt.Sprintf("%d downstrokes and %d upstrokes have one; this needs %d of each", down, up, leastScatter)
		if down+up == 0 {
			why = r.whyNo(what, "no stroke has one")
		}
		return estimate.Missing[float64]("too few", what+" scatter", why)
	}
	var n, sum float64
	for _, s := range r.Motion.Strokes {
		if v := noise(s); v == v {
			n++
			sum += v * v
		}
	}
	sd := 0.0
	if n > 0 {
		sd = math.Sqrt(sum / n)
	}
	v := variability.SpreadOf(x, variability.Options{Noise: sd}).Robust
	if v.Absent != nil {
		why := v.Absent.Why
		if v.Absent.Code == "noise" {
			why = "it scatters less than the measurement's own noise"
		}
		return estimate.Missing[float64](v.Absent.Code, what+" scatter", why)
	}
	return v
}

func lengthOf(s motion.Stroke) float64 { return s.Length }

func (r *Review) lengthScatter() estimate.Value[float64] {
	return r.scatter("stroke length", lengthOf, func(s motion.Stroke) float64 { return s.Noise.Length })
}

func (r *Review) durationScatter() estimate.Value[float64] {
	return r.scatter("stroke duration", motion.Stroke.Duration, func(s motion.Stroke) float64 { return s.Noise.Duration })
}

// relative returns a scatter of a quantity as a share of the mean of both
// directions' medians.
func (r *Review) relative(scatter estimate.Value[float64], f func(motion.Stroke) float64) estimate.Value[float64] {
	if !scatter.Known() {
		return estimate.Missing[float64](scatter.Absent.Code, scatter.Absent.What+" as a share", scatter.Absent.Why)
	}
	by := 2 / (r.centre(motion.Down, f).Value + r.centre(motion.Up, f).Value)
	scatter.Value, scatter.Low, scatter.High = scatter.Value*by, scatter.Low*by, scatter.High*by
	return scatter
}

func (r *Review) column(f func(motion.Stroke) float64) []float64 {
	x := make([]float64, len(r.Motion.Strokes))
	for i, s := range r.Motion.Strokes {
		x[i] = f(s)
	}
	return x
}

// centred returns a quantity of the strokes less the median of its direction:
// downstrokes and upstrokes differ, which is not scatter.
func (r *Review) centred(f func(motion.Stroke) float64) []float64 {
	x := r.column(f)
	for _, d := range []motion.Direction{motion.Down, motion.Up} {
		m := r.centre(d, f)
		if !m.Known() {
			continue
		}
		for i, s := range r.Motion.Strokes {
			if s.Direction == d {
				x[i] -= m.Value
			}
		}
	}
	return x
}

// centre returns the median of a quantity over the strokes of one direction,
// without an interval.
func (r *Review) centre(d motion.Direction, f func(motion.Stroke) float64) estimate.Value[float64] {
	var own []float64
	for _, s := range r.Motion.Strokes {
		if s.Direction == d {
			own = append(own, f(s))
		}
	}
	return estimate.SeriesMedian(own, -1)
}

// UnitOf returns the unit of a measure in this review.
func (r *Review) UnitOf(m Measure) string {
	return strings.ReplaceAll(m.Unit, "unit", r.lengthUnit())
}

// lengthUnit is the unit of lengths in words; coordinates of a picture whose
// unit is not said are taken to be pixels.
func (r *Review) lengthUnit() string {
	switch {
	case r.Unit != "":
		return r.Unit
	case r.Tip.Planar():
		return "px"
	}
	return "units of the export"
}
