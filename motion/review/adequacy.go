package review

import (
	"fmt"
	"maps"
	"math"
	"slices"

	"github.com/plectrace/plectrace/motion"
	"github.com/plectrace/plectrace/trajectory"
	"github.com/plectrace/plectrace/variability/circular"
	"github.com/plectrace/plectrace/variability/settling"
)

// footing is what findings on what can be measured rest on: of a take that
// exists, or of one that is planned. Unknown numbers are NaN.
type footing struct {
	planned bool
	view    trajectory.View
	hz      float64 // samples a second
	per     float64 // samples a stroke
	peak    float64 // peak speed of a stroke, in its lengths a second
	// spectral is the rate that the spectrum shows; why says why it shows none.
	spectral    float64
	spectralWhy string
	// relative says why heights have no zero, or nothing.
	relative string
	// noise is what measurement alone gives single strokes: the angle in
	// degrees, duration and length as a share of themselves.
	noise      settling.Tolerances
	settledWhy string // why there are no settled spans, or nothing
	settled    bool
	// millimetres says where they come from, noMillimetres why there are none.
	millimetres, noMillimetres string
	// exposure of a frame in seconds, zero unknown.
	exposure float64
}

// minSpectral is the fewest samples of a stroke from which a spectrum tells
// the rate (two are the limit of Nyquist and Shannon, with a margin for the
// width of the peak).
const minSpectral = 2.2

// findings are those that do not need the samples themselves.
func (f *footing) findings() []Finding {
	fs := []Finding{f.spectrum(), f.enough("strokes, rate and timing", motion.MinSamplesStrokes)}
	switch f.view {
	case trajectory.Front:
		fs = append(fs,
			cannot("path angle and heights", "a camera that faces the instrument does not see how far out the tip is; film end-on"),
			f.enough("skew", motion.MinSamplesAngles))
	default:
		angle := "path angle"
		if f.view == trajectory.Oblique {
			angle = "a picture angle, which compares only within this set-up"
		}
		fs = append(fs, f.enough(angle, motion.MinSamplesAngles), f.enough("curvature", motion.MinSamplesShape), f.heights())
		if f.view == trajectory.Spatial {
			fs = append(fs, f.enough("skew", motion.MinSamplesAngles))
		} else {
			fs = append(fs, cannot("skew", "this view does not see travel along the strings; one front-on take of the same player gives it"))
		}
	}
	fs = append(fs, f.lengths())
	fs = append(fs, f.single()...)
	if f.settled || f.settledWhy != "" {
		fs = append(fs, f.spans())
	}
	return append(fs, f.blur()...)
}

func can(what, why string, args ...any) Finding {
	return Finding{Can: true, What: what, Why: fmt.Sprintf(why, args...)}
}

func cannot(what, why string, args ...any) Finding {
	return Finding{What: what, Why: fmt.Sprintf(why, args...)}
}

func aside(what, why string, args ...any) Finding {
	return Finding{Aside: true, What: what, Why: fmt.Sprintf(why, args...)}
}

func (f *footing) spectrum() Finding {
	const what = "rate alone, from the spectrum"
	switch {
	case f.planned:
		return f.enough(what, minSpectral)
	case f.spectral == f.spectral:
		return can(what, "it shows %.3g strokes/s", f.spectral)
	}
	return cannot(what, "%s", f.spectralWhy)
}

// enough holds the samples of a stroke against what a result needs.
func (f *footing) enough(what string, need float64) Finding {
	switch limit := f.hz / need; {
	case f.per != f.per:
		return cannot(what, "no strokes were found; at %.4g samples/s it is possible up to %.3g strokes/s", f.hz, limit)
	case f.per >= need:
		return can(what, "%.3g samples per stroke at %.4g samples/s, %.2g are needed; possible up to %.3g strokes/s", f.per, f.hz, need, limit)
	default:
		return cannot(what, "%.3g samples per stroke at %.4g samples/s, %.2g are needed; possible up to %.3g strokes/s, or film at %.0f frames/s or more", f.per, f.hz, need, limit, math.Ceil(f.hz/f.per*need*(1-1e-9)))
	}
}

func (f *footing) heights() Finding {
	const what = "heights and clearing"
	if f.relative != "" {
		return cannot(what, "%s", f.relative)
	}
	return f.enough(what, motion.MinSamplesShape)
}

func (f *footing) lengths() Finding {
	const what = "lengths in millimetres"
	if f.noMillimetres != "" {
		return cannot(what, "%s", f.noMillimetres)
	}
	return can(what, "%s", f.millimetres)
}

// leastSingle is the noise of an angle, in degrees, up to which single strokes
// show something: players differ by 1 to 5 degrees from stroke to stroke, and
// angles of different motions by ten and more (common practice).
const leastSingle = 3

func (f *footing) single() []Finding {
	v := f.noise.Angle.Degrees()
	if v != v {
		return nil
	}
	what := "the path angle of single strokes"
	switch f.view {
	case trajectory.Front:
		what = "the skew of single strokes"
	case trajectory.Oblique:
		what = "the picture angle of single strokes"
	}
	why := "the measured noise alone scatters it by %.2g degrees"
	if f.planned {
		why = "the tracker's noise alone will scatter it by about %.2g degrees"
	}
	s := can(what, why, v)
	s.Can = v < leastSingle
	return []Finding{s}
}

func (f *footing) spans() Finding {
	const what = "settled and searching spans"
	if f.settledWhy != "" {
		return cannot(what, "%s", f.settledWhy)
	}
	return can(what, "the noise is well below the tolerances")
}

// mostBlur is the share of a stroke's length that the tip may move while a
// frame is exposed. At 15 % a stroke of 10 mm leaves a streak of 1.5 mm, which is
// about as wide as a pick's tip is round; beyond that there is no tip left to
// track, only a streak (common practice). It is not for the length that it
// takes: the mean over the exposure shortens a half-cosine stroke by
// 1 - sin(b)/b, 0.4 % at b = 0.15.
const mostBlur = 0.15

// blur holds the exposure against the speed of the tip. Nothing is said of
// three axes without an exposure: such cameras flash.
func (f *footing) blur() []Finding {
	const what = "a sharp tip"
	if f.peak != f.peak || f.view == trajectory.Spatial && f.exposure == 0 {
		return nil
	}
	open := f.exposure
	if open == 0 {
		open = 1 / f.hz
	}
	share := f.peak * open
	percent := fmt.Sprintf("%.2g %% of a stroke's length", 100*share)
	if share >= 0.1 {
		percent = fmt.Sprintf("%.0f %% of a stroke's length", 100*share)
	}
	shorter := fmt.Sprintf("1/%.0f s or shorter, with more light, keeps it under %.0f %%", math.Ceil(f.peak/mostBlur), 100*mostBlur)
	switch {
	case f.exposure == 0 && share <= mostBlur:
		return []Finding{can(what, "even with the shutter open for the whole frame it moves no more than %s in it, and up to %.0f %% leave a tip to be tracked", percent, 100*mostBlur)}
	case f.exposure == 0:
		return []Finding{aside(what, "how long a frame is exposed is not given (exposure_s); with the shutter open for the whole frame the tip would move %s in it and leave a streak; %s", percent, shorter)}
	case share <= mostBlur:
		return []Finding{can(what, "it moves %s while a frame is exposed (%.2g s), and up to %.0f %% leave a tip to be tracked", percent, f.exposure, 100*mostBlur)}
	}
	return []Finding{cannot(what, "it moves %s while a frame is exposed (%.2g s), and the tracker follows a streak; %s", percent, f.exposure, shorter)}
}

// Noise of single strokes from that of the samples: n samples a stroke with
// noise σ on each axis and a length L. The first is that of package motion's
// comment; all three are how much half-cosine strokes of simulated takes scatter
// that are all alike, to 8 % at 10 to 50 samples a stroke. Strokes that linger at
// their turns have twice the noise of duration.
const (
	angleNoise    = 1.82 // of an angle in radians, in σ/(L√n)
	lengthNoise   = 2.7  // of a length as a share of it
	durationNoise = 2.9  // of a duration as a share of it
)

// strokeNoise is that noise for σ/L and n.
func strokeNoise(ratio, n float64) settling.Tolerances {
	one := ratio / math.Sqrt(n)
	return settling.Tolerances{Angle: circular.Angle(angleNoise * one), Duration: durationNoise * one, Length: lengthNoise * one}
}

// Adequacy says what the take can and cannot show, and what has become of its
// samples, a plain sentence each. Plan.Allows says the same before there are
// any.
func (r *Review) Adequacy() []Finding {
	m := r.Motion
	f := footing{
		view: r.Frame.View, hz: m.SampleHz, per: m.SamplesPerStroke, exposure: r.Setup.ExposureS,
		peak: nan, spectral: nan, relative: r.relativeWhy(),
		noise: settling.Tolerances{Angle: circular.Angle(nan)},
	}
	if s := r.rates.spectral; len(r.Jumps) > 0 {
		f.spectralWhy = paceChanges
	} else if s.Known() {
		f.spectral = float64(s.Value)
		if f.per != f.per {
			f.per = f.hz / f.spectral
		}
	} else if s.Absent != nil {
		f.spectralWhy = s.Absent.Why
	}
	if r.Unit == "mm" {
		f.millimetres = fmt.Sprintf("%.3g units of the export are a millimetre", r.PerMM())
		if r.Card == nil && metric[r.SourceUnit] != "" {
			f.millimetres = "the export is in " + metric[r.SourceUnit]
		}
	} else {
		f.noMillimetres = "the distance between the marks is not given (distance_mm)"
	}
	if len(m.Strokes) > 0 {
		var noise, peak, seconds []float64
		for _, s := range m.Strokes {
			if d := s.Noise.Angle; d == d {
				noise = append(noise, d.Radians())
			}
			if v := s.PeakSpeed / s.Length; v == v {
				peak = append(peak, v)
			}
			if v := s.Duration(); !s.Bridged && v == v {
				seconds = append(seconds, v)
			}
		}
		f.noise.Angle = circular.Angle(medianOf(noise))
		if f.peak = medianOf(peak); f.peak != f.peak {
			f.peak = math.Pi / 2 / medianOf(seconds)
		}
		f.settled = r.Settling.Absent == nil
		if !f.settled {
			f.settledWhy = r.Settling.Absent.Why
		}
	} else if f.spectral == f.spectral {
		f.peak = math.Pi / 2 * f.spectral
	}
	p := Plan{View: f.view, Strings: r.stringsWhy == "", PickPoints: len(r.Setup.PickPoints), Landmarks: slices.Sorted(maps.Keys(r.Setup.Landmarks))}
	fs := append(f.findings(), p.points(f.enough, f.relative)...)
	fs = append(fs, r.filled()...)
	fs = append(fs, aside("missing samples", "%.1f %% of the tip's samples are missing or were cut; the longest gap lasts %.2f s", 100*r.Loss.Share(), r.Loss.LongestGap))
	return append(fs, r.lostBySpeed()...)
}

// filled says how much the tracker drew itself, and what was interpolated here.
func (r *Review) filled() []Finding {
	var drawn, put int
	for _, e := range r.Edits {
		switch {
		case e.Point == r.Setup.Tip && (e.Rule == trajectory.StraightFill || e.Rule == trajectory.FrozenFill):
			drawn += e.Samples()
		case e.Point != r.Setup.Tip && e.Rule == trajectory.Filled:
			put += e.Samples()
		}
	}
	var fs []Finding
	n := float64(max(1, r.Tip.Len()))
	if drawn > 0 {
		fs = append(fs, aside("filled samples", "%.1f %% of the tip's samples were not seen but drawn by the tracker, as straight lines or repeated positions; they were cut", 100*float64(drawn)/n))
	}
	if put > 0 {
		marks := float64(max(1, len(r.Setup.markPoints())))
		fs = append(fs, aside("filled marks", "%.1f %% of the marks' samples were missing and have been interpolated", 100*float64(put)/n/marks))
	}
	return fs
}
