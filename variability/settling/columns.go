package settling

import (
	"fmt"
	"math"

	"github.com/plectrace/plectrace/variability/circular"
	"github.com/plectrace/plectrace/variability/estimate"
	"github.com/plectrace/plectrace/variability/robust"
)

// The features of a stroke, in the order of every array of length features.
const (
	angle = iota
	duration
	length
	features
)

var featureName = [features]string{"angle", "duration", "length"}

// minStrokes is the least number of strokes that say anything.
const minStrokes = 8

// columns is a take ready for analysis: per stroke the features in units of
// their tolerances (duration and length in logarithms, so that a tolerance is
// a fraction), NaN where not had, less the direction effect of the take.
type columns struct {
	x          [][features]float64
	noise      [features]float64 // median noise, in tolerances
	up         []bool
	start, end []float64
	parts      []run   // from break to break
	rate       float64 // strokes per second
	used       [features]bool
	notes      []string

	axis          circular.Angle    // that angles are counted from
	half          [features]float64 // half of how much downstrokes exceed upstrokes, taken off x
	centre, scale [features]float64 // median and robust scale over all strokes; NaN if none has the feature; see summarise
}

// run is the half-open range of strokes [lo, hi).
type run struct{ lo, hi int }

func (r run) len() int { return r.hi - r.lo }

func (c *columns) seconds(r run) float64 { return c.end[r.hi-1] - c.start[r.lo] }

// partOf returns the part that holds stroke i.
func (c *columns) partOf(i int) run {
	lo, hi := 0, len(c.parts)
	for hi-lo > 1 {
		if m := (lo + hi) / 2; c.parts[m].lo <= i {
			lo = m
		} else {
			hi = m
		}
	}
	return c.parts[lo]
}

func newColumns(ss []Stroke, t Tolerances) (*columns, *estimate.Absence) {
	if why := unusable(ss, t); why != nil {
		return nil, why
	}
	n := len(ss)
	c := &columns{
		x: make([][features]float64, n), up: make([]bool, n),
		start: make([]float64, n), end: make([]float64, n),
	}
	angles := make([]circular.Angle, n)
	for i := range ss {
		angles[i] = ss[i].Angle
	}
	c.axis = circular.Axial(angles, circular.Options{Level: -1}).Mean.Value
	buf := make([]float64, n)
	for i := range ss {
		s := &ss[i]
		c.x[i] = [features]float64{
			sane(float64((s.Angle - c.axis).Axial() / t.Angle)),
			sane(math.Log(s.Duration) / t.Duration),
			sane(math.Log(s.Length) / t.Length),
		}
		c.up[i], c.start[i], c.end[i] = !s.Down, s.Start, s.End
		buf[i] = s.End - s.Start
		if i == 0 || s.Break {
			c.parts = append(c.parts, run{i, i})
		}
		c.parts[len(c.parts)-1].hi = i + 1
	}
	c.rate = 1 / robust.MedianInPlace(buf)
	if why := c.choose(ss, t, buf); why != nil {
		return nil, why
	}
	c.half = c.directions(buf, run{0, n}, 0)
	for i := range c.x {
		for f := range c.half {
			c.x[i][f] -= c.signed(i, c.half[f])
		}
	}
	return c, nil
}

// summarise sets centre and scale, which only Find needs.
func (c *columns) summarise() {
	buf := make([]float64, len(c.x))
	for f := range c.centre {
		buf = c.feature(buf, f, nil, false)
		c.centre[f] = robust.MedianInPlace(buf)
		c.scale[f] = robust.ScaleInPlace(buf)
	}
}

// sane returns v, or NaN if it is infinite or so large that its square and
// sums of that are no use.
func sane(v float64) float64 {
	if math.Abs(v) < 1e9 {
		return v
	}
	return math.NaN()
}

func unusable(ss []Stroke, t Tolerances) *estimate.Absence {
	const what = "settled spans"
	if !(t.Angle > 0 || t.Angle < 0) || !(t.Duration > 0) || !(t.Length > 0) || math.IsNaN(t.MinSpan) {
		return &estimate.Absence{Code: "tolerances", What: what,
			Why: "the tolerances of duration and length must be positive numbers, and no tolerance NaN"}
	}
	if len(ss) < minStrokes {
		return &estimate.Absence{Code: "too-few-strokes", What: what,
			Why: fmt.Sprintf("%d strokes are too few to tell settled from searching; %d are needed", len(ss), minStrokes)}
	}
	for i, s := range ss {
		if !(s.End > s.Start) || math.IsInf(s.End-s.Start, 0) || i > 0 && !(s.Start >= ss[i-1].Start) {
			return &estimate.Absence{Code: "times", What: what,
				Why: fmt.Sprintf("stroke %d does not start after the one before and end after its start", i)}
		}
	}
	return nil
}

// choose settles which features take part and measures their noise.
func (c *columns) choose(ss []Stroke, t Tolerances, buf []float64) *estimate.Absence {
	noise := [features]func(s *Stroke) float64{
		func(s *Stroke) float64 { return math.Abs(float64(s.AngleNoise / t.Angle)) },
		func(s *Stroke) float64 { return s.DurationNoise / s.Duration / t.Duration },
		func(s *Stroke) float64 { return s.LengthNoise / s.Length / t.Length },
	}
	unit := [features]func(v float64) string{
		func(v float64) string { return fmt.Sprintf("%.2g degrees", v*t.Angle.Degrees()) },
		func(v float64) string { return fmt.Sprintf("%.2g %%", 100*v*t.Duration) },
		func(v float64) string { return fmt.Sprintf("%.2g %%", 100*v*t.Length) },
	}
	for f := range noise {
		had := 0
		buf = buf[:0]
		for i := range ss {
			if v := c.x[i][f]; v != v {
				continue
			}
			had++
			if v := noise[f](&ss[i]); v == v {
				buf = append(buf, v)
			}
		}
		c.used[f] = 2*had >= len(ss) && !(f == angle && t.Angle < 0)
		switch {
		case !c.used[f] && f != angle:
			return &estimate.Absence{Code: "no-" + featureName[f], What: "settled spans",
				Why: fmt.Sprintf("only %d of %d strokes have a %s", had, len(ss), featureName[f])}
		case !c.used[f] && t.Angle > 0:
			c.notes = append(c.notes, fmt.Sprintf(
				"the angle takes no part: only %d of %d strokes have one", had, len(ss)))
		}
		if !c.used[f] {
			for i := range c.x {
				c.x[i][f] = math.NaN()
			}
			continue
		}
		if len(buf) == 0 {
			c.notes = append(c.notes, fmt.Sprintf("the noise of the %s is not known and taken as none", featureName[f]))
			continue
		}
		c.noise[f] = robust.MedianInPlace(buf)
		if c.noise[f] > 0.5 {
			return &estimate.Absence{Code: "noise", What: "settled spans",
				Why: fmt.Sprintf("the noise of the %s, %s, is more than half its tolerance of %s",
					featureName[f], unit[f](c.noise[f]), unit[f](1))}
		}
	}
	return nil
}

// signed returns v for a downstroke and -v for an upstroke.
func (c *columns) signed(i int, v float64) float64 {
	if c.up[i] {
		return -v
	}
	return v
}

// directions returns half of how much downstrokes exceed upstrokes in r: the
// median contrast of a stroke with the mean of its two neighbours, shrunk as
// if k more contrasts were zero.
func (c *columns) directions(buf []float64, r run, k float64) (half [features]float64) {
	for f := range half {
		buf = buf[:0]
		for i := r.lo + 1; i+1 < r.hi; i++ {
			if c.up[i-1] != c.up[i+1] || c.up[i] == c.up[i-1] {
				continue
			}
			if v := c.x[i][f] - (c.x[i-1][f]+c.x[i+1][f])/2; v == v {
				buf = append(buf, c.signed(i, v))
			}
		}
		if n := float64(len(buf)); n > 2 {
			half[f] = robust.MedianInPlace(buf) / 2 * n / (n + k)
		}
	}
	return half
}

// feature collects in buf the values of feature f that are had, of the
// strokes with the given label (of all when labels is nil).
func (c *columns) feature(buf []float64, f int, labels []bool, label bool) []float64 {
	buf = buf[:0]
	for i := range c.x {
		if v := c.x[i][f]; v == v && (labels == nil || labels[i] == label) {
			buf = append(buf, v)
		}
	}
	return buf
}
