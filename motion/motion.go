package motion

import (
	"math"

	"github.com/plectrace/plectrace/variability/circular"
	"github.com/plectrace/plectrace/variability/estimate"
)

// Options says how strokes are found and measured. The zero value is the
// documented default of every field; negative numbers switch a step off where
// that makes sense.
type Options struct {
	// Cutoff is the low-pass cut-off for finding turns, as a multiple of the
	// cycle frequency. Zero means 3.5; negative means no filter.
	Cutoff float64 `json:"cutoff"`
	// Hysteresis is the travel back from an extreme that makes it a turn, as
	// a share of the local stroke length. Zero means 0.15.
	Hysteresis float64 `json:"hysteresis"`
	// NoiseFloor keeps the hysteresis above this many standard deviations of
	// the filtered noise. Zero means 5.
	NoiseFloor float64 `json:"noise_floor"`
	// MaxGap is the longest gap, as a share of a stroke, that the search for
	// turns bridges. Zero means 1.3; negative means none.
	MaxGap float64 `json:"max_gap"`
	// MaxBridge is the longest gap, as a number of strokes, through which the
	// strokes of steady playing are counted although none of them is seen.
	// Zero means 4; negative means none.
	MaxBridge float64 `json:"max_bridge"`
	// AxisError is one standard deviation of the frame's direction of across
	// (see trajectory.Frame.AxisError); it widens the path angle's interval.
	AxisError circular.Angle `json:"axis_error_rad"`
	// FrameNoise is one standard deviation, on one axis and in the path's unit,
	// by which a frame that follows noisy marks moves slowly, AxisNoise that of
	// its direction (see trajectory.Frame.Noise). They widen what is said of
	// single strokes; over many they average out.
	FrameNoise float64        `json:"frame_noise,omitempty"`
	AxisNoise  circular.Angle `json:"axis_noise_rad,omitempty"`
	// Relative says that heights have no known zero: the tracked point is not
	// the tip, or the marks are not at the picking spot. Heights and clearing
	// are then absent for the reason in RelativeWhy, or that they have no known
	// zero where it is empty.
	Relative    bool   `json:"relative"`
	RelativeWhy string `json:"relative_why,omitempty"`
	// HeightError is one standard deviation of the string plane's own place,
	// in the path's unit; it widens the intervals of heights.
	HeightError float64 `json:"height_error"`
	// StringLow and StringHigh bound the height over the string plane of the
	// string that is played, in the path's unit: a crowned fingerboard lifts
	// the inner strings. Clearing is judged against it.
	StringLow  float64 `json:"string_low,omitempty"`
	StringHigh float64 `json:"string_high,omitempty"`
}

func (o Options) withDefaults() Options {
	set := func(v *float64, d float64) {
		if *v == 0 {
			*v = d
		}
	}
	if o.Relative && o.RelativeWhy == "" {
		o.RelativeWhy = "it is not known where heights begin"
	}
	set(&o.Cutoff, 3.5)
	set(&o.Hysteresis, 0.15)
	set(&o.NoiseFloor, 5)
	set(&o.MaxGap, 1.3)
	set(&o.MaxBridge, 4)
	return o
}

// Samples per stroke that each kind of result needs.
const (
	MinSamplesStrokes = 4  // strokes and their timing
	MinSamplesAngles  = 8  // path angle and skew
	MinSamplesShape   = 15 // curvature, heights, clearing
)

// Pause is a stretch in which the tip rests.
type Pause struct{ Start, End float64 }

// Motion is what Analyze found on one placed path.
type Motion struct {
	// Options are those in force, defaults filled in.
	Options Options
	// Unit is the unit of all lengths.
	Unit string
	// Strokes are in order of time.
	Strokes []Stroke
	// Pauses are the stretches of rest between strokes.
	Pauses []Pause
	// Cycle is the median time from a turn to the next like turn, in seconds;
	// NaN without strokes.
	Cycle float64
	// SampleHz is the rate of the even grid that turns were sought on.
	SampleHz float64
	// SamplesPerStroke is SampleHz times half the cycle.
	SamplesPerStroke float64
	// Noise is the standard deviation of the samples' white noise on one
	// axis, in Unit; NaN where no run of samples is long enough to show it,
	// which then counts as none.
	Noise float64
	// CutoffHz is the low-pass cut-off used; +Inf when none was.
	CutoffHz float64
	// Absent lists what no stroke has, and why.
	Absent []estimate.Absence
}

func (m *Motion) absent(code, what, why string) {
	m.Absent = append(m.Absent, estimate.Absence{Code: code, What: what, Why: why})
}

// TurnTimes returns the times of the turns of s in order. A NaN stands between
// strokes that do not join, so that no cycle is counted across a pause or a
// gap.
func TurnTimes(s []Stroke) []float64 {
	t := make([]float64, 0, len(s)+len(s)/8+2)
	for i := range s {
		if !s[i].Joined {
			if i > 0 {
				t = append(t, math.NaN())
			}
			t = append(t, s[i].Start)
		}
		t = append(t, s[i].End)
	}
	return t
}
