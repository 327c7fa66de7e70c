package robust

import (
	"cmp"
	"math"
	"math/rand/v2"
	"slices"

	"gonum.org/v1/gonum/stat/distuv"
)

// Line is a straight line Intercept + Slope·x through N points. SlopeLow and
// SlopeHigh bound the slope at a confidence of 0.95; they are NaN where only
// the point estimate is defensible.
type Line struct {
	Slope, Intercept    float64
	SlopeLow, SlopeHigh float64
	N                   int
}

// At returns the height of the line at x.
func (l Line) At(x float64) float64 { return l.Intercept + l.Slope*x }

// TheilSen returns the line with the median of the slopes of all pairs of
// points as its slope (Theil 1950; pairs with equal x are left out, Sen 1968)
// and median(y) - slope·median(x) as its intercept. It bears 29 % of bad
// points.
//
// With M slopes and Kendall's σ² = Var S, corrected for ties in x and in y,
// the bounds are the slopes of rank (M ∓ 1.96σ)/2, rounded, the lower one
// counted from 1 and the upper one from 0. They are NaN if a rank falls
// outside the slopes, as it does below five points. They hold for independent
// errors: autocorrelated ones make them too narrow.
//
// Time is O(n log n) and memory O(n): a slope is selected by rank without
// forming the n²/2 slopes, through counting inversions (Cole, Salowe, Steiger
// and Szemerédi 1989) and narrowing the range by a random sample of the
// slopes in it (Matoušek 1991). The sample comes from a fixed stream, so the
// result is a function of the data alone, and equals that of sorting all
// slopes; only if a great many slopes agree to within rounding, any one of
// these is returned.
//
// Special cases are: all NaN if a value is NaN or infinite, or if no two
// points differ in x; the order of the points is of no importance. It panics
// if the lengths of x and y differ.
//
// # References
//
//   - H. Theil (1950), A rank-invariant method of linear and polynomial
//     regression analysis. Proc. K. Ned. Akad. Wet. 53, 386-392.
//   - P. K. Sen (1968), Estimates of the regression coefficient based on
//     Kendall's tau. JASA 63, 1379-1389.
//   - R. Cole, J. S. Salowe, W. L. Steiger and E. Szemerédi (1989), An
//     optimal-time algorithm for slope selection. SIAM J. Comput. 18, 792-810.
//   - J. Matoušek (1991), Randomized optimal algorithm for slope selection.
//     Inf. Process. Lett. 39, 183-187.
func TheilSen(x, y []float64) Line {
	if len(x) != len(y) {
		panic("robust: lengths of x and y differ")
	}
	nan := math.NaN()
	line := Line{nan, nan, nan, nan, len(x)}
	if slices.ContainsFunc(x, notFinite) || slices.ContainsFunc(y, notFinite) {
		return line
	}
	s := newSlopes(x, y)
	if s.total == 0 {
		return line
	}
	lo, hi := s.rank((s.total-1)/2, s.total/2)
	line.Slope = between(lo, hi, 0.5)
	line.Intercept = MedianInPlace(slices.Clone(y)) - line.Slope*MedianInPlace(slices.Clone(x))

	half := distuv.UnitNormal.Quantile(0.975) * math.Sqrt(kendallVariance(x, y))
	m := float64(s.total)
	low, high := math.RoundToEven((m-half)/2)-1, math.RoundToEven((m+half)/2)
	if low >= 0 && high < m {
		line.SlopeLow, _ = s.rank(int64(low), int64(low))
		line.SlopeHigh, _ = s.rank(int64(high), int64(high))
	}
	return line
}

func notFinite(x float64) bool { return math.IsNaN(x) || math.IsInf(x, 0) }

// slopes selects from the slopes of all pairs of points. Points i and j, x[i]
// < x[j], have a slope below s exactly if y - s·x is smaller at j than at i,
// so that the slopes in [a, b) are the inversions between the order of the
// points by y - a·x and their order by y - b·x.
type slopes struct {
	x, y   []float64 // by x, then by y
	total  int64     // pairs that differ in x
	cx, cy float64   // centres, to keep y - s·x small
	slack  float64   // rounding of y - s·x over the smallest step in x, per unit
	rng    *rand.Rand
	front  []keyed // points in the order at the lower end
	buf    []keyed
	swap   []keyed
	sample []float64 // slopes drawn or listed last
}

// keyed is a point with its place in an order.
type keyed struct {
	key float64
	at  int32
}

const (
	listed  = 8       // list the slopes in range once there are this many per point
	listMin = 1 << 14 // or fewer than this
	rounds  = 64      // narrowing steps; two or three do
	roundUp = 1.0 / (1 << 50)
)

func newSlopes(x, y []float64) *slopes {
	n := len(x)
	s := &slopes{x: make([]float64, n), y: make([]float64, n)}
	order := make([]int, n)
	for i := range order {
		order[i] = i
	}
	slices.SortFunc(order, func(a, b int) int {
		return cmp.Or(cmp.Compare(x[a], x[b]), cmp.Compare(y[a], y[b]))
	})
	for i, at := range order {
		s.x[i], s.y[i] = x[at], y[at]
	}
	s.total = int64(n) * int64(n-1) / 2
	step := math.Inf(1)
	for i, run := 1, int64(0); i < n; i++ {
		if d := s.x[i] - s.x[i-1]; d > 0 {
			step = min(step, d)
			run = 0
		} else {
			run++
			s.total -= run
		}
	}
	if s.total == 0 {
		return s
	}
	s.cx, s.cy = s.x[n/2], s.y[n/2]
	s.slack = roundUp / step
	s.rng = rand.New(rand.NewPCG(0x7468, 0x6c73))
	s.front, s.buf, s.swap = make([]keyed, n), make([]keyed, n), make([]keyed, n)
	return s
}

// slope returns the slope of points i and j.
func (s *slopes) slope(i, j int32) float64 {
	return (s.y[j] - s.y[i]) / (s.x[j] - s.x[i])
}

// key returns the height of point i seen along slope a.
func (s *slopes) key(a float64, i int) float64 {
	if math.IsInf(a, 1) {
		return -s.x[i]
	}
	return (s.y[i] - s.cy) - a*(s.x[i]-s.cx)
}

// margin returns by how much two slopes near a must differ to be told apart
// for certain.
func (s *slopes) margin(a float64) float64 {
	n := len(s.x)
	wide := max(s.x[n-1]-s.cx, s.cx-s.x[0])
	high := 0.0
	for _, y := range s.y {
		high = max(high, math.Abs(y-s.cy))
	}
	return max(s.slack*(high+math.Abs(a)*wide), 1e-200) // never 0, so that a margin parts equal slopes
}

// rank returns the slopes of rank k1 and k2, k1 ≤ k2, counted from 0.
func (s *slopes) rank(k1, k2 int64) (float64, float64) {
	hi := math.Inf(1)
	for i := range s.front {
		s.front[i].at = int32(i)
	}
	var below int64
	inside := s.total
	limit := max(listMin, listed*int64(len(s.x)))
	for range rounds {
		if inside <= limit {
			break
		}
		s.draw(hi, inside)
		if len(s.sample) == 0 { // what seemed inside was rounding
			break
		}
		a, b := s.bracket(k1-below, k2-below, inside)
		m := s.margin(max(math.Abs(a), math.Abs(b)))
		low, high := a-m, b+m
		atHigh, _ := s.order(high)
		atLow, front := s.order(low)
		if k1 >= atLow && k2 < atHigh {
			if b-a <= 2*m { // one value to within rounding
				return a, b
			}
			if atHigh-atLow == inside {
				// Many slopes equal a or b: part those at a from the rest.
				low = a + m
				atLow, front = s.order(low)
			}
		}
		switch {
		case k1 >= atLow && k2 < atHigh:
			copy(s.front, front)
			hi, below, inside = high, atLow, atHigh-atLow
		case k2 < atLow:
			hi, inside = low, atLow-below
		case k1 >= atHigh:
			_, front = s.order(high)
			copy(s.front, front)
			inside -= atHigh - below
			below = atHigh
		default: // one rank on either side of a bound
			one, _ := s.rank(k1, k1)
			two, _ := s.rank(k2, k2)
			return one, two
		}
	}
	s.sample = s.sample[:0]
	s.turnTo(hi)
	s.merge(nil, true)
	all := s.sample
	if len(all) == 0 {
		return hi, hi
	}
	i, j := int(k1-below), int(k2-below)
	i, j = min(max(i, 0), len(all)-1), min(max(j, 0), len(all)-1)
	return Select(all, i), Select(all, j)
}

// bracket returns two of the sampled slopes that very likely have the ranks
// k1 and k2 of the slopes inside between them.
func (s *slopes) bracket(k1, k2, inside int64) (a, b float64) {
	slices.Sort(s.sample)
	m := float64(len(s.sample))
	wide := 1.5 * math.Sqrt(m)
	i := int(float64(k1)/float64(inside)*m - wide)
	j := int(math.Ceil(float64(k2)/float64(inside)*m + wide))
	last := len(s.sample) - 1
	return s.sample[min(max(i, 0), last)], s.sample[max(min(j, last), 0)]
}

// draw fills sample with slopes drawn evenly from the inside slopes between
// the front order and hi.
func (s *slopes) draw(hi float64, inside int64) {
	wanted := make([]int64, max(256, len(s.x)))
	for i := range wanted {
		wanted[i] = s.rng.Int64N(inside)
	}
	slices.Sort(wanted)
	s.sample = s.sample[:0]
	s.turnTo(hi)
	s.merge(wanted, false)
}

// turnTo lays the points out in the front order with their keys at slope a.
func (s *slopes) turnTo(a float64) {
	for i, p := range s.front {
		s.buf[i] = keyed{s.key(a, int(p.at)), p.at}
	}
}

// order returns the number of slopes below a, and the points in their order
// at a, which is valid until the next call of a method.
func (s *slopes) order(a float64) (int64, []keyed) {
	for i := range s.buf {
		s.buf[i] = keyed{s.key(a, i), int32(i)}
	}
	return s.merge(nil, false), s.buf
}
