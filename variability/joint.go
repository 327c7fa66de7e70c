package variability

import (
	"fmt"
	"math"

	"github.com/plectrace/plectrace/variability/estimate"
	"gonum.org/v1/gonum/mat"
)

// Column is one quantity of the strokes, for [JointSpread].
type Column struct {
	Name string
	// Values are the strokes', in order; NaN is missing.
	Values []float64
	// Scale is how much of this quantity counts as one, in its unit: a
	// tolerance, or the standard deviation between players. It is what makes
	// degrees and millimetres add up, and there is no default.
	Scale float64
	// Noise is the standard deviation of the measurement noise in one value,
	// in its unit; Noises are those of each stroke, and take its place. Zero
	// means none; NaN is not known, and the stroke's noise that of the others.
	Noise  float64
	Noises []float64
	// Period is after how much values repeat, 180 for the degrees of an axis.
	// They are then taken as near to their circular mean as can be. Zero means
	// they do not repeat.
	Period float64
}

// JointOptions are the settings of [JointSpread].
type JointOptions struct {
	// Level of the intervals. Zero means 0.95, negative means none.
	Level float64
	// Groups are the kinds of the strokes, such as 0 for down and 1 for up.
	// Each kind is centred for itself. nil means one kind.
	Groups []int
	// Use says which strokes count, such as those of settled spans. nil means
	// all.
	Use []bool
	// NoiseCorrelation is that of the noise between columns, one row for each.
	// nil means none.
	NoiseCorrelation [][]float64
	// Pairwise uses, for each pair of columns, the strokes that have both. By
	// default only strokes that have all columns count.
	Pairwise bool
	// Robust leaves out strokes that lie apart from the others.
	Robust bool
}

// Direction is a principal direction of the scatter, in units of the scales.
type Direction struct {
	// SD is the standard deviation along it, Share its part of the variance.
	SD    float64
	Share estimate.Value[float64]
	// Axis has length 1 and a component for each column; the largest one is
	// positive.
	Axis []float64
}

// Joint is what [JointSpread] found.
type Joint struct {
	// Names and Scales are those of the columns.
	Names  []string
	Scales []float64
	// Covariance is that of the columns without noise, in their units. It has
	// no negative variance in any direction; nil if all is absent.
	Covariance *mat.SymDense
	// Total is the root mean square over the columns of their standard
	// deviations in units of the scales; Generalised the same of independent
	// columns that fill the same volume, the 2p-th root of the determinant.
	Total, Generalised estimate.Value[float64]
	// Dimensions is the effective number of directions, the participation
	// ratio (Σλ)²/Σλ²: 1 if all scatter is along one direction, as many as
	// there are columns if it is equal along all.
	Dimensions estimate.Value[float64]
	// Directions are the principal ones, the widest first.
	Directions []Direction
	// N is the number of strokes used, with Pairwise of those with any value.
	N int
	// Outlying are the strokes that Robust left out.
	Outlying []int
	// Negative is the number of directions in which the strokes scatter less
	// than the noise given; their variance is set to 0.
	Negative int
	// Options are the options used, defaults filled in.
	Options JointOptions

	total, generalised estimate.Value[float64] // for a comparison
}

// JointSpread returns how much strokes scatter in several columns at once, in
// units that the caller states:
//
//	C = S - N, S = Σ d d'/(n-g), N = mean σ(a) ρ(a,b) σ(b)
//	Total = √(tr C/p), Generalised = |C|^(1/2p), Dimensions = (tr C)²/tr C²
//
// for p columns in units of their scales, with d the deviations from the mean of
// the stroke's kind, of g kinds, and σ and ρ the noise. Downstrokes and upstrokes
// differ in most players, so give the Groups.
//
// What the removal of noise, or Pairwise, leaves with a negative variance in
// some direction is set to the nearest covariance that has none, by setting the
// negative eigenvalues to 0 (Higham 1988). Negative counts them. Generalised is
// then absent with code "noise"; so is all else where no direction is left. Total
// is by the variances themselves and needs no such repair; where the noise is
// above the measured scatter it is 0, and absent where it is above the upper
// bound too.
//
// With Robust, strokes are left out whose squared distance from the others, by
// the covariance S of these, is beyond the 0.975 quantile of χ² with p degrees of
// freedom, one normal stroke in forty; S is then larger by what truncated normal
// values lack (Croux and Haesbroeck 1999). The search begins with the half of the
// strokes that has the smallest covariance (Rousseeuw and Van Driessen 1999),
// found from the distances of Maronna and Zamar (2002). It needs strokes that
// have all columns.
//
// Intervals are by first-order terms: what a stroke adds to the log of Total and
// of Generalised, and to the logits of (Dimensions-1)/(p-1) and of the shares,
// with the long-run variance of that, see the package comment. Total and
// Generalised are too small in short series, see [SpreadOf], Generalised by a
// further factor exp(-(p+1)/4n') for n' independent strokes: their intervals allow
// for it. Dimensions is too, and is corrected. There are no intervals with fewer than 40 strokes, or where
// neighbours are so alike that they are worth fewer than 20 independent ones, or
// fewer than 5p. The ratios of [JointRatio] are had from 20 strokes a side.
//
// With fewer strokes than columns and kinds + 1 all is absent, with code
// "too-few". A column that does not scatter has no direction of its own:
// Generalised is absent then, with code "undefined".
//
// It is an error if there is no column, if one has no Scale above 0, an infinite
// value or a negative noise, if two have one name, and if NoiseCorrelation is
// not a correlation matrix. It panics if columns, Groups and Use differ in
// length.
func JointSpread(columns []Column, o JointOptions) (Joint, error) {
	j := Joint{Options: o}
	if o.Level == 0 {
		j.Options.Level = 0.95
	}
	if err := checkColumns(columns, o); err != nil {
		return j, err
	}
	for _, c := range columns {
		j.Names, j.Scales = append(j.Names, c.Name), append(j.Scales, c.Scale)
	}
	f := newJointFit(columns, j.Options)
	if f.n < f.p+f.groups+1 {
		j.refuse("too-few", fmt.Sprintf("%d strokes have all that is needed, and %d columns need %d", f.n, f.p, f.p+f.groups+1))
		return j, nil
	}
	if o.Robust {
		j.Outlying = f.leaveOut()
	}
	j.N = f.n
	f.covariances()
	j.fill(f, columns)
	return j, nil
}

func (j *Joint) refuse(code, why string) {
	absent := func(what string) estimate.Value[float64] { return estimate.Missing[float64](code, what, why) }
	j.Total, j.Generalised, j.Dimensions = absent("total spread"), absent("generalised spread"), absent("number of directions")
	j.total, j.generalised = j.Total, j.Generalised
}

func checkColumns(columns []Column, o JointOptions) error {
	if len(columns) == 0 {
		return fmt.Errorf("variability: no column to take a joint spread of")
	}
	n := len(columns[0].Values)
	if o.Groups != nil && len(o.Groups) != n || o.Use != nil && len(o.Use) != n {
		panic("variability: columns, groups and use differ in length")
	}
	names := map[string]bool{}
	for _, c := range columns {
		if len(c.Values) != n || c.Noises != nil && len(c.Noises) != n {
			panic("variability: columns differ in length")
		}
		switch {
		case names[c.Name]:
			return fmt.Errorf("variability: two columns are named %q", c.Name)
		case !(c.Scale > 0) || math.IsInf(c.Scale, 0):
			return fmt.Errorf("variability: column %q has scale %v; say how much of it counts as one, such as a tolerance", c.Name, c.Scale)
		case c.Noise < 0 || math.IsInf(c.Noise, 0):
			return fmt.Errorf("variability: column %q has noise %v", c.Name, c.Noise)
		case c.Period < 0 || math.IsInf(c.Period, 0) || math.IsNaN(c.Period):
			return fmt.Errorf("variability: column %q has period %v", c.Name, c.Period)
		}
		names[c.Name] = true
		for i, v := range c.Values {
			if math.IsInf(v, 0) {
				return fmt.Errorf("variability: column %q, stroke %d is %v", c.Name, i, v)
			}
			if c.Noises != nil && (c.Noises[i] < 0 || math.IsInf(c.Noises[i], 0)) {
				return fmt.Errorf("variability: column %q, stroke %d has noise %v", c.Name, i, c.Noises[i])
			}
		}
	}
	return checkCorrelation(o.NoiseCorrelation, len(columns))
}

// checkCorrelation returns an error for what is neither nil nor a correlation
// matrix of p columns.
func checkCorrelation(r [][]float64, p int) error {
	if r == nil {
		return nil
	}
	if len(r) != p {
		return fmt.Errorf("variability: noise correlation of %d rows for %d columns", len(r), p)
	}
	m := mat.NewSymDense(p, nil)
	for a, row := range r {
		if len(row) != p || row[a] != 1 {
			return fmt.Errorf("variability: row %d of the noise correlation has %d values and is not 1 at its own place", a, len(row))
		}
		for b, v := range row {
			if !(v >= -1 && v <= 1) || v != r[b][a] {
				return fmt.Errorf("variability: noise correlation %v of columns %d and %d", v, a, b)
			}
			m.SetSym(a, b, v)
		}
	}
	var e mat.EigenSym
	if !e.Factorize(m, false) || e.Values(nil)[0] < -1e-9 {
		return fmt.Errorf("variability: no noise has such correlations: the matrix has a negative eigenvalue")
	}
	return nil
}
