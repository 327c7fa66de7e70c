package variability_test

import (
	"fmt"
	"math"
	"math/rand/v2"
	"strings"
	"testing"

	"github.com/plectrace/plectrace/variability"
	"github.com/plectrace/plectrace/variability/estimate"
)

// normals returns n pairs of normal values with a correlation of r, plus both times
// of a third column.
func normals(n int, r, both float64, rng *rand.Rand) (x, y, z []float64) {
	x, y, z = make([]float64, n), make([]float64, n), make([]float64, n)
	for i := range x {
		a, b := rng.NormFloat64(), rng.NormFloat64()
		z[i] = rng.NormFloat64()
		x[i], y[i] = a+both*z[i], r*a+math.Sqrt(1-r*r)*b+both*z[i]
	}
	return x, y, z
}

// named is a name for row.log.
type named string

func (n named) String() string { return string(n) }

func TestCalibrateCorrelation(t *testing.T) {
	if testing.Short() {
		t.Skip("slow")
	}
	runs, first := takes(200)
	for _, n := range []int{8, 12, 20, 50, 200} {
		for _, r := range []float64{0, 0.4, 0.8} {
			var c row
			if n == 8 && r > 0 {
				continue // below what Bonett and Wright mean
			}
			for k := range runs {
				rng := estimate.Stream(first+uint64(k), "pairs")
				x, y, z := normals(n, r, 1, rng)
				u, v, _ := normals(n, r, 0, rng)
				s := variability.Spearman(u, v, variability.Options{})
				c.interval("Spearman", s.R, 6/math.Pi*math.Asin(r/2))
				p := variability.PartialCorrelation(x, y, [][]float64{z}, variability.Options{})
				c.interval("PartialCorrelation", p.R, r)
				split := variability.SplitHalf(u, v, variability.Options{})
				c.interval("SplitHalf", split, 2*r/(1+r))
				if r == 0 {
					ps := variability.PartialSpearman(x, y, [][]float64{z}, variability.Options{})
					c.interval("PartialSpearman", ps.R, 0)
					c.add("Spearman rejects", true, s.P <= 0.05)
					c.add("PartialCorrelation rejects", true, p.P <= 0.05)
					c.add("PartialSpearman rejects", true, ps.P <= 0.05)
					for i := range u {
						u[i], v[i] = math.Round(u[i]), math.Round(v[i])
					}
					tied := variability.Spearman(u, v, variability.Options{})
					c.add("tied rejects", tied.R.Absent == nil, tied.P <= 0.05)
				}
			}
			what := named(fmt.Sprintf("correlation %v", r))
			c.log(t, what, n, runs)
			where := fmt.Sprintf("%d pairs, %v", n, what)
			for _, name := range c.names {
				if strings.HasSuffix(name, "rejects") {
					c.within(t, name, where, 3, 7)
				} else {
					c.within(t, name, where, 93, 97)
				}
			}
		}
	}
}

func TestCalibrateRepeats(t *testing.T) {
	if testing.Short() {
		t.Skip("slow")
	}
	runs, first := takes(300)
	for _, units := range []int{3, 8, 25} {
		for _, between := range []float64{0.3, 1, 3} {
			for _, repeats := range [][]int{{2}, {4}, {2, 3, 6}} {
				var c row
				truth := between * between / (between*between + 1)
				for k := range runs {
					rng := estimate.Stream(first+uint64(k), "repeats")
					u := make([][]float64, units)
					for i := range u {
						level := between * rng.NormFloat64()
						u[i] = make([]float64, repeats[i%len(repeats)])
						for j := range u[i] {
							u[i][j] = level + rng.NormFloat64()
						}
					}
					r := variability.Repeatability(u, variability.Options{})
					c.interval("Within", r.Within, 1)
					c.interval("ICC", r.ICC, truth)
					change := math.Abs(rng.NormFloat64() - rng.NormFloat64())
					c.add("no change exceeds SmallestChange", true, change > r.SmallestChange)
					c.add("no change exceeds Coefficient", true, change > r.Coefficient)
				}
				what := named(fmt.Sprintf("%v repeats, %v between units", repeats, between))
				c.log(t, what, units, runs)
				where := fmt.Sprintf("%d units, %v", units, what)
				c.within(t, "Within", where, 93.5, 96.5)
				c.within(t, "no change exceeds SmallestChange", where, 3.5, 6.5)
				c.within(t, "ICC", where, 93, 97)
			}
		}
	}
}

func TestCalibrateAgreement(t *testing.T) {
	if testing.Short() {
		t.Skip("slow")
	}
	runs, first := takes(100)
	for _, rows := range []int{3, 8, 25} {
		for _, between := range []float64{0.3, 1, 3} {
			for _, columns := range []int{2, 4, 8} {
				if *calibrate == 0 && (columns > 2 || rows == 8 || between < 1) {
					continue
				}
				var c row
				for k := range runs {
					rng := estimate.Stream(first+uint64(k), fmt.Sprint("agreement", rows, between, columns))
					raters := make([]float64, columns)
					for j := range raters {
						raters[j] = rng.NormFloat64()
					}
					table := make([][]float64, rows)
					for i := range table {
						level := between * rng.NormFloat64()
						for _, rater := range raters {
							table[i] = append(table[i], level+rater+rng.NormFloat64())
						}
					}
					c.interval("Agreement", variability.Agreement(table, variability.Options{}), between*between/(between*between+2))
				}
				what := named(fmt.Sprintf("%d columns, %v between rows", columns, between))
				c.log(t, what, rows, runs)
				c.within(t, "Agreement", fmt.Sprintf("%d rows, %v", rows, what), 93, 97)
			}
		}
	}
}
