package motion

import (
	"math"

	"github.com/plectrace/plectrace/trajectory/filter"
)

// grid is a placed path on an even time base, prepared for the search for
// turns. Columns are in the order of axes(); NaN where a gap is too long to
// bridge.
type grid struct {
	t0, hz float64
	raw    [][]float64 // interpolated, unfiltered
	pos    [][]float64 // low-pass filtered
	vel    [][]float64 // its derivative
	runs   []run
	noise  float64 // of one sample on one axis
	cutoff float64 // Hz, +Inf when unfiltered
	low    filter.Butterworth
	pools  *pools
}

// run is a gap-free range of grid samples, [Start, End).
type run struct{ Start, End int }

func (g *grid) n() int                  { return len(g.raw[0]) }
func (g *grid) time(i float64) float64  { return g.t0 + i/g.hz }
func (g *grid) index(t float64) float64 { return (t - g.t0) * g.hz }

func (g *grid) findRuns() {
	g.runs = appendRuns(g.runs[:0], g.raw[0])
}

// appendRuns appends the stretches of x without a missing sample. It stands for
// trajectory.Runs, whose iterator allocates; the columns of a placed path are
// missing together.
func appendRuns(dst []run, x []float64) []run {
	start := -1
	for i, v := range x {
		switch {
		case v != v:
			if start >= 0 {
				dst = append(dst, run{start, i})
			}
			start = -1
		case start < 0:
			start = i
		}
	}
	if start >= 0 {
		dst = append(dst, run{start, len(x)})
	}
	return dst
}

// bridgeGaps fills gaps of up to longest samples by a cubic whose value and
// slope at each end are those of the parabola through the few samples beside
// it, so that noise does not make the cubic swing. A lone sample bridges
// nothing.
func (g *grid) bridgeGaps(longest, few int) {
	joined := g.runs[:0] // what is read lies at or after what is written
	before := 0
	for i, r := range g.runs {
		own := min(few, r.End-r.Start)
		if i == 0 {
			joined, before = append(joined, r), own
			continue
		}
		last, after := &joined[len(joined)-1], own
		if r.Start-last.End > longest || before < 2 || after < 2 {
			joined, before = append(joined, r), own
			continue
		}
		from, to := last.End-1, r.Start
		w := float64(to - from)
		for _, x := range g.raw {
			x0, m0 := edge(x[from-before+1:from+1], true)
			x1, m1 := edge(x[to:to+after], false)
			m0, m1 = m0*w, m1*w
			d := x1 - x0
			for k := from + 1; k < to; k++ {
				u := float64(k-from) / w
				x[k] = x0 + u*(m0+u*((3*d-2*m0-m1)+u*(m0+m1-2*d)))
			}
		}
		last.End, before = r.End, own
	}
	g.runs = joined
}

// edge returns value and slope per sample, at the last or the first of x, of
// the least-squares parabola through x, or the line through two samples.
func edge(x []float64, last bool) (value, slope float64) {
	n := float64(len(x))
	mid := (n - 1) / 2
	var s2, s4, y0, y1, y2 float64
	for i, v := range x {
		t := float64(i) - mid
		s2 += t * t
		s4 += t * t * t * t
		y0 += v
		y1 += t * v
		y2 += t * t * v
	}
	c := 0.0
	if n > 2 {
		c = (y2 - s2*y0/n) / (s4 - s2*s2/n)
	}
	b := y1 / s2
	a := (y0 - c*s2) / n
	if !last {
		mid = -mid
	}
	return a + b*mid + c*mid*mid, b + 2*c*mid
}

// smooth filters the raw columns at cutoffHz and differentiates them.
func (g *grid) smooth(cutoffHz float64) error {
	g.cutoff = cutoffHz
	g.low = filter.Butterworth{}
	if cutoffHz >= 0.45*g.hz {
		g.cutoff = math.Inf(1)
	} else {
		var err error
		if g.low, err = filter.LowPass(cutoffHz, g.hz); err != nil {
			return err
		}
	}
	n := g.n()
	if g.pos == nil {
		g.pos, g.vel = g.pools.matrix(len(g.raw), n), g.pools.matrix(len(g.raw), n)
	}
	for d, x := range g.raw {
		p, v := g.pos[d], g.vel[d]
		g.blank(p)
		g.blank(v)
		for _, r := range g.runs {
			if math.IsInf(g.cutoff, 1) {
				copy(p[r.Start:r.End], x[r.Start:r.End])
			} else {
				g.low.ZeroPhase(p[r.Start:r.End], x[r.Start:r.End])
			}
			derivative(v[r.Start:r.End], p[r.Start:r.End], g.hz)
		}
	}
	return nil
}

// blank sets x to NaN outside the runs.
func (g *grid) blank(x []float64) {
	i := 0
	for _, r := range g.runs {
		for ; i < r.Start; i++ {
			x[i] = math.NaN()
		}
		i = r.End
	}
	for ; i < len(x); i++ {
		x[i] = math.NaN()
	}
}

// derivative writes the fourth-order central difference of x, and lower
// orders within two samples of the ends.
func derivative(dst, x []float64, hz float64) {
	n := len(x)
	if n < 5 {
		filter.Derivative(dst, x, hz)
		return
	}
	filter.Derivative(dst[:3], x[:3], hz)
	filter.Derivative(dst[n-3:], x[n-3:], hz)
	c := hz / 12
	for i := 2; i < n-2; i++ {
		dst[i] = c * (x[i-2] - x[i+2] + 8*(x[i+1]-x[i-1]))
	}
}

// gains returns by how much the low-pass and the low-pass with derivative
// scale the standard deviation of white noise: root of the mean over
// frequency of the squared response, the latter in 1/s.
func (g *grid) gains() (position, velocity float64) {
	const n = 512
	for k := range n {
		w := math.Pi * (float64(k) + 0.5) / n // rad per sample
		h := g.low.Gain(w*g.hz/(2*math.Pi), g.hz)
		h *= h // both passes
		d := g.hz * (8*math.Sin(w) - math.Sin(2*w)) / 6
		position += h * h
		velocity += h * h * d * d
	}
	return math.Sqrt(position / n), math.Sqrt(velocity / n)
}
