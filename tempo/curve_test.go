package tempo_test

import (
	"fmt"
	"math"
	"slices"
	"testing"

	"gonum.org/v1/gonum/floats"

	"github.com/plectrace/plectrace/tempo"
	"github.com/plectrace/plectrace/variability/estimate"
)

// even returns the turns of n strokes, ten a second, of which down and up differ.
func even(n int, uneven float64) []float64 {
	return hand{uneven: uneven}.turns(estimate.Stream(1, "even"), n, nil)
}

// with returns xs with others put in at i.
func with(xs []float64, i int, others ...float64) []float64 {
	return slices.Insert(slices.Clone(xs), i, others...)
}

// without returns xs without those from i up to j.
func without(xs []float64, i, j int) []float64 { return slices.Delete(slices.Clone(xs), i, j) }

// TestCurveRepairs damages turns of one rate, of even and of uneven strokes:
// the damage is found where it is, and the curve stays what it was.
func TestCurveRepairs(t *testing.T) {
	nan, inf := math.NaN(), math.Inf(1)
	for _, uneven := range []float64{0, 0.1, -0.15} {
		clean := even(120, uneven)
		at := clean[50]
		for _, c := range []struct {
			name    string
			turns   []float64
			repairs []tempo.Repair
			strokes map[int]int // other than 1, and -1 at the end
		}{
			{"whole", clean, []tempo.Repair{}, nil},
			{"a turn missed", without(clean, 51, 52), []tempo.Repair{{Index: 50, At: at, Kind: "missed", Missed: 1}}, map[int]int{50: 2}},
			{"two turns missed", without(clean, 51, 53), []tempo.Repair{{Index: 50, At: at, Kind: "missed", Missed: 2}}, map[int]int{50: 3}},
			{"three turns missed", without(clean, 51, 54), []tempo.Repair{{Index: 50, At: at, Kind: "missed", Missed: 3}}, map[int]int{50: 4}},
			{"a turn found twice", with(clean, 51, at+0.02), []tempo.Repair{{Index: 51, At: at + 0.02, Kind: "extra"}}, map[int]int{50: 0}},
			{"a short way back", with(clean, 51, at+0.035, at+0.05), []tempo.Repair{{Index: 51, At: at + 0.035, Kind: "extra"}, {Index: 52, At: at + 0.05, Kind: "extra"}}, nil},
			{"the same turn again", with(clean, 51, at), nil, nil},
			{"at the end of time", append(slices.Clone(clean), inf), []tempo.Repair{{Index: 121, At: inf, Kind: "extra"}}, map[int]int{120: -1}},
			{"a break", with(clean, 51, nan), []tempo.Repair{}, map[int]int{50: -1, 51: -1}},
			{"a rest of 2 s", slices.Concat(clean[:51], add(clean[51:], 2)), []tempo.Repair{}, map[int]int{50: -1}},
		} {
			curve := tempo.NewCurve(c.turns, tempo.CurveOptions{})
			if c.repairs != nil && !slices.Equal(curve.Repairs, c.repairs) {
				t.Errorf("%s, uneven %v: repairs %+v, want %+v", c.name, uneven, curve.Repairs, c.repairs)
			}
			if len(curve.Rate) != len(c.turns) || len(curve.Low) != len(c.turns) || len(curve.High) != len(c.turns) || len(curve.Strokes) != len(c.turns) {
				t.Fatalf("%s: columns of %d rows", c.name, len(curve.Rate))
			}
			for i, r := range curve.Rate {
				if want, ok := c.strokes[i]; ok && curve.Strokes[i] != want {
					t.Errorf("%s, uneven %v: %d strokes after turn %d, want %d", c.name, uneven, curve.Strokes[i], i, want)
				}
				switch {
				case math.IsNaN(c.turns[i]) || math.IsInf(c.turns[i], 0):
					if !math.IsNaN(float64(r)) {
						t.Errorf("%s: a rate of %v at no moment", c.name, r)
					}
				case !near(float64(r), 10, 1e-6):
					t.Errorf("%s, uneven %v: rate %v at turn %d", c.name, uneven, r, i)
				}
			}
			share := curve.RepairedShare
			if len(curve.Repairs) == 0 && share != 0 || len(c.repairs) > 0 && c.name != "at the end of time" && !(share > 0 && share < 0.05) {
				t.Errorf("%s: a share of %v repaired", c.name, share)
			}
		}
	}
}

// A rate that doubles for seconds, or halves, is no repair, and a sudden change
// is over within half a second to either side.
func TestCurveChanges(t *testing.T) {
	for _, to := range []float64{20, 5, 12, 8} {
		rate := func(t float64) float64 {
			if t >= 6 && t < 12 {
				return to
			}
			return 10
		}
		turns := hand{uneven: 0.05}.turns(estimate.Stream(1, "changes"), 250, rate)
		c := tempo.NewCurve(turns, tempo.CurveOptions{})
		if len(c.Repairs) > 0 {
			t.Errorf("to %v: repairs %+v", to, c.Repairs)
		}
		for i, at := range turns {
			if math.Abs(at-6) < 0.5 || math.Abs(at-12) < 0.5 || i < 2 || i > 248 {
				continue
			}
			if want := rate(at); math.Abs(float64(c.Rate[i])/want-1) > 0.02 {
				t.Errorf("to %v: rate %v at %.2f s, want %v", to, c.Rate[i], at, want)
			}
		}
	}
}

// A rate that doubles for a second and a half is no repair either, and known
// within 3 % from 0.3 s after the change on.
func TestCurveBurst(t *testing.T) {
	rate := func(t float64) float64 {
		if t >= 6 && t < 7.5 {
			return 20
		}
		return 10
	}
	for _, uneven := range []float64{0, 0.1, 0.2} { // down takes up to 60 % of the cycle
		turns := hand{uneven: uneven}.turns(estimate.Stream(1, "burst"), 160, rate)
		c := tempo.NewCurve(turns, tempo.CurveOptions{})
		if len(c.Repairs) > 0 {
			t.Errorf("uneven %v: repairs %+v", uneven, c.Repairs)
		}
		for i, at := range turns {
			if math.Abs(at-6) < 0.3 || math.Abs(at-7.5) < 0.3 {
				continue
			}
			if want := rate(at); math.Abs(float64(c.Rate[i])/want-1) > 0.03 {
				t.Errorf("uneven %v: rate %v at %.2f s, want %v", uneven, c.Rate[i], at, want)
			}
		}
	}
}

// TestCurveTempoMap follows the tempo map of a Standard MIDI File, 500000, 363636
// and 300000 microseconds a quarter, in sixteenths of 120 of 480 ticks: s =
// ticks·us/(480·1e6) after each change (Standard MIDI Files 1.0). Half a second
// from a change the curve gives the tempo back.
func TestCurveTempoMap(t *testing.T) {
	micros := []int{500000, 363636, 300000}
	const each = 64 // sixteenths of each tempo
	turns := []float64{0}
	var changes []float64
	for _, us := range micros {
		start := turns[len(turns)-1]
		changes = append(changes, start)
		for k := 1; k <= each; k++ {
			turns = append(turns, start+float64(120*k)*float64(us)/(480*1e6))
		}
	}
	if want := 64. / 4 * 0.5; !near(turns[each], want, 1e-12) {
		t.Fatalf("the first change is at %v, want %v", turns[each], want)
	}
	c := tempo.NewCurve(turns, tempo.CurveOptions{})
	for i, us := range micros {
		for _, after := range []float64{0.5, 1, 2, 3, 4} {
			v := c.At(changes[i] + after)
			if got, want := v.Value.BPM(tempo.Sixteenth), tempo.FromMicros(us); math.Abs(float64(got/want)-1) > 0.005 {
				t.Errorf("%v BPM %.1f s after the change, want %v", got, after, want)
			}
		}
	}
}

// TestCurveRepairsFound loses one turn in thirty and finds one in thirty twice,
// in strokes that scatter by 5 %: nearly all are found, and little else. Damage
// next to damage is left out, for there are several truths.
func TestCurveRepairsFound(t *testing.T) {
	for _, uneven := range []float64{0, 0.1} {
		var lost, lostFound, twice, twiceFound, others int
		for seed := range uint64(10) {
			rng := estimate.Stream(seed, "damage")
			clean := hand{memory: 0.3, clock: 0.05, jitter: 0.02, uneven: uneven}.turns(rng, 600, nil)
			var turns []float64
			missed, extra := map[float64]bool{}, map[float64]bool{}
			last := 0
			for i, at := range clean {
				damage := rng.Float64()
				switch {
				case i < last+8 || i > len(clean)-8:
					turns = append(turns, at)
				case damage < 1./30: // the turn before it is where one is lacking
					missed[turns[len(turns)-1]] = true
					last = i
				case damage < 2./30:
					again := at + (0.2+0.6*rng.Float64())*(clean[i+1]-at)
					turns = append(turns, at, again)
					extra[again] = true
					last = i
				default:
					turns = append(turns, at)
				}
			}
			lost, twice = lost+len(missed), twice+len(extra)
			for _, r := range tempo.NewCurve(turns, tempo.CurveOptions{Level: -1}).Repairs {
				switch {
				case r.Kind == "missed" && r.Missed == 1 && missed[r.At]:
					lostFound++
				case r.Kind == "extra" && extra[r.At]:
					twiceFound++
				default:
					others++
				}
			}
		}
		t.Logf("uneven %v: %d of %d turns missed, %d of %d found twice, %d others", uneven, lostFound, lost, twiceFound, twice, others)
		if float64(lostFound) < 0.98*float64(lost) || float64(twiceFound) < 0.95*float64(twice) || float64(others) > 0.05*float64(twice) {
			t.Errorf("uneven %v: %d of %d turns missed, %d of %d found twice, %d others", uneven, lostFound, lost, twiceFound, twice, others)
		}
	}
}

// Whatever the turns: no panic, columns as long as they are, rates above 0 or none.
func TestCurveGarbage(t *testing.T) {
	for seed := range uint64(300) {
		rng := estimate.Stream(seed, "garbage")
		turns := make([]float64, rng.IntN(80))
		at := 0.0
		for i := range turns {
			at += 0.1 * rng.ExpFloat64()
			turns[i] = at
			switch rng.IntN(12) {
			case 0:
				turns[i] = math.NaN()
			case 1:
				turns[i] = math.Inf(1 - 2*rng.IntN(2))
			case 2:
				turns[i] = -at
			case 3:
				turns[i] = at - 0.1
			case 4:
				turns[i] *= 1e300
			}
		}
		c := tempo.NewCurve(turns, tempo.CurveOptions{})
		for i, r := range c.Rate {
			if r <= 0 || math.IsInf(float64(r), 0) || c.Strokes[i] < -1 || c.Low[i] > r || c.High[i] < r {
				t.Fatalf("seed %d, turn %d of %v: rate %v, %v to %v, %d strokes", seed, i, turns, r, c.Low[i], c.High[i], c.Strokes[i])
			}
		}
		if len(c.Rate) != len(turns) {
			t.Fatalf("%d rates of %d turns", len(c.Rate), len(turns))
		}
		c.Drift(estimate.BootstrapOptions{Draws: 19})
		c.Within(0.05, 0)
		tempo.SwingOf(turns, alternating(len(turns), true), tempo.SwingOptions{SampleHz: 120})
		tempo.FitGrid(turns, tempo.GridOptions{BPM: 150, Note: tempo.Sixteenth})
		tempo.FitGrid(turns, tempo.GridOptions{})
		if _, err := c.Fastest(tempo.FastestOptions{Draws: 19}); err != nil {
			t.Fatal(err)
		}
	}
}

// A swinging rate without any scatter is followed within 1 %, and 3 % in the
// first and last half second, where it is known from one side only.
func TestCurveFollows(t *testing.T) {
	rate := func(t float64) float64 { return 10 * (1 + 0.1*math.Sin(2*math.Pi*t/10)) }
	turns := hand{}.turns(estimate.Stream(1, "follows"), 400, rate)
	c := tempo.NewCurve(turns, tempo.CurveOptions{})
	for i, at := range turns {
		within := 0.01
		if at < 0.5 || at > turns[len(turns)-1]-0.5 {
			within = 0.03
		}
		if math.Abs(float64(c.Rate[i])/rate(at)-1) > within {
			t.Errorf("rate %v at %.2f s, want %v", c.Rate[i], at, rate(at))
		}
	}
}

// Twice as slow is half the rate, later is no other rate.
func TestCurveScales(t *testing.T) {
	turns := hand{memory: 0.3, clock: 0.03, jitter: 0.02, uneven: 0.1}.turns(estimate.Stream(1, "scales"), 200, nil)
	turns = without(turns, 70, 71)
	a := tempo.NewCurve(turns, tempo.CurveOptions{Bandwidth: 1})
	slow := slices.Clone(turns)
	floats.Scale(2, slow)
	b := tempo.NewCurve(slow, tempo.CurveOptions{Bandwidth: 2})
	late := tempo.NewCurve(add(turns, 64), tempo.CurveOptions{Bandwidth: 1})
	for i := range turns {
		if !near(float64(a.Rate[i]), 2*float64(b.Rate[i]), 1e-9) || !near(float64(a.Low[i]), 2*float64(b.Low[i]), 1e-9) {
			t.Fatalf("turn %d: %v and twice as slow %v", i, a.Rate[i], b.Rate[i])
		}
		if !near(float64(a.Rate[i]), float64(late.Rate[i]), 1e-6) {
			t.Fatalf("turn %d: %v and later %v", i, a.Rate[i], late.Rate[i])
		}
	}
	if len(a.Repairs) != 1 || len(b.Repairs) != 1 || len(late.Repairs) != 1 {
		t.Errorf("repairs %v, %v, %v", a.Repairs, b.Repairs, late.Repairs)
	}
}

func TestCurveAt(t *testing.T) {
	nan := math.NaN()
	turns := slices.Concat(even(40, 0), []float64{nan}, add(even(40, 0), 9))
	c := tempo.NewCurve(turns, tempo.CurveOptions{})
	for _, q := range []struct {
		at   float64
		code string
	}{{0, ""}, {2.05, ""}, {4, ""}, {9, ""}, {13, ""}, {-0.1, "no-strokes"}, {6, "no-strokes"}, {13.1, "no-strokes"}, {nan, "no-strokes"}} {
		v := c.At(q.at)
		if q.code == "" && !(near(float64(v.Value), 10, 1e-9) && v.Level == 0.95 && v.Low <= v.Value && v.Value <= v.High) {
			t.Errorf("at %v: %+v", q.at, v)
		}
		if q.code != "" && (v.Absent == nil || v.Absent.Code != q.code) {
			t.Errorf("at %v: %+v, want %s", q.at, v, q.code)
		}
	}
	if v := tempo.NewCurve([]float64{0, 0.1, 0.2, 0.3}, tempo.CurveOptions{}).At(0.1); v.Absent == nil || v.Absent.Code != "too-few" {
		t.Errorf("three strokes: %+v", v)
	}
	if v := tempo.NewCurve(turns, tempo.CurveOptions{Level: -1}).At(2); !v.Known() || v.Level != 0 || !math.IsNaN(float64(v.Low)) {
		t.Errorf("no level: %+v", v)
	}
	for _, few := range [][]float64{nil, {1}, {nan}, {nan, nan, nan}, {1, 1, 1, 1}, {3, 2, 1, 0}, {math.Inf(1), math.Inf(1)}} {
		c := tempo.NewCurve(few, tempo.CurveOptions{})
		if len(c.Rate) != len(few) || slices.ContainsFunc(c.Rate, func(r tempo.NotesPerSecond) bool { return !math.IsNaN(float64(r)) }) {
			t.Errorf("%v: rates %v", few, c.Rate)
		}
	}
}

// A take that begins at 8 notes a second and reaches 10 after ten seconds; the
// tracker missed a turn at 5 s.
func ExampleNewCurve() {
	turns := hand{clock: 0.02, uneven: 0.1}.turns(estimate.Stream(4, "example"), 180, func(t float64) float64 {
		return 8 + min(2, t/5)
	})
	turns = without(turns, 44, 45)
	c := tempo.NewCurve(turns, tempo.CurveOptions{})
	for _, at := range []float64{2, 5, 12} {
		v := c.At(at)
		fmt.Printf("at %2.0f s %.1f notes per second, %.1f to %.1f\n", at, v.Value, v.Low, v.High)
	}
	for _, r := range c.Repairs {
		fmt.Printf("%d turn %s after %.1f s\n", r.Missed, r.Kind, r.At)
	}
	// Output:
	// at  2 s 8.4 notes per second, 8.2 to 8.6
	// at  5 s 9.1 notes per second, 8.9 to 9.3
	// at 12 s 10.0 notes per second, 9.9 to 10.2
	// 1 turn missed after 5.1 s
}

func ExampleCurve_At() {
	c := tempo.NewCurve([]float64{0, 0.1, 0.2, 0.3, 0.4, 0.5, 0.6, 0.7, 0.8}, tempo.CurveOptions{})
	fmt.Printf("%.1f\n", c.At(0.4).Value)
	fmt.Println(c.At(3).Absent.Why)
	// Output:
	// 10.0
	// no strokes were found there
}
