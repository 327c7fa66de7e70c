package tempo

import (
	"fmt"
	"math"
	"math/rand/v2"
	"slices"

	"gonum.org/v1/gonum/floats"
	"gonum.org/v1/gonum/stat"

	"github.com/plectrace/plectrace/variability/estimate"
	"github.com/plectrace/plectrace/variability/robust"
)

// FastestOptions are the settings of [Curve.Fastest].
type FastestOptions struct {
	// Beats are the lengths to look for. Nil means 1, 2, 4 and 8.
	Beats []int
	// Beat and Note say how many strokes a beat has. Quarters of quarters, the
	// zero value, mean sixteenths: 4 strokes a beat.
	Beat, Note NoteValue
	// StrokesPerBeat says it in a number, if it is not 0: 1 for a stroke a beat.
	StrokesPerBeat int
	// Draws is how many takes are simulated. Zero means 299, negative none.
	Draws int
	// Seed starts their random numbers.
	Seed uint64
}

// Fastest is the quickest stretch of one length.
type Fastest struct {
	// Beats and Strokes are its length.
	Beats, Strokes int
	// Rate is that of the quickest stretch, as measured, without an interval: it
	// was picked for being the quickest. Hold it beside Chance.
	Rate estimate.Value[NotesPerSecond]
	// Start is when it begins, in seconds, NaN if there is none.
	Start float64
	// Chance is the quickest stretch that a player of one constant rate with
	// this take's variability shows by luck: the median, with the 5 % and the
	// 95 % quantile as bounds (Level 0.9).
	Chance estimate.Value[NotesPerSecond]
	// Beyond is true if Rate lies above the 95 % quantile of Chance.
	Beyond bool
}

// Fastest returns, for each length, the highest rate that the take holds over
// that many beats, and beside it what chance gives. In a long take some
// stretch is quick by luck: the shorter the stretch, and the more of them there
// are, the quicker. What luck gives is simulated: takes of this take's mean
// rate with its memory from stroke to stroke, the jitter of its turns and its
// difference between down and up, which scatter at each place as much as the take
// does there, in the same runs (see the package comment), with the slow drift along
// a line left out.
//
// A stretch reaches across no break and no repaired stroke. The rate is absent
// where the take holds no stretch that long, Chance for fewer than 48 strokes,
// more than a fifth of them repaired, or no draws.
//
// It is an error if the beat does not hold a whole number of notes, or if a
// length is below 1.
//
// In simulated takes of 100 and 400 strokes of one rate, with a clock that has a
// correlation of 0, 0.3, 0.6 and 0.9, with and without jitter of the turns and a
// difference between down and up, Beyond was true in 4 to 5 % of takes at each
// length, in 2 to 8 % of those of one kind, up to 11 % in the worst (0.9), and in 0
// to 2 % about a perfect pulse, whose ends the model takes for wandering (300 to 400
// takes of each kind: TestCalibrateFastest, also on seeds that were not used to
// choose the method). Of takes in which stretches of searching scatter five times as
// much as settled ones, it was true in 1 to 8 %, and in 11 % of short ones (140
// strokes, correlation 0.6, one or two beats): TestFastestInSpans -calibrate 400.
func (c Curve) Fastest(o FastestOptions) ([]Fastest, error) {
	each, err := o.strokes()
	if err != nil {
		return nil, err
	}
	beats := o.Beats
	if beats == nil {
		beats = []int{1, 2, 4, 8}
	}
	if o.Draws == 0 {
		o.Draws = 299
	}
	s := c.numbered.strokes()
	out := make([]Fastest, len(beats))
	starts := make([][]int, len(beats))
	base := s.meanRate(s.d)
	sums := make([]float64, len(s.d)+1)
	summed(sums, s.d)
	for k, b := range beats {
		if b < 1 {
			return nil, fmt.Errorf("tempo: a stretch of %d beats: lengths are 1 beat or more", b)
		}
		f := &out[k]
		f.Beats, f.Strokes, f.Start = b, b*each, math.NaN()
		starts[k] = s.stretches(f.Strokes)
		if len(starts[k]) == 0 {
			f.Rate = estimate.Missing[NotesPerSecond]("too-short", "fastest rate held",
				fmt.Sprintf("no %d strokes follow each other without a break or a repaired stroke", f.Strokes))
			f.Chance = estimate.Value[NotesPerSecond]{Absent: f.Rate.Absent}
			continue
		}
		rate, at := quickest(sums, starts[k], f.Strokes)
		f.Rate = estimate.Value[NotesPerSecond]{Value: NotesPerSecond(rate), Low: NotesPerSecond(math.NaN()), High: NotesPerSecond(math.NaN()), N: f.Strokes}
		f.Start = s.at[at]
	}
	why := tooFew(s)
	if why == nil && o.Draws < 0 {
		why = &reason{"not-asked", "no takes were to be simulated"}
	}
	var luck [][]float64
	if why == nil {
		luck = s.luck(out, starts, o)
	}
	for k := range out {
		f := &out[k]
		switch {
		case !f.Rate.Known():
		case why != nil:
			f.Chance = estimate.Value[NotesPerSecond]{Absent: why.of("fastest rate by chance")}
		default:
			at := func(p float64) NotesPerSecond { return NotesPerSecond(base * robust.QuantileInPlace(p, luck[k])) }
			f.Chance = estimate.Value[NotesPerSecond]{Value: at(0.5), Low: at(0.05), High: at(0.95), Level: 0.9, N: len(luck[k])}
			f.Beyond = f.Rate.Value > f.Chance.High
		}
	}
	return out, nil
}

// strokes returns how many strokes a beat has.
func (o FastestOptions) strokes() (int, error) {
	if o.StrokesPerBeat != 0 {
		if o.StrokesPerBeat < 1 {
			return 0, fmt.Errorf("tempo: %d strokes a beat: give 1 or more", o.StrokesPerBeat)
		}
		return o.StrokesPerBeat, nil
	}
	if (o.Beat == NoteValue{}) && (o.Note == NoteValue{}) {
		o.Note = Sixteenth
	}
	for _, v := range []NoteValue{o.Beat, o.Note} {
		if err := v.Validate(); err != nil {
			return 0, err
		}
	}
	n := o.Note.NotesPerBeat(o.Beat)
	if n < 1 || n != math.Trunc(n) || n > 1e6 {
		return 0, fmt.Errorf("tempo: a beat of %v holds %.4g notes of %v: choose a beat that holds a whole number of them", o.Beat, n, o.Note)
	}
	return int(n), nil
}

// stretches returns where so many strokes of one run begin, none repaired.
func (s strokes) stretches(length int) (starts []int) {
	clean := 0 // strokes up to here
	for i := range s.d {
		switch {
		case s.repaired[i]:
			clean = 0
		case i > 0 && s.run[i] != s.run[i-1]:
			clean = 1
		default:
			clean++
		}
		if clean >= length {
			starts = append(starts, i+1-length)
		}
	}
	return starts
}

// meanRate returns the rate of strokes of durations d, less the repaired ones.
func (s strokes) meanRate(d []float64) float64 {
	var sum float64
	count := 0
	for i, x := range d {
		if !s.repaired[i] {
			sum += x
			count++
		}
	}
	return float64(count) / sum
}

// summed stores the running sums of d in dst, which begins with 0 and holds one more.
func summed(dst, d []float64) {
	sum := 0.0
	for i, x := range d {
		sum += x
		dst[i+1] = sum
	}
}

// quickest returns the highest rate over so many strokes, and where it begins.
func quickest(sums []float64, starts []int, length int) (rate float64, at int) {
	least := math.Inf(1)
	for _, i := range starts {
		if d := sums[i+length] - sums[i]; d < least {
			least, at = d, i
		}
	}
	return float64(length) / least, at
}

// luck returns the quickest stretches of simulated takes, over their mean rate,
// sorted, for each length.
func (s strokes) luck(lengths []Fastest, starts [][]int, o FastestOptions) [][]float64 {
	about := s.alternation()
	for i, d := range s.d { // clock and jitter add up in seconds
		about[i] = d / math.Exp(about[i])
	}
	mean := stat.Mean(about, nil)
	for i, v := range about {
		about[i] = v/mean - 1
	}
	detrend(about)
	rng := estimate.Stream(o.Seed, "tempo fastest")
	scale := localScale(about, rng)
	for i := range about {
		about[i] /= scale[i]
	}
	wild := 4 * robust.Scale(about)
	for i, v := range about { // brought in as in strokes.logs
		about[i] = max(-wild, min(wild, v))
	}
	shuffled := newSurrogate(about)
	side := s.alternation()
	for i, v := range side {
		side[i] = math.Exp(v)
	}
	out := make([][]float64, len(lengths))
	z, d, sums := make([]float64, len(s.d)), make([]float64, len(s.d)), make([]float64, len(s.d)+1)
	paired := pairable(lengths, starts, len(s.d))
	for draw := range o.Draws {
		if paired && draw%2 == 1 {
			floats.Scale(-1, z)
		} else {
			shuffled.draw(z, rng)
		}
		for i := range d {
			d[i] = max(0.2, 1+z[i]*scale[i]) * side[i]
		}
		summed(sums, d)
		mean := s.meanRate(d)
		for k, f := range lengths {
			if len(starts[k]) > 0 {
				rate, _ := quickest(sums, starts[k], f.Strokes)
				out[k] = append(out[k], rate/mean)
			}
		}
	}
	for k := range out {
		slices.Sort(out[k])
	}
	return out
}

// pairable reports whether each second take may be the one before with the sign of its
// scatter turned, which is as likely and needs no transform (antithetic variates:
// Hammersley and Morton 1956). In a pair the quickest stretch of one take is the
// slowest of the other. Where no stretch is longer than a quarter of the take, these
// tell nothing of each other: bounds from pairs then scatter from seed to seed as
// those from takes drawn one by one do (by 0.8 to 1.2 times as much, takes of 140 to
// 1500 strokes, correlation 0 to 0.9), and with longer ones by up to 1.4 times.
func pairable(lengths []Fastest, starts [][]int, strokes int) bool {
	for k, f := range lengths {
		if len(starts[k]) > 0 && 4*f.Strokes > strokes {
			return false
		}
	}
	return true
}

// scaleWindow is how many strokes to each side a local scatter is taken from: about
// the strokes of a second or two, as long as the shortest settled spans.
const scaleWindow = 12

// localScale returns by how much more or less than on the whole the strokes about
// each one scatter. Searching strokes scatter several times as much as settled ones,
// and the quickest stretch by luck is among them.
//
// A local scatter varies by chance too, which would make the quickest stretch of a
// take of one scatter look like luck. So its logarithm is drawn in to the mean by the
// share of its variance that series of the same power and one scatter have
// (surrogates of y), as in Efron and Morris (1975).
func localScale(y []float64, rng *rand.Rand) []float64 {
	l := logScale(nil, slices.Clone(y))
	mean, variance := stat.MeanVariance(l, nil)
	const series = 20
	chance := 0.0
	other, d := make([]float64, len(y)), make([]float64, len(y))
	shuffled := newSurrogate(y)
	for range series {
		shuffled.draw(d, rng)
		other = logScale(other, d)
		chance += stat.Variance(other, nil) / series
	}
	keep := 0.0
	if variance > chance {
		keep = 1 - chance/variance
	}
	for i, v := range l {
		l[i] = math.Exp(keep * (v - mean))
	}
	return l
}

// logScale stores in dst the logarithm of the scatter about each stroke: of the
// median absolute deviation, smoothed over half as many strokes. It overwrites y.
func logScale(dst, y []float64) []float64 {
	n := len(y)
	for i, v := range y {
		y[i] = math.Abs(v)
	}
	dst = robust.RollingMedian(dst, y, scaleWindow)
	for i, v := range dst {
		y[i] = math.Log(max(1e-6, v)) // a millionth of a stroke is none
	}
	const half = scaleWindow / 2
	for i := range dst {
		dst[i] = stat.Mean(y[max(0, i-half):min(n, i+half+1)], nil)
	}
	return dst
}
