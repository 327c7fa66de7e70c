package variability_test

import (
	"math"
	"testing"

	"github.com/plectrace/plectrace/variability"
)

// Efron and Tibshirani (1993), mouse data: of the 11440 ways to choose 7 of 16,
// 3184 move the means at least as far apart, counted with whole numbers in
// variability.py. (R coin 1.4-2 gives the same.) The F ratio orders the ways
// as the difference does, for the groups keep their sizes.
func TestPermutationMouse(t *testing.T) {
	r := readReference(t)
	mouse := r.Pairs[2]
	got := variability.Permutation(mouse.A, mouse.B, 1, variability.Options{Draws: 11440})
	if want := r.Mouse.Hits / r.Mouse.Total; got.Absent != nil || !near(got.P, want, 1e-14) || !near(got.Least, 1/r.Mouse.Total, 1e-14) {
		t.Errorf("%+v, want P %v", got, want)
	}
	if !near(got.Statistic, -30.6349206349, 1e-10) || got.N != 16 {
		t.Errorf("difference %v of %d values, want -30.6349206349 of 16", got.Statistic, got.N)
	}
	// Drawn, within three standard errors.
	drawn := variability.Permutation(mouse.A, mouse.B, 1, variability.Options{Draws: 4999})
	if !near(drawn.P, got.P, 3*math.Sqrt(got.P*(1-got.P)/5000)) || drawn.Least != 1./5000 {
		t.Errorf("drawn P %v, least %v; want %v, 1/5000", drawn.P, drawn.Least, got.P)
	}
	if drawn.P == got.P {
		t.Error("drawn P is the exact one: nothing was drawn")
	}
}

func TestPermutationInvariance(t *testing.T) {
	a, b := autoregression(60, 0.5, 1), autoregression(75, 0.5, 2)
	o := variability.Options{Seed: 3}
	want := variability.Permutation(a, b, 3, o)
	if again := variability.Permutation(a, b, 3, o); again != want {
		t.Errorf("%+v, then %+v", want, again)
	}
	o.Seed = 4
	if other := variability.Permutation(a, b, 3, o); other.P == want.P || !near(other.P, want.P, 0.06) {
		t.Errorf("another seed: P %v and %v", want.P, other.P)
	}
	o.Seed = 3
	move := func(v float64) float64 { return 2*v + 1000 }
	if got := variability.Permutation(each(a, move), each(b, move), 3, o); got.P != want.P || !near(got.Statistic, 2*want.Statistic, 1e-9) {
		t.Errorf("moved and scaled: %+v, want P %v and twice the statistic of %+v", got, want.P, want)
	}
}

// However far apart, P is not below what the deals allow.
func TestPermutationLeast(t *testing.T) {
	a := []float64{1, 2, 3, 4, 5, 6}
	b := each(a, func(v float64) float64 { return v + 1e6 })
	got := variability.Permutation(a, b, 1, variability.Options{})
	if want := 2. / 924; !near(got.P, want, 1e-15) || !near(got.Least, 1./924, 1e-15) {
		t.Errorf("exact: P %v, least %v; want 2/924, 1/924", got.P, got.Least)
	}
	a, b = autoregression(300, 0, 1), each(autoregression(300, 0, 2), func(v float64) float64 { return v + 50 })
	got = variability.Permutation(a, b, 2, variability.Options{})
	if got.P != 0.001 || got.Least != 0.001 {
		t.Errorf("drawn: P %v, least %v; want 0.001", got.P, got.Least)
	}
}

func TestPermutationRefused(t *testing.T) {
	nan := math.NaN()
	six, seven := []float64{1, 2, 3, 4, 5, 6}, []float64{3, 5, 7, 9, 1, 3, nan, 4}
	for _, tc := range []struct {
		name    string
		a, b    []float64
		block   int
		refused bool
	}{
		{"12 blocks", six, six, 1, false},
		{"a missing value leaves 13", six, seven, 1, false},
		{"block 0 is 1", six, six, 0, false},
		{"6 blocks of 2", six, six, 2, true},
		{"11 blocks", six, six[:5], 1, true},
		{"none on one side", seven, nil, 1, true},
		{"none", nil, nil, 1, true},
	} {
		got := variability.Permutation(tc.a, tc.b, tc.block, variability.Options{})
		if (got.Absent != nil) != tc.refused {
			t.Errorf("%s: %+v", tc.name, got)
		}
		if tc.refused && (got.Absent.Code != "few-blocks" || got.P != 0) {
			t.Errorf("%s: %+v, P %v", tc.name, *got.Absent, got.P)
		}
	}
}
