package cycle

import "github.com/plectrace/plectrace/trajectory"

// minCycles is the number of whole cycles that a mean cycle needs.
const minCycles = 6

// Options say how a mean cycle is fitted. The zero value is the documented
// default of every field.
type Options struct {
	// Harmonics of the cycle that are fitted. Zero chooses the number by which
	// a cycle that is left out is predicted best, from 2 to MaxHarmonics and to
	// 0.65 of the samples in a cycle.
	Harmonics int `json:"harmonics,omitempty"`
	// MaxHarmonics bounds that choice. Zero means 12.
	MaxHarmonics int `json:"max_harmonics,omitempty"`
	// Centre is the time in seconds to each side over which the hand's centre
	// is followed, and at least three cycles: what it does more slowly than
	// that is drift, and no unevenness. Zero means 0.5; negative means that the
	// centre stands still between two changes of string.
	Centre float64 `json:"centre_s,omitempty"`
	// Exposure is the time in seconds over which a frame averages. Harmonic h
	// of a cycle of T seconds is divided by what it leaves of it,
	// sin(x)/x with x = πh·Exposure/T, and none is fitted of which it leaves
	// less than half. Zero means that nothing is known of it, and nothing done.
	Exposure float64 `json:"exposure_s,omitempty"`
	// View and Setup are those of the take. They do nothing to the fit; a
	// [Reference] needs them to know what it may compare. Setup is a name for
	// one arrangement of camera and points, for oblique views.
	View  trajectory.View `json:"view"`
	Setup string          `json:"setup,omitempty"`
}

func (o Options) withDefaults() Options {
	if o.MaxHarmonics <= 0 {
		o.MaxHarmonics = 12
	}
	if o.Harmonics > 0 {
		o.Harmonics = min(max(o.Harmonics, 2), 32)
	}
	o.MaxHarmonics = min(max(o.MaxHarmonics, 2), 32)
	if o.Centre == 0 {
		o.Centre = 0.5
	}
	return o
}
