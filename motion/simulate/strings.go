package simulate

import (
	"math"
	"slices"

	"gonum.org/v1/gonum/spatial/r3"
)

// String is where a string runs at the picking spot, in mm.
type String struct {
	// Across is zero midway between the outer strings, Out zero at the string
	// plane, which runs through them.
	Across, Out float64
}

// stringAt returns the across place of string i, counted from the lowest.
// Across is zero midway between the outer strings.
func (o Options) stringAt(i int) float64 {
	return (float64(i) - float64(o.Strings-1)/2) * o.Spacing
}

// outer is the distance of the outer strings from the middle.
func (o Options) outer() float64 { return float64(o.Strings-1) * o.Spacing / 2 }

// crown returns how far a string at that across place lies out from the string
// plane: √(R²-y²) - √(R²-y₀²), y₀ being the outer strings' place. It is 0 beyond
// them.
func (o Options) crown(across float64) float64 {
	y, outer, r := math.Abs(across), o.outer(), o.CrownRadius
	if r == 0 || y >= outer {
		return 0
	}
	return math.Sqrt(r*r-y*y) - math.Sqrt(r*r-outer*outer)
}

// first is the string that is played first, counted from the lowest.
func (o Options) first() int { return o.Strings / 2 }

// number returns the trade's number of string i counted from the lowest: 1 is
// the highest-pitched.
func (o Options) number(i int) int { return o.Strings - i }

// crossing is where a leg crosses a string below its top.
type crossing struct {
	string int // the trade's number
	across float64
	t      float64
	depth  float64 // below the string's top, mm
}

// crossings returns the strings that the leg reaches, in order.
func (o Options) crossings(l *leg, g timing) []crossing {
	var all []crossing
	for i := range o.Strings {
		x := o.stringAt(i)
		// The bulge of a path with skew leaks a little into across, so the
		// crossing is sought rather than solved for.
		lo, hi := l.t0, l.t1
		a, b := l.at(lo, g).X-x, l.at(hi, g).X-x
		if a == 0 || a*b > 0 {
			continue
		}
		for range 60 {
			m := lo + (hi-lo)/2
			if a*(l.at(m, g).X-x) > 0 {
				lo = m
			} else {
				hi = m
			}
		}
		if depth := o.crown(x) - l.at(hi, g).Z; depth > 0 {
			all = append(all, crossing{o.number(i), x, hi, depth})
		}
	}
	slices.SortFunc(all, func(a, b crossing) int {
		if a.t < b.t {
			return -1
		}
		return 1
	})
	return all
}

// dragHalf is the distance to either side of a string over which it slows the
// tip, in mm.
const dragHalf = 1.5

// drag slows the legs at the strings that they reach. Where the tip is runs
// through the same places: only when is changed. With p(u) the share of the way
// at the share u of the time,
//
//	F(u) = ∫₀ᵘ (1+k(p)) du / ∫₀¹ (1+k(p)) du
//	k    = d/(1-d) cos²(πx/2w)    x within w = 1.5 mm of the nearest string reached, d the drag
//
// is the share of the time at which that place is reached. The speed is
// p'/(1+k) but for the constant: at the string 1-d of what it would be.
func (o Options) drag(legs []leg, g timing) {
	if o.StringDrag == 0 {
		return
	}
	k := o.StringDrag / (1 - o.StringDrag)
	for i := range legs {
		l := &legs[i]
		if l.rest || l.approach {
			continue
		}
		all := o.crossings(l, g)
		if len(all) == 0 {
			continue
		}
		length := r3.Norm(l.chord)
		at := make([]float64, len(all))
		for j, c := range all {
			at[j] = g.place((c.t - l.t0) / (l.t1 - l.t0))
		}
		l.warp = newWarp(func(u float64) float64 {
			slow, s := 1.0, g.place(u)
			for _, x := range at {
				if d := math.Abs(s-x) * length; d < dragHalf {
					c := math.Cos(math.Pi / 2 * d / dragHalf)
					slow = math.Max(slow, 1+k*c*c)
				}
			}
			return slow
		})
	}
}
