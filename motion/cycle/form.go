package cycle

import (
	"fmt"
	"math"

	"gonum.org/v1/gonum/floats"

	"github.com/plectrace/plectrace/motion"
	"github.com/plectrace/plectrace/variability/circular"
	"github.com/plectrace/plectrace/variability/estimate"
)

// form is what a curve shows, number by number.
type form [formSize]float64

const (
	ofLength = iota
	ofAngle
	ofSkew
	ofCurvature
	ofCurvatureDown
	ofCurvatureUp
	ofCurvatureLength
	ofHeightDown
	ofHeightUp
	ofRise
	ofLoop
	ofSpeedDown
	ofSpeedUp
	ofFirst // the phases of the two turns
	ofSecond
	formSize
)

// formSteps is the number of steps along a stroke at which its bulge and its
// speed are looked at.
const formSteps = 48

// form returns what the curve shows when a cycle lasts period. What its axes do
// not show is NaN.
func (c *curve) form(period float64) form {
	var f form
	for i := range f {
		f[i] = math.NaN()
	}
	first, second := c.turns()
	f[ofFirst], f[ofSecond] = first, second
	a, _, _ := c.at(first)
	b, _, _ := c.at(second)
	chord := b.minus(a)
	f[ofLength] = chord.norm()
	has := [3]bool{}
	for _, x := range c.axes {
		has[x] = true
	}
	if has[1] {
		f[ofSkew] = axial(math.Atan2(chord[1], chord[0]))
	}
	side := 1 // the second axis of the plane that loops are looked at in
	if has[2] {
		side = 2
		f[ofAngle] = axial(math.Atan2(chord[2], chord[0]))
		f[ofHeightDown], f[ofHeightUp], f[ofRise] = b[2], a[2], chord[2]
	}
	flat := math.Hypot(chord[0], chord[side])
	// The normal of the chord in that plane, toward positive.
	nx, ny := -chord[side]/flat, chord[0]/flat
	if ny < 0 {
		nx, ny = -nx, -ny
	}
	along := func(v vec) float64 { return v.dot(chord) / f[ofLength] }
	// Counter-clockwise means that the downstroke runs on the negative side
	// when across grows along it.
	f[ofLoop] = -c.area(0, side) / flat
	if chord[0] < 0 {
		f[ofLoop] = -f[ofLoop]
	}
	stroke := func(from, to float64) (curvature, peak float64) {
		var top, bottom float64
		for i := range formSteps + 1 {
			x, dx, _ := c.at(from + (to-from)*float64(i)/formSteps)
			d := x.minus(a)
			w := (d[0]*chord[0] + d[side]*chord[side]) / (flat * flat)
			q := 4 * w * (1 - w)
			top += q * (d[0]*nx + d[side]*ny)
			bottom += q * q
			peak = math.Max(peak, math.Abs(along(dx)))
		}
		return 8 * top / bottom / (flat * flat), peak / period
	}
	var down, up float64
	down, f[ofSpeedDown] = stroke(first, second)
	up, f[ofSpeedUp] = stroke(second, first+1)
	if has[2] {
		f[ofCurvatureDown], f[ofCurvatureUp], f[ofCurvature] = down, up, (down+up)/2
		f[ofCurvatureLength] = f[ofCurvature] * flat
	}
	return f
}

func axial(a float64) float64 { return circular.Angle(a).Axial().Radians() }

// fill writes what the fit found.
func (c *Cycle) fill(f *fitter, turnNoise, sampleNoise float64) {
	n := len(f.laps)
	c.Cycles, c.Harmonics = n, f.normal.order
	c.Start, c.End = f.laps[0].start, f.laps[n-1].end
	c.seen, c.mid = f.seen, f.mid
	for _, l := range f.laps {
		c.Samples += l.hi - l.lo
	}
	c.timing(f)
	c.evenness(f, turnNoise, sampleNoise)

	// What the exposure took is given back.
	scale := make([]float64, 2*f.normal.order)
	for j := range scale {
		scale[j] = 1 / f.blur(j/2+1)
	}
	c.curve = curve{axes: f.axes, share: f.share}
	c.pull = f.pull
	c.centrePull = make([]vec, n)
	for _, a := range f.axes {
		c.curve.coef[a] = f.coef[a]
		floats.Mul(c.curve.coef[a], scale)
		mean := floats.Sum(f.centre[a]) / float64(n)
		c.curve.centre[a] = mean - floats.Dot(f.mid, c.curve.coef[a])
		for i := range n {
			floats.Mul(c.pull[i][a], scale)
			c.centrePull[i][a] = (f.centre[a][i] - mean) / float64(n)
		}
	}
	c.shape()
}

// timing fills in period and rate, and what each lap pulls them and the share
// of the downstroke by.
func (c *Cycle) timing(f *fitter) {
	n := len(f.laps)
	lasts := make([]float64, n)
	for i, l := range f.laps {
		lasts[i] = l.duration()
	}
	c.Period = estimate.Mean(lasts, 0)
	c.periodPull, c.sharePull = make([]float64, n), make([]float64, n)
	for i, l := range f.laps {
		c.periodPull[i] = (lasts[i] - c.Period.Value) / float64(n)
		e := (l.mid - l.start - f.share*l.duration()) / c.Period.Value
		c.sharePull[i] = e / float64(n)
	}
	p := c.Period
	c.Rate = estimate.Value[float64]{Value: 2 / p.Value, Low: 2 / p.High, High: 2 / p.Low, Level: p.Level, N: p.N}
}

// downShare fills in the share of the downstroke: that of its strokes' times,
// with the turns of all of them where those of the mean cycle are. Turns at
// which the acceleration jumps converge slowly as harmonics are added: what is
// left out moves them by about as much as the upper half of those that are
// fitted.
func (c *Cycle) downShare() {
	pulls := make([]float64, len(c.sharePull))
	for i, t := range c.turnPull {
		pulls[i] = c.sharePull[i] + t[1] - t[0]
	}
	h := math.Hypot(halfWidth(pulls), c.turnTail[1]-c.turnTail[0])
	share := c.curve.share
	c.DownShare = estimate.Value[float64]{Value: share, Low: math.Max(0, share-h), High: math.Min(1, share+h), Level: 0.95, N: c.Cycles}
}

// perturbed returns the curve as it would be if lap i counted twice.
func (c *Cycle) perturbed(dst *curve, i int) *curve {
	dst.centre = c.curve.centre
	for _, a := range c.curve.axes {
		floats.AddTo(dst.coef[a], c.curve.coef[a], c.pull[i][a])
		dst.centre[a] += c.centrePull[i][a] - floats.Dot(c.mid, c.pull[i][a])
	}
	return dst
}

// spare returns a curve with room of its own for the coefficients.
func (c *Cycle) spare() *curve {
	d := &curve{axes: c.curve.axes, share: c.curve.share}
	for _, a := range d.axes {
		d.coef[a] = make([]float64, len(c.curve.coef[a]))
	}
	return d
}

// moreTail is by how much the harmonics left out may move a turn, as a multiple
// of what the upper half of those fitted moves it. Where the acceleration jumps
// they move it alike: the sum of 1/h² from H on is that from H/2 to H. The rest
// is for what that is known by.
const moreTail = 1.5

// formPulls returns what each lap pulls the numbers of the form by, to first
// order: the slopes of the form by what it is made of, times what the lap pulls
// that by.
func (c *Cycle) formPulls(whole form) (pulls [formSize][]float64) {
	n := len(c.pull)
	for k := range pulls {
		pulls[k] = make([]float64, n)
	}
	step := 1e-4 * whole[ofLength]
	d := c.spare()
	d.centre = c.curve.centre
	slopes := func(x *float64) (f form) {
		was := *x
		*x = was + step
		f = d.form(c.Period.Value)
		*x = was - step
		g := d.form(c.Period.Value)
		*x = was
		for k := range f {
			f[k] -= g[k]
			if k == ofAngle || k == ofSkew {
				f[k] = axial(f[k])
			}
			f[k] /= 2 * step
		}
		return f
	}
	for _, a := range d.axes {
		copy(d.coef[a], c.curve.coef[a])
	}
	for _, a := range d.axes {
		centre := slopes(&d.centre[a])
		var byCoef [formSize][]float64
		for k := range byCoef {
			byCoef[k] = make([]float64, len(d.coef[a]))
		}
		for j := range d.coef[a] {
			for k, v := range slopes(&d.coef[a][j]) {
				byCoef[k][j] = v - centre[k]*c.mid[j]
			}
		}
		for k := range pulls {
			for i := range n {
				pulls[k][i] += floats.Dot(byCoef[k], c.pull[i][a]) + centre[k]*c.centrePull[i][a]
			}
		}
	}
	// A speed is over the time of the stroke.
	share := c.curve.share
	for i := range n {
		period := c.periodPull[i] / c.Period.Value
		pulls[ofSpeedDown][i] -= whole[ofSpeedDown] * (period + c.sharePull[i]/share)
		pulls[ofSpeedUp][i] -= whole[ofSpeedUp] * (period - c.sharePull[i]/(1-share))
	}
	return pulls
}

// shape fills in what the curve shows, with intervals from what each lap pulls
// it by.
func (c *Cycle) shape() {
	whole := c.curve.form(c.Period.Value)
	first, second := whole[ofFirst], whole[ofSecond]
	n := len(c.pull)
	half := &curve{axes: c.curve.axes, share: c.curve.share}
	for _, a := range half.axes {
		half.coef[a] = c.curve.coef[a][:2*max(c.Harmonics/2, 1)]
	}
	a, b := half.turns()
	c.turnTail = [2]float64{moreTail * (a - first), moreTail * (b - second)}
	pulls := c.formPulls(whole)
	c.turnPull = make([][2]float64, n)
	for i := range n {
		c.turnPull[i] = [2]float64{pulls[ofFirst][i], pulls[ofSecond][i]}
	}
	c.downShare()
	value := func(k int, extra float64) estimate.Value[float64] {
		h := math.Hypot(halfWidth(pulls[k]), 1.959964*extra)
		return estimate.Value[float64]{Value: whole[k], Low: whole[k] - h, High: whole[k] + h, Level: 0.95, N: n}
	}
	turnsSeen := c.seen.at(first) && c.seen.at(second)
	noView := "this view does not show how far out the tip is"
	hidden := "a turn of the stroke is never seen"
	partly := "a part of the cycle is never seen"
	set := func(v *estimate.Value[float64], name string, k int, extra float64, seen bool, why string) {
		switch {
		case whole[k] != whole[k]:
			*v = estimate.Missing[float64]("view", name, noView)
		case !seen:
			*v = estimate.Missing[float64]("hidden", name, why)
		default:
			*v = value(k, extra)
		}
	}
	angle := func(v *estimate.Value[circular.Angle], name string, k int, extra float64, why string) {
		switch {
		case whole[k] != whole[k]:
			*v = estimate.Missing[circular.Angle]("view", name, why)
		case !turnsSeen:
			*v = estimate.Missing[circular.Angle]("hidden", name, hidden)
		default:
			*v = estimate.As[circular.Angle](value(k, extra))
		}
	}
	o := c.motion
	angle(&c.PathAngle, "path angle", ofAngle, o.AxisError.Radians(), noView)
	angle(&c.Skew, "skew", ofSkew, 0, "this view does not show travel along the strings")
	set(&c.Length, "length", ofLength, 0, turnsSeen, hidden)
	set(&c.Curvature, "curvature", ofCurvature, 0, c.seen.all, partly)
	set(&c.CurvatureDown, "curvature of the downstroke", ofCurvatureDown, 0, c.seen.all, partly)
	set(&c.CurvatureUp, "curvature of the upstroke", ofCurvatureUp, 0, c.seen.all, partly)
	set(&c.CurvatureLength, "curvature times length", ofCurvatureLength, 0, c.seen.all, partly)
	set(&c.Rise, "rise of a downstroke", ofRise, o.AxisError.Radians()*whole[ofLength], turnsSeen, hidden)
	set(&c.LoopWidth, "loop width", ofLoop, 0, c.seen.all, partly)
	set(&c.PeakSpeedDown, "peak speed of the downstroke", ofSpeedDown, 0, c.seen.all, partly)
	set(&c.PeakSpeedUp, "peak speed of the upstroke", ofSpeedUp, 0, c.seen.all, partly)
	set(&c.HeightAfterDown, "height after downstrokes", ofHeightDown, o.HeightError, turnsSeen, hidden)
	set(&c.HeightAfterUp, "height after upstrokes", ofHeightUp, o.HeightError, turnsSeen, hidden)
	for _, v := range []*estimate.Value[float64]{&c.HeightAfterDown, &c.HeightAfterUp} {
		v.Value, v.Low, v.High = v.Value-(o.StringLow+o.StringHigh)/2, v.Low-o.StringHigh, v.High-o.StringLow
	}
	if o.Relative && c.HeightAfterDown.Absent == nil {
		c.HeightAfterDown = estimate.Missing[float64]("grade", "height after downstrokes", o.RelativeWhy)
		c.HeightAfterUp = estimate.Missing[float64]("grade", "height after upstrokes", o.RelativeWhy)
	}
	if c.Length.Known() && c.Evenness.Known() {
		e, l := c.Evenness, c.Length.Value
		c.EvennessShare = estimate.Value[float64]{Value: e.Value / l, Low: e.Low / l, High: e.High / l, Level: e.Level, N: e.N}
	} else {
		a := c.Evenness.Absent
		if a == nil {
			a = c.Length.Absent
		}
		c.EvennessShare = estimate.Missing[float64](a.Code, "evenness as a share of the length", a.Why)
	}
	c.clear()
}

// clear judges the clearing from the heights of the two turns: out of the
// strings' way is above the string with the whole interval.
func (c *Cycle) clear() {
	side := func(v estimate.Value[float64], which string) int {
		switch {
		case v.Absent != nil:
			c.ClearingWhy = &estimate.Absence{Code: v.Absent.Code, What: "clearing", Why: v.Absent.Why}
		case v.Low > 0:
			return 1
		case v.High < 0:
			return -1
		default:
			c.ClearingWhy = &estimate.Absence{Code: "undecided", What: "clearing", Why: fmt.Sprintf(
				"the turn after %s lies %.2g %s above the string (%.2g to %.2g), too near to tell the side", which, v.Value, c.Unit, v.Low, v.High)}
		}
		return 0
	}
	switch d, u := side(c.HeightAfterDown, "downstrokes"), side(c.HeightAfterUp, "upstrokes"); {
	case d == 0 || u == 0:
	case d > 0 && u > 0:
		c.Clearing = motion.ClearsBoth
	case d > 0:
		c.Clearing = motion.ClearsAfterDownstrokes
	case u > 0:
		c.Clearing = motion.ClearsAfterUpstrokes
	default:
		c.Clearing = motion.ClearsNeither
	}
}
