package trajectory_test

import (
	"errors"
	"fmt"
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"github.com/plectrace/plectrace/trajectory"
	"github.com/plectrace/plectrace/trajectory/filter"
)

// lengths are those of the columns: none, one, two, about each window, long.
var lengths = []int{0, 1, 2, 3, 4, 5, 6, 7, 8, 9, 10, 11, 19, 20, 21, 22, 80, 81, 100, 101, 102, 257, 600}

// each runs f for every kernel and every length that the kernel takes.
func each(t *testing.T, f func(t *testing.T, k kernel, n int)) {
	for _, k := range kernels(t) {
		t.Run(k.name, func(t *testing.T) {
			for _, n := range lengths {
				if k.resamples && n < 2 {
					continue // an error: see TestBehaviourTimes
				}
				if f(t, k, n); t.Failed() {
					t.Fatalf("with %d samples", n)
				}
			}
		})
	}
}

// Inputs stay, results are finite and the same with a dst, new, used or x.
func TestBehaviourDst(t *testing.T) {
	each(t, func(t *testing.T, k kernel, n int) {
		times, x := wander(n, 1)
		kept, keptTimes := slices.Clone(x), slices.Clone(times)
		outTimes, y := k.run(nil, times, x)
		if !slices.Equal(x, kept) || !slices.Equal(times, keptTimes) {
			t.Fatal("the input was changed")
		}
		if y == nil || len(y) != len(outTimes) || !k.resamples && len(y) != n {
			t.Fatalf("%d samples and %d times", len(y), len(outTimes))
		}
		for i, v := range y {
			if math.IsInf(v, 0) || math.IsNaN(v) != (n < k.least) {
				t.Fatalf("sample %d is %v", i, v)
			}
		}
		dst := make([]float64, len(y))
		for i := range dst {
			dst[i] = math.NaN()
		}
		_, again := k.run(dst, times, x)
		if len(y) > 0 && &again[0] != &dst[0] {
			t.Error("dst is not used")
		}
		same(t, "in a dst", again, y, 0, 0)
		if !k.resamples {
			_, again = k.run(kept, times, kept)
			same(t, "in place", again, y, 0, 0)
		}
	})
}

// Constants stay to the last digits, lines where the kernel says so.
func TestBehaviourLines(t *testing.T) {
	each(t, func(t *testing.T, k kernel, n int) {
		if n < k.least {
			return
		}
		times, _ := wander(n, 1)
		const level, slope = -12.34, 0.75
		_, y := k.run(nil, times, of(times, func(float64) float64 { return level }))
		want := level
		if k.order > 0 {
			want = 0
		}
		same(t, "constant", y, of(y, func(float64) float64 { return want }), 0, 1e-14*k.unit()*12)
		if !k.lines {
			return
		}
		outTimes, y := k.run(nil, times, of(times, func(v float64) float64 { return level + slope*v }))
		line := of(outTimes, func(v float64) float64 {
			return []float64{level + slope*v, slope, 0}[k.order]
		})
		same(t, "line", y, line, k.lineEnds, 1e-13*k.unit())
	})
}

// A shift of the origin, a change of the unit, a mirror and another zero of
// time come through.
func TestBehaviourEquivariance(t *testing.T) {
	each(t, func(t *testing.T, k kernel, n int) {
		times, x := wander(n, 2)
		_, y := k.run(nil, times, x)
		for _, c := range []struct{ scale, shift float64 }{{1, 1000}, {25.4, -300}, {-1, 0}, {1e-3, 0.5}} {
			_, got := k.run(nil, times, of(x, func(v float64) float64 { return c.scale*v + c.shift }))
			want := of(y, func(v float64) float64 {
				if v *= c.scale; k.order == 0 {
					v += c.shift
				}
				return v
			})
			same(t, fmt.Sprintf("times %v plus %v", c.scale, c.shift), got, want, 0, 1e-14*k.unit()*(1000+50*math.Abs(c.scale)))
		}
		later := of(times, func(v float64) float64 { return v + 512 })
		_, got := k.run(nil, later, x)
		// A time near 512 s is known to 1e-13 s, an interval to 1e-11 of itself.
		same(t, "later", got, y, 0, 1e-9*k.unit())
	})
}

// What comes out does not depend on where the column was cut, beyond the
// kernel's reach.
func TestBehaviourDelay(t *testing.T) {
	each(t, func(t *testing.T, k kernel, n int) {
		if k.resamples && k.name != "resampling, same rate" || n < 2 {
			return // the new times begin with the first sample
		}
		ends := k.reach
		if ends < 0 {
			ends = 120 // 6 Hz of 100: what is left after 120 samples is under 1e-12
		}
		times, x := wander(n, 3)
		_, y := k.run(nil, times, x)
		if n-1 < k.least {
			return
		}
		_, cut := k.run(nil, times[1:], x[1:])
		same(t, "without the first sample", cut, y[1:], ends, 1e-11*k.unit())
	})
}

// Two columns as the axes of a path: the smoothed path of a camera that is
// turned is the turned smoothed path.
func TestBehaviourRotation(t *testing.T) {
	each(t, func(t *testing.T, k kernel, n int) {
		if !k.linear {
			return
		}
		times, x := wander(n, 4)
		_, z := wander(n, 5)
		_, sx := k.run(nil, times, x)
		_, sz := k.run(nil, times, z)
		for _, degrees := range []float64{7, 45, 90, 200} {
			sin, cos := math.Sincos(degrees * math.Pi / 180)
			turn := func(a, b []float64) (c, d []float64) {
				c, d = make([]float64, len(a)), make([]float64, len(a))
				for i := range a {
					c[i], d[i] = cos*a[i]-sin*b[i], sin*a[i]+cos*b[i]
				}
				return c, d
			}
			tx, tz := turn(x, z)
			_, gotX := k.run(nil, times, tx)
			_, gotZ := k.run(nil, times, tz)
			wantX, wantZ := turn(sx, sz)
			same(t, "x turned", gotX, wantX, 0, 1e-12*k.unit())
			same(t, "y turned", gotZ, wantZ, 0, 1e-12*k.unit())
		}
	})
}

// The outlier filter is the exception: it judges and replaces each axis by
// itself, and the median of a turned axis is not made of the medians of the
// two. Here a jump along a quiet axis is found. A camera that is rolled by 45
// degrees sees it on both axes, less of it on each, amid the bustle of the
// other. Clean measures distances in the plane instead.
func TestRotationChangesOutliers(t *testing.T) {
	x := []float64{0, 1, 0, 1, 0, 9, 0, 1, 0, 1, 0}
	z := []float64{0, 4, 0, 4, 0, 0, 4, 0, 4, 0, 4}
	h := filter.Hampel{HalfWidth: 2}
	_, flat := h.Apply(nil, nil, x)
	turned := make([]float64, len(x))
	for i := range x {
		turned[i] = (x[i] - z[i]) / math.Sqrt2
	}
	_, rolled := h.Apply(nil, nil, turned)
	for i := range x {
		turned[i] = (x[i] + z[i]) / math.Sqrt2
	}
	_, other := h.Apply(nil, nil, turned)
	if flat != 1 || rolled+other != 0 {
		t.Errorf("%d outliers, and %d and %d in the turned picture", flat, rolled, other)
	}
}

func TestRotationKeepsCleaning(t *testing.T) {
	const n = 600
	times, _ := wander(n, 1)
	rng := rand.New(rand.NewPCG(6, 6))
	p := trajectory.Path{Name: "tip", T: times, X: make([]float64, n), Y: make([]float64, n)}
	for i := range n {
		p.X[i] = 500 + 60*math.Sin(float64(i)/4) + 0.3*rng.NormFloat64()
		p.Y[i] = 300 + 20*math.Sin(float64(i)/4+0.4) + 0.3*rng.NormFloat64()
		if rng.IntN(50) == 0 {
			p.X[i] += 60
		}
	}
	_, want, err := trajectory.Clean(trajectory.Path{}, p, trajectory.CleanOptions{})
	if err != nil || len(want) < 5 {
		t.Fatalf("%d edits, error %v", len(want), err)
	}
	for _, degrees := range []float64{7, 45, 90, 200} {
		sin, cos := math.Sincos(degrees * math.Pi / 180)
		q := trajectory.Path{Name: "tip", T: times, X: make([]float64, n), Y: make([]float64, n)}
		for i := range n {
			q.X[i], q.Y[i] = cos*p.X[i]-sin*p.Y[i], sin*p.X[i]+cos*p.Y[i]
		}
		_, got, err := trajectory.Clean(trajectory.Path{}, q, trajectory.CleanOptions{})
		if err != nil || !slices.Equal(got, want) {
			t.Errorf("turned by %v degrees: error %v, %d edits, want %d", degrees, err, len(got), len(want))
		}
	}
}

// Backward in time is the same movement turned about.
func TestBehaviourReversal(t *testing.T) {
	each(t, func(t *testing.T, k kernel, n int) {
		if !k.turns {
			return
		}
		times, x := wander(n, 7)
		_, want := k.run(nil, times, x)
		back := slices.Clone(x)
		slices.Reverse(back)
		_, got := k.run(nil, times, back)
		slices.Reverse(got)
		if k.order%2 == 1 {
			got = of(got, func(v float64) float64 { return -v })
		}
		same(t, "backward", got, want, k.turnEnds, 1e-11*k.unit())
	})
}

// One missing sample, in the middle.
func TestBehaviourGaps(t *testing.T) {
	for _, k := range kernels(t) {
		const n, at = 240, 120
		times, x := wander(n, 8)
		x[at] = math.NaN()
		outTimes, y := k.run(nil, times, x)
		var got []int
		for i, v := range y {
			if math.IsNaN(v) {
				got = append(got, i)
			}
		}
		if want := k.spoilt(n, at); !slices.Equal(got, want) {
			t.Errorf("%s: missing %v, want %v (%d samples)", k.name, got, want, len(outTimes))
		}
	}
	// A gap in a window at an end spoils the half window there, and no more.
	_, x := wander(40, 8)
	x[5] = math.NaN()
	y, err := filter.SavitzkyGolay{}.Apply(nil, x, 0, rate)
	if err != nil {
		t.Fatal(err)
	}
	for i, v := range y {
		if math.IsNaN(v) != (i <= 8) {
			t.Errorf("missing sample 5 makes sample %d %v", i, v)
		}
	}
	// Uniform bridges a gap with the cubics that lead to it.
	p := trajectory.Path{T: make([]float64, 30), X: make([]float64, 30), Y: make([]float64, 30)}
	for i := range p.T {
		u := float64(i) / rate
		p.T[i], p.X[i], p.Y[i] = u, 2*u*u*u-u, 3-u*u
	}
	want := trajectory.Path{X: slices.Clone(p.X), Y: slices.Clone(p.Y)}
	for i := 11; i < 15; i++ {
		p.X[i], p.Y[i] = math.NaN(), math.NaN()
	}
	q, edits, err := trajectory.Uniform(trajectory.Path{}, p, trajectory.UniformOptions{MaxGap: 6 / rate})
	if err != nil || len(edits) != 1 || edits[0].Start != 11 || edits[0].End != 15 {
		t.Fatalf("edits %v, error %v", edits, err)
	}
	same(t, "bridged x", q.X, want.X, 0, 1e-12)
	same(t, "bridged y", q.Y, want.Y, 0, 1e-12)
}

// Times that repeat or run backward.
func TestBehaviourTimes(t *testing.T) {
	nan, inf := math.NaN(), math.Inf(1)
	for _, times := range [][]float64{
		nil, {1},
		{0, 0}, {0, 1, 1, 2}, {0, 1, 2, 1.5, 3, 4}, {3, 2, 1, 0},
		{0, 1, nan, 3}, {nan, 1, 2}, {0, 1, inf}, {-inf, 0, 1},
	} {
		x := make([]float64, len(times))
		for _, o := range []trajectory.UniformOptions{{}, {Rate: 3}} {
			_, _, err := trajectory.Uniform(trajectory.Path{}, trajectory.Path{Name: "tip", T: times, X: x, Y: x}, o)
			_, _, placed := trajectory.Uniform(trajectory.Placed{}, trajectory.Placed{Name: "tip", T: times, Across: x, Out: x}, o)
			for _, err := range []error{err, placed} {
				if e := new(trajectory.DataError); !errors.As(err, &e) {
					t.Errorf("Uniform on times %v: error %v", times, err)
				}
			}
		}
	}
	// A kernel has no error to return: the slope over no time is no number.
	v := filter.Gradient(nil, []float64{0, 1, 1, 2, 3, 4}, []float64{0, 1, 2, 3, 4, 5})
	for i, ok := range []bool{false, false, false, true, true, true} {
		if finite := !math.IsNaN(v[i]) && !math.IsInf(v[i], 0); finite != ok {
			t.Errorf("Gradient at a repeated time: sample %d of %v", i, v)
		}
	}
}
