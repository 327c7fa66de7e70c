package trajectory

import (
	"encoding/json"
	"math"
	"math/rand/v2"
	"os"
	"testing"

	"github.com/plectrace/plectrace/variability/circular"
)

func TestPrincipalAxisReference(t *testing.T) {
	// numpy and scipy: testdata/reference/trajectory.py.
	var reference struct {
		Axes []struct {
			Name      string
			X, Y      []float64
			Slope     float64
			Lambda1   float64
			Lambda2   float64
			SlopeLow  float64 `json:"slope_low"`
			SlopeHigh float64 `json:"slope_high"`
		}
	}
	text, err := os.ReadFile("../testdata/reference/trajectory.json")
	if err != nil {
		t.Fatal(err)
	}
	if err := json.Unmarshal(text, &reference); err != nil {
		t.Fatal(err)
	}
	if len(reference.Axes) != 3 {
		t.Fatalf("%d data sets", len(reference.Axes))
	}
	for _, c := range reference.Axes {
		a := PrincipalAxis(c.X, c.Y)
		slope := func(a circular.Angle) float64 { return math.Tan(float64(a)) }
		within(t, c.Name+": slope", slope(a.Angle.Value), c.Slope, 1e-9*math.Abs(c.Slope))
		within(t, c.Name+": low", slope(a.Angle.Low), c.SlopeLow, 1e-8*math.Abs(c.SlopeLow))
		within(t, c.Name+": high", slope(a.Angle.High), c.SlopeHigh, 1e-8*math.Abs(c.SlopeHigh))
		within(t, c.Name+": first variance", a.Lambda1, c.Lambda1, 1e-9*c.Lambda1)
		within(t, c.Name+": second variance", a.Lambda2, c.Lambda2, 1e-9*c.Lambda1)
		if a.N != len(c.X) || a.Angle.N != a.N || a.Angle.Level != 0.95 {
			t.Errorf("%s: %+v", c.Name, a)
		}
	}
}

func TestPrincipalAxisPublished(t *testing.T) {
	// K. Pearson (1901), Phil. Mag. (6) 2, 559-572: the line of best fit is
	// y = 5.7857 - 0.546 x, through the means.
	x := []float64{0, .9, 1.8, 2.6, 3.3, 4.4, 5.2, 6.1, 6.5, 7.4}
	y := []float64{5.9, 5.4, 4.4, 4.6, 3.5, 3.7, 2.8, 2.8, 2.4, 1.5}
	a := PrincipalAxis(x, y)
	within(t, "slope", math.Tan(float64(a.Angle.Value)), -0.546, 0.0005)
	within(t, "mean of x", a.Centre[0], 3.82, 1e-12)
	within(t, "mean of y", a.Centre[1], 3.70, 1e-12)
}

func TestPrincipalAxisCases(t *testing.T) {
	nan := math.NaN()
	for _, c := range []struct {
		name       string
		x, y       []float64
		degrees    float64
		n          int
		absentCode string
	}{
		{"empty", nil, nil, 0, 0, "too_few_points"},
		{"one", []float64{1}, []float64{2}, 0, 1, "too_few_points"},
		{"two", []float64{1, 2}, []float64{2, 3}, 0, 2, "too_few_points"},
		{"all missing but two", []float64{1, nan, 2, 3}, []float64{2, 5, 3, nan}, 0, 2, "too_few_points"},
		{"coincident", []float64{0.1, 0.1, 0.1, 0.1}, []float64{0.7, 0.7, 0.7, 0.7}, 0, 4, "no_spread"},
		{"square", []float64{0, 0, 1, 1}, []float64{0, 1, 0, 1}, 0, 4, "round"},
		{"nearly round", []float64{0, 0, 1, 1.01}, []float64{0, 1, 0, 1}, 0, 4, "round"},
		{"along x", []float64{0, 1, 2}, []float64{5, 5, 5}, 0, 3, ""},
		{"along y", []float64{5, 5, 5}, []float64{0, 1, 2}, 90, 3, ""},
		{"rising", []float64{0, 1, 2}, []float64{0, 1, 2}, 45, 3, ""},
		{"falling, a gap", []float64{0, 1, nan, 2}, []float64{2, 1, 7, 0}, -45, 3, ""},
	} {
		a := PrincipalAxis(c.x, c.y)
		if a.N != c.n {
			t.Errorf("%s: n = %d, want %d", c.name, a.N, c.n)
		}
		if c.absentCode != "" {
			if a.Angle.Absent == nil || a.Angle.Absent.Code != c.absentCode {
				t.Errorf("%s: %+v, want it absent: %s", c.name, a.Angle, c.absentCode)
			}
			continue
		}
		if !a.Angle.Known() {
			t.Errorf("%s: absent: %v", c.name, a.Angle.Absent)
			continue
		}
		within(t, c.name, a.Angle.Value.Degrees(), c.degrees, 1e-9)
		within(t, c.name+": second variance", a.Lambda2, 0, 1e-12)
	}
}

// TestPrincipalAxisCovers draws clouds about a known axis: the interval holds
// it as often as its level says.
func TestPrincipalAxisCovers(t *testing.T) {
	rng := rand.New(rand.NewPCG(7, 7))
	const trials = 4000
	truth := 80 * circular.Degree // so that intervals reach beyond 90
	covered := 0
	for range trials {
		x, y := make([]float64, 12), make([]float64, 12)
		for i := range x {
			u, v := 3*rng.NormFloat64(), rng.NormFloat64()
			s, c := math.Sincos(float64(truth))
			x[i], y[i] = c*u-s*v, s*u+c*v
		}
		a := PrincipalAxis(x, y).Angle
		if !a.Known() {
			continue
		}
		off := (truth - a.Value).Axial()
		if off >= a.Low-a.Value && off <= a.High-a.Value {
			covered++
		}
	}
	// 0.95 with a binomial standard error of 0.0034; four of them.
	within(t, "coverage", float64(covered)/trials, 0.95, 0.014)
}

func TestPrincipalAxis3(t *testing.T) {
	rng := rand.New(rand.NewPCG(3, 1))
	direction := [3]float64{6. / 7, -3. / 7, 2. / 7}
	side := [3]float64{1 / math.Sqrt(5), 2 / math.Sqrt(5), 0}
	n := 4000
	x, y, z := make([]float64, n), make([]float64, n), make([]float64, n)
	for i := range n {
		p := plus(scaled(direction, 5*rng.NormFloat64()), side, rng.NormFloat64())
		x[i], y[i], z[i] = 10+p[0], 20+p[1], 30+p[2]
	}
	x[5], z[9] = math.NaN(), math.NaN()
	a := PrincipalAxis3(x, y, z)
	if a.Absent != nil || a.N != n-2 {
		t.Fatalf("%+v", a)
	}
	within(t, "cosine", dot(a.Direction, direction), 1, 1e-4)
	within(t, "first variance", a.Lambda[0], 25, 2)
	within(t, "second variance", a.Lambda[1], 1, 0.1)
	within(t, "third variance", a.Lambda[2], 0, 1e-9)

	// In a plane it agrees with the closed form.
	zero := make([]float64, n)
	x[5] = 10
	flat, planar := PrincipalAxis3(x, y, zero), PrincipalAxis(x, y)
	within(t, "angle in a plane", math.Atan(flat.Direction[1]/flat.Direction[0]), float64(planar.Angle.Value), 1e-12)
	within(t, "variance in a plane", flat.Lambda[0], planar.Lambda1, 1e-9)

	if a := PrincipalAxis3(x[:2], y[:2], z[:2]); a.Absent == nil || a.Absent.Code != "too_few_points" {
		t.Errorf("two points: %+v", a)
	}
	same := []float64{0.3, 0.3, 0.3}
	if a := PrincipalAxis3(same, same, same); a.Absent == nil || a.Absent.Code != "no_spread" {
		t.Errorf("coincident points: %+v", a)
	}
	if a := PrincipalAxis3([]float64{1, -1, 0, 0}, []float64{0, 0, 1, -1}, []float64{0, 0, 0, 0}); a.Absent == nil || a.Absent.Code != "round" {
		t.Errorf("a square: %+v", a)
	}
}
