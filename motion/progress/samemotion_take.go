package progress

import (
	"fmt"
	"math"

	"gonum.org/v1/gonum/stat"

	"github.com/plectrace/plectrace/motion"
	"github.com/plectrace/plectrace/motion/cycle"
	"github.com/plectrace/plectrace/motion/review"
	"github.com/plectrace/plectrace/variability/circular"
	"github.com/plectrace/plectrace/variability/estimate"
	"github.com/plectrace/plectrace/variability/robust"
)

// localCycles is the number of cycles to each side over which the local rate is
// the median: single cycles scatter, which is not a change of rate.
const localCycles = 4

// boundToTime is the correlation of log rate with time beyond which the two are not
// told apart: the variance of the slope by rate would be more than five times
// what it is without time.
const boundToTime = 0.9

// SameMotionInTake asks of one take whose rate changes, such as one that gets
// steadily faster, whether its slow strokes and its fast ones are one motion.
//
// Angle, skew, log length and carry of each cycle (a downstroke and the upstroke
// after it) are fitted by a line over the logarithm of the local rate, with an
// interval that bears the likeness of neighbours; the difference is what that
// line gives between the 10th and the 90th percentile of the local rate. Where
// the take does not go one way only (it gets faster and slower again), time is
// fitted beside the rate, and Drift holds it; otherwise SameMotion.WithTime says
// that the two cannot be told apart. The cycle shape is that of the slow third
// of the cycles against that of the fast third (cycle.Fit, with the same number
// of harmonics for both, and cycle.Reference.Distance).
//
// The result is Absent below 40 cycles, where the rates do not span
// Options.MinFactor, and where the pace of the film changes. A component is left
// out with its reason where the fast strokes have fewer than 8 samples each: an
// angle read off fewer is worse at one end than at the other, which looks like
// a difference or hides one.
//
// An error means that the options make no sense or that the review's own path
// is not usable.
func SameMotionInTake(r *review.Review, o SameMotionOptions) (SameMotion, error) {
	if err := o.validate(); err != nil {
		return SameMotion{}, err
	}
	s := SameMotion{Options: o.withDefaults()}
	if len(r.Jumps) > 0 {
		return s.refuse("pace", "the pace of the film changes within the take; film at one pace"), nil
	}
	c := cyclesOf(r)
	s.N = len(c)
	if s.N < leastCycles {
		return s.refuse("too-few", fmt.Sprintf("the take has %s that were seen in full, and this needs %d; film a longer take", counted(s.N, "cycle"), leastCycles)), nil
	}
	x, t := make([]float64, len(c)), make([]float64, len(c))
	for i := range c {
		x[i], t[i] = c[i].rate, c[i].time
	}
	low, high := robust.Quantile(0.1, x), robust.Quantile(0.9, x)
	s.Slow, s.Fast = math.Exp(low), math.Exp(high)
	if f := s.Fast / s.Slow; f < s.Options.MinFactor {
		return s.refuse("one-rate", fmt.Sprintf("the fast strokes are %.2f times as fast as the slow ones, and this needs %.2f; film one take that goes from slow to fast, or a slow take and a fast one", f, s.Options.MinFactor)), nil
	}
	s.WithTime = math.Abs(stat.Correlation(x, t, nil)) > boundToTime
	by := t
	if s.WithTime {
		by = nil
	}
	perStroke := r.Motion.SampleHz / s.Fast
	for _, q := range quantities {
		k := SameComponent{Name: q.name, Unit: q.unit, Margin: q.margin(s.Options), Slow: math.NaN(), Fast: math.NaN()}
		if k.Name == lengthName {
			k.Unit = r.UnitOf(review.Measure{Unit: "unit"})
		}
		if q.log {
			k.ShareOf = q.name
		}
		y := make([]float64, len(c))
		for i := range c {
			y[i] = q.get(c[i])
		}
		switch {
		case !q.shown(r):
			continue // by the view, or nothing is tracked for it
		case perStroke < q.samples:
			k.LeftOut = &estimate.Absence{Code: "samples", What: q.name, Why: tooFewSamples(perStroke, q.samples, s.Fast)}
		default:
			s.fitted(&k, q, y, x, by, high-low)
		}
		if k.LeftOut != nil {
			k.Difference, k.Drift = estimate.Value[float64]{Absent: k.LeftOut}, estimate.Value[float64]{Absent: k.LeftOut}
		}
		s.add(k)
	}
	shape, err := s.shapeInTake(r, c, x, perStroke)
	if err != nil {
		return SameMotion{}, err
	}
	s.add(shape)
	s.judge()
	return s, nil
}

func (o SameMotionOptions) validate() error {
	for _, v := range []struct {
		name string
		x    float64
	}{
		{"Margins.PathAngle", o.Margins.PathAngle.Degrees()}, {"Margins.Skew", o.Margins.Skew.Degrees()}, {"Margins.Shape", o.Margins.Shape},
		{"Length", o.Length}, {"Carry", o.Carry}, {"MinFactor", o.MinFactor},
	} {
		if math.IsNaN(v.x) || math.IsInf(v.x, 0) {
			return fmt.Errorf("progress: SameMotionOptions.%s is %v: give a number, or leave it zero for the default", v.name, v.x)
		}
	}
	return nil
}

func tooFewSamples(have, need, rate float64) string {
	return fmt.Sprintf("the fast strokes have %.2g samples each, and it takes %g; film at %.0f frames a second or more", have, need, math.Ceil(need*rate/10)*10)
}

// fitted fills in a component from the line over log rate.
func (s *SameMotion) fitted(k *SameComponent, q quantity, y, x, t []float64, span float64) {
	f, ok := slopesOf(y, x, t)
	if !ok {
		k.LeftOut = &estimate.Absence{Code: "too-few", What: q.name, Why: fmt.Sprintf("fewer than %d cycles have it; film longer, with the pick in sight throughout", leastCycles)}
		return
	}
	if f.leftOut > 0 {
		s.Notes = append(s.Notes, fmt.Sprintf("%s: %d of %d cycles lie far off the others and are left out.", q.name, f.leftOut, f.used+f.leftOut))
	}
	k.Difference = interval(f.rate*span, f.rateHalf*span, f.used)
	k.Slow = f.level + f.rate*(math.Log(s.Slow)-f.meanRate)
	k.Fast = f.level + f.rate*(math.Log(s.Fast)-f.meanRate)
	if t != nil {
		k.Drift = interval(60*f.time, 60*f.timeHalf, f.used)
	} else {
		k.Drift = estimate.Missing[float64]("time", "drift of the "+q.name, "rate and time go together in this take")
	}
	if q.log {
		k.Slow, k.Fast = math.Exp(k.Slow), math.Exp(k.Fast)
		k.Difference, k.Drift = asShare(k.Difference), asShare(k.Drift)
	}
	if q.axial {
		k.Slow, k.Fast = (circular.Angle(k.Slow) * circular.Degree).Axial().Degrees(), (circular.Angle(k.Fast) * circular.Degree).Axial().Degrees()
	}
}

// asShare turns a difference of logarithms into a share: 0.1 is a tenth more.
func asShare(v estimate.Value[float64]) estimate.Value[float64] {
	v.Value, v.Low, v.High = math.Expm1(v.Value), math.Expm1(v.Low), math.Expm1(v.High)
	return v
}

const lengthName = "stroke length"

// quantity is what is fitted over the rate.
type quantity struct {
	name, unit string
	log, axial bool
	// samples a stroke that it takes
	samples float64
	margin  func(SameMotionOptions) float64
	shown   func(*review.Review) bool
	get     func(oneCycle) float64
	// measures are those of the table of reviews that say the same of a whole
	// take, the first that is known counts.
	measures []string
}

var quantities = []quantity{
	{name: "path angle", unit: "degrees", axial: true, samples: motion.MinSamplesAngles,
		margin: func(o SameMotionOptions) float64 { return o.Margins.PathAngle.Degrees() },
		shown:  func(r *review.Review) bool { return r.Frame.View.HasOut() },
		get:    func(c oneCycle) float64 { return c.angle }, measures: []string{"picture_angle_deg", "path_angle_deg"}},
	{name: "skew", unit: "degrees", axial: true, samples: motion.MinSamplesAngles,
		margin: func(o SameMotionOptions) float64 { return o.Margins.Skew.Degrees() },
		shown:  func(r *review.Review) bool { return r.Frame.View.HasAlong() },
		get:    func(c oneCycle) float64 { return c.skew }, measures: []string{"skew_deg"}},
	{name: lengthName, log: true, samples: motion.MinSamplesAngles,
		margin: func(o SameMotionOptions) float64 { return o.Length },
		shown:  func(*review.Review) bool { return true },
		get:    func(c oneCycle) float64 { return c.length }, measures: []string{"length"}},
	{name: "carry", samples: motion.MinSamplesAngles,
		margin: func(o SameMotionOptions) float64 { return o.Carry },
		shown:  func(r *review.Review) bool { return len(r.Carries) > 0 },
		get:    func(c oneCycle) float64 { return c.carry }, measures: []string{"carry"}},
}

// oneCycle is a downstroke and the upstroke that follows; NaN is not known.
type oneCycle struct {
	first       int     // index of the downstroke
	time        float64 // s
	lasts       float64 // s
	rate        float64 // log of the local rate in strokes per second
	angle, skew float64 // degrees, about one axis
	length      float64 // log
	carry       float64
}

// cyclesOf returns the cycles of a take in order of time, those through a gap
// left out.
func cyclesOf(r *review.Review) []oneCycle {
	strokes := r.Motion.Strokes
	angles, skews := make([]circular.Angle, len(strokes)), make([]circular.Angle, len(strokes))
	carry := make([]float64, len(strokes))
	for i, s := range strokes {
		angles[i], skews[i], carry[i] = s.PathAngle, s.Skew, math.NaN()
	}
	unwrap(angles)
	unwrap(skews)
	if len(r.Carries) > 0 {
		for _, q := range r.Carries[0].Strokes {
			if q.Own && q.Tip > 0 {
				carry[q.Stroke] = q.Hand / q.Tip
			}
		}
	}
	var out []oneCycle
	for i := 0; i+1 < len(strokes); i++ {
		a, b := strokes[i], strokes[i+1]
		if a.Direction != motion.Down || b.Direction != motion.Up || !b.Joined || a.Bridged || b.Bridged {
			continue
		}
		out = append(out, oneCycle{
			first: i, time: a.End, lasts: b.End - a.Start,
			angle: (angles[i] + angles[i+1]).Degrees() / 2, skew: (skews[i] + skews[i+1]).Degrees() / 2,
			length: (math.Log(a.Length) + math.Log(b.Length)) / 2, carry: (carry[i] + carry[i+1]) / 2,
		})
	}
	var near []float64
	for i := range out {
		near = near[:0]
		for k := max(0, i-localCycles); k <= min(len(out)-1, i+localCycles); k++ {
			near = append(near, out[k].lasts)
		}
		out[i].rate = math.Log(2 / robust.MedianInPlace(near))
	}
	return out
}

// unwrap brings axial angles within a right angle of their median axis.
func unwrap(a []circular.Angle) {
	mid := circular.MedianAxis(a)
	if !mid.Known() {
		return
	}
	for i := range a {
		a[i] = mid.Value + (a[i] - mid.Value).Axial()
	}
}

// shapeInTake is the distance of the mean cycles of the slow and the fast third.
func (s *SameMotion) shapeInTake(r *review.Review, c []oneCycle, x []float64, perStroke float64) (SameComponent, error) {
	nan := math.NaN()
	k := SameComponent{Name: "cycle shape", ShareOf: "length", Margin: s.Options.Margins.Shape, Slow: nan, Fast: nan,
		Drift: estimate.Missing[float64]("none", "drift of the cycle shape", "it is not looked at")}
	leave := func(code, why string) (SameComponent, error) {
		k.LeftOut = &estimate.Absence{Code: code, What: k.Name, Why: why}
		k.Difference = estimate.Value[float64]{Absent: k.LeftOut}
		return k, nil
	}
	if perStroke < motion.MinSamplesAngles {
		return leave("samples", tooFewSamples(perStroke, motion.MinSamplesAngles, s.Fast))
	}
	low, high := robust.Quantile(1.0/3, x), robust.Quantile(2.0/3, x)
	var slow, fast []motion.Stroke
	for i := range c {
		pair := r.Motion.Strokes[c[i].first : c[i].first+2]
		switch {
		case x[i] <= low:
			slow = append(slow, pair...)
		case x[i] >= high:
			fast = append(fast, pair...)
		}
	}
	o := cycle.Options{Exposure: r.Setup.ExposureS, View: r.Frame.View, Setup: r.Setup.SetupName}
	fit := func() (a, b cycle.Cycle, err error) {
		if a, err = cycle.Fit(r.Placed, r.Motion, slow, o); err == nil {
			b, err = cycle.Fit(r.Placed, r.Motion, fast, o)
		}
		return a, b, err
	}
	a, b, err := fit()
	if err == nil && a.Absent == nil && b.Absent == nil && a.Harmonics != b.Harmonics {
		// What one leaves out must not look like a difference.
		o.Harmonics = min(a.Harmonics, b.Harmonics)
		a, b, err = fit()
	}
	switch {
	case err != nil:
		return k, err
	case a.Absent != nil:
		return leave(a.Absent.Code, "slow third: "+a.Absent.Why)
	case b.Absent != nil:
		return leave(b.Absent.Code, "fast third: "+b.Absent.Why)
	}
	ref, err := cycle.FromCycle(a, "", cycle.Margins{Shape: k.Margin})
	if err != nil {
		return leave("reference", err.Error())
	}
	d, ok := ref.Distance(b).Component(k.Name)
	switch {
	case !ok:
		return leave("hidden", "a part of the cycle is never seen")
	case d.LeftOut != nil && d.LeftOut.Code != "margin":
		return leave(d.LeftOut.Code, d.LeftOut.Why)
	case d.Difference.Absent != nil:
		return leave(d.Difference.Absent.Code, d.Difference.Absent.Why)
	}
	k.Difference = d.Difference
	return k, nil
}
