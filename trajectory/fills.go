package trajectory

import "math"

// chance is the number of runs in a whole recording that may be cut as
// fillings though noise and rounding made them.
const chance = 1e-3

// fills cuts what a tracker filled in by repeating its last position or by
// drawing a straight line. least is the number of samples that count.
func (c *cutter) fills(least int) {
	if least < 0 || c.noise == 0 {
		return
	}
	columns := c.columns
	var widths [3]float64
	grid := widths[:len(columns)]
	for k, col := range columns {
		grid[k] = resolution(col)
	}
	c.frozen(columns, grid, least)
	c.straight(columns, grid, least, false)
	if !c.pace.even() {
		c.straight(columns, grid, least, true)
	}
}

// resolution returns the width of the grid that coordinates lie on: the widest
// of the usual decimal and binary ones that holds nine tenths of them, 0 for
// none. The rest may have been filled in between.
func resolution(x []float64) float64 {
	for _, width := range []float64{1, 0.5, 0.25, 0.2, 0.125, 0.1, 0.05, 0.02, 0.01, 0.005, 0.002, 1e-3, 1e-4, 1e-5, 1e-6} {
		var seen, on int
		for i := 0; i < len(x) && 10*(seen-on) <= seen+20; i++ {
			if v := x[i] / width; v == v {
				seen++
				// v has been rounded, and what it was read from. Numbers far
				// smaller than the grid are not on it.
				k := math.RoundToEven(v)
				if math.Abs(v-k) <= 1e-6+math.Abs(v)/(1<<52) && (k != 0 || v == 0) {
					on++
				}
			}
		}
		if 10*(seen-on) <= seen {
			return width
		}
	}
	return 0
}

// unlikely reports whether n events in a row, each of probability p, are not
// to be expected anywhere in the recording. An event that is not rare never is:
// where the coordinates are coarse, a point at rest makes them by the hundred.
func (c *cutter) unlikely(n int, p float64) bool {
	return p < 0.1 && float64(n)*math.Log(p) < math.Log(chance/float64(c.p.Len()))
}

// frozen cuts runs of equal samples.
//
// How probable it is that a measured sample equals the one before follows from
// the noise and the resolution: for noise of standard deviation σ on a grid of
// width q the difference of two samples is zero with probability q/(2 √π σ) on
// each axis. Short runs, too short to be cut, tell it as well.
func (c *cutter) frozen(columns [][]float64, grid []float64, least int) {
	p := 1.0
	var widest float64
	for _, q := range grid {
		p *= min(1, q/(2*math.Sqrt(math.Pi)*c.noise))
		widest = max(widest, q)
	}
	runs, short := c.runs[:0], 0
	n := c.p.Len()
	x := columns[0]
	for start := 0; start < n; {
		end := start + 1
		if end < n && x[start] != x[end] {
			start = end // as nearly everywhere
			continue
		}
		for end < n && equal(columns, end-1, end) {
			end++
		}
		if end-start >= least {
			runs = append(runs, stretch{start, end})
		} else if end-start > 1 {
			short++
		}
		start = end
	}
	c.runs = runs
	p = max(p, float64(short)/float64(n))
	for _, r := range runs {
		in, out := c.moved(columns, r.start, -1), c.moved(columns, r.end-1, +1)
		switch {
		case c.unlikely(r.end-r.start-1, p):
			// A point at rest repeats when it is measured without noise, but
			// it slows down before and speeds up after.
			if c.eased(columns, r.start, -1) && c.eased(columns, r.end-1, +1) {
				continue
			}
		case r.end-r.start < 2*least || min(in, out) <= max(4*widest, 6*c.noise):
			// Coarse coordinates repeat at every turn. Only a long run that
			// is entered and left at speed is not a turn.
			continue
		}
		start := r.start + 1
		if c.leapt(columns, r.start) {
			start--
		}
		c.cut(FrozenFill, start, r.end)
	}
}

// equal reports whether samples i and j are there and equal on all axes.
func equal(columns [][]float64, i, j int) bool {
	for _, col := range columns {
		if col[i] != col[j] {
			return false
		}
	}
	return true
}

// moved returns the distance from sample i to its neighbour in direction dir,
// 0 when that is missing.
func (c *cutter) moved(columns [][]float64, i, dir int) float64 {
	j := i + dir
	if min(i, j) < 0 || max(i, j) >= c.p.Len() {
		return 0
	}
	var square float64
	for _, col := range columns {
		d := col[j] - col[i]
		square += d * d
	}
	if square != square {
		return 0
	}
	return math.Sqrt(square)
}

// eased reports whether the move from sample i in direction dir is no more than
// noise, or clearly smaller than the one beyond it.
func (c *cutter) eased(columns [][]float64, i, dir int) bool {
	near, beyond := c.moved(columns, i, dir), c.moved(columns, i+dir, dir)
	return near <= 3*c.noise || near < 0.4*beyond
}

// leapt reports whether sample i lies farther from the one before than three
// times any of the four moves before that.
func (c *cutter) leapt(columns [][]float64, i int) bool {
	var most float64
	for j := i - 4; j < i; j++ {
		if j < 1 || columns[0][j] != columns[0][j] || columns[0][j-1] != columns[0][j-1] {
			return false
		}
		most = max(most, c.moved(columns, j, -1))
	}
	return c.moved(columns, i, -1) > 3*most+6*c.noise
}

// straight cuts runs of samples each of which lies midway between its
// neighbours, by number or, when timed, by time.
func (c *cutter) straight(columns [][]float64, grid []float64, least int, timed bool) {
	var tolerance [3]float64
	p := 1.0
	for k, q := range grid {
		// Rounding moves a second difference by up to two grid widths.
		tolerance[k] = max(2.001*q, 1e-3*c.noise)
		p *= math.Erf(tolerance[k] / (math.Sqrt(12) * c.noise))
	}
	if !c.unlikely(c.p.Len(), p) {
		return // nor would any run be
	}
	t := c.p.T
	straight := func(i int) bool {
		ratio := 1.0
		if timed {
			ratio = (t[i+1] - t[i]) / (t[i] - t[i-1])
		}
		for k, col := range columns {
			if !(math.Abs(col[i+1]-col[i]-ratio*(col[i]-col[i-1])) <= tolerance[k]) {
				return false
			}
		}
		return true
	}
	x, bent := columns[0], tolerance[0]
	for start := 1; start+1 < c.p.Len(); start++ {
		if !timed && !(math.Abs(x[start+1]-x[start]-(x[start]-x[start-1])) <= bent) {
			continue // as nearly everywhere
		}
		if !straight(start) {
			continue
		}
		end := start + 1
		for end+1 < c.p.Len() && straight(end) {
			end++
		}
		var square float64
		for _, col := range columns {
			d := col[end] - col[start-1]
			square += d * d
		}
		if end-start >= max(2, least-2) && c.unlikely(end-start, p) && math.Sqrt(square) > 3*c.noise {
			c.cut(StraightFill, start, end)
		}
		start = end
	}
}
