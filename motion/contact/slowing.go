package contact

import (
	"math"

	"gonum.org/v1/gonum/mat"

	"github.com/plectrace/plectrace/motion"
	"github.com/plectrace/plectrace/variability/estimate"
)

// How the tip's speed at the string is held against its speed on both sides.
// Place and speed are scaled by each stroke's turns and duration, so that the
// strokes of one direction share one curve; on it the square of the speed is a
// smooth function of the place (for a free oscillation a parabola), whatever
// the strokes' timing. The curve is fitted to what lies outside the string's
// reach.
const (
	touching   = 0.5  // reach of the contact to each side of the string, in mm
	beside     = 0.5  // and what the fit leaves out beyond that
	fitWithin  = 0.85 // of the half stroke
	slowTerms  = 7    // of the polynomial, and
	fewerTerms = 5    // of that whose difference tells the model's error
	leastSlow  = 30   // strokes of a direction
	// slowFloor is the standard deviation of what the method reads where no
	// string slows the pick, as measured on paths of several kinds.
	slowFloor = 0.004
)

// pace is the square of the scaled speed between two samples.
type pace struct {
	stroke int
	x, v2  float64
	zone   zone
}

type zone uint8

const (
	away zone = iota
	between
	atString
)

// slowing fills in Stroke.Slowing, a direction at a time.
func (f *finder) slowing(c *Contacts) {
	ps := make([]pace, 0, len(f.t)/2) // enough for one direction
	for _, d := range []motion.Direction{motion.Down, motion.Up} {
		ps = ps[:0]
		for i := range c.Strokes {
			if s := &f.m.Strokes[i]; s.Direction == d && !s.TurnHidden() && f.at(&c.Strokes[i]) {
				c.passes[d]++
				ps = f.paces(ps, i, s, c.Strokes[i].Played)
			}
		}
		sums := sumPaces(ps)
		fine, ok := sums.fit(slowTerms)
		if !ok {
			continue
		}
		coarse, ok := sums.fit(fewerTerms)
		if !ok {
			continue
		}
		var at, model float64
		for rest := ps; len(rest) > 0; {
			n := 1
			for n < len(rest) && rest[n].stroke == rest[0].stroke {
				n++
			}
			var in, expected, rough, out, fitted float64
			for _, p := range rest[:n] {
				switch p.zone {
				case atString:
					in += p.v2
					expected += fine.at(p.x)
					rough += coarse.at(p.x)
				case away:
					out += p.v2
					fitted += fine.at(p.x)
				}
			}
			if scale := out / fitted; expected > 0 && scale > 0 && in > 0 {
				c.Strokes[rest[0].stroke].Slowing = 1 - math.Sqrt(in/(scale*expected))
				at += expected
				model += rough - expected
			}
			rest = rest[n:]
		}
		c.slowModel[d] = math.Abs(model/at) / 2 // of the speed, half that of its square
	}
}

// at reports whether the stroke went past the string it is aimed at, below its
// top as far as heights are known.
func (f *finder) at(c *Stroke) bool {
	for _, k := range c.Crossings {
		if k.String == c.Played && (f.out == nil || k.Reached == Yes) {
			return true
		}
	}
	return false
}

// paces appends the paces of stroke i.
func (f *finder) paces(ps []pace, i int, s *motion.Stroke, played int) []pace {
	mid, half := (s.AcrossStart+s.AcrossEnd)/2, math.Abs(s.AcrossEnd-s.AcrossStart)/2
	unit := half * math.Pi / s.Duration()
	lo, hi := f.within(s.Start, s.End)
	for j := lo + 1; j < hi; j++ {
		dt, dy := f.t[j]-f.t[j-1], f.across[j]-f.across[j-1]
		y := (f.across[j] + f.across[j-1]) / 2
		p := pace{stroke: i, x: (y - mid) / half}
		if dt > 1.6/f.m.SampleHz || math.Abs(p.x) > fitWithin {
			continue
		}
		// Noise adds to the square of the speed.
		p.v2 = (dy*dy - 2*f.noise*f.noise) / (dt * dt * unit * unit)
		// Half the way that a sample spans, by a half-cosine: its own
		// noisy way would draw the fast ones in.
		span := unit * dt * math.Sqrt(1-p.x*p.x) / 2
		for k := range f.lines {
			off := math.Abs(y-f.lines[k].across) - span
			switch {
			case off < touching && f.lines[k].number == played:
				p.zone = max(p.zone, atString)
			case off < touching+beside:
				p.zone = max(p.zone, between)
			}
		}
		ps = append(ps, p)
	}
	return ps
}

// curve is a sum of Chebyshev polynomials.
type curve []float64

func (c curve) at(x float64) float64 {
	var t [slowTerms]float64
	chebyshev(t[:len(c)], x)
	v := 0.0
	for i, k := range c {
		v += k * t[i]
	}
	return v
}

// paceSums are sums over the paces away from the string.
type paceSums struct {
	t       [2*slowTerms - 1]float64 // of the Chebyshev polynomials
	v2      [slowTerms]float64       // of these times the squared speed
	strokes int
}

func sumPaces(ps []pace) *paceSums {
	s := &paceSums{}
	last := -1
	for i := range ps {
		p := &ps[i]
		if p.zone != away {
			continue
		}
		if p.stroke != last {
			s.strokes++
			last = p.stroke
		}
		var t [2*slowTerms - 1]float64
		chebyshev(t[:], p.x)
		for k, v := range t {
			s.t[k] += v
		}
		for k := range s.v2 {
			s.v2[k] += p.v2 * t[k]
		}
	}
	return s
}

// fit fits the first Chebyshev polynomials to the paces.
func (s *paceSums) fit(terms int) (curve, bool) {
	a := mat.NewSymDense(terms, nil)
	for i := range terms {
		for j := i; j < terms; j++ {
			a.SetSym(i, j, (s.t[i+j]+s.t[j-i])/2) // TᵢTⱼ = (Tᵢ₊ⱼ + Tⱼ₋ᵢ)/2
		}
	}
	var c mat.Cholesky
	if s.strokes < leastSlow || !c.Factorize(a) || c.Cond() > 1e10 {
		return nil, false
	}
	var x mat.VecDense
	if c.SolveVecTo(&x, mat.NewVecDense(terms, s.v2[:terms])) != nil {
		return nil, false
	}
	return x.RawVector().Data, true
}

// chebyshev writes the polynomials T₀, T₁, … at x to dst.
func chebyshev(dst []float64, x float64) {
	dst[0], dst[1] = 1, x
	for i := 2; i < len(dst); i++ {
		dst[i] = 2*x*dst[i-1] - dst[i-2]
	}
}

// Slowing returns by what share of its speed the tip is slower at the string
// than its own speed on both sides lets expect, over the strokes of direction
// d that reached the string played: their median. Positive is slower: the
// string takes speed from the pick. The interval holds what the shape of the
// speed leaves open. It needs motion.MinSamplesShape samples per stroke, and
// sees a contact of a fraction of a sample only as far as it slows that whole
// sample; long exposures hide it.
func (c *Contacts) Slowing(d motion.Direction) estimate.Value[float64] {
	what := "slowing at the string on " + d.String() + "strokes"
	x := c.series(d, func(s *Stroke) float64 { return s.Slowing })
	if len(x) < leastSlow {
		return c.missing(what, c.passes[d], leastSlow)
	}
	v := estimate.SeriesMedian(x, 0.95)
	return widen(v, math.Hypot(c.slowModel[d], slowFloor))
}
