package progress

import (
	"fmt"
	"math"
	"strings"

	"github.com/plectrace/plectrace/motion/review"
	"github.com/plectrace/plectrace/variability/estimate"
)

// side is a measure of the takes of one side, on its scale.
type side struct {
	v     estimate.Value[float64]
	takes int
}

// sideOf returns the mean of a measure over the takes of one side that have it,
// with the interval that the strokes of each give.
func sideOf(m review.Measure, takes []Take) side {
	var xs []float64
	var low, high, n, level float64
	level = 1
	var absent *estimate.Absence
	for _, t := range takes {
		v := onScale(m.Scale, t.Summary.Value(m.Name))
		if !v.Known() {
			if absent == nil {
				absent = v.Absent
			}
			continue
		}
		xs = append(xs, v.Value)
		level = math.Min(level, v.Level)
		n += float64(v.N)
		low, high = math.Hypot(low, v.Value-v.Low), math.Hypot(high, v.High-v.Value)
	}
	if len(xs) == 0 {
		if absent == nil {
			absent = &estimate.Absence{Code: "none", What: m.Title, Why: "it is not measured"}
		}
		return side{v: estimate.Value[float64]{Absent: absent}}
	}
	mean, ok := meanOn(m.Scale, xs)
	if !ok {
		return side{v: estimate.Missing[float64]("spread out", m.Title, "the lines of the takes point every way, so that they have no mean"), takes: len(xs)}
	}
	k := float64(len(xs))
	v := estimate.Value[float64]{Value: mean, Low: mean - low/k, High: mean + high/k, Level: level, N: int(n)}
	if level == 0 {
		v.Low, v.High = math.NaN(), math.NaN()
	}
	return side{v, len(xs)}
}

// onScale returns a value on its scale: of a Ratio the logarithm.
func onScale(s review.Scale, v estimate.Value[float64]) estimate.Value[float64] {
	if s != review.Ratio || !v.Known() {
		if v.Absent == nil && !v.Known() {
			return estimate.Missing[float64]("none", "", "it is not measured")
		}
		return v
	}
	if !(v.Value > 0) {
		return estimate.Missing[float64]("zero", "", fmt.Sprintf("it is %s, which changes by no factor", number(v.Value)))
	}
	low, high := v.Low, v.High
	v.Value, v.Low, v.High = math.Log(v.Value), math.Log(low), math.Log(high)
	if v.Level > 0 && !(low > 0) {
		v.Low, v.High, v.Level = math.NaN(), math.NaN(), 0
	}
	return v
}

// told returns a value on its scale as the measure has it.
func (s side) told(scale review.Scale) estimate.Value[float64] {
	v := s.v
	if scale == review.Ratio && v.Known() {
		v.Value, v.Low, v.High = math.Exp(v.Value), math.Exp(v.Low), math.Exp(v.High)
	}
	return v
}

// between returns the second value less the first, both on the scale. The
// interval has from each side what each reaches that way, squared and added (Zou
// and Donner 2008); Level is the lower of the two, and 0 where one has no
// interval.
func between(s review.Scale, a, b estimate.Value[float64]) estimate.Value[float64] {
	d := changeOn(s, a.Value, b.Value)
	v := estimate.Value[float64]{Value: d, Low: math.NaN(), High: math.NaN(), N: a.N + b.N}
	if level := math.Min(a.Level, b.Level); level > 0 {
		v.Low = d - math.Hypot(b.Value-b.Low, a.High-a.Value)
		v.High = d + math.Hypot(b.High-b.Value, a.Value-a.Low)
		v.Level = level
	}
	return v
}

// unitOf returns the unit of a measure of a take.
func unitOf(m review.Measure, t Take) string {
	return strings.ReplaceAll(m.Unit, "unit", t.Summary.Unit)
}
