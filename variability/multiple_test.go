package variability_test

import (
	"fmt"
	"math"
	"slices"
	"testing"

	"github.com/google/go-cmp/cmp"
	"github.com/google/go-cmp/cmp/cmpopts"

	"github.com/plectrace/plectrace/variability"
)

// Values of R 4.2 p.adjust(p, "holm") and p.adjust(p, "BH"); the first row is also
// in the project's list of checks. Tolerance: rounding.
func TestMultiple(t *testing.T) {
	nan := math.NaN()
	for _, c := range []struct{ p, holm, bh []float64 }{
		{[]float64{.01, .02, .03, .04, .05, .005}, []float64{.05, .08, .09, .09, .09, .03}, []float64{.03, .04, .045, .048, .05, .03}},
		{[]float64{.2, nan, .01, nan}, []float64{.2, nan, .02, nan}, []float64{.2, nan, .02, nan}},
		{[]float64{.5, .5, .5}, []float64{1, 1, 1}, []float64{.5, .5, .5}},
		{[]float64{.04, .01, .04, .9, .001}, []float64{.12, .04, .12, .9, .005}, []float64{.05, .025, .05, .9, .005}},
		{[]float64{0, 1}, []float64{0, 1}, []float64{0, 1}},
		{nil, []float64{}, []float64{}},
	} {
		in := slices.Clone(c.p)
		near := cmp.Options{cmpopts.EquateApprox(0, 1e-12), cmpopts.EquateNaNs()}
		if d := cmp.Diff(c.holm, variability.Holm(nil, c.p), near); d != "" {
			t.Errorf("Holm %v (-want +got):\n%s", c.p, d)
		}
		if d := cmp.Diff(c.bh, variability.BenjaminiHochberg(nil, c.p), near); d != "" {
			t.Errorf("BenjaminiHochberg %v (-want +got):\n%s", c.p, d)
		}
		if d := cmp.Diff(in, c.p, near); d != "" {
			t.Errorf("input changed: %s", d)
		}
		if own := variability.Holm(in, in); !cmp.Equal(own, c.holm, near) && len(own) > 0 {
			t.Errorf("in place: %v, want %v", own, c.holm)
		}
	}
}

func ExampleHolm() {
	p := []float64{0.01, 0.04, 0.005, math.NaN()} // the last was not tested
	fmt.Printf("%.3f\n", variability.Holm(nil, p))
	fmt.Printf("%.3f\n", variability.BenjaminiHochberg(nil, p))
	// Output:
	// [0.020 0.040 0.015 NaN]
	// [0.015 0.040 0.015 NaN]
}

func ExampleBenjaminiHochberg() {
	fmt.Println(variability.BenjaminiHochberg(nil, []float64{0.01, 0.02, 0.03}))
	// Output: [0.03 0.03 0.03]
}
