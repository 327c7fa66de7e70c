package turns

import "math"

// Turn is a confirmed reversal.
type Turn struct {
	// Index is the sample of the extreme, counted from the last Reset.
	Index int
	// Value is the coordinate there.
	Value float64
	// Top is true for a maximum, false for a minimum.
	Top bool
}

// Detector finds the reversals of a coordinate pushed sample by sample. Its
// zero value is ready for use.
type Detector struct{ s State }

// State is what a detector keeps, for a file.
type State struct {
	N     int     `json:"n"` // samples pushed
	Begun bool    `json:"begun"`
	Dir   int     `json:"dir"` // +1 rising, -1 falling, 0 not known yet
	High  Extreme `json:"high"`
	Low   Extreme `json:"low"`
}

// Extreme is a running extreme.
type Extreme struct {
	Value     float64 `json:"value"`
	Threshold float64 `json:"threshold"`
	At        int     `json:"at"`
}

// Push takes the next sample and its hysteresis threshold, in the same unit.
// It returns a turn and true when this sample confirms one, which lies at or
// before the sample pushed. Turns alternate between tops and bottoms. The
// first sample is never a turn: what came before it is not known.
//
// A NaN sample is counted and otherwise passed over: the caller decides
// whether a gap ends the motion, and then calls Reset.
func (d *Detector) Push(s, threshold float64) (Turn, bool) {
	k := &d.s
	now := Extreme{s, threshold, k.N}
	k.N++
	if math.IsNaN(s) {
		return Turn{}, false
	}
	if !k.Begun {
		k.Begun, k.High, k.Low = true, now, now
		return Turn{}, false
	}
	if k.Dir >= 0 {
		if s > k.High.Value {
			k.High = now
		} else if k.High.Value-s > k.High.Threshold {
			t := Turn{k.High.At, k.High.Value, true}
			k.Dir, k.Low = -1, now
			return t, t.Index > 0
		}
	}
	if k.Dir <= 0 {
		if s < k.Low.Value {
			k.Low = now
		} else if s-k.Low.Value > k.Low.Threshold {
			t := Turn{k.Low.At, k.Low.Value, false}
			k.Dir, k.High = 1, now
			return t, t.Index > 0
		}
	}
	return Turn{}, false
}

// Reset forgets the samples so far; the next sample pushed has index 0.
func (d *Detector) Reset() { d.s = State{} }

// State returns what d keeps.
func (d *Detector) State() State { return d.s }

// Restore makes d the detector of which s was taken. It reports false, and leaves
// d alone, if there can be none.
func (d *Detector) Restore(s State) bool {
	if s.Dir < -1 || s.Dir > 1 || s.N < 0 || min(s.High.At, s.Low.At) < 0 || max(s.High.At, s.Low.At) > s.N {
		return false
	}
	d.s = s
	return true
}
