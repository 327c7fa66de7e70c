package filter

// destination returns dst, or a new slice if it is nil, for a result of n
// samples.
func destination(dst []float64, n int) []float64 {
	if dst == nil {
		return make([]float64, n)
	}
	if len(dst) != n {
		panic("filter: length of dst is not the length of x")
	}
	return dst
}
