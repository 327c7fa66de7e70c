package variability_test

import (
	"math"
	"testing"

	"github.com/plectrace/plectrace/variability"
	"github.com/plectrace/plectrace/variability/estimate"
	"github.com/plectrace/plectrace/variability/internal/series"
)

// mixed makes n strokes of four columns from as many independent series: the
// standard deviations of the series are 2, 1, 1 and 0.5, and the columns are
// those turned by a Hadamard matrix over 2, so that all four scatter alike and
// are correlated.
func mixed(spec series.Spec, n int, seed uint64) []variability.Column {
	sds := []float64{2, 1, 1, 0.5}
	noise := spec.Noise
	spec.Noise = 0
	columns := make([]variability.Column, 4)
	rng := estimate.Stream(seed, "mixed")
	for k := range columns {
		columns[k] = variability.Column{Name: string(rune('a' + k)), Values: make([]float64, n), Scale: 1, Noise: noise}
	}
	for a, sd := range sds {
		for i, v := range spec.Draw(n, rng) {
			for k := range columns {
				sign := 1.
				if a&k == 1 || a&k == 2 {
					sign = -1
				}
				columns[k].Values[i] += sign * sd * v / 2
			}
		}
	}
	for k := range columns {
		for i := range columns[k].Values {
			columns[k].Values[i] += noise * rng.NormFloat64()
		}
	}
	return columns
}

// Of the variances 4, 1, 1 and 0.25.
var mixedTotal, mixedGeneralised, mixedDimensions, mixedShare = math.Sqrt(6.25 / 4), 1., 6.25 * 6.25 / 18.0625, 4 / 6.25

func joint(t *testing.T, columns []variability.Column, o variability.JointOptions) variability.Joint {
	t.Helper()
	j, err := variability.JointSpread(columns, o)
	if err != nil {
		t.Fatal(err)
	}
	return j
}

func TestJointCalibrate(t *testing.T) {
	if testing.Short() {
		t.Skip("slow")
	}
	sizes := []int{40, 100, 300, 1000}
	specs := []series.Spec{{}, {Phi: 0.3}, {Phi: 0.6}, {Phi: 0.9}, {Phi: 0.3, Alternate: 2}, {Phi: 0.3, Noise: 0.3}, {Phi: 0.3, Cube: true}, nulls[8]}
	if *calibrate == 0 {
		sizes, specs = []int{150}, specs[:3]
	}
	count, first := takes(200)
	for _, n := range sizes {
		kinds := make([]int, 2*n)
		for i := range kinds {
			kinds[i] = i % 2
		}
		for _, spec := range specs {
			var r row
			for k := range count {
				columns := mixed(spec, 2*n, first+uint64(k))
				half := func(late bool, robust bool) variability.Joint {
					use := make([]bool, 2*n)
					for i := range use {
						use[i] = late == (i >= n)
					}
					return joint(t, columns, variability.JointOptions{Use: use, Groups: kinds, Robust: robust})
				}
				a, b := half(false, false), half(true, false)
				total, generalised, err := variability.JointRatio(a, b)
				if err != nil {
					t.Fatal(err)
				}
				if spec.Spans.Level == 0 { // else the truth is another
					r.interval("total", a.Total, mixedTotal)
					r.interval("generalised", a.Generalised, mixedGeneralised)
					r.interval("dimensions", a.Dimensions, mixedDimensions)
					r.interval("share", a.Directions[0].Share, mixedShare)
					if !spec.Cube { // Robust is for normal strokes
						r.interval("robust total", half(false, true).Total, mixedTotal)
					}
				}
				r.interval("total ratio", total, 1)
				r.interval("generalised ratio", generalised, 1)
			}
			r.log(t, spec, n, count)
			if *calibrate == 0 {
				for _, name := range []string{"total", "generalised", "dimensions", "share", "total ratio", "generalised ratio"} {
					low := 91.5
					if spec.Phi == 0.6 {
						low = 89
					}
					r.within(t, name, spec.String(), low, 99)
				}
			}
		}
	}
}
