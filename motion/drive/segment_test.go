package drive

import (
	"encoding/json"
	"math"
	"math/rand/v2"
	"os"
	"testing"

	"gonum.org/v1/gonum/floats/scalar"
	"gonum.org/v1/gonum/mat"
	"gonum.org/v1/gonum/spatial/r3"
	"gonum.org/v1/gonum/spatial/transform"
)

type pair struct {
	A, B     [][]float64
	Angle    float64   `json:"angle_deg"`
	Axis     []float64 `json:"axis"`
	Rotation [][]float64
	Vector   []float64
}

// halves returns the middle of each point's displacement and half of it.
func (p pair) halves() (at, by []r3.Vec) {
	get := func(x []float64) r3.Vec {
		v := r3.Vec{X: x[0], Y: x[1]}
		if len(x) > 2 {
			v.Z = x[2]
		}
		return v
	}
	for i := range p.A {
		a, b := get(p.A[i]), get(p.B[i])
		at = append(at, r3.Scale(0.5, r3.Add(a, b)))
		by = append(by, r3.Scale(0.5, r3.Sub(b, a)))
	}
	return at, by
}

func reference(t *testing.T) (ref struct {
	Exact, Noisy, Planar pair
	Small                []pair
}) {
	t.Helper()
	data, err := os.ReadFile("../../testdata/reference/drive.json")
	if err != nil {
		t.Fatal(err)
	}
	if err := json.Unmarshal(data, &ref); err != nil {
		t.Fatal(err)
	}
	return ref
}

func near(t *testing.T, what string, got, want r3.Vec, tol float64) {
	t.Helper()
	if d := r3.Norm(r3.Sub(got, want)); !(d <= tol) {
		t.Errorf("%s = %v, want %v (off by %g)", what, got, want, d)
	}
}

// TestRigidReference: spin is tan(θ/2) n for a rotation by θ about n, whatever θ.
// testdata/reference/drive.py, scipy 1.10.1, and closed forms.
func TestRigidReference(t *testing.T) {
	ref := reference(t)

	b, ok := rigid(ref.Exact.halves())
	if !ok || !b.full {
		t.Fatal("exact: no rotation")
	}
	tan := math.Tan(ref.Exact.Angle * math.Pi / 360)
	near(t, "exact spin", b.spin, r3.Scale(tan, vec([3]float64(ref.Exact.Axis))), 1e-12)
	if b.misfit > 1e-24 || b.spare != 9 {
		t.Errorf("exact: misfit %g, %d spare", b.misfit, b.spare)
	}

	for _, p := range ref.Small {
		b, _ := rigid(p.halves())
		v := vec([3]float64(p.Vector))
		theta := r3.Norm(v)
		near(t, "small spin", b.spin, r3.Scale(math.Tan(theta/2)/theta, v), 1e-12)
	}

	b, ok = rigid(ref.Planar.halves())
	if !ok {
		t.Fatal("planar: no rotation")
	}
	near(t, "planar spin", b.spin, r3.Vec{Z: math.Tan(ref.Planar.Angle * math.Pi / 360)}, 1e-12) // 1/3

	// With errors the two least squares differ (here of half-displacements, there
	// of the second set), by less than the errors turn the set: 0.02 of 1.
	b, _ = rigid(ref.Noisy.halves())
	angle := 2 * math.Atan(r3.Norm(b.spin)) * 180 / math.Pi
	if !scalar.EqualWithinAbs(angle, ref.Noisy.Angle, 0.1) {
		t.Errorf("noisy angle = %.4f, want %.4f", angle, ref.Noisy.Angle)
	}
}

// TestRigidAgainstFrames holds spin against the alignment of frames in gonum,
// for sets that are rigid.
func TestRigidAgainstFrames(t *testing.T) {
	rng := rand.New(rand.NewPCG(4, 2))
	for range 20 {
		n := 3 + rng.IntN(5)
		x, y := mat.NewDense(n, 3, nil), mat.NewDense(n, 3, nil)
		var p pair
		axis := r3.Unit(r3.Vec{X: rng.NormFloat64(), Y: rng.NormFloat64(), Z: rng.NormFloat64()})
		turn := r3.NewRotation(0.4*rng.NormFloat64(), axis)
		for i := range n {
			a := r3.Vec{X: 60 * rng.NormFloat64(), Y: 60 * rng.NormFloat64(), Z: 60 * rng.NormFloat64()}
			b := r3.Add(turn.Rotate(a), r3.Vec{X: 3, Y: -7, Z: 2})
			x.SetRow(i, []float64{a.X, a.Y, a.Z})
			y.SetRow(i, []float64{b.X, b.Y, b.Z})
			p.A = append(p.A, x.RawRowView(i))
			p.B = append(p.B, y.RawRowView(i))
		}
		_, rot, _, err := transform.UmeyamaTransform(x, y)
		if err != nil {
			t.Fatal(err)
		}
		got, _ := rigid(p.halves())
		// Of a rotation matrix: R - Rᵀ = 2 sin θ [n], trace = 1 + 2 cos θ.
		v := r3.Vec{X: rot.At(2, 1) - rot.At(1, 2), Y: rot.At(0, 2) - rot.At(2, 0), Z: rot.At(1, 0) - rot.At(0, 1)}
		near(t, "spin", got.spin, r3.Scale(1/(1+mat.Trace(rot)), v), 1e-9)
	}
}

func TestRigidSpecialCases(t *testing.T) {
	at := []r3.Vec{{}, {X: 10}, {X: 20}}
	for _, c := range []struct {
		name     string
		at, by   []r3.Vec
		ok, full bool
		spin     r3.Vec
		spare    int
	}{
		{name: "none"},
		{name: "one point", at: at[:1], by: []r3.Vec{{Y: 1}}},
		{name: "the same place", at: []r3.Vec{{X: 1}, {X: 1}}, by: make([]r3.Vec, 2)},
		{name: "missing", at: []r3.Vec{{X: math.NaN()}, {X: 1}}, by: make([]r3.Vec, 2)},
		{name: "two points turn", at: at[:2], by: []r3.Vec{{}, {Y: 1}}, ok: true, spin: r3.Vec{Z: 0.1}, spare: 1},
		{name: "on a line", at: at, by: []r3.Vec{{Y: -1}, {}, {Y: 1}}, ok: true, spin: r3.Vec{Z: 0.1}, spare: 4},
		{name: "shift", at: at, by: []r3.Vec{{Y: 1}, {Y: 1}, {Y: 1}}, ok: true, spare: 4},
		{name: "about its line", at: append(at, r3.Vec{Y: 5}), by: []r3.Vec{{}, {}, {}, {Z: 1}}, ok: true, full: true, spin: r3.Vec{X: 0.2}, spare: 6},
	} {
		b, ok := rigid(c.at, c.by)
		if ok != c.ok || ok && (b.full != c.full || b.spare != c.spare) {
			t.Errorf("%s: ok %t full %t spare %d", c.name, ok, b.full, b.spare)
		}
		if c.ok {
			near(t, c.name, b.spin, c.spin, 1e-12)
		}
	}
}

// TestHold moves one point of a set: what shows is the quadratic form of hold,
// and their traces add up to the degrees of freedom.
func TestHold(t *testing.T) {
	at := []r3.Vec{{}, {X: 70, Y: 25, Z: 3}, {X: 74, Y: 5, Z: 11}, {X: 72, Y: -15, Z: 4}}
	for _, n := range []int{2, 3, 4} {
		trace := 0.0
		for i := range n {
			by := make([]r3.Vec, n)
			e := r3.Vec{X: 0.3, Y: -1, Z: 0.7}
			by[i] = e
			b, _ := rigid(at[:n], by)
			m := b.hold(at[i])
			v := mat.NewVecDense(3, []float64{e.X, e.Y, e.Z})
			if got := mat.Inner(v, m, v); !scalar.EqualWithinAbs(got, b.misfit, 1e-12) {
				t.Errorf("%d points, %d moved: hold says %g, misfit %g", n, i, got, b.misfit)
			}
			trace += mat.Trace(m)
		}
		b, _ := rigid(at[:n], make([]r3.Vec, n))
		if !scalar.EqualWithinAbs(trace, float64(b.spare), 1e-9) {
			t.Errorf("%d points: traces add up to %g, want %d", n, trace, b.spare)
		}
	}
}
