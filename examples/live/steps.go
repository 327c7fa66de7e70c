package main

import (
	"fmt"
	"math"

	"github.com/plectrace/plectrace/motion/figure"
	"github.com/plectrace/plectrace/motion/figure/take"
	"github.com/plectrace/plectrace/motion/live"
	"github.com/plectrace/plectrace/motion/review"
	"github.com/plectrace/plectrace/tempo"
	"github.com/plectrace/plectrace/trajectory"
)

// follow makes a tracker that looks at the instrument as a review with the same
// settings does. rest is the playing time in seconds after which it suggests a rest.
func follow(s review.Setup, unit string, rest float64) (*live.Tracker, error) {
	o := live.Options{Unit: unit, RestAfter: rest, Frame: s.FrameOptions()}
	switch {
	case s.MinConfidence > 0:
		o.MinConfidence = s.MinConfidence
	case s.MinConfidence == 0:
		o.MinConfidence = 0.6 // as a review does
	}
	return live.New(o)
}

// sample is what one frame tells: where the tip is, how far the tracker trusts it, and
// where the marks are that are tracked, in the order bass, treble, nut.
func sample(frame *trajectory.Recording, s review.Setup) live.Sample {
	place := func(p trajectory.Path) [3]float64 {
		at := [3]float64{p.X[0], p.Y[0]}
		if p.Z != nil {
			at[2] = p.Z[0]
		}
		return at
	}
	tip, _ := frame.Point(s.Tip)
	out := live.Sample{T: frame.T[0], Tip: place(tip), Confidence: math.NaN()}
	if tip.Confidence != nil {
		out.Confidence = tip.Confidence[0]
	}
	for _, m := range tracked(s) {
		p, _ := frame.Point(m.Point)
		out.Marks = append(out.Marks, place(p))
	}
	return out
}

// tracked are the marks that come with every sample, none where they are fixed.
func tracked(s review.Setup) []trajectory.Mark {
	if s.Marks.Bass.Point == "" {
		return nil
	}
	marks := []trajectory.Mark{s.Marks.Bass, s.Marks.Treble}
	if s.View == trajectory.Spatial {
		marks = append(marks, s.Marks.Nut...)
	}
	return marks
}

// push gives a sample to the tracker, and says in words what it tells. Rates, angles
// and single strokes are told too: Tracker.Now holds the latest of them.
func push(t *live.Tracker, s live.Sample) (events []live.Event, words []string, err error) {
	events, err = t.Push(nil, s)
	return events, say(events), err
}

// say says events in words.
func say(events []live.Event) []string {
	var words []string
	for _, e := range events {
		if text := tell(e); text != "" {
			words = append(words, text)
		}
	}
	return words
}

// tell says an event in words, nothing for those that come with every stroke.
func tell(e live.Event) string {
	switch e.Kind {
	case live.Settled:
		return fmt.Sprintf("settled since %.1f s", e.Since)
	case live.Searching:
		return fmt.Sprintf("searching since %.1f s", e.Since)
	case live.Pause:
		return fmt.Sprintf("a pause at %.1f s", e.T)
	case live.Gap:
		if e.Seconds >= 0.2 { // shorter ones show in their hidden turns
			return fmt.Sprintf("the tip was not seen for %.1f s", e.Seconds)
		}
	case live.Moved:
		return fmt.Sprintf("the tip went elsewhere at once at %.1f s", e.T)
	case live.FrameRate:
		return fmt.Sprintf("the camera gives %.0f frames a second", e.Hz)
	case live.Rest:
		return fmt.Sprintf("time for a rest: %s played", minutes(e.Seconds))
	}
	return ""
}

// status says what holds after the last sample. note is the note value of a stroke;
// an oblique view shows no path angle, but that in its picture.
func status(n live.Now, note tempo.NoteValue, view trajectory.View) []string {
	var out []string
	if r := n.NotesPerSecond; r == r { // not before there are strokes
		out = append(out, fmt.Sprintf("%.1f strokes a second, %.0f BPM in %s", r, float64(r.BPM(note)), note.Plural()))
	}
	if a := n.PathAngle.Degrees(); a == a {
		name := "path angle"
		if view == trajectory.Oblique {
			name = "picture angle"
		}
		out = append(out, fmt.Sprintf("%s %.0f degrees", name, a))
	}
	motion := "searching"
	if n.Settled {
		motion = "settled"
	}
	if n.Known {
		out = append(out, fmt.Sprintf("%s since %.1f s (settled with a probability of %s)", motion, n.Since, percent(n.P)))
	}
	return out
}

// minutes is a time as minutes and seconds.
func minutes(seconds float64) string {
	n := int(seconds)
	return fmt.Sprintf("%d:%02d", n/60, n%60)
}

// percent is a probability in words: none is certain.
func percent(p float64) string {
	switch {
	case p < 0.01:
		return "under 1 %"
	case p > 0.99:
		return "over 99 %"
	}
	return fmt.Sprintf("%.0f %%", 100*p)
}

// heard reviews all samples that came, as any take.
func heard(rec *trajectory.Recording, s review.Setup) (*review.Review, error) {
	return review.Run(rec, s, review.Options{})
}

// strokes draws the tip over time, with the turns of its strokes.
func strokes(r *review.Review) figure.Figure { return take.Strokes(r) }
