package variability_test

import (
	"testing"

	"github.com/plectrace/plectrace/variability"
	"github.com/plectrace/plectrace/variability/internal/series"
)

func trend(t *testing.T, times, x []float64, o variability.TrendOptions) variability.TrendResult {
	t.Helper()
	r, err := variability.Trend(times, x, o)
	if err != nil {
		t.Fatal(err)
	}
	return r
}

// TestTrendCalibrate counts how often series without a trend seem to have one,
// and how often the interval holds the slope that there is.
func TestTrendCalibrate(t *testing.T) {
	if testing.Short() {
		t.Skip("slow")
	}
	sizes, specs := []int{20, 40, 100, 300, 1000}, nulls
	if *calibrate == 0 {
		sizes, specs = []int{40, 200}, nulls[:5]
	}
	count, first := takes(200)
	for _, n := range sizes {
		for _, spec := range specs {
			var r row
			for k := range count {
				x := spec.Make(n, first+uint64(k))
				got := trend(t, series.Times(n, 0.1), x, variability.TrendOptions{})
				r.interval("slope", got.Slope, spec.Drift/(0.1*float64(n-1)))
				if spec.Drift == 0 {
					r.add("test", got.Absent == nil, got.P <= 0.05)
				}
			}
			r.log(t, spec, n, count)
			if *calibrate == 0 {
				r.within(t, "slope", spec.String(), 93, 99)
				r.within(t, "test", spec.String(), 1.5, 6.5)
			}
		}
	}
}

// TestTrendIndependentCalibrate does the same for one number per take.
func TestTrendIndependentCalibrate(t *testing.T) {
	count, first := takes(400)
	for _, n := range []int{5, 6, 8, 12, 20, 80} {
		var r row
		for k := range count {
			got := trend(t, series.Times(n, 1), series.Spec{}.Make(n, first+uint64(k)), variability.TrendOptions{Independent: true})
			r.interval("slope", got.Slope, 0)
			r.add("test", got.Absent == nil, got.P <= 0.05)
		}
		r.log(t, series.Spec{}, n, count)
		// Exact tests reject at most 5 %, and may reject fewer of few values;
		// at 80 they are normal.
		r.within(t, "test", "independent", 0, 5.2)
		r.within(t, "slope", "independent", 94.8, 100)
	}
}
