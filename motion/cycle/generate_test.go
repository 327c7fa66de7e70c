package cycle_test

import (
	"math"
	"math/rand/v2"

	"github.com/plectrace/plectrace/motion"
	"github.com/plectrace/plectrace/motion/cycle"
	"github.com/plectrace/plectrace/trajectory"
)

// maker draws takes straight in the instrument frame, apart from package
// simulate: every stroke goes from a turn to the next along a bulged path, with
// the downstroke's bulge and the upstroke's each its own.
type maker struct {
	seed             uint64
	hz, rate, length float64 // frames/s, strokes/s, mm
	strokes          int
	angle, skew      float64 // degrees
	down, up         float64 // curvature of the strokes, 1/mm
	minimumJerk      bool
	share            float64 // of the downstroke
	jitter           float64 // of durations
	scatter          float64 // sd of a turn's place on each axis, mm
	alike            float64 // correlation of a turn with the like turn before
	drift            float64 // sd of the hand's centre, mm, over 4 to 10 s
	noise            float64 // mm
	height           float64 // of the centre
	view             trajectory.View
	lose             func(stroke int, u float64, rng *rand.Rand) bool
	jumpAt           int // stroke with which the hand moves to another string
	exposure         float64
}

type truth struct {
	place    func(phase float64) [3]float64 // of the mean cycle, about the centre of the turns
	length   float64
	evenness float64 // mm
	turns    []float64
	peakDown float64
	period   float64
	loop     float64
}

func (m maker) make() (trajectory.Placed, truth) {
	rng := rand.New(rand.NewPCG(m.seed, 77))
	if m.length == 0 {
		m.length = 10
	}
	if m.share == 0 {
		m.share = 0.5
	}
	rad := math.Pi / 180
	dir := [3]float64{math.Cos(m.angle * rad), math.Cos(m.angle*rad) * math.Tan(m.skew*rad), math.Sin(m.angle * rad)}
	norm := math.Sqrt(dir[0]*dir[0] + dir[1]*dir[1] + dir[2]*dir[2])
	flat := math.Hypot(dir[0], dir[2])
	normal := [3]float64{-dir[2] / flat, 0, dir[0] / flat}
	for a := range dir {
		dir[a] /= norm
	}
	planar := m.length * flat / norm // the chord in the across/out plane
	bulge := func(k float64) float64 { return k * planar * planar / 8 }
	if m.view == trajectory.Front {
		bulge = func(float64) float64 { return 0 }
	}

	// Turns: two chains, each autoregressive.
	n := m.strokes + 1
	t := make([]float64, n)
	at := make([][3]float64, n)
	for i := range n {
		mean := 2 * m.share / m.rate
		if i%2 == 0 {
			mean = 2 * (1 - m.share) / m.rate
		}
		if i > 0 {
			t[i] = t[i-1] + mean*(1+m.jitter*rng.NormFloat64())
		}
		for a := range 3 {
			at[i][a] = m.scatter * rng.NormFloat64()
			if i >= 2 {
				at[i][a] = m.alike*at[i-2][a] + math.Sqrt(1-m.alike*m.alike)*at[i][a]
			}
		}
	}
	// Places are scatter plus side plus hand.
	places := make([][3]float64, n)
	jump := 0.0
	var hz, turned [3]float64
	for a := range hz {
		hz[a], turned[a] = 0.1+0.15*rng.Float64(), 2*math.Pi*rng.Float64()
	}
	for i := range n {
		side := -0.5
		if i%2 == 1 {
			side = 0.5
		}
		if m.jumpAt > 0 && i >= m.jumpAt {
			jump = 10
		}
		for a := range 3 {
			places[i][a] = at[i][a] + side*m.length*dir[a] + m.drift*math.Sqrt2*math.Sin(2*math.Pi*hz[a]*t[i]+turned[a])
		}
		places[i][0] += jump
		places[i][2] += m.height
	}
	path := func(u float64) float64 {
		if m.minimumJerk {
			return u * u * u * (10 + u*(6*u-15))
		}
		return (1 - math.Cos(math.Pi*u)) / 2
	}
	pos := func(tt float64, i int) [3]float64 {
		u := (tt - t[i]) / (t[i+1] - t[i])
		s := path(u)
		h := bulge(m.down)
		if i%2 == 1 {
			h = bulge(m.up)
		}
		var x [3]float64
		for a := range x {
			x[a] = places[i][a] + s*(places[i+1][a]-places[i][a]) + 4*s*(1-s)*h*normal[a]
		}
		return x
	}
	var p trajectory.Placed
	p.Name, p.Unit = "tip", "mm"
	start, end := t[0], t[n-1]
	offset := rng.Float64() / m.hz
	i := 0
	var cols [3][]float64
	for k := 0; ; k++ {
		tt := start + offset + float64(k)/m.hz
		if tt >= end-m.exposure {
			break
		}
		for tt >= t[i+1] {
			i++
		}
		x := pos(tt, i)
		if m.exposure > 0 {
			x = [3]float64{}
			const steps = 9
			for s := range steps {
				ts := tt + (float64(s)/(steps-1)-0.5)*m.exposure*(steps-1)/steps
				j := i
				for j > 0 && ts < t[j] {
					j--
				}
				for ts >= t[j+1] {
					j++
				}
				y := pos(max(ts, start), j)
				for a := range x {
					x[a] += y[a] / steps
				}
			}
		}
		u := (tt - t[i]) / (t[i+1] - t[i])
		lost := m.lose != nil && m.lose(i, u, rng)
		p.T = append(p.T, tt)
		for a := range cols {
			v := x[a] + m.noise*rng.NormFloat64()
			if lost {
				v = math.NaN()
			}
			cols[a] = append(cols[a], v)
		}
	}
	p.Across = cols[0]
	switch m.view {
	case trajectory.Front:
		p.Along = cols[1]
	case trajectory.Spatial:
		p.Along, p.Out = cols[1], cols[2]
	default:
		p.Out = cols[2]
	}

	var tr truth
	tr.turns = t
	tr.period = 2 / m.rate
	axes := 2.0
	if m.view == trajectory.Spatial {
		axes = 3
	}
	tr.length = 0
	use := [3]bool{true, p.Along != nil, p.Out != nil}
	for a, ok := range use {
		if ok {
			tr.length += m.length * m.length * dir[a] * dir[a]
		}
	}
	tr.length = math.Sqrt(tr.length)
	mean := func(g func(u float64) float64) float64 {
		s := 0.0
		for i := range 1000 {
			s += g((float64(i)+0.5)/1000) / 1000
		}
		return s
	}
	tr.evenness = m.scatter * math.Sqrt(axes*mean(func(u float64) float64 {
		s := path(u)
		return s*s + (1-s)*(1-s)
	}))
	tr.place = func(ph float64) [3]float64 {
		ph -= math.Floor(ph)
		var s, h float64
		if ph < m.share {
			s = path(ph / m.share)
			h = bulge(m.down) * 4 * s * (1 - s)
		} else {
			s = 1 - path((ph-m.share)/(1-m.share))
			h = bulge(m.up) * 4 * s * (1 - s)
		}
		var x [3]float64
		for a := range x {
			x[a] = (s-0.5)*m.length*dir[a] + h*normal[a]
		}
		return x
	}
	// The mean of 4w(1-w) over the way w is 2/3.
	tr.loop = (bulge(m.down) - bulge(m.up)) * 2 / 3
	peak := math.Pi / 2
	if m.minimumJerk {
		peak = 1.875
	}
	tr.peakDown = peak * tr.length / (m.share * tr.period)
	return p, tr
}

// fitted analyses a take as a review does and fits all of its strokes.
func (m maker) fitted(o cycle.Options) (cycle.Cycle, truth, error) {
	p, tr := m.make()
	mo, err := motion.Analyze(p, motion.Options{})
	if err != nil {
		return cycle.Cycle{}, tr, err
	}
	c, err := cycle.Fit(p, mo, mo.Strokes, o)
	return c, tr, err
}
