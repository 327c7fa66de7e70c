package settling

// maxDegree bounds the polynomial that describes how a centre moves.
const maxDegree = 3

// poly is a least-squares polynomial as a sum of polynomials orthogonal over
// the points it was fitted to, by the three-term recurrence of Forsythe
// (1957), J. SIAM 5:74-88.
type poly struct {
	coef, a, b [maxDegree + 1]float64
	rss        [maxDegree + 1]float64 // residual sum of squares, by degree
}

// fitPoly fits all degrees to y over t at once. Degrees beyond what the
// points determine add nothing.
func fitPoly(t, y []float64) (p poly) {
	n := float64(len(t))
	for i := range t {
		p.coef[0] += y[i] / n
		p.a[0] += t[i] / n
	}
	for _, v := range y {
		p.rss[0] += (v - p.coef[0]) * (v - p.coef[0])
	}
	last := n
	for k := 1; k <= maxDegree; k++ {
		p.rss[k] = p.rss[k-1]
		var qq, tqq, yq float64
		for i := range t {
			q := p.basis(t[i], k)
			qq += q * q
			tqq += t[i] * q * q
			yq += (y[i] - p.coef[0]) * q
		}
		if qq <= 1e-12*last {
			for ; k <= maxDegree; k++ {
				p.rss[k] = p.rss[k-1]
			}
			break
		}
		p.coef[k] = yq / qq
		p.rss[k] = max(0, p.rss[k]-yq*yq/qq)
		p.a[k], p.b[k] = tqq/qq, qq/last
		last = qq
	}
	return p
}

// basis returns the k-th orthogonal polynomial at t.
func (p *poly) basis(t float64, k int) float64 {
	q, before := 1.0, 0.0
	for j := range k {
		q, before = (t-p.a[j])*q-p.b[j]*before, q
	}
	return q
}

// at returns the polynomial of the given degree at t.
func (p *poly) at(t float64, degree int) float64 {
	v := p.coef[0]
	q, before := 1.0, 0.0
	for j := range degree {
		q, before = (t-p.a[j])*q-p.b[j]*before, q
		v += p.coef[j+1] * q
	}
	return v
}
