package variability_test

import (
	"testing"

	"github.com/plectrace/plectrace/variability"
	"github.com/plectrace/plectrace/variability/internal/series"
)

// TestEarlyLateCalibrate compares ends of series that do not change, and counts
// how often the truth is held and the test rejects.
func TestEarlyLateCalibrate(t *testing.T) {
	if testing.Short() {
		t.Skip("slow")
	}
	sizes := []int{45, 60, 100, 300, 1000}
	specs := nulls
	if *calibrate == 0 {
		sizes, specs = []int{100}, nulls[:4]
	}
	count, first := takes(200)
	for _, n := range sizes {
		for _, spec := range specs {
			var r row
			for k := range count {
				x := spec.Make(n, first+uint64(k))
				c := earlyLate(t, series.Times(n, 0.1), x, variability.EarlyLateOptions{Tail: -1, ByCount: true, Options: variability.Options{Level: 0.95}})
				if spec.Drift == 0 { // else the centre does move
					r.interval("mean", c.Difference, 0)
					r.interval("trimmed", c.Trimmed, 0)
					r.interval("g", c.G, 0)
					r.interval("δ", c.Delta, 0)
				}
				r.interval("ratio", c.Ratio, 1)
				r.interval("robust ratio", c.RobustRatio, 1)
				r.add("test", c.Scatter.Absent == nil, c.Scatter.P <= 0.05)
			}
			r.log(t, spec, n, count)
			if *calibrate == 0 {
				for _, name := range []string{"mean", "trimmed", "g", "δ", "ratio", "robust ratio"} {
					if spec.Phi == 0.9 && (name == "g" || name == "δ") {
						continue // refused but for a few
					}
					r.within(t, name, spec.String(), 92, 99.5)
				}
				r.within(t, "test", spec.String(), 1.5, 7)
			}
		}
	}
}

// TestSpreadCalibrate does the same for spreads. The truth of an
// autoregression is 1.
func TestSpreadCalibrate(t *testing.T) {
	if testing.Short() {
		t.Skip("slow")
	}
	sizes := []int{12, 15, 20, 33, 100, 300, 1000}
	if *calibrate == 0 {
		sizes = []int{100}
	}
	count, first := takes(200)
	for _, n := range sizes {
		for _, spec := range []series.Spec{{}, {Phi: 0.3}, {Phi: 0.6}, {Phi: 0.9}, {Phi: 0.3, Noise: 0.5}, {Phi: 0.3, Cube: true}} {
			var r row
			for k := range count {
				o := variability.Options{Noise: spec.Noise}
				for name, v := range measures(spec.Make(n, first+uint64(k)), o) {
					truth := 1.
					if spec.Cube && name == "Robust" {
						truth = 0.1174776 // (0.6745)³/√15/0.6745: the median of |z³|/√15, scaled
					}
					r.interval(name, v, truth)
				}
			}
			r.log(t, spec, n, count)
			if *calibrate == 0 && !spec.Cube && spec.Phi < 0.9 { // refused but for a few
				for _, name := range []string{"SD", "CV", "axial", "Robust"} {
					r.within(t, name, spec.String(), 92, 99)
				}
			}
		}
	}
}
