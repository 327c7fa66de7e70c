package cohort

import (
	"math"

	"gonum.org/v1/gonum/stat"
)

// window numbers the three windows of a subject.
const early, baseline, late = 0, 1, 2

// moments are products of deviations, a row for each subject, whose means are
// covariances: of the windows' means (cross), and within a window of its units
// with each other (own), whose errors are independent. Deviations are from the
// mean over subjects at each place in the window, which takes out what all
// players learn alike.
type moments struct {
	n      int
	cross  [3][3][]float64
	own    [3][]float64 // nil for a window of one unit
	groups []int
	g      int // number of groups
}

func newMoments(list []subject, of []int, g int) *moments {
	m := &moments{n: len(list), groups: of, g: g}
	unbias := float64(m.n) / float64(m.n-1) // covariances have the divisor n-1
	var means [3][]float64
	for w := range 3 {
		k := len(list[0].window(w))
		centre := make([]float64, k)
		for _, s := range list {
			for j, x := range s.window(w) {
				centre[j] += x / float64(m.n)
			}
		}
		for _, s := range list {
			sum, squares := 0.0, 0.0
			for j, x := range s.window(w) {
				d := x - centre[j]
				sum += d
				squares += d * d
			}
			means[w] = append(means[w], sum/float64(k))
			if k > 1 {
				m.own[w] = append(m.own[w], unbias*(sum*sum-squares)/float64(k*(k-1)))
			}
		}
	}
	for a := range 3 {
		for b := range 3 {
			m.cross[a][b] = make([]float64, m.n)
			for i := range m.n {
				m.cross[a][b][i] = unbias * means[a][i] * means[b][i]
			}
		}
	}
	return m
}

func (s *subject) window(w int) []float64 { return [...][]float64{s.early, s.baseline, s.late}[w] }

// observed returns the moments with the errors left in: own are plain variances.
func (m *moments) observed() *moments {
	o := *m
	for w := range 3 {
		o.own[w] = m.cross[w][w]
	}
	return &o
}

// term is an estimate with what each subject adds to it: influences, whose mean
// is zero up to rounding.
type term struct {
	value     float64
	influence []float64
}

// given returns the covariance of two windows given the baseline,
//
//	c(a,b) - c(a,B) c(b,B) / c(B,B)
//
// with its influences. For a = b the variance is that without error.
func (m *moments) given(a, b int) term {
	ab, aB, bB, BB := m.cross[a][b], m.cross[a][baseline], m.cross[b][baseline], m.own[baseline]
	if a == b {
		ab = m.own[a]
	}
	da, db := stat.Mean(aB, nil)/stat.Mean(BB, nil), stat.Mean(bB, nil)/stat.Mean(BB, nil)
	t := term{stat.Mean(ab, nil) - da*stat.Mean(bB, nil), make([]float64, m.n)}
	for i := range t.influence {
		t.influence[i] = ab[i] - db*aB[i] - da*bB[i] + da*db*BB[i] - t.value
	}
	return t
}

// df are the degrees of freedom of an estimate that is given the baseline.
func (m *moments) df() float64 { return float64(m.g - 3) }

// cov returns the covariance of two estimates from their influences, which are
// added up within groups, with a correction for the coefficients that were
// estimated:
//
//	Σ A(g) B(g) / n² · G/(G-3), A(g) the sum over the group
func (m *moments) cov(a, b []float64) float64 {
	sa, sb := make([]float64, m.g), make([]float64, m.g)
	for i, g := range m.groups {
		sa[g] += a[i]
		sb[g] += b[i]
	}
	sum := 0.0
	for g := range sa {
		sum += sa[g] * sb[g]
	}
	n, g := float64(m.n), float64(m.g)
	return sum / (n * n) * g / (g - 3)
}

// clear reports whether the variance without error of a window stands at least
// twice its standard error above zero.
func (m *moments) clear(w int) bool {
	if m.own[w] == nil {
		return false
	}
	c := stat.Mean(m.own[w], nil)
	d := make([]float64, m.n)
	for i, x := range m.own[w] {
		d[i] = x - c
	}
	return c > 0 && c*c >= 4*m.cov(d, d)
}

// reliability returns the share of the variance of a window's mean that is not
// error, and the standard error of log(1 - share).
func (m *moments) reliability(w int) (share, se float64) {
	whole, own := m.cross[w][w], m.own[w]
	c, v := stat.Mean(own, nil), stat.Mean(whole, nil)
	d := make([]float64, m.n)
	for i := range d { // of log(v - c) - log v
		d[i] = (whole[i]-own[i]-(v-c))/(v-c) - (whole[i]-v)/v
	}
	return c / v, math.Sqrt(m.cov(d, d))
}
