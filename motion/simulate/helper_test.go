package simulate

import (
	"math"
	"testing"

	"github.com/plectrace/plectrace/trajectory"
	"gonum.org/v1/gonum/spatial/r3"
	"gonum.org/v1/gonum/stat"
)

// quiet returns o without scatter of any kind, noise or rounding.
func quiet(o Options) Options {
	o.Jitter, o.AngleScatter, o.SkewScatter, o.LengthScatter = -1, -1, -1, -1
	return exact(o)
}

// exact returns o without noise or rounding.
func exact(o Options) Options {
	o.Noise, o.Decimals, o.TimeDecimals = -1, -1, -1
	return o
}

func mustMake(t testing.TB, o Options) *Take {
	t.Helper()
	k, err := Make(o)
	if err != nil {
		t.Fatal(err)
	}
	return k
}

func near(t *testing.T, what string, got, want, tolerance float64) {
	t.Helper()
	if !(math.Abs(got-want) <= tolerance) {
		t.Errorf("%s: got %.6g, want %.6g within %.2g", what, got, want, tolerance)
	}
}

// values returns f of the strokes that keep holds for.
func values(s []Stroke, keep func(Stroke) bool, f func(Stroke) float64) []float64 {
	var v []float64
	for _, k := range s {
		if keep == nil || keep(k) {
			v = append(v, f(k))
		}
	}
	return v
}

func duration(s Stroke) float64     { return s.End - s.Start }
func lengthOf(s Stroke) float64     { return s.Length }
func angleDegrees(s Stroke) float64 { return s.PathAngle.Degrees() }
func skewDegrees(s Stroke) float64  { return s.Skew.Degrees() }

// lag1 is the correlation of neighbours.
func lag1(v []float64) float64 { return stat.Correlation(v[:len(v)-1], v[1:], nil) }

// motion returns the tip of o as a function of time, and the truth.
func motion(t *testing.T, o Options) (func(float64) r3.Vec, Truth) {
	t.Helper()
	o = o.withDefaults().resolved()
	b, err := newBuilder(o)
	if err != nil {
		t.Fatal(err)
	}
	knots := b.build()
	p := tip{legs: b.legs(knots), g: timing{o.Profile, o.Lead}}
	return func(at float64) r3.Vec { return p.leg(at).at(at, p.g) }, b.truth(knots, p.legs)
}

// point returns the named point's samples as vectors.
func point(t *testing.T, k *Take, name string) []r3.Vec {
	t.Helper()
	p, ok := k.Recording.Point(name)
	if !ok {
		t.Fatalf("no point %q", name)
	}
	v := make([]r3.Vec, p.Len())
	for i := range v {
		v[i] = r3.Vec{X: p.X[i], Y: p.Y[i]}
		if p.Z != nil {
			v[i].Z = p.Z[i]
		}
	}
	return v
}

func missing(p trajectory.Path) (n int) {
	for i := range p.X {
		if math.IsNaN(p.X[i]) {
			n++
		}
	}
	return n
}
