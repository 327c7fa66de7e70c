package camera_test

import (
	"encoding/json"
	"errors"
	"math"
	"math/rand/v2"
	"os"
	"strings"
	"testing"

	"github.com/plectrace/plectrace/trajectory"
	"github.com/plectrace/plectrace/trajectory/camera"
)

// reference is made by rational numbers, numpy and scipy:
// testdata/reference/camera.py.
type reference struct {
	Exact []struct {
		Name          string
		Src, Dst      [][2]float64
		H             [9]float64
		Query, Mapped [][2]float64
	}
	Noisy struct {
		Src, Dst     [][2]float64
		H            [9]float64
		ResidualFrom float64 `json:"residual_from"`
		ResidualTo   float64 `json:"residual_to"`
	}
	Factors []struct{ Width, C float64 }
}

func references(t *testing.T) (r reference) {
	t.Helper()
	text, err := os.ReadFile("../../testdata/reference/camera.json")
	if err != nil {
		t.Fatal(err)
	}
	if err := json.Unmarshal(text, &r); err != nil {
		t.Fatal(err)
	}
	if len(r.Exact) != 3 || len(r.Noisy.Src) != 8 || len(r.Factors) != 6 {
		t.Fatalf("%d homographies, %d noisy points, %d factors", len(r.Exact), len(r.Noisy.Src), len(r.Factors))
	}
	return r
}

// within fails unless got is within tolerance of want; two NaN agree.
func within(t *testing.T, what string, got, want, tolerance float64) {
	t.Helper()
	if math.IsNaN(got) && math.IsNaN(want) {
		return
	}
	if !(math.Abs(got-want) <= tolerance) {
		t.Errorf("%s: got %v, want %v within %v", what, got, want, tolerance)
	}
}

// dataError fails unless err is a *DataError about that point that holds all
// the words.
func dataError(t *testing.T, err error, point string, words ...string) {
	t.Helper()
	var e *trajectory.DataError
	if !errors.As(err, &e) {
		t.Errorf("got error %v, want a *DataError with %q", err, words)
		return
	}
	if e.Point != point {
		t.Errorf("error %q is about %q, want %q", err, e.Point, point)
	}
	for _, w := range words {
		if !strings.Contains(err.Error(), w) {
			t.Errorf("error %q does not say %q", err, w)
		}
	}
	if e.Hint == "" || strings.Contains(err.Error(), "\n") {
		t.Errorf("error %q has no hint or more than one line", err)
	}
}

func pairsOf(src, dst [][2]float64) []camera.Pair {
	pairs := make([]camera.Pair, len(src))
	for i := range src {
		pairs[i] = camera.Pair{From: src[i], To: dst[i]}
	}
	return pairs
}

// exactly says that points carry no error.
var exactly = camera.FitOptions{Error: -1}

func TestExactHomography(t *testing.T) {
	for _, c := range references(t).Exact {
		t.Run(c.Name, func(t *testing.T) {
			fit, err := camera.FitHomography(pairsOf(c.Src, c.Dst), exactly)
			if err != nil {
				t.Fatal(err)
			}
			h := fit.Elements()
			for i := range h {
				within(t, "element", h[i]/h[8], c.H[i], 1e-11*max(1, math.Abs(c.H[i])))
			}
			back := fit.Inverse()
			for i, q := range c.Query {
				u, v := fit.At(q[0], q[1])
				within(t, "u", u, c.Mapped[i][0], 1e-10)
				within(t, "v", v, c.Mapped[i][1], 1e-10)
				x, y := back.At(u, v)
				within(t, "x back", x, q[0], 1e-10)
				within(t, "y back", y, q[1], 1e-10)
			}
			if fit.ResidualFrom.Known() || fit.ResidualTo.Known() || fit.ResidualTo.Absent.Code != "exact_fit" {
				t.Errorf("residuals %+v, %+v of four points", fit.ResidualFrom, fit.ResidualTo)
			}
			if uu, uv, vv := fit.Covariance(c.Query[0][0], c.Query[0][1]); uu != 0 || uv != 0 || vv != 0 {
				t.Errorf("covariance %v %v %v of exact points", uu, uv, vv)
			}
		})
	}
}

func TestNoisyHomography(t *testing.T) {
	c := references(t).Noisy
	fit, err := camera.FitHomography(pairsOf(c.Src, c.Dst), camera.FitOptions{})
	if err != nil {
		t.Fatal(err)
	}
	for i, h := range fit.Elements() {
		within(t, "element", h, c.H[i], 1e-10*max(1, math.Abs(c.H[i])))
	}
	within(t, "residual in pixels", fit.ResidualFrom.Value, c.ResidualFrom, 1e-9)
	within(t, "residual in mm", fit.ResidualTo.Value, c.ResidualTo, 1e-10)
	if fit.ResidualTo.N != 8 || fit.ResidualTo.Level != 0 || !math.IsNaN(fit.ResidualTo.Low) {
		t.Errorf("residual %+v", fit.ResidualTo)
	}
}

// TestHomographyCovariance holds the stated errors against the scatter of
// homographies from points drawn anew.
func TestHomographyCovariance(t *testing.T) {
	rng := rand.New(rand.NewPCG(5, 5))
	c := references(t).Noisy
	for _, n := range []int{4, 8} {
		draws, at := 4000, [2]float64{1150, 520}
		truth, err := camera.FitHomography(pairsOf(c.Src, c.Dst)[:n], camera.FitOptions{Error: 1.5})
		if err != nil {
			t.Fatal(err)
		}
		back := truth.Inverse()
		var src [][2]float64 // exact points of the fitted homography
		for _, p := range c.Dst[:n] {
			x, y := back.At(p[0], p[1])
			src = append(src, [2]float64{x, y})
		}
		u0, v0 := truth.At(at[0], at[1])
		var got, gotBack [3]float64
		for range draws {
			pairs := pairsOf(src, c.Dst[:n])
			for i := range pairs {
				pairs[i].From[0] += 1.5 * rng.NormFloat64()
				pairs[i].From[1] += 1.5 * rng.NormFloat64()
			}
			fit, err := camera.FitHomography(pairs, exactly)
			if err != nil {
				t.Fatal(err)
			}
			u, v := fit.At(at[0], at[1])
			x, y := fit.Inverse().At(u0, v0)
			for k, d := range [3]float64{(u - u0) * (u - u0), (u - u0) * (v - v0), (v - v0) * (v - v0)} {
				got[k] += d / float64(draws)
			}
			x, y = x-at[0], y-at[1]
			for k, d := range [3]float64{x * x, x * y, y * y} {
				gotBack[k] += d / float64(draws)
			}
		}
		uu, uv, vv := truth.Covariance(at[0], at[1])
		xx, xy, yy := back.Covariance(u0, v0)
		// A variance of 4,000 draws is good to 2.2 per cent.
		for _, s := range []struct {
			what                 string
			got, want, tolerance float64
		}{
			{"uu", uu, got[0], 0.08 * got[0]}, {"uv", uv, got[1], 0.08 * math.Sqrt(got[0]*got[2])}, {"vv", vv, got[2], 0.08 * got[2]},
			{"xx", xx, gotBack[0], 0.08 * gotBack[0]}, {"xy", xy, gotBack[1], 0.08 * math.Sqrt(gotBack[0]*gotBack[2])}, {"yy", yy, gotBack[2], 0.08 * gotBack[2]},
		} {
			within(t, s.what, s.got, s.want, s.tolerance)
		}
	}
}

func TestHomographyErrors(t *testing.T) {
	square := [][2]float64{{0, 0}, {100, 0}, {100, 100}, {0, 100}}
	for _, c := range []struct {
		name     string
		src, dst [][2]float64
		o        camera.FitOptions
		words    []string
	}{
		{"three pairs", square[:3], square[:3], camera.FitOptions{}, []string{"3 point pairs", "four"}},
		{"none", nil, nil, camera.FitOptions{}, []string{"0 point pairs"}},
		{"nan", [][2]float64{{0, 0}, {100, 0}, {math.NaN(), 100}, {0, 100}}, square, camera.FitOptions{}, []string{"point 3", "finite"}},
		{"infinite", square, [][2]float64{{0, 0}, {100, math.Inf(1)}, {100, 100}, {0, 100}}, camera.FitOptions{}, []string{"point 2"}},
		{"error not finite", square, square, camera.FitOptions{Error: math.NaN()}, []string{"error"}},
		{"three on a line", [][2]float64{{0, 0}, {50, 2}, {100, 0}, {0, 100}}, square, camera.FitOptions{}, []string{"points 1, 2 and 3 lie on one line of the picture"}},
		{"three on a line of the other plane", square, [][2]float64{{0, 0}, {50, 100}, {0, 50}, {0, 100}}, exactly, []string{"points 1, 3 and 4 lie on one line of the other plane"}},
		{"all but one on a line", append(square[:2:2], [2]float64{50, 1}, [2]float64{20, -1}, [2]float64{3, 77}), append(square, [2]float64{7, 3}), camera.FitOptions{}, []string{"points 1, 2, 3 and 4 lie on one line"}},
		{"two coincide", [][2]float64{{0, 0}, {0, 0}, {100, 100}, {0, 100}}, square, exactly, []string{"one line"}},
		{"all coincide", [][2]float64{{1, 1}, {1, 1}, {1, 1}, {1, 1}}, square, exactly, []string{"one line"}},
		{"crossed", square, [][2]float64{{0, 0}, {100, 0}, {0, 100}, {100, 100}}, camera.FitOptions{}, []string{"no camera", "point"}},
		{"folded", square, [][2]float64{{0, 0}, {100, 0}, {20, 30}, {0, 100}}, camera.FitOptions{}, []string{"no camera"}},
	} {
		t.Run(c.name, func(t *testing.T) {
			_, err := camera.FitHomography(pairsOf(c.src, c.dst), c.o)
			dataError(t, err, "", c.words...)
		})
	}
	// A line that is thin, but thicker than the clicks are wrong.
	if _, err := camera.FitHomography(pairsOf([][2]float64{{0, 0}, {50, 12}, {100, 0}, {0, 100}}, [][2]float64{{0, 0}, {50, 12}, {100, 0}, {0, 100}}), camera.FitOptions{}); err != nil {
		t.Error(err)
	}
}

func TestHomographySpecialCases(t *testing.T) {
	c := references(t).Exact[0]
	fit, err := camera.FitHomography(pairsOf(c.Src, c.Dst), exactly)
	if err != nil {
		t.Fatal(err)
	}
	nan, inf := math.NaN(), math.Inf(1)
	// The horizon: -3/44 x + 9/22 y + 1 = 0, through (44/3, 0).
	for _, p := range [][2]float64{{nan, 0}, {0, nan}, {inf, 0}, {0, -inf}, {44.0/3 + 1e-9, 0}, {100, 0}} {
		if u, v := fit.At(p[0], p[1]); !math.IsNaN(u) || !math.IsNaN(v) {
			t.Errorf("%v is mapped to %v, %v", p, u, v)
		}
		if uu, uv, vv := fit.Covariance(p[0], p[1]); !math.IsNaN(uu) || !math.IsNaN(uv) || !math.IsNaN(vv) {
			t.Errorf("covariance of %v is %v, %v, %v", p, uu, uv, vv)
		}
	}
	if u, v := (camera.Homography{}).At(1, 2); !math.IsNaN(u) || !math.IsNaN(v) {
		t.Errorf("the zero value maps to %v, %v", u, v)
	}
	x, y := []float64{0.5, nan, 0.25}, []float64{0.5, nan, 0.75}
	u, v := fit.Apply(nil, nil, x, y)
	within(t, "u", u[2], 596.0/227, 1e-12)
	within(t, "missing", v[1], nan, 0)
	if x[0] != 0.5 || y[2] != 0.75 {
		t.Error("the input is changed")
	}
	fit.Apply(x, y, x, y)
	within(t, "u in place", x[0], u[0], 0)
	within(t, "v in place", y[2], v[2], 0)
	if u, v := fit.Apply(nil, nil, nil, nil); u == nil || v == nil || len(u) != 0 {
		t.Errorf("no points: %v, %v", u, v)
	}
	for _, f := range []func(){
		func() { fit.Apply(nil, nil, x, y[:1]) },
		func() { fit.Apply(x[:1], y, x, y) },
	} {
		func() {
			defer func() {
				if recover() == nil {
					t.Error("unequal lengths do not panic")
				}
			}()
			f()
		}()
	}
	if n := testing.AllocsPerRun(10, func() { fit.Apply(u, v, x, y); fit.At(1, 1); fit.Covariance(1, 1) }); n != 0 {
		t.Errorf("%v allocations", n)
	}
}
