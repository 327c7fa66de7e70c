package review_test

import (
	"fmt"
	"math"
	"math/rand/v2"
	"slices"
	"strings"
	"testing"

	"github.com/plectrace/plectrace/motion/review"
	"github.com/plectrace/plectrace/motion/simulate"
	"github.com/plectrace/plectrace/trajectory"
)

// moved is a with every place of the film, tracked or clicked, passed through f.
// A picture's third axis is 0.
func (a asked) moved(f func([3]float64) [3]float64) asked {
	rec := &trajectory.Recording{Source: a.rec.Source, Unit: a.rec.Unit, T: a.rec.T}
	for _, p := range a.rec.Points {
		q := p
		q.X, q.Y, q.Z = slices.Clone(p.X), slices.Clone(p.Y), slices.Clone(p.Z)
		for i := range p.X {
			var at [3]float64
			at[0], at[1] = p.X[i], p.Y[i]
			if p.Z != nil {
				at[2] = p.Z[i]
			}
			if at = f(at); p.X[i] != p.X[i] {
				continue
			}
			q.X[i], q.Y[i] = at[0], at[1]
			if p.Z != nil {
				q.Z[i] = at[2]
			}
		}
		rec.Points = append(rec.Points, q)
	}
	a.rec = rec
	mark := func(m trajectory.Mark) trajectory.Mark {
		if m.At == nil {
			return m
		}
		var at [3]float64
		copy(at[:], m.At)
		at = f(at)
		return trajectory.Mark{At: slices.Clone(at[:len(m.At)])}
	}
	m := &a.setup.Marks
	m.Bass, m.Treble = mark(m.Bass), mark(m.Treble)
	m.Nut = slices.Clone(m.Nut)
	for i := range m.Nut {
		m.Nut[i] = mark(m.Nut[i])
	}
	return a
}

// exact is the tolerance of a symmetry that rounding alone breaks: times to a
// nanosecond, other numbers to 1e-8 of themselves and 1e-8 beside.
var exact = change{relative: 1e-8, absolute: 1e-8, seconds: 1e-9}

// TestRotating: a picture that is turned, and a space that is turned about any axis,
// show the same playing.
func TestRotating(t *testing.T) {
	each(t, 4, func(t *testing.T, a asked, o simulate.Options, rng *rand.Rand) {
		want := a.run(t)
		turn := rotation(o.View, rng)
		exact.holds(t, "turned", want, a.moved(turn).run(t))
	})
}

// rotation is a turn about a place in the picture, or about an axis in space.
func rotation(view trajectory.View, rng *rand.Rand) func([3]float64) [3]float64 {
	angle := 2 * math.Pi * rng.Float64()
	axis := [3]float64{0, 0, 1}
	if view == trajectory.Spatial {
		axis = [3]float64{rng.NormFloat64(), rng.NormFloat64(), rng.NormFloat64()}
		n := math.Sqrt(axis[0]*axis[0] + axis[1]*axis[1] + axis[2]*axis[2])
		for k := range axis {
			axis[k] /= n
		}
	}
	s, c := math.Sincos(angle)
	return func(v [3]float64) [3]float64 { // Rodrigues
		k := axis
		dot := k[0]*v[0] + k[1]*v[1] + k[2]*v[2]
		cross := [3]float64{k[1]*v[2] - k[2]*v[1], k[2]*v[0] - k[0]*v[2], k[0]*v[1] - k[1]*v[0]}
		var out [3]float64
		for i := range out {
			out[i] = v[i]*c + cross[i]*s + k[i]*dot*(1-c)
		}
		return out
	}
}

// TestShifting: where in the picture, or in space, it is played changes nothing.
func TestShifting(t *testing.T) {
	each(t, 4, func(t *testing.T, a asked, _ simulate.Options, rng *rand.Rand) {
		want := a.run(t)
		by := [3]float64{2000 * rng.NormFloat64(), 2000 * rng.NormFloat64(), 2000 * rng.NormFloat64()}
		exact.holds(t, "shifted", want, a.moved(func(v [3]float64) [3]float64 {
			return [3]float64{v[0] + by[0], v[1] + by[1], v[2] + by[2]}
		}).run(t))
	})
}

// scaled is a with all lengths of the film times by.
func (a asked) scaled(by float64) asked {
	return a.moved(func(v [3]float64) [3]float64 { return [3]float64{by * v[0], by * v[1], by * v[2]} })
}

// pixelOfMarks is what may change with the size of a picture beside lengths: a mark
// is placed to about one pixel, which bounds angles and heights, and so decides
// which strings are reached for certain, and what is told of those alone.
func pixelOfMarks(s said) bool {
	for _, of := range []string{"missed_share", "follow_through", "depth", "slowing"} { // with their numbers
		if strings.HasPrefix(s.name, of) {
			return true
		}
	}
	return s.bound && (strings.Contains(s.name, "angle") || strings.Contains(s.name, "height") || s.name == "skew_deg") ||
		strings.HasSuffix(s.name, "reached")
}

// TestScaling: a film of other pixels of the same marks, so many mm apart, shows the
// same playing. Without a distance lengths go with the picture.
func TestScaling(t *testing.T) {
	each(t, 4, func(t *testing.T, a asked, o simulate.Options, rng *rand.Rand) {
		by := math.Exp(2 * rng.NormFloat64())
		c := exact
		if o.View != trajectory.Spatial {
			c.except = pixelOfMarks
		}
		want, got := a.run(t), a.scaled(by).run(t)
		c.holds(t, fmt.Sprintf("%.3g times as large", by), want, got)
		if x := got.PerMM() / want.PerMM() / by; math.Abs(x-1) > 1e-9 {
			t.Errorf("%g times as many pixels per mm as there are", x)
		}
		tan := func(r *review.Review) float64 { return math.Tan(r.Frame.AxisError.Radians()) }
		if x := tan(got) * by; o.View != trajectory.Spatial && math.Abs(x/tan(want)-1) > 1e-9 {
			t.Errorf("%.3g times as large: the error of one pixel is %g of what it was", by, tan(got)/tan(want))
		}

		a.setup.Marks.DistanceMM, a.rec.Unit = 0, ""
		c.length = by
		c.holds(t, fmt.Sprintf("%.3g times as large, without mm", by), a.run(t), a.scaled(by).run(t))
	})
}

// TestUnits: an export in cm or m is the same as one in mm.
func TestUnits(t *testing.T) {
	each(t, 2, func(t *testing.T, a asked, o simulate.Options, _ *rand.Rand) {
		if o.View != trajectory.Spatial { // a picture in mm, as a plane that was calibrated
			a = a.scaled(1.0 / 12)
		}
		a.setup.Marks.DistanceMM = 0
		a.rec.Unit = "mm"
		want := a.run(t)
		for unit, by := range map[string]float64{"cm": 0.1, "m": 0.001} {
			b := a.scaled(by)
			b.rec.Unit = unit
			exact.holds(t, unit, want, b.run(t))
		}
	})
}

// TestMirroring: a film that is turned about is the same playing once the setup says
// so, and what is turned about twice needs nothing said.
func TestMirroring(t *testing.T) {
	each(t, 4, func(t *testing.T, a asked, o simulate.Options, _ *rand.Rand) {
		want := a.run(t)
		for _, c := range []struct {
			name string
			axes []int
			say  func(*trajectory.Orientation)
		}{
			{"left and right, said as mirrored", []int{0}, func(o *trajectory.Orientation) { o.Mirrored = !o.Mirrored }},
			{"up and down, said as mirrored", []int{1}, func(o *trajectory.Orientation) { o.Mirrored = !o.Mirrored }},
			{"up and down, said as y up", []int{1}, func(o *trajectory.Orientation) { o.YUp = !o.YUp }},
			{"left and right, said as left-handed", []int{0}, func(o *trajectory.Orientation) { o.LeftHanded = !o.LeftHanded }},
			{"left and right, said as from the neck", []int{0}, func(o *trajectory.Orientation) { o.FromNeck = !o.FromNeck }},
			{"nothing, said as left-handed and mirrored", nil, func(o *trajectory.Orientation) {
				o.LeftHanded, o.Mirrored = !o.LeftHanded, !o.Mirrored
			}},
			{"both, nothing said", []int{0, 1}, func(*trajectory.Orientation) {}},
		} {
			if c.name == "up and down, said as y up" && o.View == trajectory.Spatial ||
				strings.Contains(c.name, "neck") && (o.View == trajectory.Spatial || o.View == trajectory.Front) {
				continue // which say that it does not matter there
			}
			b := a.moved(func(v [3]float64) [3]float64 {
				for _, k := range c.axes {
					v[k] = -v[k]
				}
				return v
			})
			c.say(&b.setup.Orientation)
			if skew := a.setup.SkewDeg; skew != nil && b.setup.FromNeck != a.setup.FromNeck {
				other := -*skew // what shows the same picture from the other end
				b.setup.SkewDeg = &other
			}
			exact.holds(t, "turned about: "+c.name, want, b.run(t))
		}
	})
}
