package simulate

import (
	"fmt"
	"math"

	"github.com/plectrace/plectrace/variability/circular"
	"gonum.org/v1/gonum/interp"
	"gonum.org/v1/gonum/spatial/r3"
)

// Profile is the way of position from turn to turn. The velocity is zero at
// both.
type Profile int

const (
	// HalfCosine is (1-cos πu)/2: a sine over the cycle, peak speed π/2 times
	// the mean.
	HalfCosine Profile = iota
	// MinimumJerk is 10u³-15u⁴+6u⁵ (Flash & Hogan 1985): peak speed 1.875
	// times the mean, and a longer stay at the turns.
	MinimumJerk
)

var profileText = [...]string{"half-cosine", "minimum-jerk"}

// String returns "half-cosine" or "minimum-jerk".
func (p Profile) String() string {
	if p < 0 || int(p) >= len(profileText) {
		return fmt.Sprintf("Profile(%d)", int(p))
	}
	return profileText[p]
}

// MarshalText implements encoding.TextMarshaler.
func (p Profile) MarshalText() ([]byte, error) { return []byte(p.String()), nil }

// UnmarshalText implements encoding.TextUnmarshaler.
func (p *Profile) UnmarshalText(b []byte) error {
	for i, t := range profileText {
		if t == string(b) {
			*p = Profile(i)
			return nil
		}
	}
	return fmt.Errorf("simulate: unknown profile %q: write %q or %q", b, profileText[0], profileText[1])
}

// timing is a profile with its lead.
type timing struct {
	profile Profile
	lead    float64
}

// warp returns the share of the profile run through at the share u of the
// time. Its slope is 1 at both ends, so that a lead leaves the acceleration at
// the turns as it was.
func (g timing) warp(u float64) float64 {
	return u + g.lead/(2*math.Pi)*(1-math.Cos(2*math.Pi*u))
}

// place returns the share of the way gone at the share u of the time, both in
// [0, 1].
func (g timing) place(u float64) float64 {
	w := g.warp(u)
	if g.profile == MinimumJerk {
		return w * w * w * (10 + w*(6*w-15))
	}
	return (1 - math.Cos(math.Pi*w)) / 2
}

// speed returns the derivative of place.
func (g timing) speed(u float64) float64 {
	w := g.warp(u)
	dw := 1 + g.lead*math.Sin(2*math.Pi*u)
	if g.profile == MinimumJerk {
		return 30 * w * w * (1 - w) * (1 - w) * dw
	}
	return math.Pi / 2 * math.Sin(math.Pi*w) * dw
}

// peak returns the greatest value of speed: in closed form without lead, by
// golden section (the speed has one maximum) with it.
func (g timing) peak() float64 {
	if g.lead == 0 {
		if g.profile == MinimumJerk {
			return 1.875
		}
		return math.Pi / 2
	}
	return greatest(0, 1, g.speed)
}

// greatest returns the greatest value of f, which has one maximum between lo
// and hi, by golden section.
func greatest(lo, hi float64, f func(float64) float64) float64 {
	const golden = 0.6180339887498949 // (√5-1)/2
	for least := 1e-9 * (hi - lo); hi-lo > least; {
		a, b := hi-golden*(hi-lo), lo+golden*(hi-lo)
		if f(a) < f(b) {
			lo = a
		} else {
			hi = b
		}
	}
	return f((lo + hi) / 2)
}

// leg is the tip's way from one turn to the next, or a rest. Vectors are
// (across, along, out) in mm.
type leg struct {
	t0, t1      float64
	from, chord r3.Vec
	bulge       r3.Vec // of the middle, off the chord
	hand0, hand r3.Vec // the hand's centre, and where it goes
	rest        bool
	tremor      float64
	tremorHz    float64
	approach    bool                   // the way to the first turn
	warp        *interp.PiecewiseCubic // of time, where a string slows the tip
	edge        [2]circular.Angle      // of the pick at both ends
	joint       [2]joints              // the arm's there
}

// newLeg returns the leg between two places with the signed curvature k about
// the chord. The path is a parabola, whose curvature at the middle is 8h/L² for
// a height h over the chord L.
func newLeg(t0, t1 float64, from, to r3.Vec, k float64) leg {
	l := leg{t0: t0, t1: t1, from: from, chord: r3.Sub(to, from)}
	if k != 0 {
		l.bulge = r3.Scale(k*r3.Norm2(l.chord)/8, outward(l.chord))
	}
	return l
}

// outward returns the unit vector normal to c that lies in the plane of c and
// out and points outward.
func outward(c r3.Vec) r3.Vec {
	return r3.Unit(r3.Sub(r3.Vec{Z: 1}, r3.Scale(c.Z/r3.Norm2(c), c)))
}

// newWarp returns the share u of the time at which a leg would be where it is
// at the share of the time asked for, when slow says how much more time every
// place takes.
func newWarp(slow func(u float64) float64) *interp.PiecewiseCubic {
	const n = 256
	u, f, slope := make([]float64, n+1), make([]float64, n+1), make([]float64, n+1)
	slope[0] = slow(0)
	for i := 1; i <= n; i++ {
		u[i] = float64(i) / n
		slope[i] = slow(u[i])
		f[i] = f[i-1] + (slope[i-1]+4*slow(u[i]-0.5/n)+slope[i])/(6*n) // Simpson
	}
	whole := f[n]
	for i := range f {
		f[i] /= whole
		slope[i] = whole / slope[i]
	}
	var w interp.PiecewiseCubic
	w.FitWithDerivatives(f, u, slope)
	return &w
}

// share returns the share of the profile's time that has gone at time t.
func (l *leg) share(t float64) float64 {
	u := (t - l.t0) / (l.t1 - l.t0)
	if l.warp != nil {
		u = l.warp.Predict(math.Min(math.Max(u, 0), 1))
	}
	return u
}

// speed returns the tip's speed along the chord at time t, in mm/s.
func (l *leg) speed(t float64, g timing) float64 {
	v := g.speed(l.share(t)) * r3.Norm(l.chord) / (l.t1 - l.t0)
	if l.warp != nil {
		v *= l.warp.PredictDerivative((t - l.t0) / (l.t1 - l.t0))
	}
	return v
}

// peak returns the greatest speed along the chord of a leg that a string slows:
// the best of a grid, improved by golden section.
func (l *leg) peak(g timing) float64 {
	const n = 400
	step := (l.t1 - l.t0) / n
	best, most := 0, 0.0
	for i := range n + 1 {
		if v := l.speed(l.t0+float64(i)*step, g); v > most {
			best, most = i, v
		}
	}
	at := l.t0 + float64(best)*step
	return greatest(at-step, at+step, func(t float64) float64 { return l.speed(t, g) })
}

// edgeAt returns the pick's edge angle at time t.
func (l *leg) edgeAt(t float64, g timing) circular.Angle {
	return l.edge[0] + circular.Angle(g.place(l.share(t)))*(l.edge[1]-l.edge[0])
}

// at returns the tip's place at time t.
func (l *leg) at(t float64, g timing) r3.Vec {
	u := l.share(t)
	if l.rest {
		p := l.from
		if l.tremor > 0 {
			// The shake swells and fades within the rest, so that the
			// velocity is zero at both ends.
			p.X += l.tremor * math.Sin(2*math.Pi*l.tremorHz*(t-l.t0)) * math.Pow(math.Sin(math.Pi*u), 2)
		}
		return p
	}
	return l.along(g.place(u))
}

// along returns the tip's place at the share s of the way.
func (l *leg) along(s float64) r3.Vec {
	p := r3.Add(l.from, r3.Scale(s, l.chord))
	return r3.Add(p, r3.Scale(4*s*(1-s), l.bulge))
}

// handAt returns the place of the hand's centre at time t.
func (l *leg) handAt(t float64) r3.Vec {
	s := timing{}.place((t - l.t0) / (l.t1 - l.t0))
	return r3.Add(l.hand0, r3.Scale(s, l.hand))
}

// tip is the whole motion, walked along by a cursor.
type tip struct {
	legs []leg
	g    timing
	at   int
}

// leg returns the leg that holds time t.
func (p *tip) leg(t float64) *leg {
	for p.at > 0 && t < p.legs[p.at].t0 {
		p.at--
	}
	for p.at < len(p.legs)-1 && t >= p.legs[p.at].t1 {
		p.at++
	}
	return &p.legs[p.at]
}
