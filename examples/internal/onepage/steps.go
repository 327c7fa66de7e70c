package onepage

import (
	"io"

	"github.com/plectrace/plectrace/motion/advice"
	"github.com/plectrace/plectrace/motion/figure"
	"github.com/plectrace/plectrace/motion/figure/take"
	"github.com/plectrace/plectrace/motion/review"
	"github.com/plectrace/plectrace/trajectory"
	"github.com/plectrace/plectrace/trajectory/tracks"
	"github.com/plectrace/plectrace/variability/estimate"
)

// read takes from an export the points that the settings name, which
// review.ParseSetup reads from NAME.take.json. timed says that the export has a column
// of times; the text says what was assumed about them, if anything.
func read(export io.Reader, name string, s review.Setup, timed bool) (
	*trajectory.Recording, string, error,
) {
	o, note := s.Tracks(timed)
	o.Source = name
	rec, err := tracks.Read(export, o)
	return rec, note, err
}

// film shows the tip in the film, with the signs to check.
func film(r *review.Review) figure.Figure { return take.Film(r) }

// measure cleans the path, places it in the instrument frame, finds the strokes and
// the spans in which they are settled, and measures all of it.
func measure(
	rec *trajectory.Recording, s review.Setup, o review.Options,
) (*review.Review, error) {
	return review.Run(rec, s, o)
}

// headline is what is asked for first. A value holds its interval (Low, High), or the
// reason why there is none (Absent).
func headline(r *review.Review) (rate, angle, settled estimate.Value[float64]) {
	return r.Value("notes_per_second"), r.Angle(), r.Value("settled_share")
}

// counsel is at most two things to work on, after one that holds.
func counsel(r *review.Review, p player) advice.Advice {
	e := advice.Evidence{Take: r.Summary(), Task: p.task, Comfort: p.comfort}
	return advice.Default().Advise(e)
}

// overview draws the path as seen along the strings, the tip over time, and where the
// strokes turn.
func overview(r *review.Review) (path, strokes, turns figure.Figure) {
	return take.Path(r), take.Strokes(r), take.Turns(r)
}

// meanCycle draws the mean cycle of the longest settled span, beside that of a
// reference motion where one is given.
func meanCycle(r *review.Review) figure.Figure { return take.Cycle(r) }

// spread draws the spans of the take, and the path angle of every stroke.
func spread(r *review.Review) (spans, angle figure.Figure) {
	return take.Spans(r), take.Angle(r)
}

// beginAndEnd draws the strokes of the first third of the take beside those of the last.
func beginAndEnd(r *review.Review) figure.Figure { return take.EarlyLate(r) }

// pace draws the rate of every cycle, and its curve over the take.
func pace(r *review.Review) figure.Figure { return take.Rate(r) }

// carrying draws how far the hand travels in step with the tip.
func carrying(r *review.Review) figure.Figure { return take.Carry(r) }

// driving draws which joints move the tip, over the take and stroke by stroke.
func driving(r *review.Review) (shares, strokes figure.Figure) {
	return take.Shares(r), take.Drive(r)
}

// aims are the measures of which practice aims at more, or at less.
func aims(r *review.Review) (of []review.Measure, is []estimate.Value[float64]) {
	for i, m := range review.Measures() {
		if v := r.Values[i]; m.Better != review.Neither && v.Known() {
			of, is = append(of, m), append(is, v)
		}
	}
	return of, is
}
