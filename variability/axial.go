package variability

import (
	"math"

	"github.com/plectrace/plectrace/variability/circular"
	"github.com/plectrace/plectrace/variability/estimate"
)

// AxialSpread returns the standard deviation of angles that differ as axes,
// modulo half a turn, such as the path angles of strokes: the SD of
// [circular.Axial], with the interval and the noise of [SpreadOf]. What an angle
// adds to log SD is (cos 2(angle - mean) - R)/(2R ln R). o.Noise is in radians.
//
// Missing angles (NaN) are left out, their neighbours joined. With fewer than
// two others the result is absent, with code "too-few", and with angles that
// cancel each other, so that they have no mean axis, with code "no-direction".
func AxialSpread(angles []circular.Angle, o Options) estimate.Value[circular.Angle] {
	const what = "axial standard deviation"
	o = o.filled()
	all := circular.Axial(angles, circular.Options{Level: -1})
	n := all.N
	if n < 2 {
		return estimate.Missing[circular.Angle]("too-few", what, "scatter needs two angles")
	}
	if a := all.Mean.Absent; a != nil {
		return estimate.Missing[circular.Angle](a.Code, what, a.Why)
	}
	adds, sines := make([]float64, 0, n), make([]float64, 0, n)
	perR := 1 / (2 * all.R * math.Log(all.R)) // d log SD / dR
	equal := true
	for _, a := range angles {
		c := math.Cos(2 * float64(a-all.Mean.Value))
		if math.IsNaN(c) {
			continue
		}
		adds = append(adds, perR*(c-all.R))
		sines = append(sines, math.Sin(2*float64(a-all.Mean.Value)))
		equal = equal && 1-c < 1e-15
	}
	if !(worth(sines) >= worthScale) {
		o.Level = -1
	}
	v := inTheLongRun(o.scale(float64(all.SD), adds, likeness(sines)), sines)
	if equal { // but for rounding
		v = estimate.Value[float64]{Low: math.NaN(), High: math.NaN(), N: n}
	}
	return estimate.As[circular.Angle](withoutNoise(v, o.Noise, what))
}
