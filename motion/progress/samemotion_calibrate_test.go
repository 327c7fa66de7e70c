package progress

import (
	"fmt"
	"math"
	"math/rand/v2"
	"testing"
	"time"

	"gonum.org/v1/gonum/stat/distuv"

	"github.com/plectrace/plectrace/motion/cycle"
	"github.com/plectrace/plectrace/motion/drive"
	"github.com/plectrace/plectrace/motion/review"
	"github.com/plectrace/plectrace/motion/simulate"
	"github.com/plectrace/plectrace/trajectory"
	"github.com/plectrace/plectrace/variability/circular"
	"github.com/plectrace/plectrace/variability/estimate"
)

// atMost is the number of n that is passed by chance in 1 of 1000 where the
// share is p.
func atMost(n int, p float64) int {
	b := distuv.Binomial{N: float64(n), P: p}
	k := int(math.Ceil(float64(n) * p))
	for b.CDF(float64(k)) < 0.999 {
		k++
	}
	return k
}

// simulated returns how many cases a calibration draws, and from which seed: those
// of the quick run, by which methods were chosen, are not those reported.
func simulated(t *testing.T, quick int) (cases int, seed uint64) {
	t.Helper()
	switch {
	case *calibrate > 0:
		return *calibrate, 2
	case testing.Short():
		t.Skip("slow")
	}
	return quick, 1
}

// wander returns n values of a first-order autoregression of variance 1.
func wander(n int, phi float64, rng *rand.Rand) []float64 {
	out := make([]float64, n)
	s := rng.NormFloat64()
	for i := range out {
		out[i] = s
		s = phi*s + math.Sqrt(1-phi*phi)*rng.NormFloat64()
	}
	return out
}

// TestSlopeCalibration: how often the interval of the slope over log rate leaves
// out a slope of nothing. With -calibrate 2000 it writes the table of the package
// comment.
func TestSlopeCalibration(t *testing.T) {
	draws, seed := simulated(t, 40)
	rng := estimate.Stream(seed, "slope calibration")
	for _, c := range []struct {
		name       string
		phi, white float64 // share of the variance that is white on top
		widening   float64 // of the scatter, from slow to fast
		most       float64 // share that may leave it out
	}{
		{name: "independent", most: 0.05},
		{name: "likeness 0.3", phi: 0.3, most: 0.06},
		{name: "likeness 0.6", phi: 0.6, most: 0.06},
		{name: "likeness 0.9", phi: 0.9, most: 0.08},
		{name: "scatter grows threefold, 0.6", phi: 0.6, widening: 2, most: 0.06},
		{name: "slow wander under noise", phi: 0.9, white: 0.64, most: 0.13},
	} {
		for _, way := range []string{"ramp", "up and down, with time"} {
			for _, n := range []int{60, 150, 300} {
				out := 0
				for range draws {
					x, at := make([]float64, n), make([]float64, n)
					y := wander(n, c.phi, rng)
					for i := range x {
						u := float64(i) / float64(n-1)
						at[i], x[i] = 20*u, u
						if way != "ramp" {
							x[i] = 1 - math.Abs(2*u-1)
						}
						y[i] = (math.Sqrt(1-c.white)*y[i] + math.Sqrt(c.white)*rng.NormFloat64()) * (1 + c.widening*x[i])
					}
					if way == "ramp" {
						at = nil
					}
					s, ok := slopesOf(y, x, at)
					if !ok {
						t.Fatal("no slope")
					}
					if math.Abs(s.rate) > s.rateHalf {
						out++
					}
				}
				if *calibrate > 0 {
					t.Logf("%-30s %-23s %3d cycles: %4.1f %%", c.name, way, n, 100*float64(out)/float64(draws))
				}
				if out > atMost(draws, c.most) {
					t.Errorf("%s, %s, %d cycles: %d of %d intervals leave out a slope of nothing", c.name, way, n, out, draws)
				}
			}
		}
	}
}

// runSimulated makes a take and reviews it.
func runSimulated(t testing.TB, o simulate.Options) *review.Review {
	t.Helper()
	take, err := simulate.Make(o)
	if err != nil {
		t.Fatal(err)
	}
	s := review.Setup{Tip: "tip", TipIs: review.TipOfPick, View: take.Options.View, Orientation: take.Options.Orientation, SetupName: "bench"}
	s.ExposureS = o.Exposure
	s.Marks.DistanceMM = take.Truth.MarkDistance
	s.Marks.Bass, s.Marks.Treble = trajectory.Mark{At: take.Truth.Bass[:2]}, trajectory.Mark{At: take.Truth.Treble[:2]}
	if o.Wrist {
		s.Landmarks = map[drive.Landmark]string{drive.Wrist: "wrist"}
	}
	r, err := review.Run(&take.Recording, s, review.Options{})
	if err != nil {
		t.Fatal(err)
	}
	return r
}

// fasterTake gets faster from 5 to 10 strokes a second in 24 s. Between the 10th
// and the 90th percentile of the rate its angle changes by about change.
func fasterTake(seed uint64, hz, noise float64, change circular.Angle) simulate.Options {
	return simulate.Options{Seed: seed, Duration: 24, FrameRate: hz, Noise: noise, Rate: 5, RateDrift: 1, Length: 10,
		PathAngle: 12 * circular.Degree, Curvature: 0.01, AngleDrift: change * 1.245}
}

// upAndDown gets faster and slower again by steps, its angle changing by drift
// over the take.
func upAndDown(seed uint64, drift circular.Angle) simulate.Options {
	o := fasterTake(seed, 240, 0.8, 0)
	o.Rate, o.RateDrift, o.AngleDrift = 7.5, 0, drift
	for i := range 12 {
		by := 0.7 + 0.6*(1-math.Abs(2*(float64(i)+0.5)/12-1))
		o.Plan = append(o.Plan, simulate.Stretch{Start: 2 * float64(i), Search: simulate.Settled, RateBy: by})
	}
	return o
}

// TestSameMotionTable: the same motion at all rates is not told to be another,
// and one that turns by 6 degrees is. With -calibrate 100 it writes the table
// of the package comment.
func TestSameMotionTable(t *testing.T) {
	takes, seed := simulated(t, 2)
	type row struct {
		name         string
		make         func(seed uint64) simulate.Options
		outside      bool    // is the truth
		most, unsaid float64 // shares of wrong answers and of none that may be
	}
	var rows []row
	for _, hz := range []float64{60, 120, 240} {
		for _, noise := range []float64{0.3, 0.8, 2} {
			if *calibrate == 0 && (noise != 0.8 || hz == 120) {
				continue
			}
			unsaid := 0.05
			if hz == 60 {
				unsaid = 1 // 6 samples a stroke at the fast end: refused
			}
			name := fmt.Sprintf("%.0f frames/s, %.1f px", hz, noise)
			rows = append(rows,
				row{name + ", same", func(s uint64) simulate.Options { return fasterTake(s, hz, noise, 0) }, false, 0.05, unsaid},
				row{name + ", 6 degrees", func(s uint64) simulate.Options { return fasterTake(s, hz, noise, 6*circular.Degree) }, true, 0.05, max(unsaid, 0.1)})
		}
	}
	rows = append(rows,
		row{"up and down, same", func(s uint64) simulate.Options { return upAndDown(s, 0) }, false, 0.05, 0.05},
		row{"up and down, 8 degrees of drift in time", func(s uint64) simulate.Options { return upAndDown(s, 8*circular.Degree) }, false, 0.05, 0.05},
		row{"same, exposed for 1/250 s", func(s uint64) simulate.Options {
			o := fasterTake(s, 240, 0.8, 0)
			o.Exposure = 0.004
			return o
		}, false, 0.05, 0.05},
		row{"same, a third shorter when fast", func(s uint64) simulate.Options {
			o := fasterTake(s, 240, 0.8, 0)
			o.LengthDrift = -0.4
			return o
		}, false, 0.05, 0.05},
		row{"searching, angle wanders by 8 degrees", func(s uint64) simulate.Options {
			o := fasterTake(s, 240, 0.8, 0)
			o.Plan = []simulate.Stretch{{Search: simulate.Wander}}
			return o
		}, false, 0.05, 1})
	for _, c := range rows {
		var count [3]int
		var refused int
		for i := range takes {
			s, err := SameMotionInTake(runSimulated(t, c.make(1000*seed+uint64(i))), SameMotionOptions{})
			if err != nil {
				t.Fatal(err)
			}
			count[s.Answer]++
			for _, k := range s.Components {
				if k.LeftOut != nil && k.LeftOut.Code != "margin" {
					refused++
					break
				}
			}
		}
		if *calibrate > 0 {
			t.Logf("%-42s inside %3d, outside %3d, cannot say %3d (refused in part %d)", c.name, count[cycle.Inside], count[cycle.Outside], count[cycle.CannotSay], refused)
		}
		wrong := count[cycle.Outside]
		if c.outside {
			wrong = count[cycle.Inside]
		}
		if wrong > atMost(takes, c.most) || count[cycle.CannotSay] > atMost(takes, c.unsaid) {
			t.Errorf("%s: inside %d, outside %d, cannot say %d of %d", c.name, count[cycle.Inside], count[cycle.Outside], count[cycle.CannotSay], takes)
		}
	}
}

// played returns a take of that day of which these measures are known.
func played(day int, values map[string]float64) Take {
	s := &review.Summary{Setup: "bench", View: trajectory.EndOn, Unit: "mm", Seconds: 30, Strokes: 200, Digest: "d", Version: "v"}
	for _, m := range review.Measures() {
		v := estimate.Missing[float64]("none", m.Title, "not made")
		if x, ok := values[m.Name]; ok {
			v = estimate.Value[float64]{Value: x, Low: math.NaN(), High: math.NaN(), N: 200}
		}
		s.Values = append(s.Values, v)
	}
	return Take{Player: "P01", Date: time.Date(2024, 3, 4+day, 17, 0, 0, 0, time.UTC), Summary: s}
}

// TestSameMotionInTakesCalibration: over takes that scatter by 0.8 degrees by
// themselves, intervals hold the truth, and at the margin "inside" and
// "outside" come in 1 of 40 each at most.
func TestSameMotionInTakesCalibration(t *testing.T) {
	draws, seed := simulated(t, 300)
	rng := estimate.Stream(seed, "same motion in takes")
	for _, c := range []struct {
		name           string
		perRate, days  int
		repeatTakes    int // on a day of their own, 0 none
		difference, of float64
	}{
		{"3 takes of a day and repeats", 1, 1, 3, 0, 0.8},
		{"2 takes and repeats", 0, 1, 4, 0, 0.8},
		{"6 takes of a day", 2, 1, 0, 0, 0.8},
		{"6 takes of a day at the margin", 2, 1, 0, 3, 0.8},
		{"9 takes of a day at the margin", 3, 1, 0, -3, 0.8},
		{"9 takes of three days, days differ by 3", 1, 3, 0, 0, 0.8},
	} {
		held, inside, outside := 0, 0, 0
		for range draws {
			var takes []Take
			rates := []float64{5, 7.071, 10}
			per := c.perRate
			if per == 0 {
				rates, per = []float64{5, 10}, 1
			}
			for d := range c.days {
				base := 10.0
				if c.days > 1 {
					base += 3 * rng.NormFloat64()
				}
				for _, rate := range rates {
					for range per {
						takes = append(takes, played(d, map[string]float64{"notes_per_second": rate,
							"picture_angle_deg": base + c.difference*math.Log(rate/5)/math.Ln2 + c.of*rng.NormFloat64()}))
					}
				}
			}
			var o SameMotionOptions
			if c.repeatTakes > 0 {
				var alike []Take
				for range c.repeatTakes {
					alike = append(alike, played(30, map[string]float64{"picture_angle_deg": c.of * rng.NormFloat64()}))
				}
				r, err := Repeatability(alike, RepeatOptions{})
				if err != nil {
					t.Fatal(err)
				}
				o.Repeats = &r
			}
			s, err := SameMotionInTakes(takes, o)
			if err != nil {
				t.Fatal(err)
			}
			k, _ := s.Component("path angle")
			if k.Difference.Low <= c.difference && c.difference <= k.Difference.High {
				held++
			}
			switch k.Answer {
			case cycle.Inside:
				inside++
			case cycle.Outside:
				outside++
			}
		}
		if *calibrate > 0 {
			t.Logf("%-42s interval holds %4.1f %%, inside %4.1f %%, outside %4.1f %%", c.name, 100*float64(held)/float64(draws), 100*float64(inside)/float64(draws), 100*float64(outside)/float64(draws))
		}
		if draws-held > atMost(draws, 0.05) || held > atMost(draws, 0.95) {
			t.Errorf("%s: %d of %d intervals hold the difference", c.name, held, draws)
		}
		if c.difference != 0 && inside > atMost(draws, 0.025) {
			t.Errorf("%s: %d of %d inside", c.name, inside, draws)
		}
		if outside > atMost(draws, 0.025) {
			t.Errorf("%s: %d of %d outside", c.name, outside, draws)
		}
	}
}

// TestShapeInTakesCalibration: the distance of mean cycles that are the same is
// told apart from nothing no more often than it may.
func TestShapeInTakesCalibration(t *testing.T) {
	draws, seed := simulated(t, 300)
	rng := estimate.Stream(seed, "shape in takes")
	for _, c := range []struct {
		name          string
		truth, spread float64
	}{{"the same", 0, 0.01}, {"at 0.05", 0.05, 0.01}, {"at 0.1", 0.1, 0.01}} {
		holds, inside, outside := 0, 0, 0
		for range draws {
			var takes []Take
			for _, rate := range []float64{5, 5, 7, 7, 10, 10} {
				x := played(0, map[string]float64{"notes_per_second": rate})
				shape := &cycle.Shape{DownShare: 0.5, Across: [][2]float64{{0.5, 0}, {0, 0}}, Out: [][2]float64{{0.1, 0}, {0, 0}}}
				// A difference of d in one coefficient is one of d/√2 over the cycle.
				shape.Out[1][0] += c.truth * math.Sqrt2 * math.Log(rate/5) / math.Ln2
				for _, axis := range [][][2]float64{shape.Across, shape.Out} {
					for h := range axis {
						axis[h][0] += c.spread * rng.NormFloat64()
						axis[h][1] += c.spread * rng.NormFloat64()
					}
				}
				x.Summary.Motion = &cycle.Reference{View: trajectory.EndOn, Setup: "bench", Shape: shape, Rate: rate, Cycles: 40}
				takes = append(takes, x)
			}
			s, err := SameMotionInTakes(takes, SameMotionOptions{})
			if err != nil {
				t.Fatal(err)
			}
			k, ok := s.Component("cycle shape")
			if !ok || !k.Difference.Known() {
				t.Fatal("no shape")
			}
			if k.Difference.Low <= c.truth && c.truth <= k.Difference.High {
				holds++
			}
			switch k.Answer {
			case cycle.Inside:
				inside++
			case cycle.Outside:
				outside++
			}
		}
		if *calibrate > 0 {
			t.Logf("%-10s interval holds %4.1f %%, inside %4.1f %%, outside %4.1f %%", c.name, 100*float64(holds)/float64(draws), 100*float64(inside)/float64(draws), 100*float64(outside)/float64(draws))
		}
		if draws-holds > atMost(draws, 0.05) {
			t.Errorf("%s: %d of %d intervals hold the distance", c.name, holds, draws)
		}
		if c.truth == 0.05 && (inside > atMost(draws, 0.025) || outside > atMost(draws, 0.025)) {
			t.Errorf("%s: inside %d, outside %d of %d", c.name, inside, outside, draws)
		}
	}
}
