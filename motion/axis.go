package motion

import "math"

// mainAxis returns the unit direction of greatest sample-to-sample travel,
// turned toward positive across.
func mainAxis(m *pools, cols [][]float64, runs []run) [3]float64 {
	const block = 256
	var c scatter
	step := m.matrix(len(cols), block)
	for _, r := range runs {
		for i := r.Start + 1; i < r.End; i += block {
			n := min(block, r.End-i)
			for d, x := range cols {
				last := x[i-1]
				for k, v := range x[i : i+n] {
					step[d][k] = v - last
					last = v
				}
			}
			c.add(step, 0, n, 1)
		}
	}
	a := [3]float64{1, 0.1, 0.1}
	for range 50 {
		c.step(&a)
	}
	orient(&a, a)
	return a
}

// scatter is the second-moment matrix of two- or three-dimensional vectors.
type scatter struct {
	xx, yy, zz, xy, xz, yz float64
}

// add adds the vectors [from, to) of cols, weighted by w.
func (c *scatter) add(cols [][]float64, from, to int, w float64) {
	x := cols[0][from:to]
	y := cols[1][from:to]
	var xx, xy, yy float64
	for i, a := range x {
		b := y[i]
		xx += a * a
		xy += a * b
		yy += b * b
	}
	c.xx += w * xx
	c.xy += w * xy
	c.yy += w * yy
	if len(cols) < 3 {
		return
	}
	var zz, xz, yz float64
	for i, e := range cols[2][from:to] {
		zz += e * e
		xz += e * x[i]
		yz += e * y[i]
	}
	c.zz += w * zz
	c.xz += w * xz
	c.yz += w * yz
}

func (c *scatter) trace() float64 { return c.xx + c.yy + c.zz }

// step does one power iteration: a becomes the unit vector along C a.
func (c *scatter) step(a *[3]float64) {
	x := c.xx*a[0] + c.xy*a[1] + c.xz*a[2]
	y := c.xy*a[0] + c.yy*a[1] + c.yz*a[2]
	z := c.xz*a[0] + c.yz*a[1] + c.zz*a[2]
	if n := math.Sqrt(x*x + y*y + z*z); n > 0 {
		*a = [3]float64{x / n, y / n, z / n}
	}
}

// orient turns a toward positive across, or, when it is nearly square to
// across, toward the direction last.
func orient(a *[3]float64, last [3]float64) {
	s := a[0]
	if math.Abs(s) < 0.05 {
		s = a[0]*last[0] + a[1]*last[1] + a[2]*last[2]
	}
	if s < 0 {
		a[0], a[1], a[2] = -a[0], -a[1], -a[2]
	}
}

// axisEvery is the number of samples for which an axis serves: the window
// that it is taken over is much longer.
const axisEvery = 8

// localAxis writes, for every sample of a run, the direction of the motion in
// the window of half samples to each side, and along, the velocity along it. It
// follows the principal axis of velocity from one block of samples to the next,
// from the direction a; where the window holds hardly any motion the last
// direction is kept.
func localAxis(axis [][3]float64, along []float64, vel [][]float64, r run, half int, a [3]float64) {
	// The typical energy decides what "hardly any" is.
	var all, c scatter
	all.add(vel, r.Start, r.End, 1)
	least := 0.02 * all.trace() / float64(r.End-r.Start)
	lo, hi := r.Start, r.Start
	steps := 30 // of the power method, the first time
	for i := r.Start; i < r.End; i += axisEvery {
		if to := min(r.End, i+half+1); to > hi {
			c.add(vel, hi, to, 1)
			hi = to
		}
		if from := i - half; from > lo {
			c.add(vel, lo, from, -1)
			lo = from
		}
		if c.trace() > least*float64(hi-lo) {
			last := a
			for range steps {
				c.step(&a)
			}
			steps = 1
			orient(&a, last)
		}
		end := min(i+axisEvery, r.End)
		for k := i; k < end; k++ {
			axis[k] = a
		}
		project(along[i:end], vel, a, i)
	}
}

// project writes the columns' component along axis from sample from on;
// missing samples become NaN.
func project(dst []float64, cols [][]float64, axis [3]float64, from int) {
	for i, v := range cols[0][from : from+len(dst)] {
		dst[i] = axis[0] * v
	}
	for d := 1; d < len(cols); d++ {
		for i, v := range cols[d][from : from+len(dst)] {
			dst[i] += axis[d] * v
		}
	}
}
