package variability

import (
	"cmp"
	"slices"
)

// Holm returns the probabilities p adjusted for their number m, so that rejecting
// those at or below α makes a false rejection at all likely with at most α,
// whatever they have to do with each other (Holm 1979):
//
//	p̃(i) = max over j ≤ i of min(1, (m-j+1) p(j)), p(1) ≤ … ≤ p(m)
//
// They are stored in dst in the order of p; if dst is nil a slice is allocated,
// and otherwise its length must be that of p. dst may be p itself. NaN is a test
// that was not made: it stays NaN and is not counted in m.
//
// See S. Holm (1979), A simple sequentially rejective multiple test procedure.
// Scandinavian Journal of Statistics 6, 65-70.
func Holm(dst, p []float64) []float64 {
	dst, order := ranked(dst, p)
	least := 0.0
	for k, i := range order {
		least = max(least, min(1, float64(len(order)-k)*dst[i]))
		dst[i] = least
	}
	return dst
}

// BenjaminiHochberg returns the probabilities p adjusted for their number m, so
// that of those at or below α a share of at most α is expected to be false, for
// independent or positively dependent tests (Benjamini and Hochberg 1995):
//
//	p̃(i) = min over j ≥ i of min(1, m/j p(j)), p(1) ≤ … ≤ p(m)
//
// dst and NaN are as for Holm.
//
// See Y. Benjamini and Y. Hochberg (1995), Controlling the false discovery rate.
// Journal of the Royal Statistical Society B 57, 289-300.
func BenjaminiHochberg(dst, p []float64) []float64 {
	dst, order := ranked(dst, p)
	m := float64(len(order))
	most := 1.0
	for k := len(order) - 1; k >= 0; k-- {
		i := order[k]
		most = min(most, m/float64(k+1)*dst[i])
		dst[i] = most
	}
	return dst
}

// ranked copies p to dst and returns the places of those that are no NaN, the
// smallest first.
func ranked(dst, p []float64) ([]float64, []int) {
	if dst == nil {
		dst = make([]float64, len(p))
	}
	if len(dst) != len(p) {
		panic("variability: dst and p differ in length")
	}
	copy(dst, p)
	var order []int
	for i, x := range dst {
		if x == x {
			order = append(order, i)
		}
	}
	slices.SortStableFunc(order, func(a, b int) int { return cmp.Compare(dst[a], dst[b]) })
	return dst, order
}
