package learning

import "github.com/plectrace/plectrace/variability/estimate"

// Options are the settings of [Fit]. The zero value means the defaults.
type Options struct {
	// Level of the intervals. Zero means 0.95; outside (0, 1) there are none.
	// The verdict always goes by 0.95.
	Level float64
	// Errors are the standard errors of y, in its unit, one for each value;
	// nil means that all are alike. Values weigh 1/(τ² + se²), where τ is the
	// scatter between days beyond the errors, see Result.Between.
	Errors []float64
	// Prior is the practice before x = 0, in the unit of x. Kinds that go by
	// the logarithm of practice add it to x; they need x + Prior above 0.
	Prior float64
	// Log fits the logarithms of values, which must be above 0, for scatter
	// that is in proportion to the value. Levels are given as values again,
	// changes as ratios: a Change of 1.2 is one of 20 %.
	Log bool
	// Robust pulls in values that stand out, so that one bad day does not
	// decide. Their input indices are in Result.Outliers.
	Robust bool
	// Independent says that the scatter of one value has nothing to do with
	// that of the next: ordinary least squares. By default the likeness of
	// neighbours is estimated and its uncertainty goes into every interval.
	Independent bool
	// Reach is how far beyond the data a statement may go: a level as a
	// multiple of the change seen in the data, a time as a multiple of the
	// range of x. Zero means 1, negative nothing beyond the data, so that no
	// level is given.
	Reach float64
}

// minValues is the number of values below which nothing is judged.
const minValues = 6

// Result is what [Fit] finds.
type Result struct {
	// Verdict is what the values allow to be said, Sentence says it in words
	// with what to do next.
	Verdict  Verdict
	Sentence string
	// Curves are all kinds, in the order of their constants. One that these
	// values cannot be fitted with is Absent with the reason.
	Curves []Curve
	// Best is the kind with the lowest AICc, and Alike are those within 2 of
	// it, best first: the values cannot tell them apart, so that only what
	// they share is a finding.
	Best  Kind
	Alike []Kind

	// Change is the change of the curve from the first to the last x; with Log
	// their ratio. Its interval is over all kinds but Constant.
	Change estimate.Value[float64]
	// P is the probability of a trend like this, or a stronger one, where
	// there is no change. NaN if not had.
	P float64

	// Plateau is the level that the values tend to, Expected the change still
	// to come after the last x (with Log a ratio), Done the share of all change
	// that is done at the last x, Half and NinetyFive where on the x axis half
	// and 95 % of it are done. They are present if the verdict is Levelling or
	// Reached. Intervals are over the exponential and the power curve.
	Plateau, Expected, Done, Half, NinetyFive estimate.Value[float64]

	// Likeness is the correlation of the scatter of neighbours, in the order
	// of x, under the best curve; it is taken to be from 0 to 0.98.
	Likeness estimate.Value[float64]
	// Between is the standard deviation between days beyond Options.Errors, in
	// the unit of y (of its logarithm with Log); 0 without Errors.
	Between float64
	// Outliers are input indices of values more than three robust standard
	// deviations off, with Options.Robust.
	Outliers []int

	N           int     // values used
	Missing     int     // values left out: x or y is NaN
	First, Last float64 // x of the first and the last value
	// Notes say, for the reader, what bears on the result.
	Notes []string
	// Options are those used, with the defaults filled in.
	Options Options
}

// Curve returns the curve of that kind, the zero Curve if there is none.
func (r Result) Curve(k Kind) Curve {
	if k < Constant || int(k) > len(r.Curves) {
		return Curve{}
	}
	return r.Curves[k-Constant]
}

func (o Options) filled() Options {
	if o.Level == 0 {
		o.Level = 0.95
	}
	if o.Reach == 0 {
		o.Reach = 1
	}
	o.Reach = max(o.Reach, 0)
	return o
}
