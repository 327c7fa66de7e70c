package settling

import (
	"math"
	"os"
	"strconv"
	"strings"
	"testing"

	"gonum.org/v1/gonum/stat"
)

// lone returns an explorer of xs, all of one direction and searching, unless
// holds are given.
func lone(xs []float64, holds ...run) (*explorer, *explored) {
	c := column(xs)
	x := &explorer{c: c, holds: holds}
	if holds == nil {
		x.searches = []run{{0, len(xs)}}
	}
	return x, &explored{x: xs}
}

// TestRecall: products over squares are the autocorrelation at lag 1 that NIST
// certifies for LEW.DAT (about the mean of all, no divisors), to its last digit.
func TestRecall(t *testing.T) {
	x, col := lone(lew(t))
	rc := x.recallOf(col)
	if got, want := rc.cross/rc.squares, -0.307304800605679; math.Abs(got-want) > 1e-13 {
		t.Errorf("r(1) = %v, want %v", got, want)
	}
}

// lew returns the deflections of NIST's LEW.DAT.
func lew(t *testing.T) (ys []float64) {
	t.Helper()
	b, err := os.ReadFile("../../testdata/reference/nist/Lew.dat")
	if err != nil {
		t.Fatal(err)
	}
	_, data, _ := strings.Cut(string(b), "---")
	for _, s := range strings.Fields(data) {
		if v, err := strconv.ParseFloat(s, 64); err == nil {
			ys = append(ys, v)
		}
	}
	if len(ys) != 200 {
		t.Fatalf("%d deflections, want 200", len(ys))
	}
	return ys
}

// TestExpected compares the closed form with the sums over all pairs of
// covariances, and with the bias of Marriott & Pope (1954) and Kendall (1954),
// -(1+4r)/n for large n.
func TestExpected(t *testing.T) {
	for _, n := range []int{3, 4, 10, 31} {
		for _, r := range []float64{-0.9, -0.3, 0, 0.2, 0.7, 0.97} {
			cov := func(i, j int) float64 { return math.Pow(r, math.Abs(float64(i-j))) }
			mean := func(i int) (s float64) { // covariance of value i with the mean
				for j := range n {
					s += cov(i, j) / float64(n)
				}
				return s
			}
			var own, squares, cross float64
			for i := range n {
				own += mean(i) / float64(n)
			}
			for i := range n {
				squares += 1 - 2*mean(i) + own
				if i > 0 {
					cross += r - mean(i) - mean(i-1) + own
				}
			}
			p := products{n: float64(n), pairs: float64(n - 1)}
			a, b := p.expected(r)
			if !near(a, squares) || !near(b, cross) {
				t.Errorf("n %d, r %v: %v, %v, want %v, %v", n, r, a, b, squares, cross)
			}
		}
	}
	for _, r := range []float64{0, 0.3, 0.6} { // to first order, hence a large n
		rc := recall{groups: []products{{n: 4000, pairs: 3999, times: 1}}, strokes: 4000}
		if got, want := 4000*(rc.ratio(r)-r), -(1 + 4*r); math.Abs(got-want) > 0.02 {
			t.Errorf("r %v: bias %v/n, want %v/n", r, got, want)
		}
	}
}

// TestCorrelation: the one found is the one that gives the ratio.
func TestCorrelation(t *testing.T) {
	rc := recall{groups: []products{{n: 9, pairs: 8, times: 2}, {n: 20, pairs: 19, times: 1}}, strokes: 38}
	for _, r := range []float64{-0.9, -0.2, 0, 0.1, 0.5, 0.9, 0.97} {
		if got := rc.correlation(rc.ratio(r)); math.Abs(got-r) > 1e-5 {
			t.Errorf("%v, want %v", got, r)
		}
	}
	if lo, hi := rc.correlation(-2), rc.correlation(2); lo != -0.999 || hi != 0.999 {
		t.Errorf("out of reach: %v and %v", lo, hi)
	}
}

// TestPower: without memory the variance is the ordinary one, in each run about
// its own mean, and missing strokes are left out.
func TestPower(t *testing.T) {
	lew := lew(t)[:20]
	x, col := lone(lew)
	p := x.powerOf(col, x.searches, false, 0)
	if want := stat.Variance(lew, nil); !near(p.value, want) || p.n != len(lew) {
		t.Errorf("variance %v of %d, want %v", p.value, p.n, want)
	}
	x, col = lone(lew, run{0, 8}, run{8, 20})
	p = x.powerOf(col, x.holds, true, 0)
	want := (7*stat.Variance(lew[:8], nil) + 11*stat.Variance(lew[8:], nil)) / 18
	if !near(p.value, want) {
		t.Errorf("within runs %v, want %v", p.value, want)
	}
	some := append([]float64(nil), lew...)
	some[3], some[19] = math.NaN(), math.NaN()
	x, col = lone(some)
	p = x.powerOf(col, x.searches, false, 0)
	if want := stat.Variance(append(append([]float64(nil), lew[:3]...), lew[4:19]...), nil); !near(p.value, want) || p.n != 18 {
		t.Errorf("some missing: %v of %d, want %v", p.value, p.n, want)
	}
}
