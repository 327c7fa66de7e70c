package contact

import (
	"encoding/json"
	"math"
	"os"
	"testing"

	"gonum.org/v1/gonum/floats/scalar"
)

// reference is testdata/reference/contact.json, made by contact.py there.
type reference struct {
	Crown []struct {
		Radius  float64
		Number  int
		Spacing float64
		Heights []float64
	}
	Share []struct {
		K, N      int
		Low, High float64
	}
}

func load(t *testing.T) (r reference) {
	t.Helper()
	text, err := os.ReadFile("../../testdata/reference/contact.json")
	if err != nil {
		t.Fatal(err)
	}
	if err := json.Unmarshal(text, &r); err != nil {
		t.Fatal(err)
	}
	return r
}

func TestHeightReference(t *testing.T) {
	for _, c := range load(t).Crown {
		s := Strings{Number: c.Number, SpacingMM: c.Spacing, CrownRadiusMM: c.Radius}
		for i, want := range c.Heights {
			// A difference of roots near R loses about three digits.
			if low, high := s.Height(i + 1); low != high || !scalar.EqualWithinAbs(low, want, 1e-12) {
				t.Errorf("radius %v, string %d of %d: %v to %v, want %v", c.Radius, i+1, c.Number, low, high, want)
			}
		}
	}
}

// TestShareReference holds the interval against the exact one for a series whose
// neighbours do not resemble each other, so that every observation counts.
func TestShareReference(t *testing.T) {
	for _, c := range load(t).Share {
		x := make([]float64, c.N)
		for i := range x { // spread out evenly
			x[i] = float64((2*(i+1)*c.K+c.N)/(2*c.N) - (2*i*c.K+c.N)/(2*c.N))
		}
		v := share(x)
		if !scalar.EqualWithinAbs(v.Low, c.Low, 1e-9) || !scalar.EqualWithinAbs(v.High, c.High, 1e-9) || v.N != c.N || v.Value != float64(c.K)/float64(c.N) {
			t.Errorf("%d of %d: %+v, want %v to %v", c.K, c.N, v, c.Low, c.High)
		}
	}
	// Ten in a row say less than ten here and there.
	x := make([]float64, 160)
	for i := 40; i < 50; i++ {
		x[i] = 1
	}
	y := make([]float64, 160)
	for i := range 10 {
		y[16*i] = 1
	}
	if a, b := share(x), share(y); !(a.High-a.Low > 1.3*(b.High-b.Low)) {
		t.Errorf("a run of ten: %+v, scattered ones: %+v", a, b)
	}
}

// TestBelow holds the probability against sums over the string's range.
func TestBelow(t *testing.T) {
	for _, c := range []struct{ out, sd, low, high float64 }{
		{0, 0.1, 0, 0}, {0.05, 0.1, 0, 0}, {-0.3, 0.1, -0.1, 0.4}, {0.2, 0.05, 0, 1.5}, {2, 0.2, 0, 1.5}, {0.1, 0, 0, 1}, {-1, 0, 0, 0},
	} {
		want, n := 0.0, 4000
		for i := range n {
			h := c.low + (c.high-c.low)*(float64(i)+0.5)/float64(n)
			want += 0.5 * math.Erfc(-(h-c.out)/(math.Max(c.sd, 1e-9)*math.Sqrt2)) / float64(n)
		}
		if got := below(c.out, c.sd, c.low, c.high); !scalar.EqualWithinAbs(got, want, 1e-3) {
			t.Errorf("%+v: %v, want %v", c, got, want)
		}
	}
}

// TestFitArcExact holds that a parabola is found whatever the weights, and that
// the variances are those of the weights.
func TestFitArcExact(t *testing.T) {
	s := samples{}
	for i := range 15 {
		y := -3 + 0.45*float64(i) + 0.05*float64(i%3)
		s.t, s.across, s.out = append(s.t, float64(i)), append(s.across, y), append(s.out, 0.7-0.3*y+0.04*y*y)
	}
	none := prior{0, math.Inf(1)}
	a, ok := s.fitArc(0, 15, 0.5, 6, 0.1, none)
	if !ok || !scalar.EqualWithinAbs(a.level, 0.7-0.15+0.01, 1e-12) || !scalar.EqualWithinAbs(a.slope, -0.3+0.04, 1e-12) || !scalar.EqualWithinAbs(a.bend, 0.04, 1e-12) {
		t.Errorf("%+v", a)
	}
	// The level is linear in the samples: its variance is the sum of the
	// squares of what one unit in each does.
	sum := 0.0
	for i := range s.out {
		s.out[i]++
		b, _ := s.fitArc(0, 15, 0.5, 6, 0.1, none)
		sum += square(b.level - a.level)
		s.out[i]--
	}
	if !scalar.EqualWithinRel(sum, a.levelVar, 1e-9) {
		t.Errorf("variance %v, want %v", a.levelVar, sum)
	}
	// A sure prior counts as much as the samples lack.
	b, ok := s.fitArc(7, 10, 0.5, 6, 0.1, prior{0.04, 1e-6})
	if !ok || !scalar.EqualWithinAbs(b.bend, 0.04, 1e-6) || !scalar.EqualWithinAbs(b.level, 0.56, 1e-6) {
		t.Errorf("with a prior: %+v", b)
	}
	if _, ok := s.fitArc(7, 9, 0.5, 6, 0.1, none); ok {
		t.Error("two samples make a parabola")
	}
}

func TestMomentExact(t *testing.T) {
	times := []float64{0, 0.1, 0.25, 0.3, 0.42, 0.5, 0.61}
	x := make([]float64, len(times))
	f := func(t float64) float64 { return 2 - t + 3*t*t - 5*t*t*t }
	for i, t := range times {
		x[i] = f(t)
	}
	k, ok := newMoment(times, 0.3, 0.6)
	k.fit(times, x)
	if !ok || !scalar.EqualWithinAbs(k.value(0.37), f(0.37), 1e-12) || !scalar.EqualWithinAbs(k.rate(0.37), -1+6*0.37-15*0.37*0.37, 1e-11) {
		t.Errorf("%v, %v", k.value(0.37), k.rate(0.37))
	}
	sum := 0.0
	for i := range x {
		v := k.value(0.37)
		x[i]++
		k.fit(times, x)
		sum += square(k.value(0.37) - v)
		x[i]--
		k.fit(times, x)
	}
	if !scalar.EqualWithinRel(sum, k.valueVar(0.37), 1e-9) {
		t.Errorf("variance %v, want %v", k.valueVar(0.37), sum)
	}
	for n := range 2 {
		if _, ok := newMoment(times[:n], 0.3, 0.6); ok {
			t.Errorf("%d samples make a moment", n)
		}
	}
}
