package settling_test

import (
	"math"
	"testing"

	"github.com/plectrace/plectrace/variability/circular"
	"github.com/plectrace/plectrace/variability/settling"
)

// TestSlowWander: a rate that goes up and down in a sine of 4 to 10 s, whose ends may
// meet, is not settled once its range is clearly more than a tolerance: not as one span,
// and hardly in pieces. The scatter about it is a third of the tolerances, with a
// serial correlation of 0.4; a range of a third of a tolerance is settled throughout.
func TestSlowWander(t *testing.T) {
	many(t)
	const n = 100
	for _, c := range []struct {
		span    float64 // from the slowest to the quickest, in tolerances
		settled bool
	}{{0, true}, {1. / 3, true}, {2.5, false}, {4, false}} {
		good, moving := 0, 0
		for seed := range n {
			rng := seeded("slow wander", seed)
			period, phase := uniform(rng, 4, 10), uniform(rng, 0, 2*math.Pi)
			rate, seconds := uniform(rng, 5, 14), uniform(rng, 18, 40)
			var ss []settling.Stroke
			var x [3]float64
			for at := 0.0; at < seconds; {
				for f := range x {
					x[f] = 0.4*x[f] + math.Sqrt(1-0.4*0.4)*rng.NormFloat64()/3
				}
				log := 0.08 * (x[1] + c.span/2*math.Sin(2*math.Pi*at/period+phase))
				s := settling.Stroke{
					Start: at, Down: len(ss)%2 == 0, Angle: circular.Angle(0.2 + tolerance[0]*x[0]),
					Duration: math.Exp(log) / rate, Length: 10 * math.Exp(tolerance[2]*x[2]),
				}
				s.End = at + s.Duration
				at = s.End
				ss = append(ss, s)
			}
			r := settling.Find(ss, settling.Options{})
			if c.settled && r.Share.Value > 0.95 && count(r) == 1 || !c.settled && r.Share.Value < 0.25 {
				good++
			}
			if len(r.Moving) > 0 {
				moving++
			}
			if !c.settled && !(r.Share.High > r.Share.Low) {
				t.Errorf("range of %.1f, %d: share %+v", c.span, seed, r.Share)
			}
		}
		t.Logf("range of %.2f tolerances: %d of %d as they should be, called moving %d", c.span, good, n, moving)
		if good < n*90/100 || c.settled && moving > 0 || !c.settled && moving < n*30/100 {
			t.Errorf("range of %.2f tolerances: %d of %d as they should be, called moving %d", c.span, good, n, moving)
		}
	}
}

// TestStill: in 20 s that are settled but for 1.5 s in which the rate alone rises and
// comes back, the rest is settled. (Where the rise is not told from strokes that stand
// out, it is too.)
func TestStill(t *testing.T) {
	many(t)
	const n = 400
	good, whole := 0, 0
	for seed := range n {
		rng := seeded("still", seed)
		rate, from := uniform(rng, 6, 13), uniform(rng, 5, 13)
		var ss []settling.Stroke
		for at := 0.0; at < 20; {
			rise := 0.0
			if u := (at - from) / 1.5; u > 0 && u < 1 {
				rise = 2.5 * math.Sin(math.Pi*u)
			}
			s := settling.Stroke{
				Start: at, Down: len(ss)%2 == 0, Angle: circular.Angle(0.2 + tolerance[0]*0.4*rng.NormFloat64()),
				Duration: math.Exp(0.08*(rise+0.4*rng.NormFloat64())) / rate, Length: 10 * math.Exp(tolerance[2]*0.4*rng.NormFloat64()),
			}
			s.End = at + s.Duration
			at = s.End
			ss = append(ss, s)
		}
		r := settling.Find(ss, settling.Options{})
		if r.Share.Value > 0.8 {
			good++
		}
		if r.Share.Value == 1 {
			whole++
		}
	}
	t.Logf("%d of %d settled for more than 0.8 of the time, %d throughout", good, n, whole)
	if good < n*99/100 { // 395 of 400 where such a stretch is refused as a whole
		t.Errorf("%d of %d are settled for more than 0.8 of the time", good, n)
	}
}

// TestShareUnsure: where no span is found one may still have been missed, unless
// there is no room for it.
func TestShareUnsure(t *testing.T) {
	rng := seeded("share unsure", 0)
	tk := never(rng)
	tk.search = manner{triple{10, 0.2, 0.3}, 0}
	ss, _ := tk.make(rng)
	seconds := 0.0
	for _, s := range ss {
		seconds += s.End - s.Start
	}
	v := settling.Find(ss, settling.Options{}).Share
	if v.Value != 0 || v.Low != 0 || !(v.High >= 1/seconds-1e-12 && v.High < 0.2) {
		t.Errorf("share %+v", v)
	}
	for i := range ss {
		ss[i].Break = i%int(tk.rate/2) == 0
	}
	if v := settling.Find(ss, settling.Options{}).Share; v.Value != 0 || v.High != 0 {
		t.Errorf("in pieces of half a second: share %+v", v)
	}
}

// TestFine: strokes that are far finer than the tolerances while settled, as of a
// machine, with a length that is as fine while searching.
func TestFine(t *testing.T) {
	many(t)
	const n = 100
	good, sum := 0, 0.0
	for seed := range n {
		rng := seeded("fine", seed)
		from := uniform(rng, 3, 6)
		tk := take{
			rate: uniform(rng, 6, 12), seconds: 18, spans: [][2]float64{{from, from + uniform(rng, 7, 11)}}, centres: []triple{{}},
			settled: manner{sd: triple{0.1, 0.003, 0.003}}, search: manner{triple{4, 0.12, 0.15}, 0.6}, frozen: 2,
		}
		ss, tr := tk.make(rng)
		o := overlap(ss, settling.Find(ss, settling.Options{}).Labels, tr.settled())
		sum += o
		if o > 0.85 {
			good++
		}
	}
	t.Logf("overlap with the truth above 0.85 in %d of %d takes, %.3f in the mean", good, n, sum/n)
	if good < n*95/100 {
		t.Errorf("overlap above 0.85 in %d of %d takes", good, n)
	}
}
