package variability

import (
	"math"

	"github.com/plectrace/plectrace/variability/estimate"
	"gonum.org/v1/gonum/stat/distuv"
)

// Options are the settings of all estimates here. The zero value means the
// defaults.
type Options struct {
	// Noise is the standard deviation of the measurement noise in one value,
	// in the unit of the values, taken as known. Its square is taken off the
	// variance. Zero or less means none.
	Noise float64
	// Level of the intervals. Zero means 0.95, negative means none.
	Level float64
	// Draws is the number of deals drawn by Permutation. Zero or less means
	// 999.
	Draws int
	// Seed starts its random numbers.
	Seed uint64
}

func (o Options) filled() Options {
	if o.Level == 0 {
		o.Level = 0.95
	}
	if o.Draws <= 0 {
		o.Draws = 999
	}
	o.Noise = max(o.Noise, 0)
	return o
}

// student returns the two-sided Student quantile for the level, and false if no
// interval is wanted, or there are no degrees of freedom for one.
func (o Options) student(df float64) (float64, bool) {
	if !(o.Level > 0 && o.Level < 1 && df > 0) {
		return 0, false
	}
	return distuv.StudentsT{Sigma: 1, Nu: df}.Quantile((1 + o.Level) / 2), true
}

// scale returns a scale s estimated from a series, with a Student interval of
// its logarithm. adds are what each value adds to log s to first order, so that
// log s varies as their mean does, and their long-run variance tells by how
// much. They are squares of values, and at least as alike as those of normal
// values: r is the likeness of the values. Fewer than 15 of them, or equal ones,
// give no interval.
func (o Options) scale(s float64, adds []float64, r float64) estimate.Value[float64] {
	n := len(adds)
	v := estimate.Value[float64]{Value: s, Low: math.NaN(), High: math.NaN(), N: n}
	if n < fewest {
		return v
	}
	variance, df := longRun(adds, r*math.Abs(r))
	t, wanted := o.student(df)
	if !wanted || !(variance > 0) {
		return v
	}
	half := t * math.Sqrt(variance/float64(n))
	v.Low, v.High, v.Level = s*math.Exp(-half), s*math.Exp(half), o.Level
	return v
}
