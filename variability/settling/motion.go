package settling

import (
	"fmt"
	"math"

	"gonum.org/v1/gonum/stat/distuv"

	"github.com/plectrace/plectrace/variability/circular"
	"github.com/plectrace/plectrace/variability/estimate"
	"github.com/plectrace/plectrace/variability/robust"
)

// Centre is the centre of the strokes of one direction in the units of
// [Stroke], with standard errors. A centre that is NaN, or a duration or length
// not above zero, is not known; nor is anything told from one whose error is
// NaN.
type Centre struct {
	Angle            circular.Angle
	Duration, Length float64

	AngleError                 circular.Angle
	DurationError, LengthError float64
}

// Motion is what a settled span keeps to: the centre of its downstrokes and of
// its upstrokes. That of one take can be the reference of another, if the axes
// that angles are counted from are the same.
type Motion struct{ Down, Up Centre }

// Verdict says whether two motions are one.
type Verdict int

// The verdicts. The zero value: not compared.
const (
	SameMotion    Verdict = iota + 1 // all centres are within the margin
	AnotherMotion                    // a centre is further away than the margin
	MotionUnsure                     // the data do not say
)

var verdictText = [...]string{"", "same", "another", "cannot say"}

// String returns "same", "another", "cannot say" or "" for not compared.
func (v Verdict) String() string { return nameOf(int(v), verdictText[:], "Verdict") }

// MarshalText implements encoding.TextMarshaler.
func (v Verdict) MarshalText() ([]byte, error) { return []byte(v.String()), nil }

// UnmarshalText implements encoding.TextUnmarshaler.
func (v *Verdict) UnmarshalText(b []byte) (err error) {
	*v, err = valueOf[Verdict](string(b), verdictText[:], "verdict")
	return err
}

func nameOf(v int, text []string, kind string) string {
	if v < 0 || v >= len(text) {
		return fmt.Sprintf("%s(%d)", kind, v)
	}
	return text[v]
}

func valueOf[T ~int](name string, text []string, kind string) (T, error) {
	for i, s := range text {
		if s == name {
			return T(i), nil
		}
	}
	return 0, fmt.Errorf("settling: unknown %s %q", kind, name)
}

// Likeness is how far one motion is from another.
type Likeness struct {
	// Distance is the largest difference between their centres over the
	// directions and measurements that both have, in tolerances. Its interval
	// bears autocorrelation and the choice of the largest. N is the number of
	// strokes of the shorter side.
	Distance estimate.Value[float64]
	// Of is the measurement that differs most: "angle", "duration" or
	// "length", Down its direction.
	Of   string
	Down bool
	// Verdict holds the interval against the margin.
	Verdict Verdict
}

// point is an estimated centre in tolerances: mean, variance of that and its
// degrees of freedom; n is 0 if there is none.
type point struct {
	mean, variance, df float64
	n                  int
}

// place is the centre of a motion, by direction (up is 1) and feature. It
// contains the direction effect of the take, columns.half.
type place [2][features]point

// clip is how many robust standard deviations from the median a stroke of a
// settled span counts at most, so that a change of string does not move its
// centre.
const clip = 3.0

// minCentre is the number of strokes of one direction below which their centre
// has no error.
const minCentre = 3

// placeOf returns the centre of the strokes of r; buf is scratch.
func (c *columns) placeOf(r run, buf []float64) (pl place) {
	for d := range pl {
		for f := range features {
			buf = buf[:0]
			for i := r.lo; i < r.hi; i++ {
				if v := c.x[i][f]; v == v && c.up[i] == (d == 1) {
					buf = append(buf, v)
				}
			}
			n := len(buf)
			if n == 0 {
				continue
			}
			work := append(buf[n:n:cap(buf)], buf...)
			mid := robust.MedianInPlace(work)
			lim := clip * max(leastSD, robust.ScaleInPlace(work))
			sum := 0.0
			for j, v := range buf {
				buf[j] = max(mid-lim, min(mid+lim, v))
				sum += buf[j]
			}
			p := point{mean: sum/float64(n) + (1-2*float64(d))*c.half[f], n: n, variance: math.NaN()}
			if n >= minCentre {
				v, df := estimate.LongRun(buf)
				p.variance, p.df = max(v, leastSD*leastSD)/float64(n), float64(df)
			}
			pl[d][f] = p
		}
	}
	return pl
}

// motion returns pl in the units of the strokes.
func (c *columns) motion(pl place, t Tolerances) Motion {
	centre := func(p [features]point) Centre {
		value := func(f int) (v, se float64) {
			if p[f].n == 0 {
				return math.NaN(), math.NaN()
			}
			return p[f].mean, math.Sqrt(p[f].variance)
		}
		a, ae := value(angle)
		d, de := value(duration)
		l, le := value(length)
		o := Centre{
			Angle: (c.axis + t.Angle*circular.Angle(a)).Axial(), AngleError: t.Angle * circular.Angle(ae),
			Duration: math.Exp(d * t.Duration), Length: math.Exp(l * t.Length),
		}
		o.DurationError, o.LengthError = o.Duration*t.Duration*de, o.Length*t.Length*le
		return o
	}
	return Motion{Down: centre(pl[0]), Up: centre(pl[1])}
}

// place returns m in tolerances, without the measurements that take no part.
func (c *columns) place(m *Motion, t Tolerances) (pl place) {
	for d, o := range [2]*Centre{&m.Down, &m.Up} {
		mean := [features]float64{
			float64((o.Angle - c.axis).Axial() / t.Angle),
			math.Log(o.Duration) / t.Duration,
			math.Log(o.Length) / t.Length,
		}
		se := [features]float64{
			float64(o.AngleError / t.Angle),
			o.DurationError / o.Duration / t.Duration,
			o.LengthError / o.Length / t.Length,
		}
		for f := range mean {
			if c.used[f] && sane(mean[f]) == mean[f] {
				pl[d][f] = point{mean[f], se[f] * se[f], math.Inf(1), math.MaxInt}
			}
		}
	}
	return pl
}

// likeness compares two motions. The lower bound is the largest of those of
// all differences, at a level divided among them (Bonferroni); the upper bound
// the largest of the upper ones, which needs no division, as one of them is
// that of the largest difference.
func (c *columns) likeness(a, b *place, t Tolerances, margin float64) (l Likeness) {
	top, ds, k := c.farthest(a, b, t)
	if k == 0 {
		l.Distance = estimate.Missing[float64]("nothing-in-common", "distance between two motions",
			"the two have no measurement in common")
		return l
	}
	n := math.MaxInt
	for _, x := range ds[:k] {
		n = min(n, a[x.d][x.f].n, b[x.d][x.f].n)
		if x.size == top {
			l.Of, l.Down = featureName[x.f], x.d == 0
		}
	}
	low, high := 0.0, 0.0
	each := distuv.UnitNormal.Quantile(1 - 0.025/float64(k))
	for _, x := range ds[:k] {
		p, q := a[x.d][x.f], b[x.d][x.f]
		v := p.variance + q.variance
		df := v * v / (p.variance*p.variance/p.df + q.variance*q.variance/q.df) // Welch & Satterthwaite
		if !(df > 0) {                                                          // an error that is not known
			low, high = math.NaN(), math.NaN()
			break
		}
		low = max(low, x.size-student(each, df)*math.Sqrt(v))
		high = max(high, x.size+student(z975, df)*math.Sqrt(v))
	}
	l.Distance = estimate.Value[float64]{Value: top, Low: low, High: high, Level: 0.95, N: n}
	if low != low {
		l.Distance.Level = 0
	}
	switch {
	case high < margin:
		l.Verdict = SameMotion
	case low > margin:
		l.Verdict = AnotherMotion
	default:
		l.Verdict = MotionUnsure
	}
	return l
}

// difference is that of two centres, in tolerances, of a direction and feature.
type difference struct {
	size float64
	d, f int
}

// farthest returns the differences that two motions have in common, k of them,
// and the largest; -1 if there is none.
func (c *columns) farthest(a, b *place, t Tolerances) (top float64, ds [2 * features]difference, k int) {
	top = -1
	for d := range a {
		for f := range features {
			p, q := a[d][f], b[d][f]
			if p.n == 0 || q.n == 0 {
				continue
			}
			delta := p.mean - q.mean
			if f == angle {
				delta = float64((t.Angle * circular.Angle(delta)).Axial() / t.Angle)
			}
			ds[k] = difference{math.Abs(delta), d, f}
			top = max(top, ds[k].size)
			k++
		}
	}
	return top, ds, k
}
