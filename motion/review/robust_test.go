package review_test

import (
	"math"
	"math/rand/v2"
	"strconv"
	"testing"

	"github.com/plectrace/plectrace/motion/internal/score"
	"github.com/plectrace/plectrace/motion/review"
	"github.com/plectrace/plectrace/motion/simulate"
	"github.com/plectrace/plectrace/variability/circular"
	"github.com/plectrace/plectrace/variability/settling"
)

// seeds is the number of takes drawn for each case.
func seeds(full int) uint64 {
	if testing.Short() {
		return uint64(max(2, full/5))
	}
	return uint64(full)
}

// varied is a take of 15 s without faults whose rate, angle and length differ
// from seed to seed.
func varied(seed uint64) simulate.Options {
	rng := rand.New(rand.NewPCG(seed, 1))
	between := func(a, b float64) float64 { return a + (b-a)*rng.Float64() }
	return simulate.Options{
		Seed: seed, Duration: 15, Rate: between(5, 14), Length: between(8, 14),
		PathAngle: circular.Angle(between(-35, 35)) * circular.Degree,
	}
}

// settledSpans counts them; none where settling could not be judged.
func settledSpans(r *review.Review) int {
	n := 0
	for _, s := range r.Spans {
		if s.Settled {
			n++
		}
	}
	return n
}

// tally counts the takes of one case that come out as they should.
type tally struct{ good, n int }

func (c *tally) add(ok bool) {
	c.n++
	if ok {
		c.good++
	}
}

// mostly wants nine takes in ten; of fewer than ten, all but one. At the
// tolerance itself a take may fall to either side, and now and then crosses.
func (c tally) mostly(t *testing.T, what string) {
	t.Helper()
	t.Logf("%s: %d of %d takes", what, c.good, c.n)
	if c.n-c.good > max(1, c.n/10) {
		t.Errorf("%s: %d of %d takes, want nine in ten", what, c.good, c.n)
	}
}

// TestSteadyIsOneSpan: a take of one scatter from start to end is one settled
// span or none, whichever side of the tolerances it lies on.
func TestSteadyIsOneSpan(t *testing.T) {
	tol := settling.Find(nil, settling.Options{}).Options.Tolerances
	for _, c := range []struct {
		name   string
		set    func(o *simulate.Options, k float64)
		levels []float64
	}{
		{"all three", func(o *simulate.Options, k float64) {
			o.AngleScatter, o.Jitter, o.LengthScatter = circular.Angle(k)*tol.Angle, k*tol.Duration, k*tol.Length
		}, []float64{0.3, 0.6, 0.85, 1, 1.2, 1.7, 3}},
		{"angle", func(o *simulate.Options, k float64) { o.AngleScatter = circular.Angle(k) * tol.Angle }, []float64{0.3, 1, 3}},
		{"duration", func(o *simulate.Options, k float64) { o.Jitter = k * tol.Duration }, []float64{0.3, 1, 3}},
		{"length", func(o *simulate.Options, k float64) { o.LengthScatter = k * tol.Length }, []float64{0.3, 1, 3}},
	} {
		var all tally
		for _, k := range c.levels {
			for seed := uint64(1); seed <= seeds(5); seed++ {
				o := varied(seed)
				c.set(&o, k)
				_, r := mustRun(t, o)
				n := settledSpans(r)
				all.add(n == 0 || n == 1 && len(r.Spans) == 1)
				switch {
				case k <= 0.5 && n == 0:
					t.Errorf("%s at %g of the tolerance, seed %d: not settled", c.name, k, seed)
				case k >= 2 && n > 0:
					t.Errorf("%s at %g times the tolerance, seed %d: settled", c.name, k, seed)
				}
			}
		}
		all.mostly(t, "steady in "+c.name+": one settled span or none")
	}
}

// TestSearchingIsNotSettled: a take that never settles has no settled span.
func TestSearchingIsNotSettled(t *testing.T) {
	for _, kind := range []simulate.Search{simulate.Fresh, simulate.Wander} {
		var all tally
		for seed := range seeds(20) {
			o := varied(seed)
			o.Plan = []simulate.Stretch{{Search: kind}}
			_, r := mustRun(t, o)
			all.add(settledSpans(r) == 0)
		}
		all.mostly(t, kind.String()+" throughout: no settled span")
	}
}

// TestDriftIsNotSettled: a motion that changes slowly all along keeps no
// centre, however small its scatter.
func TestDriftIsNotSettled(t *testing.T) {
	for _, c := range []struct {
		name string
		set  func(*simulate.Options)
	}{
		{"angle by 15 degrees", func(o *simulate.Options) { o.AngleDrift = 15 * circular.Degree }},
		{"angle by -15 degrees", func(o *simulate.Options) { o.AngleDrift = -15 * circular.Degree }},
		{"rate by 40 %", func(o *simulate.Options) { o.RateDrift = 0.4 }},
		{"rate by -40 %", func(o *simulate.Options) { o.RateDrift = -0.4 }},
	} {
		var all tally
		for seed := range seeds(10) {
			o := varied(seed)
			o.Duration = 20
			c.set(&o)
			_, r := mustRun(t, o)
			all.add(settledSpans(r) == 0)
		}
		all.mostly(t, c.name+": no settled span")
	}
}

// TestNoiseMovesLittle: twice the noise of the tracker moves the settled share
// by less than 0.05, or makes it absent.
func TestNoiseMovesLittle(t *testing.T) {
	for _, noise := range []float64{0.4, 0.8} {
		var all tally
		for seed := range seeds(15) {
			o := score.Draw(rand.New(rand.NewPCG(seed, 2)), []float64{120, 240}[seed%2], noise)
			_, once := mustRun(t, o)
			o.Noise = 2 * noise
			_, twice := mustRun(t, o)
			a, b := once.Settling, twice.Settling
			all.add(a.Absent != nil || b.Absent != nil || math.Abs(a.Share.Value-b.Share.Value) < 0.05)
		}
		all.mostly(t, strconv.FormatFloat(noise, 'g', -1, 64)+" px doubled: settled share moves by less than 0.05")
	}
}

// TestFrameRateChangesNothing: every second frame of a take gives the same path
// angle, to 1 degree, and the same rate, to 0.5 %.
func TestFrameRateChangesNothing(t *testing.T) {
	for seed := range seeds(15) {
		o := score.Draw(rand.New(rand.NewPCG(seed, 3)), 240, 0.4)
		take, full := mustRun(t, o)
		rec := remade(&take.Recording, func(_ string, _ int, x []float64) []float64 {
			var half []float64
			for i := 0; i < len(x); i += 2 {
				half = append(half, x[i])
			}
			return half
		})
		half, err := review.Run(rec, setup(take), review.Options{})
		if err != nil {
			t.Fatal(err)
		}
		a, b := full.Value("path_angle_deg"), half.Value("path_angle_deg")
		if !a.Known() || !b.Known() || math.Abs(a.Value-b.Value) > 1 {
			t.Errorf("seed %d, %.1f strokes/s: path angle %.2f at 240 frames/s and %.2f at 120", seed, o.Rate, a.Value, b.Value)
		}
		a, b = full.Value("notes_per_second"), half.Value("notes_per_second")
		if !a.Known() || !b.Known() || math.Abs(a.Value/b.Value-1) > 0.005 {
			t.Errorf("seed %d, %.1f strokes/s: rate %.3f at 240 frames/s and %.3f at 120", seed, o.Rate, a.Value, b.Value)
		}
	}
}
