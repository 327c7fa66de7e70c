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
type Detector struct {
	n      int
	begun  bool
	dir    int // +1 rising, -1 falling, 0 not known yet
	hi, lo extreme
}

type extreme struct {
	value, threshold float64
	at               int
}

// Push takes the next sample and its hysteresis threshold, in the same unit.
// It returns a turn and true when this sample confirms one, which lies at or
// before the sample pushed. Turns alternate between tops and bottoms. The
// first sample is never a turn: what came before it is not known.
//
// A NaN sample is counted and otherwise passed over: the caller decides
// whether a gap ends the motion, and then calls Reset.
func (d *Detector) Push(s, threshold float64) (Turn, bool) {
	now := extreme{s, threshold, d.n}
	d.n++
	if math.IsNaN(s) {
		return Turn{}, false
	}
	if !d.begun {
		d.begun, d.hi, d.lo = true, now, now
		return Turn{}, false
	}
	if d.dir >= 0 {
		if s > d.hi.value {
			d.hi = now
		} else if d.hi.value-s > d.hi.threshold {
			t := Turn{d.hi.at, d.hi.value, true}
			d.dir, d.lo = -1, now
			return t, t.Index > 0
		}
	}
	if d.dir <= 0 {
		if s < d.lo.value {
			d.lo = now
		} else if s-d.lo.value > d.lo.threshold {
			t := Turn{d.lo.at, d.lo.value, false}
			d.dir, d.hi = 1, now
			return t, t.Index > 0
		}
	}
	return Turn{}, false
}

// Reset forgets the samples so far; the next sample pushed has index 0.
func (d *Detector) Reset() { *d = Detector{} }

// State is what a detector keeps, for a file.
type State struct {
	N     int       `json:"n"`
	Begun bool      `json:"begun"`
	Dir   int       `json:"dir"`
	High  StateTurn `json:"high"`
	Low   StateTurn `json:"low"`
}

// StateTurn is one running extreme.
type StateTurn struct {
	Value     float64 `json:"value"`
	Threshold float64 `json:"threshold"`
	At        int     `json:"at"`
}

// State returns what d keeps.
func (d *Detector) State() State {
	return State{d.n, d.begun, d.dir, StateTurn{d.hi.value, d.hi.threshold, d.hi.at}, StateTurn{d.lo.value, d.lo.threshold, d.lo.at}}
}

// Restore makes d the detector of which s was taken. It reports false, and leaves
// d alone, if there can be none.
func (d *Detector) Restore(s State) bool {
	if s.Dir < -1 || s.Dir > 1 || s.N < 0 || min(s.High.At, s.Low.At) < 0 || max(s.High.At, s.Low.At) > s.N {
		return false
	}
	*d = Detector{
		n: s.N, begun: s.Begun, dir: s.Dir,
		hi: extreme{s.High.Value, s.High.Threshold, s.High.At}, lo: extreme{s.Low.Value, s.Low.Threshold, s.Low.At},
	}
	return true
}
