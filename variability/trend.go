package variability

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"sort"

	"github.com/plectrace/plectrace/variability/estimate"
	"github.com/plectrace/plectrace/variability/robust"
	"gonum.org/v1/gonum/floats"
	"gonum.org/v1/gonum/stat/combin"
	"gonum.org/v1/gonum/stat/distuv"
)

// TrendOptions are the settings of [Trend]. The zero value is for a series of
// strokes.
type TrendOptions struct {
	// Level of the interval. Zero means 0.95, negative means none.
	Level float64
	// Independent says that values do not depend on each other, such as one
	// number per take. Test and interval are then the exact ones.
	Independent bool
	// Cycles averages values two by two, see [EarlyLateOptions].
	Cycles bool
}

// TrendResult is what [Trend] found.
type TrendResult struct {
	// Slope is the median slope of all pairs of values, in their unit per unit
	// of the times; Change is Slope times the range of the times.
	Slope, Change estimate.Value[float64]
	// Tau is Kendall's τ-b between values and times, 1 if they always rise. It
	// is NaN without a test.
	Tau float64
	// P is the two-sided probability without a trend, Least the smallest that
	// so many values could give.
	P, Least float64
	// Alike is by how much the likeness of neighbours multiplies the variance
	// of Kendall's S: 1 if they are independent.
	Alike float64
	// N is the number of values.
	N int
	// Absent says why there is no test.
	Absent *estimate.Absence
	// Options are the options used, defaults filled in.
	Options TrendOptions
}

// Trend tells whether values rise or fall over time, and by how much. times
// are strictly increasing, in seconds for strokes; for takes they may be days, or
// simply 1, 2, 3.
//
// Slope is that of Theil (1950) and Sen (1968), and the test is that of Mann
// (1945) and Kendall: of all pairs of values, do more rise than fall? Neither
// minds a few wild values, nor a change of scale that keeps the order.
//
// Strokes close to each other are alike, and the usual corrections for that are
// known to be liberal. S, the number of rising less that of falling pairs, is to
// first order a sum of the values' ranks with weights that rise evenly, so its
// variance grows with the long-run variance of the ranks:
//
//	t = S/√(Var S · V/s²), compared with Student's t
//	slopes of rank (M ∓ t √(Var S · V/s²))/2 bound the slope, of M pairs
//
// where s² is the variance and V the long-run variance of the ranks of what is
// left when the line is taken off, see the package comment. It needs 20 values.
// P is never below 2/(q+1)!, the least that q+1 blocks in order could give.
//
// With Independent, P is exact, by the distribution of S up to 60 values (by all
// orders of the values, up to 8 where some are equal), and normal beyond.
// The interval has the exact level that is given with it, which is at least the
// one asked for up to 60 values. It needs 5 values.
//
// A series that holds settled spans on several levels wanders, and so seems to
// have a trend more often than P says, see the package comment.
//
// Missing values (NaN) are left out, their neighbours joined. Below the number
// of values needed, the test is absent with code "too-few" and Slope has no
// interval; below two all is absent. Equal values have slope 0, P 1 and no
// interval.
//
// It is an error if a time is not finite or not after the one before, and if a
// value is infinite. It panics if times and values differ in length.
func Trend(times, values []float64, o TrendOptions) (TrendResult, error) {
	if len(times) != len(values) {
		panic("variability: times and values differ in length")
	}
	if err := checkSeries(times, values); err != nil {
		return TrendResult{}, err
	}
	if o.Level == 0 {
		o.Level = 0.95
	}
	if o.Cycles {
		times, values = cycles(times, values)
	}
	t, x := known(times, values)
	n := len(x)
	nan := math.NaN()
	r := TrendResult{Tau: nan, P: nan, Least: nan, Alike: nan, N: n, Options: o}
	if n < 2 {
		r.Slope = estimate.Missing[float64]("too-few", "trend", "a trend needs two values")
		r.Change, r.Absent = r.Slope, r.Slope.Absent
		return r, nil
	}
	r.Slope = estimate.Value[float64]{Value: medianSlope(t, x), Low: nan, High: nan, N: n}
	needs := fewestTrend
	if o.Independent {
		needs = 5
	}
	s := robust.MannKendall(x)
	switch {
	case n < needs:
		r.Absent = &estimate.Absence{Code: "too-few", What: "test of a trend", Why: fmt.Sprintf("there are %d values, and it needs %d", n, needs)}
	case !(s.Var > 0): // all are equal
		r.Tau, r.P, r.Least = s.Tau, 1, 1
	case o.Independent:
		r.Alike = 1
		r.independent(t, x, s)
	default:
		r.series(t, x, s)
	}
	r.Change = r.Slope
	span := t[n-1] - t[0]
	r.Change.Value, r.Change.Low, r.Change.High = span*r.Change.Value, span*r.Change.Low, span*r.Change.High
	return r, nil
}

// series is the test, and the interval, of values of which neighbours are
// alike.
func (r *TrendResult) series(t, x []float64, s robust.Trend) {
	rest := make([]float64, len(x))
	for i := range x {
		rest[i] = x[i] - r.Slope.Value*(t[i]-t[0])
	}
	u := midRanks(rest)
	mean := meanOf(u)
	var square float64
	for _, v := range u {
		square += (v - mean) * (v - mean)
	}
	v, df := longRunAboutLine(u)
	r.Tau = s.Tau
	r.Least = 2 / math.Gamma(df+3) // (q+1)!, q = df+1
	if !(square > 0) || !(v > 0) { // a straight line
		r.Alike, r.P = math.NaN(), r.Least
		return
	}
	r.Alike = v / (square / float64(len(u)))
	sd := math.Sqrt(s.Var * r.Alike)
	student := distuv.StudentsT{Sigma: 1, Nu: df}
	r.P = max(r.Least, min(1, 2*student.Survival(math.Abs(s.S)/sd)))
	if level := r.Options.Level; level > 0 && level < 1 {
		half := student.Quantile((1+level)/2) * sd
		m := float64(len(x)) * float64(len(x)-1) / 2
		low := int64(math.RoundToEven((m-half)/2)) - 1
		r.bound(t, x, low, int64(m)-1-low, level)
	}
}

// medianSlope returns the median slope of all pairs of points, that of
// robust.TheilSen, of strictly increasing times.
func medianSlope(t, x []float64) float64 {
	m := int64(len(x)) * int64(len(x)-1) / 2
	if m%2 == 1 {
		return robust.SlopesAt(t, x, m/2)[0]
	}
	at := robust.SlopesAt(t, x, m/2-1, m/2)
	return at[0] + (at[1]-at[0])/2
}

// bound sets the bounds of the slope to the slopes of two ranks.
func (r *TrendResult) bound(t, x []float64, low, high int64, level float64) {
	if low < 0 || low > high {
		return
	}
	at := robust.SlopesAt(t, x, low, high)
	r.Slope.Low, r.Slope.High, r.Slope.Level = at[0], at[1], level
}

const (
	mostExact = 60 // values up to which the distribution of S is computed
	mostTied  = 8  // the same with equal values, by all orders
)

// independent is the test, and the interval, of independent values.
func (r *TrendResult) independent(t, x []float64, s robust.Trend) {
	n := len(x)
	r.Tau, r.P, r.Least = s.Tau, s.P, 0
	sorted := slices.Clone(x)
	slices.Sort(sorted)
	tied := len(slices.Compact(sorted)) < n
	switch {
	case !tied && n <= mostExact:
		r.P, r.Least = robust.KendallP(n, int(math.Abs(s.S))), robust.KendallP(n, n*(n-1)/2)
	case tied && n <= mostTied:
		r.P, r.Least = allOrders(x, s.S)
	}
	level := r.Options.Level
	if !(level > 0 && level < 1) {
		return
	}
	m := int64(n) * int64(n-1) / 2
	if n > mostExact {
		half := distuv.UnitNormal.Quantile((1+level)/2) * math.Sqrt(s.Var)
		low := int64(math.RoundToEven((float64(m)-half)/2)) - 1
		r.bound(t, x, low, m-1-low, level)
		return
	}
	// The smallest k, of the parity of m, that |S| reaches seldom enough.
	k := sort.Search(int(m)/2+1, func(i int) bool { return robust.KendallP(n, int(m)%2+2*i) <= 1-level })
	if k = int(m)%2 + 2*k; int64(k) <= m {
		low := (m - int64(k)) / 2
		r.bound(t, x, low, m-1-low, 1-robust.KendallP(n, k))
	}
}

// allOrders returns the share of all orders of x with an S at least as far from
// 0, and the smallest such share.
func allOrders(x []float64, s float64) (p, least float64) {
	var hits, most, atMost, all float64
	g := combin.NewPermutationGenerator(len(x), len(x))
	order := make([]int, len(x))
	for g.Next() {
		g.Permutation(order)
		var sum float64
		for j := range order {
			for i := range j {
				sum += float64(cmp.Compare(x[order[j]], x[order[i]]))
			}
		}
		sum = math.Abs(sum)
		all++
		if sum >= math.Abs(s) {
			hits++
		}
		if sum > most {
			most, atMost = sum, 0
		}
		if sum == most {
			atMost++
		}
	}
	return hits / all, atMost / all
}

// midRanks returns the ranks of xs from 1, equal values sharing their mean rank.
func midRanks(xs []float64) []float64 {
	sorted, order := slices.Clone(xs), make([]int, len(xs))
	floats.Argsort(sorted, order)
	out := make([]float64, len(xs))
	for i := 0; i < len(sorted); {
		j := i + 1
		for j < len(sorted) && sorted[j] == sorted[i] {
			j++
		}
		for k := i; k < j; k++ {
			out[order[k]] = float64(i+j+1) / 2
		}
		i = j
	}
	return out
}
