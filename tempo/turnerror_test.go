package tempo_test

import (
	"math"
	"testing"

	"github.com/plectrace/plectrace/motion"
	"github.com/plectrace/plectrace/motion/simulate"
	"github.com/plectrace/plectrace/tempo"
	"github.com/plectrace/plectrace/trajectory"
)

// found are the turns of a simulated take as package motion finds them.
type found struct {
	apart float64 // by how many samples turns after downstrokes come out later than those after upstrokes, less what is true
	swing tempo.Swing
}

func findTurns(t *testing.T, o simulate.Options) found {
	t.Helper()
	take, err := simulate.Make(o)
	if err != nil {
		t.Fatal(err)
	}
	rec := &take.Recording
	f, err := trajectory.NewFrame(rec, trajectory.FrameOptions{
		View: take.Options.View, Orientation: take.Options.Orientation, DistanceMM: take.Truth.MarkDistance,
		Marks: trajectory.Marks{Bass: trajectory.Mark{At: take.Truth.Bass[:2]}, Treble: trajectory.Mark{At: take.Truth.Treble[:2]}},
	})
	if err != nil {
		t.Fatal(err)
	}
	tip, _ := rec.Point("tip")
	p, err := f.Place(trajectory.Placed{}, tip)
	if err != nil {
		t.Fatal(err)
	}
	m, err := motion.Analyze(p, motion.Options{AxisError: f.AxisError})
	if err != nil {
		t.Fatal(err)
	}
	var sum [2]float64
	var n [2]int
	turns, down := []float64{}, []bool{}
	for i, s := range m.Strokes {
		kind := 0
		if s.Direction == motion.Down {
			kind = 1
		}
		for _, turn := range take.Truth.Turns {
			if turn.AfterDown == (kind == 1) && math.Abs(turn.T-s.End) < 0.4*s.Duration() {
				sum[kind] += (s.End - turn.T) * o.FrameRate
				n[kind]++
			}
		}
		if i > 0 && !s.Joined {
			turns, down = append(turns, m.Strokes[i-1].End, math.NaN()), append(down, false, false)
		}
		turns, down = append(turns, s.Start), append(down, kind == 1)
	}
	if n[0] < 40 || n[1] < 40 {
		t.Fatalf("%+v: only %v turns were found", o, n)
	}
	return found{sum[1]/float64(n[1]) - sum[0]/float64(n[0]), tempo.SwingOf(turns, down, tempo.SwingOptions{SampleHz: o.FrameRate})}
}

// TestTurnError measures, in takes filmed at 60, 120 and 240 frames per second,
// what the defaults of SwingOptions stand for: by how much turns after
// downstrokes come out later than those after upstrokes where both strokes are
// alike (TurnError, a tenth of a sample), and by which share of the difference
// turns are drawn toward the slower stroke where they are not (Drawn, 0.4). The
// interval that comes of both holds the ratio that the take was made with.
// With -calibrate the takes are of more shapes, rates and noise.
func TestTurnError(t *testing.T) {
	if testing.Short() {
		t.Skip("a calibration")
	}
	leads, rates, noises, jitters := []float64{0, 0.3}, []float64{6, 11}, []float64{0}, []float64{-1}
	if *calibrate > 0 {
		leads, rates, noises, jitters = []float64{0, 0.15, -0.15, 0.3}, []float64{6, 7.9, 10, 12}, []float64{-1, 0}, []float64{-1, 0}
	}
	for _, hz := range []float64{60, 120, 240} {
		for _, share := range []float64{0.5, 0.47, 0.43} {
			if *calibrate == 0 && share == 0.47 {
				continue
			}
			var apart, least, most float64
			least = math.Inf(1)
			takes, held := 0, 0
			for _, profile := range []simulate.Profile{simulate.HalfCosine, simulate.MinimumJerk} {
				for _, lead := range leads {
					for _, rate := range rates {
						for _, noise := range noises {
							for _, jitter := range jitters {
								o := simulate.Options{
									Seed: 5, Duration: 16, Rate: rate, FrameRate: hz, Profile: profile, Lead: lead,
									DownShare: share, Noise: noise, Jitter: jitter, Curvature: 0.03,
								}
								f := findTurns(t, o)
								takes++
								apart = max(apart, math.Abs(f.apart))
								// Down gains, and up loses, what turns are apart.
								drawn := -f.apart / hz * rate / (2*share - 1)
								least, most = min(least, drawn), max(most, drawn)
								truth := share / (1 - share)
								if f.swing.Ratio.Low <= truth && truth <= f.swing.Ratio.High {
									held++
								} else if *calibrate > 0 {
									t.Logf("%v per second, down %v, %+v: %.4f to %.4f", hz, share, o, f.swing.Ratio.Low, f.swing.Ratio.High)
								}
							}
						}
					}
				}
			}
			if share == 0.5 {
				t.Logf("%3v per second, down 0.50: apart by up to %.3f samples; %d of %d ratios held", hz, apart, held, takes)
				if apart > 0.1 {
					t.Errorf("%v per second: turns after down and up are apart by %.3f samples, want 0.1 at most", hz, apart)
				}
			} else {
				t.Logf("%3v per second, down %.2f: drawn by %.3f to %.3f of the difference; %d of %d ratios held", hz, share, least, most, held, takes)
				if most > 0.4 || least < -0.05 {
					t.Errorf("%v per second, down %v: turns are drawn by %.3f to %.3f, want 0 to 0.4", hz, share, least, most)
				}
			}
			// The interval of the median is at 95 %, the other parts are bounds.
			if float64(held) < 0.9*float64(takes) {
				t.Errorf("%v per second, down %v: %d of %d ratios held", hz, share, held, takes)
			}
		}
	}
}
