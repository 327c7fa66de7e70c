package learning_test

import (
	"flag"
	"math"
	"testing"

	"github.com/plectrace/plectrace/variability/estimate"
	"github.com/plectrace/plectrace/variability/learning"
	"gonum.org/v1/gonum/stat/distuv"
)

// calibrate is the number of simulated series for each row of the tables in
// doc.go; 0 means a few, with bounds wide enough for them. The reported
// figures are of
//
//	go test -run Calibrate -v -calibrate 1000 -timeout 0 ./variability/learning
var calibrate = flag.Int("calibrate", 0, "series for each row of the calibration tables")

// draws returns how many series to draw, and for how many of them a row may at
// most, or must at least, be otherwise than it should, if the true share is
// share: 1 in 10 000 quick runs of a row goes beyond.
func draws(quick int) (n int, most, least func(share float64) int) {
	n = quick
	if *calibrate > 0 {
		n = *calibrate
	}
	quantile := func(share, p float64) int {
		b := distuv.Binomial{N: float64(n), P: share}
		k := 0
		for b.CDF(float64(k)) < p {
			k++
		}
		return k
	}
	return n, func(share float64) int { return quantile(share, 0.9999) },
		func(share float64) int { return quantile(share, 0.0001) }
}

// practice draws series i: f at 0 … 1 over n values, plus scatter of standard
// deviation 1 by noise. Seeds from 1e6 on are kept for the figures reported.
func practice(i, n int, use string, f func(x, u float64) float64, noise func(e []float64, g func() float64)) (x, y []float64) {
	rng := estimate.Stream(uint64(1e6+i), "learning calibration, "+use)
	e := make([]float64, n)
	noise(e, rng.NormFloat64)
	for i := range n {
		x = append(x, float64(i+1))
		y = append(y, f(float64(i+1), float64(i)/float64(n-1))+e[i])
	}
	return x, y
}

// autoregressive is scatter whose neighbours correlate by rho.
func autoregressive(rho float64) func(e []float64, g func() float64) {
	return func(e []float64, g func() float64) {
		v := g()
		for i := range e {
			if i > 0 {
				v = rho*v + math.Sqrt(1-rho*rho)*g()
			}
			e[i] = v
		}
	}
}

// alternating is independent scatter about two levels in turn; switching stays
// on one of two levels for 5 values on average; longTails has one value in ten
// five times as far off.
func alternating(e []float64, g func() float64) {
	for i := range e {
		e[i] = (g() + float64(1-2*(i%2))) / math.Sqrt2
	}
}

func switching(e []float64, g func() float64) {
	level := math.Copysign(1, g())
	for i := range e {
		if distuv.UnitNormal.CDF(g()) < 0.2 {
			level = -level
		}
		e[i] = (g() + level) / math.Sqrt2
	}
}

func longTails(e []float64, g func() float64) {
	for i := range e {
		e[i] = g()
		if distuv.UnitNormal.CDF(g()) < 0.1 {
			e[i] *= 5
		}
	}
}

// TestCalibrateNulls: how often a change, a bend and a level are seen where
// there is none.
func TestCalibrateNulls(t *testing.T) {
	if testing.Short() {
		t.Skip("slow")
	}
	quick := *calibrate == 0
	count, most, least := draws(40)
	t.Logf("%-22s %5s %3s %8s %7s %7s %9s", "scatter", "slope", "n", "change%", "bend%", "level%", "covered%")
	for _, noise := range []struct {
		name string
		draw func(e []float64, g func() float64)
		// Shares that a change is seen in where there is none, and that its
		// interval holds the truth in, both at n = 8 and 12, and from 20 on.
		few, many       float64
		coverFew, cover float64
		quick           []int
		o               learning.Options
	}{
		{"independent", autoregressive(0), 0.05, 0.05, 0.95, 0.94, []int{20}, learning.Options{}},
		{"ρ 0.3", autoregressive(0.3), 0.05, 0.05, 0.95, 0.93, nil, learning.Options{}},
		{"ρ 0.6", autoregressive(0.6), 0.06, 0.05, 0.93, 0.94, []int{12}, learning.Options{}},
		{"ρ 0.9", autoregressive(0.9), 0.12, 0.09, 0.86, 0.92, []int{20}, learning.Options{}},
		{"alternating", alternating, 0.05, 0.05, 0.95, 0.95, nil, learning.Options{}},
		{"switching levels", switching, 0.05, 0.06, 0.95, 0.92, []int{20}, learning.Options{}},
		{"long tails", longTails, 0.05, 0.05, 0.95, 0.93, nil, learning.Options{}},
		{"robust, independent", autoregressive(0), 0.06, 0.06, 0.90, 0.90, nil, learning.Options{Robust: true}},
		{"robust, ρ 0.6", autoregressive(0.6), 0.06, 0.06, 0.90, 0.90, nil, learning.Options{Robust: true}},
		{"robust, long tails", longTails, 0.06, 0.06, 0.90, 0.90, []int{20}, learning.Options{Robust: true}},
	} {
		t.Run(noise.name, func(t *testing.T) {
			sizes := []int{8, 12, 20, 40, 80}
			if quick {
				sizes = noise.quick
			}
			for _, slope := range []float64{0, 5, 20} {
				for _, n := range sizes {
					var changed, bent, level, covered int
					for i := range count {
						x, y := practice(i, n, noise.name, func(_, u float64) float64 { return 10 + slope*u }, noise.draw)
						r := mustFit(t, x, y, noise.o)
						if r.Verdict >= learning.Trend {
							changed++
						}
						if r.Verdict >= learning.StillChanging {
							bent++
						}
						if r.Verdict >= learning.Levelling {
							level++
						}
						if v := r.Curve(learning.Line).Change; v.Low <= slope && slope <= v.High {
							covered++
						}
					}
					percent := 100 / float64(count)
					t.Logf("%-22s %5v %3d %8.1f %7.1f %7.1f %9.1f", noise.name, slope, n,
						percent*float64(changed), percent*float64(bent), percent*float64(level), percent*float64(covered))
					share, cover := noise.many, noise.cover
					if n < 20 {
						share, cover = noise.few, noise.coverFew
					}
					if slope == 0 && changed > most(share) {
						t.Errorf("%s, n %d: a change is seen in %d of %d series that have none", noise.name, n, changed, count)
					}
					if level > most(0.05) {
						t.Errorf("%s, slope %v, n %d: a level is seen in %d of %d straight series", noise.name, slope, n, level, count)
					}
					if covered < least(cover) {
						t.Errorf("%s, slope %v, n %d: the interval of the change holds it in %d of %d", noise.name, slope, n, covered, count)
					}
				}
			}
		})
	}
}

// TestCalibrateLevels: how often the level is in sight of series that have one,
// and how often its interval then holds it.
func TestCalibrateLevels(t *testing.T) {
	if testing.Short() {
		t.Skip("slow")
	}
	quick := *calibrate == 0
	count, _, least := draws(40)
	t.Logf("%-26s %4s %3s %6s %9s %10s %10s", "curve, all change", "ρ", "n", "seen%", "covered%", "own level%", "expected%")
	curves := []struct {
		name string
		kind learning.Kind
		amp  float64
		f    func(x, u float64) float64
	}{
		{"exponential, 98 % done, 5", learning.Exponential, 5, func(_, u float64) float64 { return 10 + 5*(1-math.Exp(-4*u)) }},
		{"exponential, 86 % done, 20", learning.Exponential, 20, func(_, u float64) float64 { return 10 + 20*(1-math.Exp(-2*u)) }},
		{"exponential, 98 % done, 20", learning.Exponential, 20, func(_, u float64) float64 { return 10 + 20*(1-math.Exp(-4*u)) }},
		{"power -0.5, 20", learning.Power, 20, func(x, _ float64) float64 { return 10 + 20*(1-math.Pow(x, -0.5)) }},
		{"power -1, 20", learning.Power, 20, func(x, _ float64) float64 { return 10 + 20*(1-1/x) }},
	}
	rhos, sizes := []float64{0, 0.3, 0.6, 0.9}, []int{12, 20, 40, 80}
	if quick {
		curves, rhos, sizes = curves[2:3], []float64{0, 0.6}, []int{20, 40}
	}
	for _, c := range curves {
		for _, rho := range rhos {
			for _, n := range sizes {
				truth := 10 + c.amp
				var seen, covered, own, ownCovered, expected int
				for i := range count {
					x, y := practice(i, n, c.name, c.f, autoregressive(rho))
					r := mustFit(t, x, y, learning.Options{})
					if r.Plateau.Known() {
						seen++
						if r.Plateau.Low <= truth && truth <= r.Plateau.High {
							covered++
						}
						if rest := truth - c.f(float64(n), 1); r.Expected.Low <= rest && rest <= r.Expected.High {
							expected++
						}
					}
					if v := r.Curve(c.kind); v.Absent == nil {
						own++
						if v.A.Low <= truth && truth <= v.A.High {
							ownCovered++
						}
					}
				}
				of := func(k, n int) float64 { return 100 * float64(k) / float64(max(n, 1)) }
				t.Logf("%-26s %4v %3d %6.1f %9.1f %10.1f %10.1f", c.name, rho, n,
					of(seen, count), of(covered, seen), of(ownCovered, own), of(expected, seen))
				// Of the intervals of the curve's own level, 91 %.
				if missed := own - ownCovered; missed > count-least(0.91) {
					t.Errorf("%s, ρ %v, n %d: %d of %d intervals miss the level", c.name, rho, n, missed, own)
				}
			}
		}
	}
}
