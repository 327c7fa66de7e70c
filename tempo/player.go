package tempo

import (
	"math"
	"math/cmplx"
	"math/rand/v2"
	"slices"

	"gonum.org/v1/gonum/dsp/fourier"
	"gonum.org/v1/gonum/stat/distuv"
)

// A player keeps a constant rate with the timing variability of a take: what
// the take's slope, or its quickest stretch, has to be held against. The
// logarithm of a stroke's duration is
//
//	w(n) + u(n) + e(n+1) - e(n)
//
// with a clock w, an autoregression of first order with correlation φ (Wing and
// Kristofferson's clock is that with φ = 0), a slow wander u beside it, such as
// of a rate that changes its level for seconds, which is an autoregression with
// ψ, and the jitter e of the turns. With a(φ) for the power of an autoregression
// of unit variance, (1-φ²)/(1 - 2φ cos ω + φ²), the power at the angular
// frequency ω is
//
//	s ((1-m) ((1-v) a(φ) + v a(ψ)) + m (1 - cos ω))
//
// where s is the variance, m the share of it that is jitter and v the wander's
// share of the rest. None of φ, ψ, m and v is known well from a take of a few
// seconds, and what is slow decides. So none is estimated: all of a grid are
// weighted by their likelihood, from the discrete cosine transform of the take's
// strokes (Whittle 1953), and each simulated take draws its own anew.
type player struct {
	models []model
	weight []float64 // cumulated, of the models
	square []float64 // Σ c²/power, for unit variance
	n      int       // strokes
	free   float64   // number of coefficients
	leaps  [][]leap  // of each correlation, as they were asked for
}

// correlations are those that clocks and wanders have.
var correlations = []float64{0, 0.15, 0.3, 0.45, 0.6, 0.7, 0.78, 0.85, 0.9, 0.94, 0.97, 0.985, 0.993}

// model is a point of the grid.
type model struct {
	clock, wander int     // indices of correlations
	jitter        float64 // share m
	slow          float64 // share v, 0 for no wander
	prior         float64 // how likely before the take is seen, as a logarithm
}

// The models: clocks have no wander, wanderers may have one. Of these a model
// without a wander is ten times as likely as one with it, before the take is
// seen: all of them together, seven times. With more weight on wanders, takes
// without one have too wide intervals; with less, those with one too narrow
// ones (see TestCalibrateDrift and TestCalibrateSpans). What asks only for the
// quicker part of a take's variability does without.
var clocks, wanderers = grid()

func grid() (clocks, all []model) {
	for clock := range correlations[:11] {
		for _, jitter := range []float64{0, 0.15, 0.3, 0.45, 0.6, 0.7, 0.8, 0.88, 0.94, 0.98, 1} {
			all = append(all, model{clock: clock, jitter: jitter, prior: math.Log(10)})
		}
	}
	clocks = all
	for _, clock := range []int{0, 2, 4} {
		for _, wander := range []int{10, 11, 12} {
			for _, jitter := range []float64{0, 0.3, 0.6, 0.8, 0.94} {
				for _, slow := range []float64{0.1, 0.25, 0.5, 0.75} {
					all = append(all, model{clock: clock, wander: wander, jitter: jitter, slow: slow})
				}
			}
		}
	}
	return clocks, all
}

// power returns that of m for unit variance at a frequency of which cos is the
// cosine, where the autoregressions of all correlations have the powers auto.
func (m *model) power(auto []float64, cos float64) float64 {
	a := auto[m.clock]
	if m.slow > 0 {
		a += m.slow * (auto[m.wander] - a)
	}
	return (1-m.jitter)*a + m.jitter*(1-cos)
}

// autoregressions fills auto with the powers of all correlations.
func autoregressions(auto []float64, cos float64) {
	for k, phi := range correlations {
		auto[k] = (1 - phi*phi) / (1 - 2*phi*cos + phi*phi)
	}
}

// leastStrokes is the number of strokes below which nothing is said of a
// player's variability.
const leastStrokes = 48

// newPlayer weights models for strokes y about their line, as strokes.logs
// returns them, by their cosine components from the first given one on. A line
// takes the lowest component with it, so that first is 2 at least. The highest
// tenth is left out: it holds what is left of the difference between down- and
// upstrokes. Where their number makes a transform slow, a few of the last
// strokes are left out too (see easyLength).
func newPlayer(y []float64, first int, models []model) *player {
	return playerOf(cosines(y), first, models)
}

// playerOf is newPlayer of strokes whose cosine components are known.
func playerOf(c []float64, first int, models []model) *player {
	n := len(c)
	last := n * 9 / 10
	p := &player{models: models, n: n, free: float64(last - first), leaps: make([][]leap, len(correlations))}
	cos, auto := make([]float64, n), make([]float64, n*len(correlations))
	for j := range cos {
		cos[j] = math.Cos(math.Pi * float64(j) / float64(n))
		autoregressions(auto[j*len(correlations):(j+1)*len(correlations)], cos[j])
	}
	var best float64
	for k := range models {
		var logs, sum float64
		product := 1.0
		for j := first; j < last; j++ {
			power := models[k].power(auto[j*len(correlations):(j+1)*len(correlations)], cos[j])
			sum += c[j] * c[j] / power
			if product *= power; product < 1e-100 || product > 1e100 {
				logs += math.Log(product)
				product = 1
			}
		}
		logs += math.Log(product)
		l := models[k].prior // strokes without any scatter tell nothing
		if sum > 0 {
			l -= logs/2 + p.free/2*math.Log(sum)
		}
		p.weight = append(p.weight, l)
		p.square = append(p.square, sum)
		if k == 0 || l > best {
			best = l
		}
	}
	var sum float64
	for i, l := range p.weight {
		sum += math.Exp(l - best)
		p.weight[i] = sum
	}
	return p
}

// cosines returns the orthonormal cosine transform (type II) of y, of its first
// values where its length has large factors (see easyLength).
func cosines(y []float64) []float64 {
	n := easyLength(len(y))
	both := make([]float64, 2*n)
	for i, v := range y[:n] {
		both[i], both[2*n-1-i] = v, v
	}
	coeff := fourier.NewFFT(2*n).Coefficients(nil, both)
	c := make([]float64, n)
	for j := range c {
		c[j] = real(coeff[j]*cmplx.Exp(complex(0, -math.Pi*float64(j)/float64(2*n)))) / math.Sqrt(2*float64(n))
	}
	c[0] /= math.Sqrt2
	return c
}

// easyLength returns the largest product of 2, 3 and 5 up to n: a length that
// the FFT is quick for.
func easyLength(n int) int {
	for ; n > 1; n-- {
		rest := n
		for _, p := range []int{2, 3, 5} {
			for rest%p == 0 {
				rest /= p
			}
		}
		if rest == 1 {
			break
		}
	}
	return n
}

// draw fills means with those of blocks of the log durations of a take about 0,
// without the difference between down- and upstrokes. All blocks hold size
// strokes but the last, which holds last.
func (p *player) draw(means []float64, size, last int, rng *rand.Rand) {
	u := rng.Float64() * p.weight[len(p.weight)-1]
	k, _ := slices.BinarySearch(p.weight, u)
	k = min(k, len(p.weight)-1)
	m := &p.models[k]
	s := p.square[k] / (distuv.ChiSquared{K: p.free, Src: rng}).Rand()
	clock, slow := math.Sqrt(s*(1-m.jitter)*(1-m.slow)), math.Sqrt(s*(1-m.jitter)*m.slow)
	jitter := math.Sqrt(s * m.jitter / 2)
	w, u, e := rng.NormFloat64(), rng.NormFloat64(), rng.NormFloat64()
	for b := range means {
		n := size
		if b == len(means)-1 {
			n = last
		}
		next := rng.NormFloat64()
		sum := clock*p.leap(m.clock, n).over(&w, rng) + jitter*(next-e)
		if m.slow > 0 {
			sum += slow * p.leap(m.wander, n).over(&u, rng)
		}
		means[b] = sum / float64(n)
		e = next
	}
}

// leap is what an autoregression does over a block in one step: from its value w
// at the first stroke, with two normal numbers z and y,
//
//	sum over the block   sum w + both z + rest y
//	value after it       decay w + end z
type leap struct {
	strokes                     int
	sum, both, rest, decay, end float64
}

// over draws the sum over the block, and leads w to the value after it.
func (l leap) over(w *float64, rng *rand.Rand) (sum float64) {
	z := rng.NormFloat64()
	sum = l.sum**w + l.both*z + l.rest*rng.NormFloat64()
	*w = l.decay**w + l.end*z
	return sum
}

// leap returns that of a correlation and a number of strokes.
func (p *player) leap(which, strokes int) leap {
	for _, l := range p.leaps[which] {
		if l.strokes == strokes {
			return l
		}
	}
	phi := correlations[which]
	l := leap{strokes: strokes}
	// What the fresh number of stroke j, from 1 on, does to the end is φ^(n-j),
	// and to the sum what is between.
	var sumSquare, cross, endSquare float64
	power, sum := 1.0, 0.0
	for j := strokes; j >= 1; j-- {
		fresh := 1 - phi*phi
		endSquare += fresh * power * power
		cross += fresh * power * sum
		sumSquare += fresh * sum * sum
		sum += power
		power *= phi
	}
	l.sum, l.decay, l.end = sum, power, math.Sqrt(endSquare)
	l.both = cross / l.end
	l.rest = math.Sqrt(max(0, sumSquare-l.both*l.both))
	p.leaps[which] = append(p.leaps[which], l)
	return l
}

// covariance returns that of the log durations of cycles 0, 1, … strokes apart,
// the mean over the grid: a cycle is the mean of two neighbouring strokes.
func (p *player) covariance(lags int) []float64 {
	single := make([]float64, lags+2)
	before := 0.0
	for k, w := range p.weight {
		m := &p.models[k]
		s := (w - before) / p.weight[len(p.weight)-1] * p.square[k] / p.free
		before = w
		single[0] += s * m.jitter
		single[1] -= s * m.jitter / 2
		clock, slow := s*(1-m.jitter)*(1-m.slow), s*(1-m.jitter)*m.slow
		for lag := range single {
			single[lag] += clock + slow
			clock *= correlations[m.clock]
			slow *= correlations[m.wander]
		}
	}
	c := make([]float64, lags+1)
	for lag := range c {
		c[lag] = (2*single[lag] + single[max(lag-1, 1-lag)] + single[lag+1]) / 4
	}
	return c
}

// memory returns how many strokes of clock and wander tell as much as one
// independent one, the mean over the grid.
func (p *player) memory() (strokes float64) {
	long := func(which int) float64 { return (1 + correlations[which]) / (1 - correlations[which]) }
	before := 0.0
	for k, w := range p.weight {
		if m := &p.models[k]; m.jitter < 1 {
			strokes += (w - before) / p.weight[len(p.weight)-1] * ((1-m.slow)*long(m.clock) + m.slow*long(m.wander))
		}
		before = w
	}
	return strokes
}

// low returns the variance of the lowest cosine component, the geometric mean
// over the grid.
func (p *player) low() (v float64) {
	before, cos := 0.0, math.Cos(math.Pi/float64(p.n))
	auto := make([]float64, len(correlations))
	autoregressions(auto, cos)
	for k, w := range p.weight {
		if power := p.models[k].power(auto, cos) * p.square[k] / p.free; power > 0 {
			v += (w - before) / p.weight[len(p.weight)-1] * math.Log(power)
		}
		before = w
	}
	return math.Exp(v)
}
