package circular

import (
	"fmt"
	"math"

	"github.com/plectrace/plectrace/variability/estimate"
)

// Options are the settings of the summaries and tests. The zero value is for
// independent directions.
type Options struct {
	// Level of an interval. Zero means 0.95, negative means no interval.
	Level float64
	// Series says that the angles are in time order, stroke after stroke, and
	// that intervals and tests have to bear their autocorrelation.
	Series bool
	// Axes says that the angles are axes, modulo half a turn. Directional,
	// Axial, Median and MedianAxis know what theirs are and ignore it.
	Axes bool
	// Block is the number of neighbouring angles that a permutation keeps
	// together. Zero means one from the autocorrelation for a Series, see
	// [estimate.BlockLength], and 1 otherwise.
	Block int
	// Draws is the number of permutations drawn where not all are tried. Zero
	// or less means 999.
	Draws int
	// Seed starts the random numbers, one stream for each use.
	Seed uint64
}

func (o Options) filled() Options {
	if o.Level == 0 {
		o.Level = 0.95
	}
	if o.Draws <= 0 {
		o.Draws = 999
	}
	return o
}

// level returns the level of the interval, and false if none is wanted.
func (o Options) level() (float64, bool) {
	l := o.filled().Level
	return l, l > 0 && l < 1
}

// fold is what angles are multiplied by to become directions.
func (o Options) fold() float64 {
	if o.Axes {
		return 2
	}
	return 1
}

// Test is the outcome of a test, or the reason why there is none.
type Test struct {
	// Statistic is what each test says it is.
	Statistic float64
	// P is the probability of a statistic at least as extreme if there is
	// nothing to find.
	P float64
	// Least is the smallest P that the number of permutations allows, 0 where
	// P comes from a formula.
	Least float64
	// DF are the degrees of freedom of the F, t or chi-squared distribution
	// that P comes from; those that it does not have are 0.
	DF [2]float64
	// N is the number of angles, or of pairs.
	N int
	// Doubt is what the data do not meet of what the test takes for granted. P
	// is as computed, and is no evidence by itself then.
	Doubt *estimate.Absence
	// Absent is the reason why there is no test.
	Absent *estimate.Absence
	// Options are the options used, with defaults and the Block filled in.
	Options Options
}

// refused returns a test that is absent.
func (o Options) refused(code, what, format string, a ...any) Test {
	return Test{
		Statistic: math.NaN(), P: math.NaN(), Options: o,
		Absent: &estimate.Absence{Code: code, What: what, Why: fmt.Sprintf(format, a...)},
	}
}

// wrapped returns the angle t in (-π, π].
func wrapped(t float64) float64 {
	if t = math.Remainder(t, 2*math.Pi); t <= -math.Pi {
		t += 2 * math.Pi
	}
	return t
}
