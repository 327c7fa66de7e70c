package settling

import (
	"math"

	"github.com/plectrace/plectrace/variability/robust"
)

// model describes the strokes of one take: white about a centre that stays
// while settled; a stationary first-order autoregression while searching.
// Variances include the noise; everything is in tolerances.
type model struct {
	settled   [features]float64 // variance about the centre
	mean      [features]float64 // searching
	searching [features]float64 // marginal variance
	phi       [features]float64 // serial correlation
}

const (
	settledPrior   = 0.55 // s.d. of settled strokes before any were seen
	searchingPrior = 1.8  // s.d. of searching strokes before any were seen
	settledWeight  = 10   // the number of strokes that these count for
	searchWeight   = 6
	maxPhi         = 0.95
	farOut         = 4.5 // searching strokes farther out than three s.d. are no less likely
)

// prior returns the model for a take of which nothing is known but its
// overall centre and scatter.
func prior(c *columns) (m model) {
	for f := range m.mean {
		m.phi[f] = 0.8
		m.settled[f] = settledPrior * settledPrior
		m.searching[f] = searchingPrior * searchingPrior
		if c.used[f] {
			s := max(searchingPrior, c.scale[f])
			m.searching[f] = s * s
			m.mean[f] = c.centre[f]
		}
	}
	return m
}

// learn fits a model to labelled strokes. dev holds the deviations from the
// local centres; first is the model to lean on where strokes are few.
func (c *columns) learn(labels []bool, dev [][features]float64, first *model, buf []float64) (m model) {
	for f := range m.mean {
		buf = buf[:0]
		for i := range dev {
			if v := dev[i][f]; labels[i] && v == v {
				buf = append(buf, v)
			}
		}
		s, n := 0.0, float64(len(buf))
		if n > 4 {
			s = robust.ScaleInPlace(buf) * medianLoss
		}
		m.settled[f] = max(0.01, (settledWeight*first.settled[f]+n*s*s)/(settledWeight+n))

		buf = c.feature(buf, f, labels, false)
		m.mean[f] = first.mean[f]
		if n := float64(len(buf)); n > 0 {
			m.mean[f] = (n*robust.MedianInPlace(buf) + searchWeight*first.mean[f]) / (n + searchWeight)
		}
		v := first.searching[f]
		n, squares, pairs, products := c.moments(f, m.mean[f], 3*math.Sqrt(v), labels)
		m.searching[f] = (searchWeight*v + squares) / (searchWeight + n)
		m.phi[f] = max(0, min(maxPhi, products/(searchWeight*v+pairs)))
	}
	return m
}

// moments returns sums over the strokes not in skip whose feature f is within
// lim of mean: their number and squared deviations, and for neighbours of the
// same part the mean of their squares and the product.
func (c *columns) moments(f int, mean, lim float64, skip []bool) (n, squares, pairs, products float64) {
	for _, p := range c.parts {
		before := math.NaN()
		for i := p.lo; i < p.hi; i++ {
			d := c.x[i][f] - mean
			if !(math.Abs(d) <= lim) || skip != nil && skip[i] {
				before = math.NaN()
				continue
			}
			n++
			squares += d * d
			if v := d * before; v == v {
				pairs += (d*d + before*before) / 2
				products += v
			}
			before = d
		}
	}
	return n, squares, pairs, products
}

// logSearching writes to mixed and cond the log-density of each stroke while
// searching: cond given the stroke before; mixed where that is not known to be
// a searching one, the better of cond and of the density that knows nothing of
// the stroke before, at even odds.
func (c *columns) logSearching(mixed, cond []float64, m *model) {
	var logm, logc, ivm, ivc, lim [features]float64
	for f := range logm {
		v := m.searching[f]
		w := v * (1 - m.phi[f]*m.phi[f])
		logm[f], logc[f] = 0.5*math.Log(v), 0.5*math.Log(w)
		ivm[f], ivc[f] = 0.5/v, 0.5/w
		lim[f] = 3 * math.Sqrt(v)
	}
	for _, p := range c.parts {
		for i := p.lo; i < p.hi; i++ {
			var a, b float64
			for f := range logm {
				d := c.x[i][f] - m.mean[f]
				if d != d {
					continue
				}
				la := -min(farOut, d*d*ivm[f]) - logm[f]
				lb := la
				if i > p.lo {
					before := max(-lim[f], min(lim[f], c.x[i-1][f]-m.mean[f]))
					if e := d - m.phi[f]*before; e == e {
						lb = -min(farOut, e*e*ivc[f]) - logc[f]
					}
				}
				a += la
				b += lb
			}
			cond[i] = b
			mixed[i] = max(a, b) - math.Ln2
		}
	}
}
