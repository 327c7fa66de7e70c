package cycle

import (
	"math"

	"gonum.org/v1/gonum/floats"
	"gonum.org/v1/gonum/stat/distuv"

	"github.com/plectrace/plectrace/motion"
	"github.com/plectrace/plectrace/variability/circular"
	"github.com/plectrace/plectrace/variability/estimate"
)

// Cycle is the mean cycle of a run of strokes with what it shows. Lengths are
// in Unit, times in seconds. Every value has its interval at 95 %, or the
// reason why there is none; N is the number of cycles.
type Cycle struct {
	// Options are those in force, defaults filled in.
	Options Options
	Unit    string
	// Start and End are those of the run of strokes.
	Start, End float64
	// Cycles is the number of cycles that were fitted, LeftOut that of those
	// left out, Samples the number of samples, Harmonics that of the harmonics.
	Cycles, LeftOut, Samples, Harmonics int
	// Noise is the standard deviation of the samples' noise on one axis, by
	// what is left of them beside the mean cycle.
	Noise float64
	// Absent says why there is no mean cycle.
	Absent *estimate.Absence

	// Period is the mean time of a cycle, Rate the strokes per second, two a
	// cycle, DownShare the share of the downstroke in the cycle's time.
	Period, Rate, DownShare estimate.Value[float64]

	// Length is the distance between the two turns. PathAngle and Skew are
	// those of the line between them.
	Length          estimate.Value[float64]
	PathAngle, Skew estimate.Value[circular.Angle]
	// CurvatureDown and CurvatureUp are those of the two strokes, 1/Unit, in
	// the across/out plane, and Curvature is their mean: positive when the
	// middle bulges out. CurvatureLength is that times the length there,
	// which has no unit.
	Curvature, CurvatureDown, CurvatureUp, CurvatureLength estimate.Value[float64]
	// HeightAfterDown and HeightAfterUp are the heights of the two turns over
	// the string played (see motion.Options.StringLow), which is the string
	// plane unless those options say otherwise. Rise is how much further out a
	// downstroke ends than it begins.
	HeightAfterDown, HeightAfterUp, Rise estimate.Value[float64]
	// Clearing is judged from the heights, ClearingWhy says why it is unknown.
	Clearing    motion.Clearing
	ClearingWhy *estimate.Absence
	// LoopWidth is the mean distance between the way down and the way up, the
	// area between them over the distance of the turns: positive when the
	// downstroke runs further out (in a front view, nearer the nut).
	LoopWidth estimate.Value[float64]
	// PeakSpeedDown and PeakSpeedUp are the greatest speeds along the line
	// between the turns, Unit per second.
	PeakSpeedDown, PeakSpeedUp estimate.Value[float64]

	// Evenness is how far the path of single cycles lies off the mean cycle:
	// the root mean square distance over the cycle, all axes together, with
	// the noise of the samples and of the turns' times taken away. The hand's
	// slow drift is not in it. EvennessShare is that as a share of the length.
	// Small is even.
	Evenness, EvennessShare estimate.Value[float64]

	motion motion.Options
	curve  curve
	seen   coverage
	mid    []float64 // mean of the basis over the phases that are seen
	// pull[i] is what cycle i pulls the coefficients by, centrePull[i] the
	// centre.
	pull       [][3][]float64
	centrePull []vec
	periodPull []float64
	sharePull  []float64
	turnPull   [][2]float64 // of the two turns of the mean cycle, in phase
	turnTail   [2]float64   // what the upper half of the harmonics moves them by
	spread     [phases]vec
}

// Point is one place on the cycle in the instrument frame. What the view does
// not show is NaN.
type Point struct{ Across, Along, Out float64 }

// point returns the place or direction v over the axes of a curve.
func (c *curve) point(v vec) Point {
	p := [3]float64{math.NaN(), math.NaN(), math.NaN()}
	for _, a := range c.axes {
		p[a] = v[a]
	}
	return Point{p[0], p[1], p[2]}
}

var noPoint = Point{math.NaN(), math.NaN(), math.NaN()}

// At returns the place of the mean cycle and its velocity, in Unit per second,
// at a phase in cycles: 0 is the turn before the downstroke, DownShare the turn
// after it, 1 is 0 again. The place is about the mean centre of the run. A
// phase that is never seen is NaN, and so is every phase when Absent is set.
func (c *Cycle) At(phase float64) (place, velocity Point) {
	if c.Absent != nil || c.curve.axes == nil || !c.shows(phase) {
		return noPoint, noPoint
	}
	x, dx, _ := c.curve.at(phase)
	for a := range dx {
		dx[a] /= c.Period.Value
	}
	return c.curve.point(x), c.curve.point(dx)
}

// shows reports whether the phase is a number and seen.
func (c *Cycle) shows(phase float64) bool {
	return !math.IsNaN(phase) && !math.IsInf(phase, 0) && c.seen.at(phase)
}

// Band returns the bounds of the 95 % interval, phase by phase, of the mean
// cycle about its centre. It is NaN where At is. The centre's own uncertainty
// is not in it.
func (c *Cycle) Band(phase float64) (low, high Point) {
	if c.Absent != nil || c.curve.axes == nil || !c.shows(phase) {
		return noPoint, noPoint
	}
	x, dx, _ := c.curve.at(phase)
	z := make([]float64, len(c.mid))
	basis(z, phase)
	floats.Sub(z, c.mid)
	pulls := make([]float64, len(c.pull))
	lo, hi := x, x
	for _, a := range c.curve.axes {
		for i := range pulls {
			pulls[i] = floats.Dot(z, c.pull[i][a]) + dx[a]*c.shift(phase, i)
		}
		// What is left out beyond the last two harmonics is about their size,
		// and it moves phase 0; the other turn moves with the share.
		tail := math.Hypot(floats.Norm(c.curve.coef[a][len(z)-4:], 2), dx[a]*c.turnTail[0])
		h := math.Hypot(halfWidth(pulls), tail)
		lo[a] -= h
		hi[a] += h
	}
	return c.curve.point(lo), c.curve.point(hi)
}

// shift returns by how much lap i, counted twice, moves the phase that the
// path has at phase: it moves the turn that is phase 0, and its own turns make
// the downstroke's share longer or shorter. Where the other turn moves, the
// share goes with it.
func (c *Cycle) shift(phase float64, i int) float64 {
	return c.turnPull[i][0] - c.strokeShare(phase)*c.sharePull[i]
}

// strokeShare returns how far a phase is on the way from the turn at phase 0 to
// the other, by either stroke.
func (c *Cycle) strokeShare(phase float64) float64 {
	phase -= math.Floor(phase)
	if share := c.curve.share; phase >= share {
		return (1 - phase) / (1 - share)
	}
	return phase / c.curve.share
}

// Spread returns the standard deviation of single cycles about the mean cycle
// at a phase, less the noise of the samples: NaN where the noise hides it, and
// where At is.
func (c *Cycle) Spread(phase float64) Point {
	if c.Absent != nil || c.curve.axes == nil || !c.shows(phase) {
		return noPoint
	}
	// Between the middles of two bins.
	at := (phase - math.Floor(phase)) * phases
	b := int(math.Floor(at - 0.5))
	w := at - 0.5 - float64(b)
	p, q := c.spread[(b+phases)%phases], c.spread[(b+1)%phases]
	var v vec
	for a := range v {
		v[a] = math.Sqrt((1-w)*p[a] + w*q[a])
	}
	return c.curve.point(v)
}

// halfWidth returns that of the 95 % interval of a mean of n laps, given what
// each lap pulls it by (1/n of its distance from the mean, to first order), in
// the order of time. It bears autocorrelation: see estimate.LongRun.
func halfWidth(pulls []float64) float64 {
	v, df := estimate.LongRun(pulls)
	if df < 1 {
		return math.NaN()
	}
	return student(df) * math.Sqrt(v*float64(len(pulls)))
}

// student is the 97.5 % quantile of Student's t.
func student(df int) float64 {
	return distuv.StudentsT{Mu: 0, Sigma: 1, Nu: float64(df)}.Quantile(0.975)
}

// each calls f with every value that is a plain number, and the name that
// readers know it by.
func (c *Cycle) each(f func(name string, v *estimate.Value[float64])) {
	for _, e := range []struct {
		name string
		v    *estimate.Value[float64]
	}{
		{"period", &c.Period},
		{"rate", &c.Rate},
		{"share of the downstroke", &c.DownShare},
		{"length", &c.Length},
		{"curvature", &c.Curvature},
		{"curvature of the downstroke", &c.CurvatureDown},
		{"curvature of the upstroke", &c.CurvatureUp},
		{"curvature times length", &c.CurvatureLength},
		{"height after downstrokes", &c.HeightAfterDown},
		{"height after upstrokes", &c.HeightAfterUp},
		{"rise of a downstroke", &c.Rise},
		{"loop width", &c.LoopWidth},
		{"peak speed of the downstroke", &c.PeakSpeedDown},
		{"peak speed of the upstroke", &c.PeakSpeedUp},
		{"evenness", &c.Evenness},
		{"evenness as a share of the length", &c.EvennessShare},
	} {
		f(e.name, e.v)
	}
}

// none makes everything absent for one reason.
func (c *Cycle) none(code, why string) {
	c.Absent = &estimate.Absence{Code: code, What: "mean cycle", Why: why}
	c.each(func(name string, v *estimate.Value[float64]) {
		*v = estimate.Missing[float64](code, name, why)
	})
	c.PathAngle = estimate.Missing[circular.Angle](code, "path angle", why)
	c.Skew = estimate.Missing[circular.Angle](code, "skew", why)
	c.ClearingWhy = &estimate.Absence{Code: code, What: "clearing", Why: why}
}
