package filter

import "math"

// gram holds the Gram polynomials, which are orthogonal over evenly spaced
// points, at one place: p[k][s] is the s-th derivative of the one of degree k.
// Fits by powers of the sample number lose all digits at wide windows and high
// degrees; these do not.
type gram struct {
	p [maxPolynomial + 1][maxPolynomial + 1]float64
}

// evaluate sets p for the points -(n-1)/2, ..., (n-1)/2 up to that degree and
// order of derivative, at t, by the recurrence of Gorry (1990), eq. 11:
//
//	P(k) = 2(2k-1)/(k(2m-k+1)) (t P(k-1) + s P'(k-1)) - (k-1)(2m+k)/(k(2m-k+1)) P(k-2)
//
// with 2m = n-1, where P' stands for the derivative of order s-1.
func (g *gram) evaluate(n, degree, order int, t float64) {
	g.p[0] = [maxPolynomial + 1]float64{1}
	for k := 1; k <= degree; k++ {
		scale := float64(k * (n - k))
		a := float64(2*(2*k-1)) / scale
		b := float64((k-1)*(n-1+k)) / scale
		for s := 0; s <= order; s++ {
			v := t * g.p[k-1][s]
			if s > 0 {
				v += float64(s) * g.p[k-1][s-1]
			}
			v *= a
			if k > 1 {
				v -= b * g.p[k-2][s]
			}
			g.p[k][s] = v
		}
	}
}

// weight returns the inverse of the sum of squares over n points of the Gram
// polynomial of degree k (Gorry 1990, eq. 8):
//
//	(2k+1) (2m)(2m-1)···(2m-k+1) / ((2m+k+1)(2m+k)···(2m+1))
func weight(k, n int) float64 {
	w := float64(2*k+1) / float64(n)
	for i := 1; i <= k; i++ {
		w *= float64(n-i) / float64(n+i)
	}
	return w
}

// polynomial is a polynomial fitted to evenly spaced samples, as a sum of Gram
// polynomials.
type polynomial struct {
	n, degree int
	share     [maxPolynomial + 1]float64 // of each Gram polynomial
	at        gram
}

// to fits the polynomial to x by least squares.
func (p *polynomial) to(x []float64, degree int) {
	p.n, p.degree = len(x), degree
	p.share = [maxPolynomial + 1]float64{}
	for i, v := range x {
		p.at.evaluate(p.n, degree, 0, float64(i)-float64(p.n-1)/2)
		for k := range degree + 1 {
			p.share[k] += p.at.p[k][0] * v
		}
	}
	for k := range degree + 1 {
		p.share[k] *= weight(k, p.n)
	}
}

// derivative returns the derivative of that order, per sample interval to that
// power, at t samples from the middle. That of more than the degree is not
// determined, and NaN.
func (p *polynomial) derivative(order int, t float64) float64 {
	if order > p.degree {
		return math.NaN()
	}
	p.at.evaluate(p.n, p.degree, order, t)
	var sum float64
	for k := order; k <= p.degree; k++ {
		sum += p.share[k] * p.at.p[k][order]
	}
	return sum
}
