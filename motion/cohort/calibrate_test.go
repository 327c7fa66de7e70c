package cohort

import (
	"flag"
	"fmt"
	"math"
	"math/rand/v2"
	"testing"

	"gonum.org/v1/gonum/stat"

	"github.com/plectrace/plectrace/variability/estimate"
)

// calibrate is the number of simulated studies of each kind: 0 is a quick number
// with wider bounds. The figures of the package comment come from
//
//	go test ./motion/cohort -run Calibration -calibrate 2000 -v
var calibrate = flag.Int("calibrate", 0, "simulate so many studies of each kind; 0: a quick number")

// seedQuick is that of the quick run, seedReport that of the figures reported.
// The methods were chosen with others.
const seedQuick, seedReport = 11, 12

func studies(quick int) (n int, seed uint64) {
	if *calibrate > 0 {
		return *calibrate, seedReport
	}
	return quick, seedQuick
}

// world is what is true of the players of a simulated study, and how their takes
// scatter.
type world struct {
	players, group int // group: players in a class, 0 for none
	reliability    float64
	// between is the correlation of true predictor and true baseline, slope that
	// of the true change on the predictor given the baseline, follow that on the
	// baseline.
	between, slope, follow float64
	alike                  float64 // share of variance that a class has in common
	shared                 float64 // correlation of the errors of one take
	days                   int
	// skewed makes what is true of players exponential, and the errors of long
	// tails (Laplace).
	skewed bool
}

// normal returns a draw of mean 0 and variance 1, skewed where the world is.
func (w world) normal(rng *rand.Rand) float64 {
	if w.skewed {
		return rng.ExpFloat64() - 1
	}
	return rng.NormFloat64()
}

// error is a draw of mean 0 and variance 1, with long tails where the world is
// skewed.
func (w world) error(rng *rand.Rand) float64 {
	if w.skewed {
		return (rng.ExpFloat64() - rng.ExpFloat64()) / math.Sqrt2
	}
	return rng.NormFloat64()
}

// subjects draws the players of one study; with same, the early takes are those
// of the baseline too, as they are where nobody keeps them apart.
func (w world) subjects(rng *rand.Rand, same bool) []subject {
	err := math.Sqrt(float64(w.days) * (1/w.reliability - 1))
	own, common := math.Sqrt(1-w.alike), math.Sqrt(w.alike)
	var of [3]float64
	list := make([]subject, w.players)
	for i := range list {
		group := fmt.Sprint(i)
		if w.group > 0 {
			group = fmt.Sprint(i / w.group)
		}
		if w.group == 0 || i%w.group == 0 {
			of = [3]float64{w.normal(rng), w.normal(rng), w.normal(rng)}
		}
		draw := func(k int) float64 { return own*w.normal(rng) + common*of[k] }
		b := draw(0)
		v := w.between*b + math.Sqrt(1-w.between*w.between)*draw(1)
		l := b + w.follow*b + w.slope*v + 0.6*draw(2) // baseline and change
		s := subject{group: group}
		for d := range w.days {
			shared := w.error(rng)
			e := w.shared*shared + math.Sqrt(1-w.shared*w.shared)*w.error(rng)
			s.early = append(s.early, v+err*shared)
			if same {
				s.baseline = append(s.baseline, b+err*e)
			} else {
				s.baseline = append(s.baseline, b+err*w.error(rng))
			}
			// what all learn alike is no error
			s.late = append(s.late, l+0.2*float64(d)+err*w.error(rng))
		}
		list[i] = s
	}
	return list
}

// partial is the true partial correlation.
func (w world) partial() float64 {
	v := w.slope * w.slope * (1 - w.between*w.between)
	return w.slope * math.Sqrt(1-w.between*w.between) / math.Sqrt(v+0.36)
}

// tally counts over simulated studies: how many were answered and refused, how
// often the test rejected, and how often an interval held the truth.
type tally struct {
	studies, refused, rejects, slope int
	partials, partial                int
	observedRejects, rank            int
	reliabilities, reliability       int
}

func (w world) run(n int, seed uint64, use string) tally {
	rng := estimate.Stream(seed, use)
	t := tally{studies: n}
	for range n {
		list := w.subjects(rng, false)
		of, g := groups(list)
		var a Association
		a.estimate(list, of, g, 0.95, false)
		if outside(a.Observed, 0) {
			t.observedRejects++
		}
		if outside(a.Rank, 0) {
			t.rank++
		}
		if a.BaselineReliability.Known() {
			t.reliabilities++
			if !outside(a.BaselineReliability, w.reliability) {
				t.reliability++
			}
		}
		if !a.Slope.Known() {
			t.refused++
			continue
		}
		if a.P < 0.05 {
			t.rejects++
		}
		if !outside(a.Slope, w.slope) {
			t.slope++
		}
		if a.Partial.Known() {
			t.partials++
			if !outside(a.Partial, w.partial()) {
				t.partial++
			}
		}
	}
	return t
}

func outside(v estimate.Value[float64], x float64) bool {
	return v.Known() && (x < v.Low || x > v.High)
}

// within reports whether k of n agree with a share in [low, high], but for three
// binomial standard errors.
func within(k, n int, low, high float64) bool {
	if n == 0 {
		return true
	}
	slack := func(p float64) float64 { return 3 * math.Sqrt(p*(1-p)/float64(n)) }
	x := float64(k) / float64(n)
	return x >= low-slack(low) && x <= high+slack(high)
}

func share(k, n int) string {
	if n == 0 {
		return "  -  "
	}
	return fmt.Sprintf("%5.3f", float64(k)/float64(n))
}

func TestCalibrationAssociation(t *testing.T) {
	if testing.Short() {
		t.Skip("slow")
	}
	n, seed := studies(150)
	for _, players := range []int{20, 50, 100, 200} {
		for _, rel := range []float64{0.5, 0.7, 0.9} {
			for _, between := range []float64{0, -0.6} {
				for _, slope := range []float64{0, 0.4} {
					w := world{players: players, reliability: rel, between: between, slope: slope, follow: -0.4, days: 2}
					w.check(t, n, seed)
				}
			}
		}
	}
}

func TestCalibrationSkewed(t *testing.T) {
	if testing.Short() {
		t.Skip("slow")
	}
	n, seed := studies(150)
	for _, players := range []int{30, 60, 200} {
		for _, slope := range []float64{0, 0.4} {
			w := world{players: players, reliability: 0.8, between: -0.5, slope: slope, follow: -0.4, days: 2, skewed: true}
			w.check(t, n, seed)
		}
	}
}

func TestCalibrationGroups(t *testing.T) {
	if testing.Short() {
		t.Skip("slow")
	}
	n, seed := studies(150)
	for _, w := range []world{
		{players: 60, group: 5, reliability: 0.8, between: -0.4, follow: -0.4, alike: 0.3, days: 2},
		{players: 120, group: 6, reliability: 0.8, between: -0.4, follow: -0.4, alike: 0.3, days: 2},
		{players: 200, group: 5, reliability: 0.8, between: -0.4, follow: -0.4, alike: 0.3, days: 3},
		{players: 200, group: 5, reliability: 0.8, between: -0.4, slope: 0.4, follow: -0.4, alike: 0.3, days: 2},
	} {
		w.check(t, n, seed)
	}
}

func (w world) check(t *testing.T, n int, seed uint64) {
	t.Helper()
	name := fmt.Sprintf("players %3d group %d reliability %.1f between %4.1f slope %.1f skewed %t", w.players, w.group, w.reliability, w.between, w.slope, w.skewed)
	r := w.run(n, seed, name)
	known := r.studies - r.refused
	t.Logf("%s: refused %s; rejects %s, slope covers %s; partial given %s covers %s; error left in: rejects %s, ranks %s; reliability covers %s",
		name, share(r.refused, n), share(r.rejects, known), share(r.slope, known), share(r.partials, n), share(r.partial, r.partials),
		share(r.observedRejects, n), share(r.rank, n), share(r.reliability, r.reliabilities))
	// 7 % of 50 players at a reliability of 0.7 is the most that was measured.
	if w.players >= 50 && w.reliability >= 0.7 && w.between > -0.5 && !within(r.refused, n, 0, 0.07) {
		t.Errorf("%s: refused in %s", name, share(r.refused, n))
	}
	if w.slope == 0 && !within(r.rejects, known, 0.03, 0.07) {
		t.Errorf("%s: rejects a true null in %s", name, share(r.rejects, known))
	}
	if !within(r.slope, known, 0.93, 0.97) {
		t.Errorf("%s: the interval of the slope covers in %s", name, share(r.slope, known))
	}
	// Where few studies tell it at all, it comes from lucky ones.
	if 2*r.partials > n && !within(r.partial, r.partials, 0.93, 0.99) {
		t.Errorf("%s: the interval of the partial correlation covers in %s", name, share(r.partial, r.partials))
	}
}

// TestNaive: without a change that goes with the predictor, takes that serve the
// predictor and the baseline at once make one up, since a bad day's scatter and
// its low share come back to the mean together. So does leaving the error in the
// baseline. Taking both out does not.
func TestNaive(t *testing.T) {
	w := world{players: 100, reliability: 0.6, between: -0.5, slope: 0, follow: 0, shared: -0.8, days: 2}
	n, seed := studies(150)
	rng := estimate.Stream(seed, "naive")
	var naive, uncorrected, ours, known int
	for range n {
		list := w.subjects(rng, true)
		var v, gain []float64
		for _, s := range list {
			v, gain = append(v, stat.Mean(s.early, nil)), append(gain, stat.Mean(s.late, nil)-stat.Mean(s.baseline, nil))
		}
		r := stat.Correlation(v, gain, nil)
		if math.Abs(math.Atanh(r))*math.Sqrt(float64(w.players-3)) > 1.96 {
			naive++
		}
		list = w.subjects(rng, false)
		of, g := groups(list)
		var a Association
		a.estimate(list, of, g, 0.95, false)
		if outside(a.Observed, 0) {
			uncorrected++
		}
		if a.Slope.Known() {
			known++
			if a.P < 0.05 {
				ours++
			}
		}
	}
	t.Logf("of %d studies without an association: found with shared takes %s, with the baseline's error left in %s, here %s of %d answered",
		n, share(naive, n), share(uncorrected, n), share(ours, known), known)
	if naive < n*3/4 || uncorrected < n/10 {
		t.Errorf("the naive ways found it %d and %d times in %d: the world no longer shows what goes wrong with them", naive, uncorrected, n)
	}
	if !within(ours, known, 0.03, 0.07) || 2*known < n {
		t.Errorf("rejects %d of %d true nulls", ours, known)
	}
}
