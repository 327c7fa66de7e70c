package camera

import (
	"fmt"
	"math"
	"slices"

	"gonum.org/v1/gonum/blas"
	"gonum.org/v1/gonum/blas/blas64"
	"gonum.org/v1/gonum/lapack/lapack64"

	"github.com/plectrace/plectrace/variability/circular"
	"github.com/plectrace/plectrace/variability/estimate"
)

// solver fits the model to the corners by Levenberg's and Marquardt's method.
type solver struct {
	model
	start     pose
	low, high pose
	fixed     [params]bool
	normal    blas64.Symmetric
	step      blas64.General
}

// chi2 is by how much the sum of squares may exceed the least. The 0.95 quantile
// of chi-squared with one degree of freedom, 3.84, holds for a linear model and
// many corners; where a card is seen nearly square on, raise and yaw stand in
// for each other, and it was found to hold them in 0.93 of simulated cards.
const chi2 = 4.4

// newSolver returns a solver for the corners; g maps the card's plane to the
// picture.
func newSolver(pairs []Pair, o CardOptions, g Homography) *solver {
	s := &solver{
		normal: blas64.Symmetric{Uplo: blas.Upper, N: params, Stride: params, Data: make([]float64, params*params)},
		step:   blas64.General{Rows: params, Cols: 1, Stride: 1, Data: make([]float64, params)},
	}
	s.known, s.focal, s.sd = o.PictureWidth > 0, o.FocalLength, o.CornerError
	if s.sd == 0 {
		s.sd = 1e-3
	}
	s.centre = [2]float64{o.PictureWidth / 2, o.PictureHeight / 2}
	for i, p := range pairs {
		s.at[i], s.to[i] = p.From, p.To
	}
	j := g.jacobian(0, 0)
	s.sense = math.Copysign(1, j[0]*j[3]-j[1]*j[2])
	u, v := g.At(0, 0)
	scale := max(math.Hypot(j[0], j[2]), math.Hypot(j[1], j[3]))
	s.start = pose{pU: u, pV: v, pScale: math.Log(scale), pOut: math.Atan2(j[3], j[1]), pNear: 1.0 / 600}
	s.low, s.high = s.bounds(scale, max(o.PictureWidth, o.PictureHeight))
	s.start[pNear] = min(s.start[pNear], s.high[pNear])
	if s.focal > 0 {
		s.start[pNear] = min(scale/s.focal, s.high[pNear])
	}
	s.fixed[pOffU], s.fixed[pOffV] = s.known, s.known
	return s
}

// solve fills raise, yaw and misfit.
func (s *solver) solve(c *Card) error {
	raise := s.survey(pRaise, gridOf(0, maxRaise, 17))
	yaw := s.survey(pYaw, gridOf(-maxYaw, maxYaw, 15))
	best := raise[least(raise)]
	if b := yaw[least(yaw)]; b.chi < best.chi {
		best = b
	}
	best = s.descend(best.p, -1)
	// Two residuals are left over, or one when the distance is fitted too.
	c.Misfit = math.Sqrt(best.chi / 2)
	if px := c.Misfit * s.sd; px > 0.05*distance(c.Corners[0], c.Corners[1]) {
		e := fault("the four corners are not those of an upright card, whatever the camera",
			"check the order of the corners and which edge the card stands on")
		e.Point = "card"
		return e
	}
	// A card taken to stand on its other edge seems tilted by 67 degrees or more.
	if max(math.Abs(best.p[pYaw]), best.p[pRaise]) > 55*math.Pi/180 {
		e := fault(fmt.Sprintf("the card is seen nearly edge on: the camera is raised by %.0f degrees and turned by %.0f",
			best.p[pRaise]*180/math.Pi, best.p[pYaw]*180/math.Pi),
			"check which edge the card stands on, and film along the strings")
		e.Point = "card"
		return e
	}
	inflate := 1.0
	if best.chi > misfitNote {
		inflate = best.chi / 2
		c.Notes = append(c.Notes, fmt.Sprintf("the corners fit an upright card only to %.1f px: click them again, where the straight edges would meet, and check that the lens bends no straight lines", c.Misfit*s.sd))
	}
	limit := best.chi + chi2*inflate
	c.raise = s.interval(pRaise, best, raise, limit)
	c.yaw = s.interval(pYaw, best, yaw, limit)
	c.Raise, c.Yaw = widened(c.raise, c.Options.Lean), widened(c.yaw, c.Options.Lean)
	c.Raise.Low = max(c.Raise.Low, 0)
	return nil
}

// widened returns v with the interval that an error of that standard deviation
// leaves of it.
func widened(v estimate.Value[circular.Angle], sd circular.Angle) estimate.Value[circular.Angle] {
	w := z95 * sd.Radians()
	v.Low = v.Value - circular.Angle(math.Hypot((v.Value-v.Low).Radians(), w))
	v.High = v.Value + circular.Angle(math.Hypot((v.High-v.Value).Radians(), w))
	return v
}

// misfitNote is the 0.999 quantile of chi-squared with two degrees of freedom.
const misfitNote = 13.8

// trial is a pose with its sum of squares.
type trial struct {
	p   pose
	chi float64
}

func least(ts []trial) int {
	at := 0
	for i := range ts {
		if ts[i].chi < ts[at].chi {
			at = i
		}
	}
	return at
}

func gridOf(low, high float64, n int) []float64 {
	g := make([]float64, n)
	for i := range g {
		g[i] = low + (high-low)*float64(i)/float64(n-1)
	}
	return g
}

// survey returns the best fit for each of the values of one unknown.
func (s *solver) survey(which int, values []float64) []trial {
	ts := make([]trial, len(values))
	for i, v := range values {
		ts[i] = s.best(which, v, s.start)
	}
	// What fits at one value may be the better start at its neighbours.
	for i := 1; i < len(ts); i++ {
		ts[i] = s.better(ts[i], ts[i-1], which)
	}
	for i := len(ts) - 2; i >= 0; i-- {
		ts[i] = s.better(ts[i], ts[i+1], which)
	}
	return ts
}

func (s *solver) better(t, neighbour trial, which int) trial {
	p := neighbour.p
	p[which] = t.p[which]
	if u := s.descend(p, which); u.chi < t.chi {
		return u
	}
	return t
}

// best returns the best fit for a value of one unknown, from starts on either
// side in the other angle.
func (s *solver) best(which int, v float64, from pose) trial {
	top := trial{chi: math.Inf(1)}
	starts := []float64{-0.3, 0.3}
	other := pYaw
	if which == pYaw {
		starts, other = []float64{0.1, 0.5}, pRaise
	}
	for _, x := range starts {
		p := from
		p[which], p[other] = v, x
		if t := s.descend(p, which); t.chi < top.chi {
			top = t
		}
	}
	return top
}

// interval returns an angle with the values for which the sum of squares stays
// within limit, from the least to the greatest.
func (s *solver) interval(which int, best trial, grid []trial, limit float64) estimate.Value[circular.Angle] {
	v := best.p[which]
	// Local minima between the points of the grid.
	points := append(slices.Clone(grid), best)
	for i, t := range grid {
		left, right := i == 0 || grid[i-1].chi >= t.chi, i == len(grid)-1 || grid[i+1].chi >= t.chi
		if left && right {
			points = append(points, s.descend(t.p, -1))
		}
	}
	slices.SortFunc(points, func(a, b trial) int {
		switch x, y := a.p[which], b.p[which]; {
		case x < y:
			return -1
		case x > y:
			return 1
		}
		return 0
	})
	within := func(t trial) bool { return t.chi <= limit }
	first := slices.IndexFunc(points, within)
	last := len(points) - 1
	for last > 0 && !within(points[last]) {
		last--
	}
	low, high := v, v
	if first >= 0 {
		low, high = points[first].p[which], points[last].p[which]
		if first > 0 {
			low = s.cross(which, points[first], points[first-1], limit)
		}
		if last < len(points)-1 {
			high = s.cross(which, points[last], points[last+1], limit)
		}
	}
	return estimate.Value[circular.Angle]{
		Value: circular.Angle(v), Low: circular.Angle(low), High: circular.Angle(high), Level: 0.95, N: 4,
	}
}

// cross returns where between a trial within the limit and one beyond it the
// sum of squares reaches the limit.
func (s *solver) cross(which int, in, out trial, limit float64) float64 {
	// The sum of squares grows about as the square of the distance from the
	// best fit, so that its root is interpolated; every third step halves.
	root := func(t trial) float64 { return math.Sqrt(max(t.chi, 0)) - math.Sqrt(limit) }
	for i := range 30 {
		a, b := in.p[which], out.p[which]
		if math.Abs(a-b) < 2e-4 {
			break
		}
		share := 0.5
		if i%3 != 2 {
			share = min(max(-root(in)/(root(out)-root(in)), 0.02), 0.98)
		}
		p := in.p
		p[which] = a + share*(b-a)
		t := s.descend(p, which)
		q := out.p
		q[which] = p[which]
		if u := s.descend(q, which); u.chi < t.chi {
			t = u
		}
		if t.chi <= limit {
			in = t
		} else {
			out = t
		}
	}
	return (in.p[which] + out.p[which]) / 2
}

// descend returns the pose with the least sum of squares near p, within the
// bounds; hold is an unknown that keeps its value, -1 for none.
func (s *solver) descend(p pose, hold int) trial {
	var r, up [residuals]float64
	var j [residuals][params]float64
	s.residual(&r, &p)
	chi := sum(&r)
	for damp, round := 1e-3, 0; round < 40; round++ {
		s.derive(&j, &r, &p)
		var g pose
		for k := range g {
			for i := range r {
				g[k] += j[i][k] * r[i]
			}
		}
		free := s.free(&p, &g, hold)
		improved := false
		for !improved && damp < 1e8 {
			q := p
			if s.move(&q, &j, &g, &free, damp) {
				s.residual(&up, &q)
				if c := sum(&up); c < chi {
					improved = true
					done := chi-c < 1e-5
					p, r, chi = q, up, c
					damp = max(damp/8, 1e-9)
					if done {
						return trial{p, chi}
					}
					break
				}
			}
			damp *= 6
		}
		if !improved {
			break
		}
	}
	return trial{p, chi}
}

func sum(r *[residuals]float64) (c float64) {
	for _, x := range r {
		c += x * x
	}
	return c
}

// steps are those of the numerical derivative.
var steps = pose{1e-3, 1e-3, 1e-6, 1e-6, 1e-6, 1e-6, 1e-9, 1e-6, 1e-6}

func (s *solver) derive(j *[residuals][params]float64, r *[residuals]float64, p *pose) {
	var up [residuals]float64
	for k := range p {
		q := *p
		q[k] += steps[k]
		s.residual(&up, &q)
		for i := range r {
			j[i][k] = (up[i] - r[i]) / steps[k]
		}
	}
}

// free reports which unknowns may move: not one that is held, and not one at a
// bound toward which the gradient drives it.
func (s *solver) free(p, gradient *pose, hold int) (free [params]bool) {
	for k := range free {
		atLow := p[k] <= s.low[k] && gradient[k] > 0
		atHigh := p[k] >= s.high[k] && gradient[k] < 0
		free[k] = k != hold && !s.fixed[k] && !atLow && !atHigh
	}
	return free
}

// move takes one damped step from q, cut at the bounds.
func (s *solver) move(q *pose, j *[residuals][params]float64, g *pose, free *[params]bool, damp float64) bool {
	for a := range q {
		s.step.Data[a] = 0
		if free[a] {
			s.step.Data[a] = -g[a]
		}
		for b := a; b < params; b++ {
			x := 0.0
			if free[a] && free[b] {
				for i := range j {
					x += j[i][a] * j[i][b]
				}
			}
			if a == b {
				if x *= 1 + damp; !(x > 0) {
					x = 1
				}
			}
			s.normal.Data[a*params+b] = x
		}
	}
	root, ok := lapack64.Potrf(s.normal)
	if !ok {
		return false
	}
	lapack64.Potrs(root, s.step)
	for k := range q {
		d := s.step.Data[k]
		if d != d {
			return false
		}
		q[k] = min(max(q[k]+d, s.low[k]), s.high[k])
	}
	return true
}
