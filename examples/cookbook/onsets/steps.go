package main

import (
	"io"

	"github.com/plectrace/plectrace/motion/contact"
	"github.com/plectrace/plectrace/motion/figure"
	"github.com/plectrace/plectrace/tempo"
	"github.com/plectrace/plectrace/variability/estimate"
)

// listen takes the power of a sound, octave by octave, a thousand times a second.
func listen(wav io.ReaderAt, size int64, lowestHz float64) (loudness, error) {
	s, err := openSound(wav, size)
	if err != nil {
		return loudness{}, err
	}
	return readLoudness(s, lowestHz)
}

// onsetsIn finds the moments after which the power is higher than before, and moves
// them from the sound's clock to that of the film.
func onsetsIn(power loudness, o options, shift float64) []contact.Onset {
	found := find(power, o)
	for i := range found {
		found[i].Time += shift
	}
	return found
}

// pace is the rate over the recording, in notes per second, and from moment to moment.
// The curve knows a note that was missed from a slower one.
func pace(onsets []contact.Onset) (rate estimate.Value[tempo.NotesPerSecond], curve tempo.Curve) {
	var t []float64
	for _, o := range onsets {
		t = append(t, o.Time)
	}
	return tempo.FromTurns(t, tempo.Options{}), tempo.NewCurve(t, tempo.CurveOptions{})
}

// drawn shows the rate of each two notes over time, with the curve.
func drawn(rate estimate.Value[tempo.NotesPerSecond], curve tempo.Curve) figure.Figure {
	f := figure.RateOverTime{Typical: float64(rate.Value)}
	for i, t := range curve.T {
		if i >= 2 {
			f.T = append(f.T, curve.T[i-1])
			f.Rate = append(f.Rate, 2/(t-curve.T[i-2]))
		}
		f.Curve.X = append(f.Curve.X, t)
		f.Curve.Y = append(f.Curve.Y, float64(curve.Rate[i]))
		f.Curve.Low = append(f.Curve.Low, float64(curve.Low[i]))
		f.Curve.High = append(f.Curve.High, float64(curve.High[i]))
	}
	return f
}
