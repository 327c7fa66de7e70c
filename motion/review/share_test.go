package review_test

import (
	"flag"
	"math"
	"math/rand/v2"
	"testing"

	"github.com/plectrace/plectrace/motion/internal/score"
	"github.com/plectrace/plectrace/motion/review"
	"github.com/plectrace/plectrace/motion/simulate"
)

// calibrate is the number of takes behind each figure; 0 means a quick number.
var calibrate = flag.Int("calibrate", 0, "takes for each figure of TestShareCover")

// TestShareCover holds how often the interval of the settled share holds the truth of
// takes drawn at random, seen by the tracker. True is a settled span of a second or
// more. Searching that happens to keep still for a second is settled by what the
// package settling calls so, and not by this truth: most intervals that miss lie above.
func TestShareCover(t *testing.T) {
	if testing.Short() {
		t.Skip("slow")
	}
	takes := 3
	if *calibrate > 0 {
		takes = *calibrate
	}
	in, below, above, all, width := 0, 0, 0, 0, 0.0
	for _, hz := range []float64{120, 240} {
		for _, noise := range []float64{0.3, 0.8} {
			rng := rand.New(rand.NewPCG(uint64(hz)+1, uint64(noise*10)))
			for range takes {
				take, err := simulate.Make(score.Draw(rng, hz, noise))
				if err != nil {
					t.Fatal(err)
				}
				r, err := review.Run(&take.Recording, setup(take), review.Options{})
				if err != nil {
					t.Error(err)
					continue
				}
				v := r.Settling.Share
				if !v.Known() || v.Level == 0 {
					continue
				}
				settled, played := 0.0, 0.0
				for _, s := range take.Truth.Spans {
					played += s.End - s.Start
					if s.Settled && s.End-s.Start >= 1 {
						settled += s.End - s.Start
					}
				}
				switch truth := settled / played; {
				case v.High < truth:
					below++
				case v.Low > truth:
					above++
				default:
					in++
				}
				all++
				width += v.High - v.Low
			}
		}
	}
	got := float64(in) / float64(all)
	t.Logf("settled share held in %.3f of %d (%d below, %d above), %.2f wide", got, all, below, above, width/float64(all))
	// 0.92 in many takes; 3.5 standard errors of a share of so many.
	if least := 0.92 - 3.5*math.Sqrt(0.92*0.08/float64(all)); got < least {
		t.Errorf("settled share held in %.3f of %d, want %.3f", got, all, least)
	}
}
