package settling

import (
	"fmt"
	"math"
	"slices"

	"gonum.org/v1/gonum/stat/distuv"

	"github.com/plectrace/plectrace/variability/estimate"
	"github.com/plectrace/plectrace/variability/robust"
)

// Trend says whether something grows or shrinks from span to span of a kind.
type Trend struct {
	// Slope is the median of the slopes between any two spans (Theil 1950),
	// per span of the kind. It has no interval.
	Slope estimate.Value[float64]
	// Tau is Kendall's rank correlation with the order of the spans, over the
	// pairs between two breaks; NaN without one.
	Tau float64
	// P is the two-sided probability of so large a sum of rises less falls if
	// every order is as likely, and exact without ties; see Untested for where
	// it is absent.
	P estimate.Value[float64]
	// N is the number of spans that count: those that are cut off do not.
	N int
}

// LeastTrend is the number of whole spans below which no trend of them is tested: no
// order of four is rare enough, since the least p is 2/24.
const LeastTrend = 5

// trendOf compares ys within each of the groups, what lies between two breaks:
// a short group holds no long span, which says nothing of the player. S is the
// sum over the groups (Hirsch, Slack & Smith 1982), and its distribution the
// convolution of theirs.
func trendOf(what string, groups [][]float64) (t Trend) {
	var slopes []float64
	var s, variance, pairs float64
	ways := []float64{1} // by number of inversions: probability
	exact := true
	most := 0
	for _, ys := range groups {
		n := len(ys)
		t.N += n
		if n < 2 {
			continue
		}
		for i := range ys {
			for j := i + 1; j < n; j++ {
				slopes = append(slopes, (ys[j]-ys[i])/float64(j-i))
				exact = exact && ys[i] != ys[j]
			}
		}
		mk := robust.MannKendall(ys)
		s += mk.S
		variance += mk.Var
		most += n * (n - 1) / 2
		ways = inversions(ways, n)
	}
	pairs = float64(most)
	t.Tau = math.NaN()
	if pairs == 0 {
		whole := "none of the spans is"
		switch {
		case t.N == 1:
			whole = "only one of the spans is"
		case t.N > 1:
			whole = fmt.Sprintf("only %d of the spans are", t.N)
		}
		why := whole + " seen whole; two between the same two breaks are needed"
		t.Slope = estimate.Missing[float64]("too-few-spans", "trend of the "+what, why)
		t.P = estimate.Missing[float64]("too-few-spans", "test of the trend of the "+what, why)
		return t
	}
	t.Tau = s / pairs
	t.Slope = estimate.Value[float64]{Value: robust.MedianInPlace(slopes), Low: math.NaN(), High: math.NaN(), N: t.N}
	if t.N < LeastTrend {
		t.P = estimate.Missing[float64]("too-few-spans", "test of the trend of the "+what,
			fmt.Sprintf("%d whole spans are too few to tell a trend from chance; %d are needed", t.N, LeastTrend))
		return t
	}
	p := 1.0
	switch {
	case exact && most <= mostInversions:
		p = 0
		for k, w := range ways { // S = most - 2 inversions
			if math.Abs(float64(most-2*k)) >= math.Abs(s) {
				p += w
			}
		}
	case s != 0:
		p = 2 * distuv.UnitNormal.Survival((math.Abs(s)-1)/math.Sqrt(variance))
	}
	t.P = estimate.Value[float64]{Value: min(1, p), Low: math.NaN(), High: math.NaN(), N: t.N}
	return t
}

// mostInversions bounds the work of an exact distribution: twenty spans between
// two breaks.
const mostInversions = 190

// inversions convolves the distribution ways of a number of inversions with
// that of a random order of n more: Π (1 + q + … + q^(i-1))/i, i = 2 … n.
func inversions(ways []float64, n int) []float64 {
	for i := 2; i <= n && len(ways) <= mostInversions+1; i++ {
		next := make([]float64, len(ways)+i-1)
		for k, w := range ways {
			for d := range i {
				next[k+d] += w / float64(i)
			}
		}
		ways = next
	}
	return ways
}

// described takes the test off t.
func (t Trend) described(what, why string) Trend {
	t.P = estimate.Missing[float64]("defines-spans", "test of the trend of the "+what, why)
	return t
}

// byPart collects value of the stretches that are whole, in groups between
// breaks.
func byPart(ss []Stretch, parts []run, value func(s *Stretch) float64) [][]float64 {
	groups := make([][]float64, len(parts))
	for i := range ss {
		if s := &ss[i]; !s.CutStart && !s.CutEnd {
			k, _ := slices.BinarySearchFunc(parts, s.First, func(p run, at int) int {
				if p.hi <= at {
					return -1
				}
				return 1
			})
			groups[k] = append(groups[k], value(s))
		}
	}
	return groups
}
