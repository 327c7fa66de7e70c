package simulate

import (
	"math"
	"math/rand/v2"
	"slices"

	"github.com/plectrace/plectrace/trajectory"
	"github.com/plectrace/plectrace/variability/estimate"
	"gonum.org/v1/gonum/floats/scalar"
)

// Fault is a run of bad samples of the tip.
type Fault struct {
	// Kind is "drop-out", "hidden turn", "outlier", "jump", "straight fill",
	// "frozen fill" or "out of sight": before the hand comes, or not in the
	// picture.
	Kind string
	// First and Last are the indices of its first and last sample.
	First, Last int
}

// fault is the state of one sample.
type fault uint8

const (
	good fault = iota
	dropOut
	hidden
	outlier
	jump
	straight
	frozen
	unseen
)

var faultText = [...]string{"", "drop-out", "hidden turn", "outlier", "jump", "straight fill", "frozen fill", "out of sight"}

// column is one point's samples while they are being spoilt.
type column struct {
	o     Options
	film  *film
	path  trajectory.Path
	state []fault
}

// rng returns the stream of one use for this point.
func (c *column) rng(use string) *rand.Rand {
	return estimate.Stream(c.o.Seed, "simulate/"+use+"/"+c.path.Name)
}

// mark gives the samples in [first, last] that state if all of them are good.
func (c *column) mark(k fault, first, last int) bool {
	for i := first; i <= last; i++ {
		if c.state[i] != good {
			return false
		}
	}
	for i := first; i <= last; i++ {
		c.state[i] = k
	}
	return true
}

// lose marks about that share of the samples as lost, in runs of 1 to 6.
func (c *column) lose(share float64) {
	if share <= 0 {
		return
	}
	rng := c.rng("drop-outs")
	n := len(c.state)
	// With runs of 3.5 on average and a good sample after each, a step begins
	// a run with probability q for a share of 3.5q/(1+3.5q).
	q := share / (1 - share) / 3.5
	for i := 0; i < n; {
		u, length := rng.Float64(), 1+rng.IntN(6)
		if u < q {
			c.mark(dropOut, i, min(i+length, n)-1)
			i += length
		}
		i++
	}
}

// spoil does to the tip all that a tracker does, and notes it in tr.
func (c *column) spoil(tr *Truth) trajectory.Path {
	c.jumps()
	c.hide(tr)
	c.lose(c.o.DropOuts)
	c.outliers()
	p := c.finish()
	for i := 0; i < len(c.state); {
		j := i
		for j < len(c.state) && c.state[j] == c.state[i] {
			j++
		}
		if k := c.state[i]; k != good {
			tr.Faults = append(tr.Faults, Fault{Kind: faultText[k], First: i, Last: j - 1})
		}
		i = j
	}
	c.hiddenTurns(tr)
	return p
}

// frames returns the indices of the first frame from t0 on and the last
// before t1.
func (c *column) frames(t0, t1 float64) (first, last int) {
	first, _ = slices.BinarySearch(c.film.instants, t0)
	last, _ = slices.BinarySearch(c.film.instants, t1)
	return first, last - 1
}

// hide takes the tip away about the turns on a side.
func (c *column) hide(tr *Truth) {
	down, up := c.rng("hide-down"), c.rng("hide-up")
	for _, t := range tr.Turns {
		rng, share := up, c.o.HideUp
		if t.AfterDown {
			rng, share = down, c.o.HideDown
		}
		if hit, stay := rng.Float64() < share, 0.8+0.4*rng.Float64(); hit {
			half := c.o.HideFor * stay / tr.Rate / 2
			if first, last := c.frames(t.T-half, t.T+half); last >= first {
				for i := first; i <= last; i++ {
					if c.state[i] == good {
						c.state[i] = hidden
					}
				}
			}
		}
	}
}

// reach returns the unit of the distances at which a lost tracker sits: 20 px,
// or a stroke's length in a 3-d view.
func (c *column) reach() float64 {
	if c.o.View == trajectory.Spatial {
		return c.o.Length * c.o.Scale
	}
	return 20
}

// away returns a displacement of 1 to 4 times the reach.
func (c *column) away(rng *rand.Rand) [3]float64 {
	r := c.reach() * (1 + 3*rng.Float64())
	a, z := 2*math.Pi*rng.Float64(), 2*rng.Float64()-1
	if c.path.Z == nil {
		return [3]float64{r * math.Cos(a), r * math.Sin(a), 0}
	}
	h := math.Sqrt(1 - z*z)
	return [3]float64{r * h * math.Cos(a), r * h * math.Sin(a), r * z}
}

func (c *column) shift(i int, d [3]float64) {
	c.path.X[i] += d[0]
	c.path.Y[i] += d[1]
	if c.path.Z != nil {
		c.path.Z[i] += d[2]
	}
}

// outliers moves single samples away.
func (c *column) outliers() {
	rng := c.rng("outliers")
	for i := range c.state {
		if hit, d := rng.Float64() < c.o.Outliers, c.away(rng); hit && c.mark(outlier, i, i) {
			c.shift(i, d)
		}
	}
}

// jumps lets the tracker follow something else, at rest, for a while: it sits
// about twice as far away as an outlier, with its noise.
func (c *column) jumps() {
	rng := c.rng("jumps")
	for range c.o.Jumps {
		length, at := 5+rng.IntN(56), rng.Float64()
		d := c.away(rng)
		first := int(at * float64(len(c.state)-length))
		if length > len(c.state) || !c.mark(jump, first, first+length-1) {
			continue
		}
		x, y := c.path.X[first]+2*d[0], c.path.Y[first]+2*d[1]
		var z float64
		if c.path.Z != nil {
			z = c.path.Z[first] + 2*d[2]
		}
		for i := first; i < first+length; i++ {
			c.path.X[i] = x + c.o.Noise*rng.NormFloat64()
			c.path.Y[i] = y + c.o.Noise*rng.NormFloat64()
			if c.path.Z != nil {
				c.path.Z[i] = z + c.o.Noise*rng.NormFloat64()
			}
		}
	}
}

// finish fills or blanks the lost samples, adds the confidence and rounds.
func (c *column) finish() trajectory.Path {
	axes := [][]float64{c.path.X, c.path.Y}
	if c.path.Z != nil {
		axes = append(axes, c.path.Z)
	}
	lost := func(i int) bool { return c.state[i] == dropOut || c.state[i] == hidden || c.state[i] == unseen }
	gaps := 0
	for i := 0; i < len(c.state); {
		if !lost(i) {
			i++
			continue
		}
		j := i
		for j < len(c.state) && lost(j) {
			j++
		}
		kind := good
		switch s, f := c.o.StraightFills, c.o.FrozenFills; {
		case i == 0 || j == len(c.state):
		case s && (!f || gaps%2 == 0):
			kind = straight
		case f:
			kind = frozen
		}
		gaps++
		for _, x := range axes {
			for k := i; k < j; k++ {
				switch kind {
				case straight:
					x[k] = x[i-1] + (x[j]-x[i-1])*float64(k-i+1)/float64(j-i+1)
				case frozen:
					x[k] = x[i-1]
				default:
					x[k] = math.NaN()
				}
			}
		}
		if kind != good {
			for k := i; k < j; k++ {
				c.state[k] = kind
			}
		}
		i = j
	}
	if c.o.Decimals > 0 {
		for _, x := range axes {
			for i := range x {
				x[i] = scalar.Round(x[i], c.o.Decimals)
			}
		}
	}
	if c.o.Confidence {
		c.path.Confidence = c.confidence()
	}
	return c.path
}

// confidence returns numbers near 1 for good samples and low ones for bad.
func (c *column) confidence() []float64 {
	rng := c.rng("confidence")
	v := make([]float64, len(c.state))
	for i, k := range c.state {
		u := rng.Float64()
		switch k {
		case good:
			v[i] = 1 - 0.1*u*u
		case outlier, jump:
			v[i] = 0.1 + 0.4*u
		default:
			v[i] = 0.2 * u
		}
		v[i] = scalar.Round(v[i], 3)
	}
	return v
}

// hiddenTurns marks the turns, and the strokes, that the samples do not show:
// a run of bad samples, longer than a quarter of a stroke, covers the turn.
func (c *column) hiddenTurns(tr *Truth) {
	covered := func(t float64) bool {
		after, _ := slices.BinarySearch(c.film.instants, t)
		if after == 0 || after == len(c.state) || c.state[after] == good || c.state[after-1] == good {
			return false
		}
		first, last := after-1, after
		for first > 0 && c.state[first-1] != good {
			first--
		}
		for last < len(c.state)-1 && c.state[last+1] != good {
			last++
		}
		return c.film.instants[last]-c.film.instants[first] > 0.25/tr.Rate
	}
	for i := range tr.Turns {
		tr.Turns[i].Hidden = covered(tr.Turns[i].T)
	}
	for i := range tr.Strokes {
		s := &tr.Strokes[i]
		s.Hidden = covered(s.Start) || covered(s.End)
	}
}
