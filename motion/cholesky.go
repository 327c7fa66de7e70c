package motion

import "math"

// solve replaces y by the solution of the symmetric positive definite system
// m x = y of order n, given the lower triangle of m, which becomes its
// Cholesky factor. It reports whether m is well enough conditioned.
func solve(m *[4][4]float64, y *[4]float64, n int) bool {
	for j := range n {
		d := m[j][j]
		for k := range j {
			d -= m[j][k] * m[j][k]
		}
		if !(d > 1e-10*m[j][j]) {
			return false
		}
		d = math.Sqrt(d)
		m[j][j] = d
		for i := j + 1; i < n; i++ {
			v := m[i][j]
			for k := range j {
				v -= m[i][k] * m[j][k]
			}
			m[i][j] = v / d
		}
	}
	for i := range n {
		for k := range i {
			y[i] -= m[i][k] * y[k]
		}
		y[i] /= m[i][i]
	}
	for i := n - 1; i >= 0; i-- {
		for k := i + 1; k < n; k++ {
			y[i] -= m[k][i] * y[k]
		}
		y[i] /= m[i][i]
	}
	return true
}
