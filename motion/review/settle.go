package review

import (
	"math"

	"github.com/plectrace/plectrace/motion"
	"github.com/plectrace/plectrace/tempo"
	"github.com/plectrace/plectrace/trajectory"
	"github.com/plectrace/plectrace/variability/circular"
	"github.com/plectrace/plectrace/variability/estimate"
	"github.com/plectrace/plectrace/variability/settling"
)

// settle finds the settled spans and describes each.
func (r *Review) settle() {
	strokes := r.Motion.Strokes
	in := make([]settling.Stroke, len(strokes))
	angles := r.angles()
	for i, s := range strokes {
		in[i] = settling.Stroke{
			Start: s.Start, End: s.End, Duration: s.Duration(), Length: s.Seen.Length, Angle: angles[i],
			AngleNoise: s.Seen.AngleNoise, DurationNoise: s.Noise.Duration, LengthNoise: s.Seen.LengthNoise,
			Down: s.Direction == motion.Down, Break: !s.Joined,
		}
		if s.Bridged {
			in[i].Duration = math.NaN() // counted, not measured
		}
	}
	r.leaveOutAngle(in)
	r.Settling = settling.Find(in, r.Options.Settling)
	r.Options.Settling = r.Settling.Options
	r.History = settling.HistoryOf(in, r.Settling, settling.HistoryOptions{})
	r.Exploring = settling.Explore(in, r.Settling, settling.ExploreOptions{Columns: r.turnHeights()})
	if r.Settling.Absent == nil && !r.Settling.Used.Angle {
		r.Notes = append(r.Notes, "Settled and searching are told by duration and length alone: no angle could be judged.")
	}
	holds, searches := r.History.Holds, r.History.Searches // of these spans, in order
	for _, s := range r.Settling.Spans {
		var as settling.Stretch
		switch {
		case s.Settled && len(holds) > 0:
			as, holds = holds[0].Stretch, holds[1:]
		case !s.Settled && len(searches) > 0:
			as, searches = searches[0], searches[1:]
		}
		part := strokes[s.First : s.Last+1]
		picture := r.pictureAngle(part)
		r.Spans = append(r.Spans, Span{
			Settled: s.Settled, First: s.First, Last: s.Last, Start: s.Start, End: s.End, Cut: as.CutStart || as.CutEnd, Strokes: len(part),
			Rate:      tempo.FromTurns(motion.TurnTimes(part), tempo.Options{}),
			PathAngle: r.pathAngle(picture), PictureAngle: picture,
			Carry: r.carry(),
		})
	}
}

// turnHeights are the heights of the strokes' second turns as a column that
// searching may explore; none where the view gives no heights. Nobody states a
// tolerance for them: that of the length is taken.
func (r *Review) turnHeights() []settling.Column {
	x := r.column(func(s motion.Stroke) float64 { return s.HeightEnd })
	length := estimate.SeriesMedian(r.column(lengthOf), -1)
	if !length.Known() || !estimate.SeriesMedian(x, -1).Known() {
		return nil
	}
	noise := r.column(heightNoise)
	return []settling.Column{{
		Name: "height", Values: x, Noise: estimate.SeriesMedian(noise, -1).Value,
		Tolerance: r.Settling.Options.Tolerances.Length * length.Value,
	}}
}

// leaveOutAngle takes the angles out of strokes that have too few samples for
// an angle to be reported, unless they are precise enough to judge the scatter
// by.
func (r *Review) leaveOutAngle(in []settling.Stroke) {
	if r.Motion.SamplesPerStroke >= motion.MinSamplesAngles {
		return
	}
	var noise []float64
	for _, s := range in {
		if s.Angle == s.Angle {
			noise = append(noise, s.AngleNoise.Radians())
		}
	}
	tolerance := settling.Find(nil, r.Options.Settling).Options.Tolerances.Angle
	if medianOf(noise) <= tolerance.Radians()/2 {
		return
	}
	for i := range in {
		in[i].Angle = circular.Angle(nan)
	}
}

// angles returns the angle of each stroke that settling looks at, unwrapped
// about their axial mean so that 89 and -89 degrees are neighbours.
func (r *Review) angles() []circular.Angle {
	a := make([]circular.Angle, len(r.Motion.Strokes))
	for i, s := range r.Motion.Strokes {
		a[i] = s.Seen.Angle
	}
	unwrap(a)
	return a
}

// unwrap brings axial angles within a right angle of their axial mean.
func unwrap(a []circular.Angle) {
	mean := axialMean(len(a), func(i int) circular.Angle { return a[i] })
	for i := range a {
		a[i] = mean + (a[i] - mean).Axial()
	}
}

// axialMean is the mean direction of n axial angles, those that are NaN left
// out.
func axialMean(n int, angle func(i int) circular.Angle) circular.Angle {
	var sin, cos float64
	for i := range n {
		if x := angle(i); x == x {
			s, c := math.Sincos(2 * x.Radians())
			sin, cos = sin+s, cos+c
		}
	}
	return circular.Angle(math.Atan2(sin, cos) / 2)
}

// unwrapped returns an axial angle of a stroke in degrees, within a right angle
// of the take's mean: 89 and -89 degrees are neighbours, which scatter must
// know.
func (r *Review) unwrapped(f func(motion.Stroke) circular.Angle) func(motion.Stroke) float64 {
	strokes := r.Motion.Strokes
	mean := axialMean(len(strokes), func(i int) circular.Angle { return f(strokes[i]) })
	return func(s motion.Stroke) float64 { return (mean + (f(s) - mean).Axial()).Degrees() }
}

func pathAngleOf(s motion.Stroke) circular.Angle { return s.PathAngle }

func skewOf(s motion.Stroke) circular.Angle { return s.Skew }

// pictureAngle returns the path angle of a run of strokes as the picture shows
// it.
func (r *Review) pictureAngle(strokes []motion.Stroke) estimate.Value[circular.Angle] {
	return r.overCycles("path angle", strokes, pathAngleOf)
}

// overCycles returns the centre of an axial quantity of strokes: the median of
// the means of a downstroke and the upstroke after it, since the two may
// differ, with the frame's own uncertainty in its interval, if the median has
// one. Strokes count alone when there are too few pairs. N counts strokes.
func (r *Review) overCycles(what string, strokes []motion.Stroke, f func(motion.Stroke) circular.Angle) estimate.Value[circular.Angle] {
	a := make([]circular.Angle, len(strokes))
	for i, s := range strokes {
		a[i] = f(s)
	}
	unwrap(a)
	var pairs, single []float64
	for i := 0; i < len(a); i++ {
		if a[i] != a[i] {
			continue
		}
		single = append(single, a[i].Radians())
		if i+1 < len(a) && strokes[i+1].Joined && a[i+1] == a[i+1] {
			pairs = append(pairs, (a[i]+a[i+1]).Radians()/2)
			single = append(single, a[i+1].Radians())
			i++
		}
	}
	xs, n := pairs, 2*len(pairs)
	if len(pairs) < 6 {
		xs, n = single, len(single)
	}
	if len(xs) == 0 {
		return estimate.Missing[circular.Angle]("none", what, r.whyNo(what, "no stroke has one"))
	}
	v := estimate.As[circular.Angle](estimate.SeriesMedian(xs, 0.95))
	v.N = n
	turned := v.Value.Axial() - v.Value // unwrapping may have left (-90, 90] degrees
	v.Value, v.Low, v.High = v.Value+turned, v.Low+turned, v.High+turned
	sys := circular.Angle(1.959964) * r.Frame.AxisError
	v.Low = v.Value - circular.Angle(math.Hypot(float64(v.Value-v.Low), float64(sys)))
	v.High = v.Value + circular.Angle(math.Hypot(float64(v.High-v.Value), float64(sys)))
	return v
}

// whyNo returns the reason that Analyze gave for the absence of what, or other.
func (r *Review) whyNo(what, other string) string {
	for _, a := range r.Motion.Absent {
		if a.What == what || a.What == "strokes" {
			return a.Why
		}
	}
	return other
}

// rate fills in the rates over the take and over its settled spans, and the
// spectral one.
func (r *Review) rate() {
	strokes := r.Motion.Strokes
	if len(strokes) == 0 {
		why := r.whyNo("strokes", "no strokes were found")
		r.rates.take = estimate.Missing[tempo.NotesPerSecond]("no strokes", "rate", why)
		r.rates.settled = estimate.Missing[tempo.NotesPerSecond]("no strokes", "rate of the settled spans", why)
	} else {
		r.rates.take = tempo.FromTurns(motion.TurnTimes(strokes), tempo.Options{})
		var settled [][]float64
		for _, s := range r.Spans {
			if s.Settled {
				settled = append(settled, motion.TurnTimes(strokes[s.First:s.Last+1]))
			}
		}
		switch {
		case r.Settling.Absent != nil:
			r.rates.settled = estimate.Missing[tempo.NotesPerSecond]("settling", "rate of the settled spans", r.Settling.Absent.Why)
		case len(settled) == 0:
			r.rates.settled = estimate.Missing[tempo.NotesPerSecond]("none settled", "rate of the settled spans", "no span of this take is settled")
		default:
			r.rates.settled = tempo.FromSpans(settled, tempo.Options{})
		}
	}
	p, _, err := trajectory.Uniform(trajectory.Placed{}, r.Placed, trajectory.UniformOptions{})
	if err != nil || p.Len() < 2 {
		r.rates.spectral = estimate.Missing[tempo.NotesPerSecond]("samples", "spectral rate", "the samples do not make an even grid")
		return
	}
	var cols [][]float64
	for _, c := range [][]float64{p.Across, p.Along, p.Out} {
		if c != nil {
			cols = append(cols, c)
		}
	}
	hz := float64(p.Len()-1) / (p.T[p.Len()-1] - p.T[0])
	r.rates.spectral = tempo.Spectral(cols, hz, tempo.SpectralOptions{})
}

// moving is the share of the playing time in stretches that would be settled but for
// a slow drift. The interval is that of an end that is two strokes off, which is about
// how well ends are known.
func (r *Review) moving() estimate.Value[float64] {
	const what = "share of the time that changes slowly"
	if a := r.Settling.Absent; a != nil {
		return estimate.Missing[float64](a.Code, what, a.Why)
	}
	strokes := r.Motion.Strokes
	playing, moved, ends := 0.0, 0.0, 0.0
	for _, s := range strokes {
		playing += s.Duration()
	}
	for _, m := range r.Settling.Moving {
		for _, s := range strokes[m.First : m.Last+1] {
			moved += s.Duration()
		}
		for _, end := range []bool{m.First > 0, m.Last+1 < len(strokes)} {
			if end {
				ends += 2 * playing / float64(len(strokes))
			}
		}
	}
	return estimate.Value[float64]{
		Value: moved / playing, Low: max(0, moved-ends) / playing, High: min(playing, moved+ends) / playing, Level: 0.95, N: len(strokes),
	}
}
