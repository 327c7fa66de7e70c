package motion

import (
	"fmt"
	"math"

	"gonum.org/v1/gonum/dsp/fourier"

	"github.com/plectrace/plectrace/trajectory"
)

// Analyzer does what [Analyze] does, again and again, in memory that it keeps.
// Its zero value is ready for use.
//
// With [Analyzer.Keep] it goes through one take piece by piece, as a program does
// that looks at the last seconds of a stream. What the take has shown so far, its
// noise, its rate, how its strokes run and bend, then stands beside what the piece
// shows of them, as it would if the take were analysed as a whole. Pieces of about
// one length allocate nothing after the first few. Why there are no strokes is said of every piece, why all strokes lack
// a quantity of the first alone.
type Analyzer struct {
	pools   pools
	grid    grid
	search  search
	shaper  shaper
	chain   chain
	fft     fourier.FFT
	motion  Motion
	runs    []run             // of the path
	path    trajectory.Placed // that was analysed last
	uniform trajectory.Placed
	space   trajectory.Workspace
	found   bool // whether its strokes were measured
	few     fewSamples
	seen    memory
}

// pools are the memory that one call takes what it needs from.
type pools struct {
	floats pool[float64]
	cols   pool[[]float64]
	axes   pool[[3]float64]
	ints   pool[int]
	fits   pool[turnFit]
	shaped pool[shaped]
	powers pool[complex128]
}

func (p *pools) reset() {
	p.floats.reset()
	p.cols.reset()
	p.axes.reset()
	p.ints.reset()
	p.fits.reset()
	p.shaped.reset()
	p.powers.reset()
}

// matrix returns columns of zeros.
func (p *pools) matrix(cols, n int) [][]float64 {
	m := p.cols.take(cols)
	for i := range m {
		m[i] = p.floats.take(n)
	}
	return m
}

// columns returns those of q that hold data; see axes.
func (p *pools) columns(q trajectory.Placed) (cols [][]float64, along, out int) {
	return axes(p.cols.take(3)[:0], q)
}

// pool hands out slices of one block, which grows to what a call needed in all.
type pool[T any] struct {
	block  []T
	used   int
	demand int // of this call, what did not fit included
	peak   int // the most of it that was wanted before some was given back
}

// take returns n zero values.
func (p *pool[T]) take(n int) []T {
	p.demand += n
	if p.used+n > len(p.block) {
		return make([]T, n)
	}
	x := p.block[p.used : p.used+n : p.used+n]
	p.used += n
	clear(x)
	return x
}

// back takes back all that was handed out since p was as it was then.
func (p *pool[T]) back(then pool[T]) {
	p.peak = max(p.peak, p.demand)
	p.used, p.demand = then.used, then.demand
}

// reset takes back all that was handed out.
func (p *pool[T]) reset() {
	if need := max(p.peak, p.demand); need > len(p.block) {
		p.block = make([]T, need+need/2)
	}
	p.used, p.demand, p.peak = 0, 0, 0
}

// begin makes m an empty result.
func (a *Analyzer) begin(p trajectory.Placed, o Options) *Motion {
	a.pools.reset()
	a.path, a.found = p, false
	a.motion = Motion{
		Options: o, Unit: p.Unit, Cycle: math.NaN(), SamplesPerStroke: math.NaN(), Noise: math.NaN(),
		Strokes: a.motion.Strokes[:0], Pauses: a.motion.Pauses[:0], Absent: a.motion.Absent[:0],
	}
	return &a.motion
}

// fewSamples are the reasons why there are no strokes, by tenths of a sample per
// stroke: a stream of which each piece has one allocates each once.
type fewSamples [10*MinSamplesStrokes + 1]string

// why is the reason for so many samples per stroke, fewer than MinSamplesStrokes.
func (f *fewSamples) why(perStroke float64) string {
	tenths := int(math.Round(10 * perStroke))
	if f[tenths] == "" {
		f[tenths] = fmt.Sprintf("%.1f samples per stroke; strokes and their timing need %d", float64(tenths)/10, MinSamplesStrokes)
	}
	return f[tenths]
}
