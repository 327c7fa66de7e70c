package motion

import (
	"fmt"
	"math"

	"gonum.org/v1/gonum/floats"

	"github.com/plectrace/plectrace/variability/estimate"
	"github.com/plectrace/plectrace/variability/robust"
)

// Clearing says after which strokes the tip turns out of the strings' way.
// Its zero value is unknown.
type Clearing int

const (
	ClearingUnknown Clearing = iota
	ClearsAfterDownstrokes
	ClearsAfterUpstrokes
	ClearsBoth
	ClearsNeither
)

var clearingText = [...]string{"", "after downstrokes", "after upstrokes", "both", "neither"}

// String returns "after downstrokes", "after upstrokes", "both", "neither" or
// "" for unknown.
func (c Clearing) String() string {
	if c < 0 || int(c) >= len(clearingText) {
		return fmt.Sprintf("Clearing(%d)", int(c))
	}
	return clearingText[c]
}

// MarshalText implements encoding.TextMarshaler.
func (c Clearing) MarshalText() ([]byte, error) { return []byte(c.String()), nil }

// UnmarshalText implements encoding.TextUnmarshaler.
func (c *Clearing) UnmarshalText(b []byte) error {
	for i, s := range clearingText {
		if s == string(b) {
			*c = Clearing(i)
			return nil
		}
	}
	return fmt.Errorf("motion: unknown clearing %q", b)
}

// ClearingEvidence is the clearing of a take with what speaks for it.
type ClearingEvidence struct {
	Clearing Clearing
	// AfterDown and AfterUp are the median heights of the turns that end
	// downstrokes and upstrokes, in the unit of the path, over the string
	// played (see Options.StringLow), which is the string plane unless the
	// options say otherwise.
	AfterDown, AfterUp estimate.Value[float64]
	// Rise is the median of how much further out a downstroke ends than it
	// begins. Unlike the heights it needs no known zero.
	Rise estimate.Value[float64]
	// Absent is the reason why Clearing is unknown.
	Absent *estimate.Absence
}

// Clear judges from the heights of the turns which of them lie out of the
// strings' way: those whose median height is above the string played with its
// whole interval. It is unknown when an interval holds zero, and when the turns
// are too few for one.
func (m *Motion) Clear() ClearingEvidence {
	var down, up, rise []float64
	for _, s := range m.Strokes {
		end, start := &down, &up
		if s.Direction == Up {
			end, start = &up, &down
		}
		*end = appendKnown(*end, s.HeightEnd)
		if !s.Joined { // otherwise counted as the end of the stroke before
			*start = appendKnown(*start, s.HeightStart)
		}
		rise = appendKnown(rise, s.rise)
	}
	e := ClearingEvidence{
		AfterDown: m.height("height after downstrokes", down),
		AfterUp:   m.height("height after upstrokes", up),
	}
	if len(rise) == 0 {
		e.Rise = estimate.Missing[float64]("no angle", "rise of a downstroke", "no stroke has a path angle")
	} else {
		e.Rise = estimate.SeriesMedian(rise, 0.95)
	}
	return e.Judge(m.Unit)
}

// Judge returns e with the clearing that its heights, in that unit, speak for:
// for evidence whose heights have been corrected or widened since Clear.
func (e ClearingEvidence) Judge(unit string) ClearingEvidence {
	e.Clearing, e.Absent = ClearingUnknown, nil
	for _, v := range []estimate.Value[float64]{e.AfterDown, e.AfterUp} {
		if !v.Known() {
			e.Absent = v.Absent
			return e
		}
	}
	side := func(v estimate.Value[float64], which string) int {
		switch {
		case v.Low > 0:
			return 1
		case v.High < 0:
			return -1
		case math.IsNaN(v.Low):
			e.Absent = &estimate.Absence{Code: "too few", What: "clearing", Why: fmt.Sprintf(
				"only %d turns after %s have a height, too few to tell on which side of the string", v.N, which)}
			return 0
		}
		e.Absent = &estimate.Absence{Code: "undecided", What: "clearing", Why: fmt.Sprintf(
			"the turns after %s lie %.2g %s above the string (%.2g to %.2g), too near to tell the side", which, v.Value, unit, v.Low, v.High)}
		return 0
	}
	switch d, u := side(e.AfterDown, "downstrokes"), side(e.AfterUp, "upstrokes"); {
	case d == 0 || u == 0:
	case d > 0 && u > 0:
		e.Clearing = ClearsBoth
	case d > 0:
		e.Clearing = ClearsAfterDownstrokes
	case u > 0:
		e.Clearing = ClearsAfterUpstrokes
	default:
		e.Clearing = ClearsNeither
	}
	return e
}

// leastRange is the number of heights whose range bounds their median where
// no interval can be had.
const leastRange = 12

func (m *Motion) height(what string, x []float64) estimate.Value[float64] {
	if len(x) == 0 {
		why := "no stroke has a height"
		for _, a := range m.Absent {
			if a.What == "heights and clearing" || a.What == "curvature, heights and clearing" || a.What == "strokes" {
				why = a.Why
			}
		}
		return estimate.Missing[float64]("no height", what, why)
	}
	v := estimate.SeriesMedian(x, 0.95)
	if math.IsNaN(v.Low) && len(x) >= leastRange {
		// The heights wander too slowly for an interval: all of them bound it.
		v.Low, v.High, v.Level = floats.Min(x), floats.Max(x), 0.95
	}
	if v.Known() {
		sys := 1.959964 * m.Options.HeightError
		below, above := math.Hypot(v.Value-v.Low, sys), math.Hypot(v.High-v.Value, sys)
		low, high := m.Options.StringLow, m.Options.StringHigh
		v.Low, v.High = v.Value-high-below, v.Value-low+above
		v.Value -= (low + high) / 2
	}
	return v
}

// TurnScatter returns the spread of the turns that end strokes of direction
// d, across the strings, as a robust standard deviation in the path's unit.
// It is taken from turn to next like turn, so that a hand that moves to
// another string does not count as scatter.
func (m *Motion) TurnScatter(d Direction) estimate.Value[float64] {
	var steps []float64
	last := math.NaN()
	for _, s := range m.Strokes {
		if !s.Joined {
			last = math.NaN()
		}
		if s.Direction != d {
			continue
		}
		steps = appendKnown(steps, s.AcrossEnd-last)
		last = s.AcrossEnd
	}
	const least = 12
	if len(steps) < least {
		return estimate.Missing[float64]("too few", "turn scatter after "+d.String()+"strokes",
			fmt.Sprintf("%d pairs of neighbouring turns are seen; this needs %d", len(steps), least))
	}
	sd := robust.Scale(steps) / math.Sqrt2
	// The scale of n differences has a relative standard error of about
	// 1.17/√n for normal data (Rousseeuw & Croux 1993: efficiency 37 %),
	// and differences of neighbours share turns, which adds a quarter.
	se := sd * 1.17 * math.Sqrt(1.25/float64(len(steps)))
	return estimate.Value[float64]{Value: sd, Low: max(0, sd-1.959964*se), High: sd + 1.959964*se, Level: 0.95, N: len(steps)}
}

func appendKnown(xs []float64, x float64) []float64 {
	if x == x {
		xs = append(xs, x)
	}
	return xs
}
