package figure

import (
	"math"
	"strconv"

	"gonum.org/v1/plot/vg"
	"gonum.org/v1/plot/vg/draw"

	"github.com/plectrace/plectrace/variability/robust"
)

// shown reports whether v can be drawn.
func shown(v float64) bool { return math.Abs(v) <= 1e12 } // false for NaN

// interval is a range of data. Its zero value holds the number zero alone.
type interval struct{ lo, hi float64 }

// none is the interval that holds nothing.
var none = interval{math.Inf(1), math.Inf(-1)}

func (iv interval) empty() bool             { return !(iv.lo <= iv.hi) }
func (iv interval) size() float64           { return iv.hi - iv.lo }
func (iv interval) mid() float64            { return iv.lo + iv.size()/2 }
func (iv interval) contains(v float64) bool { return iv.lo <= v && v <= iv.hi }

// clamp returns the number of the interval that is nearest to v.
func (iv interval) clamp(v float64) float64 { return min(max(v, iv.lo), iv.hi) }

// with returns the interval widened to hold the values that can be shown.
func (iv interval) with(values ...float64) interval {
	for _, v := range values {
		if shown(v) {
			iv.lo, iv.hi = math.Min(iv.lo, v), math.Max(iv.hi, v)
		}
	}
	return iv
}

// padded returns the interval with a share of its size added on both sides. A
// single value gets room around it.
func (iv interval) padded(share float64) interval {
	pad := share * iv.size()
	if iv.size() <= 1e-9*math.Max(math.Abs(iv.lo), math.Abs(iv.hi)) {
		pad = math.Max(1, math.Abs(iv.lo)/10)
	}
	return interval{iv.lo - pad, iv.hi + pad}
}

// bulk returns the interval of all but the outermost hundredth of values on
// each side, widened by a quarter of its size but not beyond the values: a
// scale that a few odd values do not flatten.
func bulk(values ...[]float64) interval {
	n := 0
	for _, vs := range values {
		n += len(vs)
	}
	all := make([]float64, 0, n)
	whole := none
	for _, vs := range values {
		for _, v := range vs {
			if shown(v) {
				all = append(all, v)
				whole = whole.with(v)
			}
		}
	}
	if len(all) == 0 {
		return none
	}
	most := interval{robust.QuantileInPlace(0.01, all), robust.QuantileInPlace(0.99, all)}
	most = most.padded(0.25)
	return interval{math.Max(most.lo, whole.lo), math.Min(most.hi, whole.hi)}
}

// axes maps data to a rectangle of a sheet. flip turns y upside down, as in
// a picture.
type axes struct {
	in   vg.Rectangle
	x, y interval
	flip bool
}

func (a axes) at(x, y float64) vg.Point { return at(a.atX(x), a.atY(y)) }

func (a axes) atX(x float64) vg.Length {
	return a.in.Min.X + vg.Length((x-a.x.lo)/a.x.size())*a.in.Size().X
}

func (a axes) atY(y float64) vg.Length {
	share := (y - a.y.lo) / a.y.size()
	if a.flip {
		share = 1 - share
	}
	return a.in.Min.Y + vg.Length(share)*a.in.Size().Y
}

// clip returns the parts of a line of the sheet that lie in the rectangle.
func (a axes) clip(line []vg.Point) [][]vg.Point {
	c := draw.Canvas{Rectangle: a.in}
	return c.ClipLinesXY(line)
}

// equal returns the axes with x or y widened about its middle, so that both
// have the same scale.
func (a axes) equal() axes {
	size := a.in.Size()
	perUnit := math.Max(a.x.size()/float64(size.X), a.y.size()/float64(size.Y))
	about := func(iv interval, length vg.Length) interval {
		half := perUnit * float64(length) / 2
		return interval{iv.mid() - half, iv.mid() + half}
	}
	a.x, a.y = about(a.x, size.X), about(a.y, size.Y)
	return a
}

// tick is a place on an axis and its label.
type tick struct {
	value float64
	label string
}

// ticks returns about n round values within iv: multiples of 1, 2 or 5 times a
// power of ten.
func ticks(iv interval, n float64) []tick {
	step := roundStep(1.5 * iv.size() / n)
	digits := decimals(step)
	first, last := math.Ceil(iv.lo/step-1e-9), math.Floor(iv.hi/step+1e-9)
	var out []tick
	for k := 0.0; k <= 2*n && first+k <= last; k++ {
		v := (first + k) * step
		out = append(out, tick{v, number(v, digits)})
	}
	return out
}

// roundStep returns the greatest of 1, 2 and 5 times a power of ten that is
// not greater than v.
func roundStep(v float64) float64 {
	power := math.Pow(10, math.Floor(math.Log10(v)))
	for _, m := range []float64{10, 5, 2} {
		if m*power <= v*(1+1e-9) {
			return m * power
		}
	}
	return power
}

// decimals returns the digits after the point that tell multiples of a round
// step apart.
func decimals(step float64) int { return max(0, -int(math.Floor(math.Log10(step)+1e-9))) }

// number formats v with a minus sign and not a hyphen.
func number(v float64, digits int) string {
	s := strconv.FormatFloat(math.Abs(v), 'f', digits, 64)
	if math.Abs(v) >= 1e6 {
		s = strconv.FormatFloat(math.Abs(v), 'g', 6, 64)
	}
	if v < 0 && s != strconv.FormatFloat(0, 'f', digits, 64) {
		return "−" + s
	}
	return s
}
