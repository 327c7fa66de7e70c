package tempo_test

import (
	"flag"
	"fmt"
	"math"
	"math/rand/v2"
	"testing"

	"github.com/plectrace/plectrace/tempo"
	"github.com/plectrace/plectrace/variability/estimate"
)

// calibrate is the number of simulated takes in each row of the calibration.
// The figures in the comments of Curve, Drift, Fastest, SwingOf, ShareWithin
// and FitGrid come from
//
//	GOMAXPROCS=1 go test ./tempo -run Calibrate -v -timeout 60m -calibrate 1000
//
// 0 makes few, in fewer rows, and holds the mean over the rows of each length
// to within three standard errors of so many.
var calibrate = flag.Int("calibrate", 0, "number of simulated takes in each row of the calibration; 0 makes few")

// takes is the number of takes in a row, and the seed of the first: those of
// the figures differ from those that the methods were chosen with.
func takes(t *testing.T, quick int) (n int, seed uint64) {
	t.Helper()
	if testing.Short() {
		t.Skip("a calibration")
	}
	if *calibrate > 0 {
		return *calibrate, 7_000_000
	}
	return quick, 5_000_000
}

// A hand plays ten strokes a second, or at a rate of its own: the clock's
// strokes are alike with the next ones by memory, turns jitter about it (Wing
// and Kristofferson 1973), down- and upstrokes differ. All are shares of a
// stroke, clock and jitter standard deviations, uneven half the difference.
type hand struct{ memory, clock, jitter, uneven float64 }

// turns returns those of n strokes.
func (h hand) turns(rng *rand.Rand, n int, rate func(t float64) float64) []float64 {
	turns := make([]float64, n+1)
	t, x := 0.0, rng.NormFloat64()
	for i := range turns {
		d := 0.1
		if rate != nil {
			d = 1 / rate(t)
		}
		turns[i] = t + h.jitter*d*rng.NormFloat64()
		side := h.uneven
		if i%2 == 1 {
			side = -side
		}
		t += d * (1 + h.clock*x) * (1 + side)
		x = h.memory*x + math.Sqrt(1-h.memory*h.memory)*rng.NormFloat64()
	}
	return turns
}

func (h hand) String() string {
	return fmt.Sprintf("memory %.1f, clock %.1f %%, jitter %.1f %%, uneven %.0f %%", h.memory, 100*h.clock, 100*h.jitter, 100*h.uneven)
}

var hands = []hand{
	{memory: 0, clock: 0.03}, {memory: 0.3, clock: 0.03, uneven: 0.1}, {memory: 0.6, clock: 0.03, jitter: 0.02},
	{memory: 0.9, clock: 0.03, uneven: 0.1}, {memory: 0.9, clock: 0.03, jitter: 0.03},
	{memory: 0, clock: 0.01, jitter: 0.03}, {jitter: 0.03, uneven: 0.1},
}

// tally counts how often something was so, of how many.
type tally struct{ hits, all int }

func (a *tally) add(hit bool) {
	a.all++
	if hit {
		a.hits++
	}
}

// interval counts an interval that should hold a truth, if there is one.
func (a *tally) interval(v estimate.Value[float64], truth float64) {
	if v.Known() && v.Level > 0 {
		a.add(v.Low <= truth && truth <= v.High)
	}
}

func (a *tally) join(b tally) { a.hits, a.all = a.hits+b.hits, a.all+b.all }

func (a tally) percent() float64 { return 100 * float64(a.hits) / float64(a.all) }

// String gives the per cent.
func (a tally) String() string { return fmt.Sprintf("%.1f", a.percent()) }

// within holds the per cent between low and high, to within three standard
// errors; takes is how many independent ones there were, all if it is 0.
func (a tally) within(t *testing.T, what string, low, high float64, takes int) {
	t.Helper()
	n := float64(a.all)
	if takes > 0 {
		n = float64(takes)
	}
	if n == 0 {
		t.Errorf("%s: nothing was counted", what)
		return
	}
	error3 := func(p float64) float64 { return 300 * math.Sqrt(p/100*(1-p/100)/n) }
	if p := a.percent(); p < low-error3(low) || p > high+error3(high) {
		t.Errorf("%s: %.1f %% of %d, want %v to %v", what, p, a.all, low, high)
	}
}

func TestCalibrateDrift(t *testing.T) {
	each, seed := takes(t, 20)
	lengths := []int{100, 300, 800, 1000}
	if *calibrate == 0 {
		lengths = []int{100, 800}
	}
	for _, n := range lengths {
		var held, rejected tally
		for _, h := range hands {
			var in, out tally
			for k := range each {
				rng := estimate.Stream(seed+uint64(k), fmt.Sprint("drift", n, h))
				c := tempo.NewCurve(h.turns(rng, n, nil), tempo.CurveOptions{Level: -1})
				d := c.Drift(estimate.BootstrapOptions{Draws: 199, Seed: seed + uint64(k)})
				in.interval(d.PerMinute, 0)
				if d.P.Known() {
					out.add(d.P.Value <= 0.05)
				}
			}
			t.Logf("%4d strokes, %v: held %v, rejected %v of %d", n, h, in, out, out.all)
			held.join(in)
			rejected.join(out)
		}
		t.Logf("%4d strokes: held %v, rejected %v", n, held, rejected)
		held.within(t, "the interval", 93, 97.5, 0)
		if n > 750 { // 75 s, below which there is no test
			rejected.within(t, "the test", 3, 7, 0)
		} else if rejected.all > 0 {
			t.Errorf("%d strokes: a test of less than 75 s", n)
		}
	}
}

func TestCalibrateFastest(t *testing.T) {
	each, seed := takes(t, 25)
	lengths := []int{100, 400}
	if *calibrate == 0 {
		lengths = []int{100, 200}
	}
	for _, n := range lengths {
		var all [4]tally
		for _, h := range hands {
			var beyond [4]tally
			for k := range each {
				rng := estimate.Stream(seed+uint64(k), fmt.Sprint("fastest", n, h))
				c := tempo.NewCurve(h.turns(rng, n, nil), tempo.CurveOptions{Level: -1})
				f, err := c.Fastest(tempo.FastestOptions{Draws: 199, Seed: seed + uint64(k)})
				if err != nil {
					t.Fatal(err)
				}
				for i := range f {
					beyond[i].add(f[i].Beyond)
				}
			}
			t.Logf("%4d strokes, %v: beyond, of 1, 2, 4, 8 beats: %v", n, h, beyond)
			for i := range beyond {
				all[i].join(beyond[i])
			}
		}
		t.Logf("%4d strokes: beyond, of 1, 2, 4, 8 beats: %v", n, all)
		for _, a := range all {
			a.within(t, "beyond chance", 3, 7, 0)
		}
	}
}

func TestCalibrateCurve(t *testing.T) {
	each, seed := takes(t, 15)
	lengths := []int{200, 400}
	if *calibrate == 0 {
		lengths = []int{200}
	}
	for _, n := range lengths {
		var steady, swinging, jittery tally
		for _, swings := range []bool{false, true} {
			var rate func(t float64) float64
			if swings {
				rate = func(t float64) float64 { return 10 * (1 + 0.1*math.Sin(2*math.Pi*t/10)) }
			}
			for _, h := range hands {
				var in tally
				repairs := 0
				for k := range each {
					rng := estimate.Stream(seed+uint64(k), fmt.Sprint("curve", n, h))
					turns := h.turns(rng, n, rate)
					c := tempo.NewCurve(turns, tempo.CurveOptions{})
					repairs += len(c.Repairs)
					for i := 0; i < len(turns); i += 7 {
						truth := 10.0
						if swings {
							truth = rate(turns[i])
						}
						in.add(float64(c.Low[i]) <= truth && truth <= float64(c.High[i]))
					}
				}
				t.Logf("%4d strokes, swings %v, %v: held %v, %d repairs", n, swings, h, in, repairs)
				switch {
				case h.memory > 0.6: // its wandering is the curve, rather than about it
				case h.jitter > h.clock:
					jittery.join(in)
				case swings:
					swinging.join(in)
				default:
					steady.join(in)
				}
			}
		}
		t.Logf("%4d strokes, memory up to 0.6: held %v steady, %v swinging, %v where jitter outweighs the clock", n, steady, swinging, jittery)
		// Of the moments of a take some ten are independent.
		steady.within(t, "steady", 94, 98, 3*each*10)
		swinging.within(t, "swinging", 94, 98, 3*each*10)
		jittery.within(t, "where jitter outweighs the clock", 98, 100, 4*each*10)
	}
}

func TestCalibrateSwing(t *testing.T) {
	each, seed := takes(t, 40)
	for _, n := range []int{60, 100, 400} {
		var held tally
		for _, h := range hands {
			var in tally
			truth := (1 + h.uneven) / (1 - h.uneven)
			for k := range each {
				rng := estimate.Stream(seed+uint64(k), fmt.Sprint("swing", n, h))
				turns := h.turns(rng, n, nil)
				s := tempo.SwingOf(turns, alternating(len(turns), true), tempo.SwingOptions{TurnError: -1, Drawn: -1})
				in.interval(s.Ratio, truth)
			}
			t.Logf("%4d strokes, %v: held %v", n, h, in)
			held.join(in)
		}
		t.Logf("%4d strokes: held %v", n, held)
		held.within(t, "the interval", 93, 99, 0)
	}
}

// levels is a rate that changes its level, with an sd of 3 %, every 3 to 9 s: a
// player who settles and searches, and neither slows down nor speeds up.
func levels(rng *rand.Rand) func(t float64) float64 {
	var until, at []float64
	end := 0.0
	return func(t float64) float64 {
		for t >= end {
			end += 3 + 6*rng.Float64()
			until, at = append(until, end), append(at, 10*math.Exp(0.03*rng.NormFloat64()))
		}
		k := 0
		for t >= until[k] {
			k++
		}
		return at[k]
	}
}

// TestCalibrateSpans holds the drift of takes whose rate changes its level, and
// the swing of such takes and of those that slow down.
func TestCalibrateSpans(t *testing.T) {
	each, seed := takes(t, 60)
	h := hand{memory: 0.3, clock: 0.03, jitter: 0.01, uneven: 0.1}
	for _, n := range []int{100, 300, 800, 1000} {
		if *calibrate == 0 && n == 1000 {
			continue
		}
		var drift, rejected, swing, slowed tally
		for k := range each {
			rng := estimate.Stream(seed+uint64(k), fmt.Sprint("spans", n))
			turns := h.turns(rng, n, levels(rng))
			d := tempo.NewCurve(turns, tempo.CurveOptions{Level: -1}).Drift(estimate.BootstrapOptions{Draws: 199, Seed: seed + uint64(k)})
			drift.interval(d.PerMinute, 0)
			if d.P.Known() {
				rejected.add(d.P.Value <= 0.05)
			}
			o := tempo.SwingOptions{TurnError: -1, Drawn: -1}
			swing.interval(tempo.SwingOf(turns, alternating(len(turns), true), o).Ratio, 1.1/0.9)
			turns = h.turns(rng, n, func(t float64) float64 { return 10 * math.Exp(-0.003*t) })
			slowed.interval(tempo.SwingOf(turns, alternating(len(turns), true), o).Ratio, 1.1/0.9)
		}
		t.Logf("%4d strokes with levels: drift held %v, rejected %v of %d; swing held %v, slowing down %v", n, drift, rejected, rejected.all, swing, slowed)
		// Few levels look like a trend: the comment of Drift says how much.
		low := map[int]float64{100: 72, 300: 88, 800: 93, 1000: 93}[n]
		drift.within(t, "drift", low, 99, 0)
		if rejected.all > 0 {
			rejected.within(t, "the test", 0, 7, 0)
		}
		swing.within(t, "swing", 93, 97, 0)
		slowed.within(t, "swing, slowing down", 93, 97, 0)
	}
}

func TestCalibrateShare(t *testing.T) {
	each, seed := takes(t, 100)
	for _, n := range []int{60, 100, 400} {
		var held tally
		for _, memory := range []float64{0, 0.3, 0.6, 0.9} {
			for _, width := range []float64{1.5, 1, 0.5} { // of the window, in sd
				var in tally
				truth := math.Erf(width / math.Sqrt2)
				for k := range each {
					rng := estimate.Stream(seed+uint64(k), fmt.Sprint("share", n, memory))
					s := tempo.ShareWithin(late(rng, n, memory), 0.1, 0.008*width, 0)
					in.interval(s.Share, truth)
				}
				t.Logf("%4d events, memory %.1f, %.0f %% within: held %v", n, memory, 100*truth, in)
				if memory <= 0.6 {
					held.join(in)
				}
			}
		}
		t.Logf("%4d events, memory up to 0.6: held %v", n, held)
		held.within(t, "the interval", 92, 98, 3*each)
	}
}

// late returns asynchronies of n events in seconds: an sd of 8 ms, alike with
// the next by memory.
func late(rng *rand.Rand, n int, memory float64) []float64 {
	a := make([]float64, n)
	x := rng.NormFloat64()
	for i := range a {
		a[i] = 0.008 * x
		x = memory*x + math.Sqrt(1-memory*memory)*rng.NormFloat64()
	}
	return a
}

func TestCalibrateGrid(t *testing.T) {
	each, seed := takes(t, 100)
	start := 2.0
	for _, n := range []int{60, 100, 400} {
		var all [3]tally
		for _, memory := range []float64{0, 0.3, 0.6, 0.9} {
			var drift, offset, spread tally
			for k := range each {
				rng := estimate.Stream(seed+uint64(k), fmt.Sprint("grid", n, memory))
				events := late(rng, n, memory)
				for i := range events {
					events[i] += 0.1*float64(i) + 0.012
				}
				g := tempo.FitGrid(events, tempo.GridOptions{BPM: 150, Note: tempo.Sixteenth, Start: &start, ClockShared: true})
				drift.interval(g.Drift, 0)
				offset.interval(g.Offset, 0.012)
				spread.interval(g.Spread, 0.008)
			}
			t.Logf("%4d events, memory %.1f: held drift %v, offset %v, spread %v, of %d, %d, %d", n, memory, drift, offset, spread, drift.all, offset.all, spread.all)
			if memory <= 0.6 {
				for i, a := range []tally{drift, offset, spread} {
					all[i].join(a)
				}
			}
		}
		t.Logf("%4d events, memory up to 0.6: held drift, offset, spread %v", n, all)
		all[0].within(t, "drift", 93, 100, 0)
		all[1].within(t, "offset", 92, 98, 0)
		all[2].within(t, "spread", 90, 98, 0)
	}
}

// alternating returns n directions, that of the first given.
func alternating(n int, first bool) []bool {
	down := make([]bool, n)
	for i := range down {
		down[i] = (i%2 == 0) == first
	}
	return down
}
