package main

import (
	"bytes"
	"fmt"
	"math"

	"github.com/plectrace/plectrace/motion"
	"github.com/plectrace/plectrace/motion/figure"
	"github.com/plectrace/plectrace/motion/figure/take"
	"github.com/plectrace/plectrace/motion/review"
	"github.com/plectrace/plectrace/motion/simulate"
	"github.com/plectrace/plectrace/trajectory"
	"github.com/plectrace/plectrace/trajectory/tracks"
	"github.com/plectrace/plectrace/variability/circular"
	"github.com/plectrace/plectrace/variability/estimate"
	"github.com/plectrace/plectrace/variability/robust"
)

// filmed makes the take that o describes, and what a tracker would export of it.
// The same options make the same take again.
func filmed(o simulate.Options) (*simulate.Take, []byte, error) {
	take, err := simulate.Make(o)
	if err != nil {
		return nil, nil, err
	}
	var export bytes.Buffer
	err = tracks.Write(&export, &take.Recording, tracks.WriteOptions{})
	return take, export.Bytes(), err
}

// played makes the take once more, seen in space without an error: where the tip
// really was, in mm, at 240 places a second.
func played(o simulate.Options) (trajectory.Placed, error) {
	take, err := simulate.Make(faultless(o))
	if err != nil {
		return trajectory.Placed{}, err
	}
	tip, _ := take.Recording.Point("tip")
	path := trajectory.Placed{Name: "tip", T: tip.T, Unit: "mm"}
	bass, treble := take.Truth.Bass, take.Truth.Treble // the outer strings
	for i := range tip.T {
		path.Across = append(path.Across, tip.X[i]-(bass[0]+treble[0])/2)
		path.Along = append(path.Along, tip.Y[i]-bass[1])
		path.Out = append(path.Out, tip.Z[i]-bass[2])
	}
	return path, nil
}

// faultless is o with all taken out that camera, clock and tracker do to a take;
// what is played stays the same.
func faultless(o simulate.Options) simulate.Options {
	o.View, o.Orientation, o.FrameRate = trajectory.Spatial, trajectory.Orientation{}, 240
	o.Scale, o.Roll, o.Raise, o.Yaw, o.Distance, o.SpotX, o.SpotY = 0, 0, 0, 0, 0, 0, 0
	o.Noise, o.NoiseColour, o.Decimals, o.TimeDecimals = -1, 0, -1, -1
	o.Exposure, o.Readout, o.Sway, o.SwayAngle = 0, 0, 0, 0
	o.TimeJitter, o.StampError, o.SlowedBy, o.SlowAt, o.SlowUntil, o.SlowBy = 0, 0, 0, 0, 0, 0
	o.TrackMarks, o.Wrist, o.Arm, o.PickEdge = false, false, false, false
	o.MarkerUp, o.MarkerAcross, o.MarkerAlong = 0, 0, 0
	o.DropOuts, o.MarkDropOuts, o.HideDown, o.HideUp, o.Outliers, o.Jumps = 0, 0, 0, 0, 0, 0
	return o
}

// pathFigure shows where the tip was, between the strings that are there.
func pathFigure(path trajectory.Placed, truth simulate.Truth) figure.Paths {
	f := figure.Paths{Across: path.Across, Out: path.Out, Unit: path.Unit, HeightsKnown: true}
	none := circular.Angle(math.NaN()) // the truth has no interval
	f.Angle.Value, f.Angle.Low, f.Angle.High, f.Angle.N = truth.PathAngle, none, none, len(truth.Strokes)
	for i, s := range truth.Strings {
		at := figure.Point{X: s.Across, Y: s.Out}
		f.Strings = append(f.Strings, figure.Mark{Name: fmt.Sprintf("string %d", i+1), Point: at})
	}
	return f
}

// strokesFigure shows the strokes as they were made.
func strokesFigure(path trajectory.Placed, truth simulate.Truth) figure.StrokesOverTime {
	f := figure.StrokesOverTime{T: path.T, Across: path.Across, Unit: path.Unit}
	for _, s := range truth.Strokes {
		f.Strokes = append(f.Strokes, figure.Stroke{Start: s.Start, End: s.End, Settled: s.Settled})
	}
	return f
}

// rateFigure shows the rate of every cycle: two strokes over their time.
func rateFigure(truth simulate.Truth) figure.RateOverTime {
	f := figure.RateOverTime{Typical: truth.Rate}
	for i := 1; i < len(truth.Strokes); i++ {
		before, s := truth.Strokes[i-1], truth.Strokes[i]
		rate := math.NaN() // where a rest lies between the two
		if s.Start == before.End {
			rate = 2 / (s.End - before.Start)
		}
		f.T, f.Rate = append(f.T, s.Start), append(f.Rate, rate)
	}
	for _, s := range truth.Spans {
		if s.Settled {
			f.Settled = append(f.Settled, figure.Span{Start: s.Start, End: s.End})
		}
	}
	return f
}

// reviewed measures the take from its export and its settings, as that of a film:
// nothing of the truth goes in.
func reviewed(export, settings []byte) (*review.Review, error) {
	setup, err := review.ParseSetup(bytes.NewReader(settings))
	if err != nil {
		return nil, err
	}
	how, _ := setup.Tracks(true)
	rec, err := tracks.Read(bytes.NewReader(export), how)
	if err != nil {
		return nil, err
	}
	return review.Run(rec, setup, review.Options{})
}

// matched pairs the strokes that were made with those that were found: of the same
// direction, not twice as long, and with their middles less than a third of the
// stroke apart. It returns the number of the stroke found for each that was made, -1
// where there is none. when is the time at which the film shows a moment.
func matched(made []simulate.Stroke, found []motion.Stroke, when func(float64) float64) []int {
	pairs := make([]int, len(made))
	next := 0
	for i, s := range made {
		start, end := when(s.Start), when(s.End)
		for next < len(found) && found[next].Middle() < start {
			next++
		}
		pairs[i] = -1
		for j := next; j < len(found) && found[j].Middle() < end; j++ {
			f, d := found[j], end-start
			near := math.Abs(f.Middle()-(start+end)/2) < d/3 && f.Duration() < 2*d
			if near && (f.Direction == motion.Down) == s.Down {
				pairs[i] = j
				break
			}
		}
	}
	return pairs
}

// overlap is the time that is settled in truth and in the review, as a share of the
// time that is in either; NaN where none is.
func overlap(made []simulate.Span, found []review.Span) float64 {
	both, either := 0.0, 0.0
	for _, m := range made {
		if m.Settled {
			either += m.End - m.Start
		}
	}
	for _, f := range found {
		if !f.Settled {
			continue
		}
		either += f.End - f.Start
		for _, m := range made {
			if m.Settled {
				common := max(0, min(m.End, f.End)-max(m.Start, f.Start))
				both, either = both+common, either-common
			}
		}
	}
	return both / either
}

// spansFigure shows the spans as they were made above those that the review found.
func spansFigure(made []simulate.Span, r *review.Review) figure.SpansOverTake {
	f := take.Spans(r)
	truth := figure.Strip{Name: "as made"}
	for _, s := range made {
		kind := "searching"
		if s.Settled {
			kind = "settled"
		}
		span := figure.Span{Start: s.Start, End: s.End}
		truth.Parts = append(truth.Parts, figure.Part{Span: span, Kind: kind})
	}
	for i := range f.Strips {
		f.Strips[i].Name = "as found"
	}
	f.Strips = append([]figure.Strip{truth}, f.Strips...)
	return f
}

// check is a measure of the review by its name, what it would be without an error,
// and what was found.
type check struct {
	Measure string
	Made    float64
	Found   estimate.Value[float64]
}

// held holds what the review measured against the truth: names of measures, what was
// made, what was found. The rate is that of settled strokes where there are any;
// angles are medians over all strokes.
func held(made *simulate.Take, r *review.Review) []check {
	truth := made.Truth
	rate, notes := "settled_notes_per_second", truth.SettledRate
	if truth.SettledShare == 0 {
		rate, notes = "notes_per_second", truth.Rate
	}
	var angles []float64
	missed := 0.0
	for _, s := range truth.Strokes {
		angles = append(angles, s.PathAngle.Degrees())
		if !s.Reached {
			missed += 1 / float64(len(truth.Strokes))
		}
	}
	checks := []check{
		{rate, notes, r.Value(rate)},
		{"settled_share", truth.SettledShare, r.Value("settled_share")},
		{"missed_share", missed, r.Value("missed_share")},
		{"path_angle_deg", robust.Median(angles), r.Value("path_angle_deg")},
	}
	o := made.Options
	if o.View == trajectory.EndOn && o.Raise == 0 && o.Yaw == 0 {
		// A level camera that looks down the strings shows the angle as it is.
		name := "picture_angle_deg"
		checks = append(checks, check{name, robust.Median(angles), r.Value(name)})
	}
	if o.Wrist || o.Arm {
		checks = append(checks, check{"carry", truth.Carry, r.Value("carry")})
	}
	return checks
}
