package review_test

import (
	"testing"

	"github.com/plectrace/plectrace/motion"
	"github.com/plectrace/plectrace/motion/simulate"
)

// TestUnequalStrokes holds by how much a difference between the times of down- and
// upstrokes comes out too small through all of a review: 2 to 3 % with half-cosine
// strokes, 7 to 9 % where the hand lingers at its turns, to three parts in a hundred
// (a single line is the mean of six takes).
func TestUnequalStrokes(t *testing.T) {
	if testing.Short() {
		t.Skip("many takes, or long ones")
	}
	const takes = 6
	for _, c := range []struct {
		profile     simulate.Profile
		least, most float64
	}{{simulate.HalfCosine, 0.02, 0.03}, {simulate.MinimumJerk, 0.07, 0.09}} {
		for _, hz := range []float64{60, 240} {
			for _, share := range []float64{0.45, 0.55} {
				short := 0.0
				for seed := range uint64(takes) {
					_, r := mustRun(t, simulate.Options{Seed: seed + 1, Duration: 30, FrameRate: hz, Rate: 9, Noise: 0.3, DownShare: share, Profile: c.profile})
					short += (1 - (downShare(r.Motion.Strokes)-0.5)/(share-0.5)) / takes
				}
				t.Logf("%v, %v frames/s, share %.2f: the difference is %.0f %% too small", c.profile, hz, share, 100*short)
				if !(short > c.least-0.03 && short < c.most+0.03) {
					t.Errorf("%v, %v frames/s, share %v: too small by %.3f, and it was %.2f to %.2f", c.profile, hz, share, short, c.least, c.most)
				}
			}
		}
	}
}

// downShare is the share of the downstrokes in the time of the strokes, both kinds
// by their mean.
func downShare(strokes []motion.Stroke) float64 {
	var sum, n [2]float64
	for _, s := range strokes {
		if s.TurnHidden() {
			continue
		}
		k := 0
		if s.Direction == motion.Up {
			k = 1
		}
		sum[k], n[k] = sum[k]+s.End-s.Start, n[k]+1
	}
	down, up := sum[0]/n[0], sum[1]/n[1]
	return down / (down + up)
}
