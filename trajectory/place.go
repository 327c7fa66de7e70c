package trajectory

import (
	"fmt"

	"github.com/plectrace/plectrace/variability/robust"
)

// Across returns the direction of across at sample i as a unit vector of the
// source, NaN where the frame is missing. The third component is zero in a
// planar source.
func (f *Frame) Across(i int) [3]float64 { return at(f.across, f.index(i)) }

// Along returns the direction of along at sample i, as Across does; in a view
// that does not show it, it is zero.
func (f *Frame) Along(i int) [3]float64 {
	switch f.View {
	case Front:
		return f.second(f.index(i))
	case Spatial:
		return at(f.along, f.index(i))
	}
	return [3]float64{}
}

// Out returns the direction of out at sample i, as Across does; in a view that
// does not show it, it is zero.
func (f *Frame) Out(i int) [3]float64 {
	if f.View == Front {
		return [3]float64{}
	}
	return f.out(f.index(i))
}

// Origin returns the place of the origin at sample i in the source, NaN where
// the frame is missing.
func (f *Frame) Origin(i int) [3]float64 { return at(f.origin, f.index(i)) }

// index returns where the columns hold sample i.
func (f *Frame) index(i int) int {
	if !f.Follows {
		return 0
	}
	return i
}

// out returns the out axis of a view that has one.
func (f *Frame) out(i int) [3]float64 {
	if f.View != Spatial {
		return f.second(i)
	}
	return scaled(cross(at(f.across, i), at(f.along, i)), f.turn)
}

// second returns the second axis of a planar view.
func (f *Frame) second(i int) [3]float64 {
	return [3]float64{-f.turn * f.across[1][i], f.turn * f.across[0][i]}
}

// at returns sample i of the columns, zero for those that are nil.
func at(c [3][]float64, i int) (v [3]float64) {
	for k := range c {
		if c[k] != nil {
			v[k] = c[k][i]
		}
	}
	return v
}

// Place returns the path in the instrument frame. It fills across and out in
// an end-on or oblique view, across and along in a front view, and all three
// for a source with three axes; the other axes are nil. A sample is missing
// where the path is, and where the frame is.
//
// In an oblique view across is the direction of the marks in the picture and
// out is perpendicular to it in the picture: angles and lengths there compare
// only within one setup.
//
// The columns of dst are reused where they have room. T is shared with p. The
// error is a *DataError: p has other axes than the frame, or other samples than
// the recording whose marks the frame follows.
func (f *Frame) Place(dst Placed, p Path) (Placed, error) {
	n := p.Len()
	if len(p.X) != n || len(p.Y) != n || p.Z != nil && len(p.Z) != n {
		return dst, p.Validate()
	}
	if p.Planar() == (f.View == Spatial) {
		return dst, fault(p.Name, fmt.Sprintf("the path has other axes than the %v frame", f.View), "make the frame from the recording that holds the point")
	}
	if f.Follows && n != len(f.across[0]) {
		return dst, fault(p.Name, fmt.Sprintf("the path has %d samples and the marks of the frame have %d", n, len(f.across[0])),
			"make the frame from the recording that holds the point")
	}
	out := Placed{Name: p.Name, T: p.T, Unit: f.Unit, Across: resize(dst.Across, n)}
	if f.View == Spatial {
		out.Along, out.Out = resize(dst.Along, n), resize(dst.Out, n)
		f.placeSpatial(out, p)
		return out, nil
	}
	second := &out.Out
	if f.View == Front {
		second = &out.Along
		*second = resize(dst.Along, n)
	} else {
		*second = resize(dst.Out, n)
	}
	f.placePlanar(out.Across, *second, p)
	return out, nil
}

func (f *Frame) placePlanar(across, second []float64, p Path) {
	step, scaleStep := f.steps()
	ox, oy, cx, cy := f.origin[0], f.origin[1], f.across[0], f.across[1]
	for i, j, k := 0, 0, 0; i < len(across); i, j, k = i+1, j+step, k+scaleStep {
		x, y, s := p.X[i]-ox[j], p.Y[i]-oy[j], f.scale[k]
		across[i] = s * (x*cx[j] + y*cy[j])
		second[i] = s * f.turn * (y*cx[j] - x*cy[j])
	}
}

func (f *Frame) placeSpatial(dst Placed, p Path) {
	step, scaleStep := f.steps()
	for i, j, k := 0, 0, 0; i < len(dst.Across); i, j, k = i+1, j+step, k+scaleStep {
		d := [3]float64{p.X[i] - f.origin[0][j], p.Y[i] - f.origin[1][j], p.Z[i] - f.origin[2][j]}
		c := [3]float64{f.across[0][j], f.across[1][j], f.across[2][j]}
		a := [3]float64{f.along[0][j], f.along[1][j], f.along[2][j]}
		s := f.scale[k]
		dst.Across[i] = s * dot(d, c)
		dst.Along[i] = s * dot(d, a)
		dst.Out[i] = s * f.turn * dot(d, cross(c, a))
	}
}

// steps returns how far the columns and the scale advance from one sample to
// the next.
func (f *Frame) steps() (columns, scale int) {
	if f.Follows {
		columns = 1
	}
	if len(f.scale) > 1 {
		scale = 1
	}
	return columns, scale
}

// resize returns x with length n, reusing its memory where that suffices. Memory that
// was there and was too small is replaced by a quarter more than needed: lengths that
// vary soon fit. It never returns nil.
func resize[T any](x []T, n int) []T {
	switch {
	case x == nil:
		return make([]T, n)
	case cap(x) < n:
		return make([]T, n, n+n/4)
	}
	return x[:n]
}

// medianSeen returns the median of the values that are not NaN.
func (s *scratch) medianSeen(x []float64) float64 {
	kept := resize(s.walk.t, len(x))[:0] // the walks are over
	for _, v := range x {
		if v == v {
			kept = append(kept, v)
		}
	}
	return robust.MedianInPlace(kept)
}
