package review

import (
	"errors"

	"github.com/plectrace/plectrace/motion"
	"github.com/plectrace/plectrace/motion/cycle"
	"github.com/plectrace/plectrace/trajectory"
	"github.com/plectrace/plectrace/trajectory/camera"
	"github.com/plectrace/plectrace/variability/circular"
	"github.com/plectrace/plectrace/variability/estimate"
)

// shapes fits the mean cycle of every span, measures how smooth the longest
// settled one is, and holds the spans against the reference.
func (r *Review) shapes() error {
	o := cycle.Options{Exposure: r.Setup.ExposureS, View: r.Frame.View, Setup: r.Setup.SetupName}
	for i := range r.Spans {
		s := &r.Spans[i]
		var err error
		if s.Cycle, err = cycle.Fit(r.Placed, r.Motion, r.strokesOf(*s), o); err != nil {
			return err
		}
	}
	if s := r.typical(); s != nil {
		smooth, err := cycle.Smooth(r.Placed, r.Motion, r.strokesOf(*s), cycle.SmoothOptions{})
		if err != nil {
			return err
		}
		r.Smoothness = &smooth
	}
	r.compare()
	return nil
}

// compare holds the spans against the reference. Path angles of one set-up are
// compared as the picture shows them, others with what raise and skew hide.
func (r *Review) compare() {
	if r.Options.Reference == nil {
		return
	}
	ref := *r.Options.Reference
	same := ref.Setup != "" && ref.Setup == r.Setup.SetupName
	if !same {
		ref = AnySetup(ref)
	}
	var cycles []cycle.Cycle
	end := 0.0
	for _, s := range r.Spans {
		c := s.Cycle
		if !same {
			c.PathAngle = r.trueAngle(c.PathAngle)
		}
		cycles = append(cycles, c)
		end = s.End
	}
	following := ref.Follow(cycles, end)
	r.Following = &following
	for i := range r.Spans {
		r.Spans[i].Distance = &following.Distances[i]
	}
}

// KeepReference returns the motion of the longest settled span as a reference
// for other takes. The error says what is missing.
func (r *Review) KeepReference(note string, m cycle.Margins) (cycle.Reference, error) {
	s := r.Longest()
	switch {
	case r.Settling.Absent != nil:
		return cycle.Reference{}, errors.New("no reference can be kept: " + r.Settling.Absent.Why)
	case s == nil:
		return cycle.Reference{}, errors.New("no reference can be kept: no span of this take is settled")
	}
	c := s.Cycle
	if r.Setup.SetupName == "" {
		c.PathAngle = r.trueAngle(c.PathAngle)
	}
	return cycle.FromCycle(c, note, m)
}

// AnySetup returns a reference as it holds for a take of another set-up: one that
// was kept as an end-on picture showed it has its path angle's error widened by what
// that camera's raise and the strokes' skew may hide. Others are returned as they
// are.
func AnySetup(ref cycle.Reference) cycle.Reference {
	if ref.Setup == "" || ref.View != trajectory.EndOn || ref.PathAngle == nil {
		return ref
	}
	at, err := *ref.PathAngle, ref.Errors.PathAngle
	v := camera.Tilt{}.PathAngle(estimate.Value[circular.Angle]{Value: at, Low: at - err, High: at + err, Level: 0.95, N: 1})
	ref.Errors.PathAngle = max(at-v.Low, v.High-at)
	return ref
}

func (r *Review) strokesOf(s Span) []motion.Stroke { return r.Motion.Strokes[s.First : s.Last+1] }

// Longest returns the longest settled span, nil without one.
func (r *Review) Longest() *Span {
	var best *Span
	for i := range r.Spans {
		if s := &r.Spans[i]; s.Settled && (best == nil || s.End-s.Start > best.End-best.Start) {
			best = s
		}
	}
	return best
}

// typical returns the span that the take's mean cycle is taken from: the longest
// settled one that has a mean cycle, or else the longest one that has; nil
// without any.
func (r *Review) typical() *Span {
	var best *Span
	for i := range r.Spans {
		s := &r.Spans[i]
		if s.Cycle.Absent != nil {
			continue
		}
		if best == nil || s.Settled && !best.Settled || s.Settled == best.Settled && s.End-s.Start > best.End-best.Start {
			best = s
		}
	}
	return best
}

// ofCycle returns a measure of the typical span's mean cycle.
func ofCycle(what string, get func(*cycle.Cycle) estimate.Value[float64]) func(*Review) estimate.Value[float64] {
	return ofTypical(what, func(_ *Review, s *Span) estimate.Value[float64] { return get(&s.Cycle) })
}

// ofSmoothness returns a measure of how smooth the typical span is.
func ofSmoothness(what string, get func(*cycle.Smoothness) estimate.Value[float64]) func(*Review) estimate.Value[float64] {
	return ofTypical(what, func(r *Review, _ *Span) estimate.Value[float64] { return get(r.Smoothness) })
}

// ofTypical returns a measure of the typical span.
func ofTypical(what string, get func(*Review, *Span) estimate.Value[float64]) func(*Review) estimate.Value[float64] {
	return func(r *Review) estimate.Value[float64] {
		if s := r.typical(); s != nil {
			return get(r, s)
		}
		for _, s := range r.Spans {
			return estimate.Missing[float64](s.Cycle.Absent.Code, what, s.Cycle.Absent.Why)
		}
		why := r.whyNo("strokes", "no strokes were found")
		if r.Settling.Absent != nil {
			why = r.Settling.Absent.Why
		}
		return estimate.Missing[float64]("no span", what, why)
	}
}

// ofFollowing returns a measure of when the motion was that of the reference.
func ofFollowing(what string, get func(*cycle.Following) estimate.Value[float64]) func(*Review) estimate.Value[float64] {
	return func(r *Review) estimate.Value[float64] {
		if r.Following == nil {
			return estimate.Missing[float64]("no reference", what, "no reference motion is given")
		}
		return get(r.Following)
	}
}

// onReference is the share of the time of all spans that those have which are
// within the margins of the reference. It has no interval: what cannot be said of
// spans is no chance. Where that is more than half of the time it is absent.
func (r *Review) onReference() estimate.Value[float64] {
	const what = "share of the time within the reference"
	if r.Following == nil {
		return estimate.Missing[float64]("no reference", what, "no reference motion was given")
	}
	all := 0.0
	for _, s := range r.Spans {
		all += s.End - s.Start
	}
	if !(all > 0) || r.Following.Unsaid > all/2 {
		return estimate.Missing[float64]("cannot say", what, "of most of the playing time it cannot be said whether it is within the margins")
	}
	return estimate.Value[float64]{Value: r.Following.Total / all, Low: nan, High: nan, N: len(r.Spans)}
}
