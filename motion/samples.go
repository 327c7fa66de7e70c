package motion

// samples are those of a path that were seen, without the missing ones between
// them. They share the path's memory where none is missing.
type samples struct {
	t      []float64
	cols   [][]float64 // across, along, out as the view has them
	step   float64     // median interval, s
	cursor int         // where the last search for a time ended
}

func newSamples(m *pools, t []float64, cols [][]float64) samples {
	across, n := cols[0], 0
	for _, x := range across {
		if x == x {
			n++
		}
	}
	if n == len(t) {
		return samples{t: t, cols: cols}
	}
	s := samples{t: m.floats.take(n), cols: m.matrix(len(cols), n)}
	k := 0
	for i, x := range across {
		if x != x {
			continue
		}
		s.t[k] = t[i]
		for d, x := range cols {
			s.cols[d][k] = x[i]
		}
		k++
	}
	return s
}

// after returns the index of the first sample at or after t. The search leaps
// from the last one by the time between at the usual step, and walks from
// there.
func (s *samples) after(t float64) int {
	k := s.cursor
	if s.step > 0 {
		leap := float64(k) + (t-s.t[k])/s.step
		k = 0
		if leap > 0 {
			k = int(min(leap, float64(len(s.t))))
		}
	}
	for k > 0 && s.t[k-1] >= t {
		k--
	}
	for k < len(s.t) && s.t[k] < t {
		k++
	}
	s.cursor = min(k, len(s.t)-1)
	return k
}

// within returns the range [lo, hi) of the samples from one time to another,
// both included.
func (s *samples) within(from, to float64) (lo, hi int) {
	lo = s.after(from)
	hi = max(lo, s.after(to))
	for hi < len(s.t) && s.t[hi] <= to {
		hi++
	}
	return lo, hi
}

// project returns sample k along ax.
func (s *samples) project(k int, ax *[3]float64) float64 {
	v := 0.0
	for d, x := range s.cols {
		v += ax[d] * x[k]
	}
	return v
}

// projections writes the samples from lo on along ax, less base, to dst.
func (s *samples) projections(dst []float64, lo int, ax *[3]float64, base float64) {
	project(dst, s.cols, *ax, lo)
	for i := range dst {
		dst[i] -= base
	}
}
