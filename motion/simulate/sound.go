package simulate

import (
	"cmp"
	"slices"

	"github.com/plectrace/plectrace/variability/estimate"
)

// Onset is one entry of a list of onsets, as taken from the sound.
type Onset struct {
	// T is in seconds of real time, with the offset and the jitter.
	T float64
	// Level is in dB about a mean of -20; a spurious onset is 6 dB quieter.
	Level float64
	// Stroke is the index in Truth.Strokes of the stroke that sounded, -1 for a
	// spurious onset and for that of a stroke that the recording cuts off.
	Stroke int
}

// sound fills in the onsets: one for every stroke that reaches a string, at the
// first of them, unless it is lost, and spurious ones anywhere. The strokes in
// cut, which the recording cuts off, sound as well.
func (o Options) sound(tr *Truth, cut []Stroke) {
	jitter := estimate.Stream(o.Seed, "simulate/onset-jitter")
	lost := estimate.Stream(o.Seed, "simulate/onset-lost")
	level := estimate.Stream(o.Seed, "simulate/onset-level")
	strike := func(s Stroke, i int) {
		// Every stroke draws, so that lifting one leaves the others' sound.
		e, gone, loud := clip(jitter.NormFloat64()), lost.Float64() < o.OnsetLost, level.NormFloat64()
		if !s.Reached || gone {
			return
		}
		db := -20 + o.LevelSpread*loud
		if !s.Down {
			db += o.LevelUp
		}
		tr.Onsets = append(tr.Onsets, Onset{T: s.Struck + o.OnsetOffset + o.OnsetJitter*e, Level: db, Stroke: i})
	}
	struck := 0
	for i, s := range tr.Strokes {
		if strike(s, i); s.Reached {
			struck++
		}
	}
	for _, s := range cut {
		strike(s, -1)
	}
	rng := estimate.Stream(o.Seed, "simulate/onset-spurious")
	for range struck {
		hit, at, loud := rng.Float64() < o.OnsetSpurious, rng.Float64(), rng.NormFloat64()
		if hit {
			tr.Onsets = append(tr.Onsets, Onset{T: at*o.Duration + o.OnsetOffset, Level: -26 + o.LevelSpread*loud, Stroke: -1})
		}
	}
	slices.SortStableFunc(tr.Onsets, func(a, b Onset) int { return cmp.Compare(a.T, b.T) })
}
