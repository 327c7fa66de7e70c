package cycle

import "math"

// basis writes the harmonics 1 … len(dst)/2 at a phase in cycles, cosine and
// sine in turn.
func basis(dst []float64, phase float64) {
	s1, c1 := math.Sincos(2 * math.Pi * phase)
	c, s := c1, s1
	for i := 0; i+1 < len(dst); i += 2 {
		dst[i], dst[i+1] = c, s
		c, s = c*c1-s*s1, s*c1+c*s1
	}
}

// curve is a closed path, by the harmonics of each axis.
type curve struct {
	axes   []int
	share  float64 // phase of the turn after the downstroke
	coef   [3][]float64
	centre [3]float64
}

// vec is a place or a direction: across, along, out.
type vec [3]float64

func (v vec) dot(w vec) float64 { return v[0]*w[0] + v[1]*w[1] + v[2]*w[2] }

func (v vec) minus(w vec) vec { return vec{v[0] - w[0], v[1] - w[1], v[2] - w[2]} }

func (v vec) norm() float64 { return math.Sqrt(v.dot(v)) }

// at returns the place at a phase and its first and second derivative by it.
func (c *curve) at(phase float64) (x, dx, ddx vec) {
	x = c.centre
	s1, c1 := math.Sincos(2 * math.Pi * phase)
	cos, sin := c1, s1
	order := len(c.coef[c.axes[0]]) / 2
	for h := 1; h <= order; h++ {
		w := 2 * math.Pi * float64(h)
		for _, a := range c.axes {
			p, q := c.coef[a][2*h-2], c.coef[a][2*h-1]
			u, v := p*cos+q*sin, q*cos-p*sin
			x[a] += u
			dx[a] += w * v
			ddx[a] -= w * w * u
		}
		cos, sin = cos*c1-sin*s1, sin*c1+cos*s1
	}
	return x, dx, ddx
}

// turns returns the phases at which the path turns, near 0 and near share: the
// extremes along the line between them.
func (c *curve) turns() (first, second float64) {
	first, second = 0, c.share
	for range 3 {
		a, _, _ := c.at(first)
		b, _, _ := c.at(second)
		ax := b.minus(a)
		first, second = c.extreme(first, 0, ax), c.extreme(second, c.share, ax)
	}
	return first, second
}

// length returns the distance of the two turns.
func (c *curve) length() float64 {
	first, second := c.turns()
	a, _, _ := c.at(first)
	b, _, _ := c.at(second)
	return b.minus(a).norm()
}

// turnReach is how far, in cycles, the turn of the mean cycle may lie from
// where its strokes turn.
const turnReach = 0.06

// extreme sharpens by Newton's method the phase at which the path along ax is
// farthest, within turnReach of home.
func (c *curve) extreme(phase, home float64, ax vec) float64 {
	for range 3 {
		_, d, dd := c.at(phase)
		bend := dd.dot(ax)
		if bend == 0 || (bend < 0) == (home == 0) {
			break // not an extreme of that kind
		}
		phase -= min(max(d.dot(ax)/bend, -0.02), 0.02)
		phase = min(max(phase, home-turnReach), home+turnReach)
	}
	return phase
}

// area returns the signed area that the path encloses in the plane of two of
// its axes, positive when it runs counter-clockwise from a toward b.
func (c *curve) area(a, b int) float64 {
	s := 0.0
	for i := 0; i+1 < len(c.coef[a]); i += 2 {
		s += float64(i/2+1) * (c.coef[a][i]*c.coef[b][i+1] - c.coef[b][i]*c.coef[a][i+1])
	}
	return math.Pi * s
}
