package motion

import "math"

// mainAxis returns the unit direction of greatest sample-to-sample travel,
// turned toward positive across.
func mainAxis(cols [][]float64, runs []run) []float64 {
	var c scatter
	c.dims = len(cols)
	var d [3]float64
	for _, r := range runs {
		for i := r.Start + 1; i < r.End; i++ {
			for k := range cols {
				d[k] = cols[k][i] - cols[k][i-1]
			}
			c.add(&d, 1)
		}
	}
	a := [3]float64{1, 0.1, 0.1}
	for range 50 {
		c.step(&a)
	}
	orient(&a, a)
	return a[:c.dims]
}

// scatter is the second-moment matrix of two- or three-dimensional vectors.
type scatter struct {
	dims                   int
	xx, yy, zz, xy, xz, yz float64
}

func (c *scatter) add(d *[3]float64, w float64) {
	c.xx += w * d[0] * d[0]
	c.yy += w * d[1] * d[1]
	c.xy += w * d[0] * d[1]
	if c.dims == 3 {
		c.zz += w * d[2] * d[2]
		c.xz += w * d[0] * d[2]
		c.yz += w * d[1] * d[2]
	}
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
// the window of half samples to each side, and v, the velocity along it. It
// follows the principal axis of velocity from sample to sample; where the
// window holds hardly any motion the last direction is kept.
func localAxis(axis [][3]float64, along []float64, vel [][]float64, r run, half int, start []float64) {
	c := scatter{dims: len(vel)}
	a := [3]float64{}
	copy(a[:], start)
	var d [3]float64
	load := func(i int) {
		for k := range vel {
			d[k] = vel[k][i]
		}
	}
	// The typical energy decides what "hardly any" is.
	var all scatter
	all.dims = len(vel)
	for i := r.Start; i < r.End; i++ {
		load(i)
		all.add(&d, 1)
	}
	least := 0.02 * all.trace() / float64(r.End-r.Start)
	lo, hi := r.Start, r.Start
	first := true
	for i := r.Start; i < r.End; i++ {
		for ; hi < min(r.End, i+half+1); hi++ {
			load(hi)
			c.add(&d, 1)
		}
		for ; lo < i-half; lo++ {
			load(lo)
			c.add(&d, -1)
		}
		if (i-r.Start)%axisEvery == 0 && c.trace() > least*float64(hi-lo) {
			last := a
			steps := 1
			if first {
				steps, first = 30, false
			}
			for range steps {
				c.step(&a)
			}
			orient(&a, last)
		}
		axis[i] = a
		s := 0.0
		for k := range vel {
			s += a[k] * vel[k][i]
		}
		along[i] = s
	}
}

// swing writes the displacement along the local axis from the local centre:
// the mean over one cycle of period samples (fractional), which a steady
// oscillation leaves untouched and a moving hand is cancelled by.
func swing(u []float64, pos [][]float64, axis [][3]float64, r run, period func(i int) float64, sum []float64) {
	n := r.End - r.Start
	for i := r.Start; i < r.End; i++ {
		u[i] = 0
	}
	for k := range pos {
		x := pos[k][r.Start:r.End]
		base := x[0]
		sum = sum[:n+1]
		sum[0] = 0
		for i, v := range x {
			sum[i+1] = sum[i] + (v - base)
		}
		// integral of the piecewise-constant signal from 0 to s, s in samples
		upTo := func(s float64) float64 {
			j := int(s)
			if j >= n {
				return sum[n]
			}
			return sum[j] + (s-float64(j))*(x[j]-base)
		}
		for i := range x {
			w := min(period(r.Start+i), float64(n))
			lo := float64(i) + 0.5 - w/2
			lo = min(max(lo, 0), float64(n)-w)
			c := (upTo(lo+w)-upTo(lo))/w + base
			u[r.Start+i] += (x[i] - c) * axis[r.Start+i][k]
		}
	}
}
