package variability_test

import (
	"math"
	"testing"

	"github.com/plectrace/plectrace/variability"
	"github.com/plectrace/plectrace/variability/estimate"
)

// TestPermutationCalibrate counts how often two takes of one source seem to
// differ, in blocks of the length that their autocorrelation asks for.
func TestPermutationCalibrate(t *testing.T) {
	if testing.Short() {
		t.Skip("slow")
	}
	sizes, specs := []int{50, 150, 500}, nulls[:5]
	if *calibrate == 0 {
		sizes, specs = []int{150}, nulls[:2]
	}
	count, first := takes(200)
	for _, n := range sizes {
		for _, spec := range specs {
			var r row
			for k := range count {
				a, b := spec.Make(n, first+uint64(2*k)), spec.Make(n, first+uint64(2*k+1))
				block := int(math.Ceil(max(estimate.BlockLength(a), estimate.BlockLength(b))))
				p := variability.Permutation(a, b, block, variability.Options{Draws: 199})
				r.add("test", p.Absent == nil, p.P <= 0.05)
			}
			r.log(t, spec, n, count)
			if *calibrate == 0 {
				r.within(t, "test", spec.String(), 3, 9)
			}
		}
	}
}
