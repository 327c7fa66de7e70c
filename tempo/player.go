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
//	w(n) + e(n+1) - e(n)
//
// with a clock w, an autoregression of first order with correlation φ (Wing and
// Kristofferson's clock is that with φ = 0), and the jitter e of the turns. Its
// power at the angular frequency ω is
//
//	s ((1-m) (1-φ²)/(1 - 2φ cos ω + φ²) + m (1 - cos ω))
//
// where s is the variance and m the share of it that is jitter. Neither φ nor m
// is known well from a take of a few seconds, and the large φ decide. So none
// is estimated: all pairs of a grid are weighted by their likelihood, from the
// discrete cosine transform of the take's strokes (Whittle 1953), and each
// simulated take draws its pair anew.
type player struct {
	weight []float64 // cumulated, of the pairs of correlations and shares
	square []float64 // Σ c²/power, for unit variance
	n      int       // strokes
	free   float64   // number of coefficients
	leaps  [][]leap  // of each correlation, as they were asked for
}

// The grid: evenly likely before the take is seen.
var (
	correlations = []float64{0, 0.15, 0.3, 0.45, 0.6, 0.7, 0.78, 0.85, 0.9, 0.94, 0.97}
	shares       = []float64{0, 0.15, 0.3, 0.45, 0.6, 0.7, 0.8, 0.88, 0.94, 0.98, 1}
)

// leastStrokes is the number of strokes below which nothing is said of a
// player's variability.
const leastStrokes = 48

// newPlayer weights the grid for strokes y about their line, as strokes.logs
// returns them, by their cosine components from the first given one on. A line
// takes the lowest component with it, so that first is 2 at least. The highest
// tenth is left out: it holds what is left of the difference between down- and
// upstrokes. Where their number makes a transform slow, a few of the last
// strokes are left out too (see easyLength).
func newPlayer(y []float64, first int) *player {
	c := cosines(y)
	n := len(c)
	last := n * 9 / 10
	p := &player{n: n, free: float64(last - first), leaps: make([][]leap, len(correlations))}
	cos := make([]float64, n)
	for j := range cos {
		cos[j] = math.Cos(math.Pi * float64(j) / float64(n))
	}
	var best float64
	for _, phi := range correlations {
		for _, m := range shares {
			var logs, sum float64
			product := 1.0
			for j := first; j < last; j++ {
				power := (1-m)*(1-phi*phi)/(1-2*phi*cos[j]+phi*phi) + m*(1-cos[j])
				sum += c[j] * c[j] / power
				if product *= power; product < 1e-100 || product > 1e100 {
					logs += math.Log(product)
					product = 1
				}
			}
			logs += math.Log(product)
			l := 0.0 // strokes without any scatter weight all alike
			if sum > 0 {
				l = -logs/2 - p.free/2*math.Log(sum)
			}
			p.weight = append(p.weight, l)
			p.square = append(p.square, sum)
			if len(p.weight) == 1 || l > best {
				best = l
			}
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
	which, m := k/len(shares), shares[k%len(shares)]
	s := p.square[k] / (distuv.ChiSquared{K: p.free, Src: rng}).Rand()
	clock, jitter := math.Sqrt(s*(1-m)), math.Sqrt(s*m/2)
	w, e := rng.NormFloat64(), rng.NormFloat64()
	for b := range means {
		n := size
		if b == len(means)-1 {
			n = last
		}
		l := p.leap(which, n)
		z, next := rng.NormFloat64(), rng.NormFloat64()
		sum := l.sum*w + l.both*z + l.rest*rng.NormFloat64()
		means[b] = (clock*sum + jitter*(next-e)) / float64(n)
		w, e = l.decay*w+l.end*z, next
	}
}

// leap is what the clock does over a block in one step: from its value w at the
// first stroke, with two normal numbers z and y,
//
//	sum over the block   sum w + both z + rest y
//	value after it       decay w + end z
type leap struct {
	strokes                     int
	sum, both, rest, decay, end float64
}

// leap returns that of a correlation of the grid and a number of strokes.
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
		phi, m := correlations[k/len(shares)], shares[k%len(shares)]
		s := (w - before) / p.weight[len(p.weight)-1] * p.square[k] / p.free
		before = w
		single[0] += s * m
		single[1] -= s * m / 2
		power := s * (1 - m)
		for lag := range single {
			single[lag] += power
			power *= phi
		}
	}
	c := make([]float64, lags+1)
	for lag := range c {
		c[lag] = (2*single[lag] + single[max(lag-1, 1-lag)] + single[lag+1]) / 4
	}
	return c
}

// memory returns how many strokes of the clock tell as much as one independent
// one, the mean over the grid.
func (p *player) memory() (strokes float64) {
	before := 0.0
	for k, w := range p.weight {
		phi, m := correlations[k/len(shares)], shares[k%len(shares)]
		if m < 1 {
			strokes += (w - before) / p.weight[len(p.weight)-1] * (1 + phi) / (1 - phi)
		}
		before = w
	}
	return strokes
}

// low returns the variance of the lowest cosine component, the geometric mean
// over the grid.
func (p *player) low() (v float64) {
	before, cos := 0.0, math.Cos(math.Pi/float64(p.n))
	for k, w := range p.weight {
		phi, m := correlations[k/len(shares)], shares[k%len(shares)]
		power := (1-m)*(1-phi*phi)/(1-2*phi*cos+phi*phi) + m*(1-cos)
		if power *= p.square[k] / p.free; power > 0 {
			v += (w - before) / p.weight[len(p.weight)-1] * math.Log(power)
		}
		before = w
	}
	return math.Exp(v)
}
