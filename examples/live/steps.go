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
	"github.com/plectrace/plectrace/trajectory/camera"
)

// sight is how samples look at the instrument: its frame, the unit of lengths, and the
// card that takes the picture to millimetres, nil without.
type sight struct {
	frame trajectory.FrameOptions
	unit  string
	card  *camera.Card
}

// look finds the sight of a review with the same settings. A card must stand at known
// places: its tracked corners are only found when the take is over.
func look(s review.Setup, unit string) (*sight, error) {
	at := &sight{frame: s.FrameOptions(), unit: unit}
	if s.Card.IsZero() {
		return at, nil
	}
	if s.View != trajectory.EndOn {
		return nil, fmt.Errorf("a card stands across the strings and needs the view end-on; it is given for the view %s", s.View)
	}
	for _, c := range s.Card.Corners {
		if c.Point != "" {
			return nil, fmt.Errorf("the card's corner %q is a tracked point, whose place is known only at the end; give the places of all corners in the picture (card), or bass and treble marks in place of the card", c.Point)
		}
	}
	found, err := camera.FindCorners(&trajectory.Recording{}, s.Card.Corners)
	if err != nil {
		return nil, err
	}
	at.card, err = camera.NewCard(found.Corners, camera.CardOptions{
		ShortEdge: s.Card.ShortEdge, Orientation: s.Orientation,
		PictureWidth: s.PicturePX[0], PictureHeight: s.PicturePX[1], FocalLength: s.FocalPX,
	})
	if err != nil {
		return nil, err
	}
	at.frame, at.unit = at.card.Plane.FrameOptions(), "mm"
	if m := tracked(s); m != nil { // they are followed, in the card's plane
		at.frame.Marks, at.frame.DistanceMM = trajectory.Marks{Bass: m[0], Treble: m[1]}, 0
		at.frame.MarkError = math.Hypot(at.frame.MarkError, 1/at.card.Scale.Value) // a pixel
	}
	return at, nil
}

// follow makes a tracker. rest is the playing time in seconds after which it suggests a
// rest.
func follow(at *sight, s review.Setup, rest float64) (*live.Tracker, error) {
	o := live.Options{Unit: at.unit, RestAfter: rest, Frame: at.frame}
	switch {
	case s.MinConfidence > 0:
		o.MinConfidence = s.MinConfidence
	case s.MinConfidence == 0:
		o.MinConfidence = trajectory.DefaultMinConfidence // as a review does
	}
	return live.New(o)
}

// sample is what one frame tells: where the tip is, how far the tracker trusts it, and
// where the marks are that are tracked, in the order bass, treble, nut.
func sample(frame *trajectory.Recording, s review.Setup, at *sight) (live.Sample, error) {
	names := []string{s.Tip}
	for _, m := range tracked(s) {
		names = append(names, m.Point)
	}
	if at.card != nil {
		var err error
		if frame, err = at.card.Plane.Recording(frame, names...); err != nil {
			return live.Sample{}, err
		}
	}
	out := live.Sample{T: frame.T[0], Confidence: math.NaN()}
	for i, name := range names {
		p, _ := frame.Point(name)
		place := [3]float64{p.X[0], p.Y[0]}
		if p.Z != nil {
			place[2] = p.Z[0]
		}
		switch {
		case i > 0:
			out.Marks = append(out.Marks, place)
			continue
		case p.Confidence != nil:
			out.Confidence = p.Confidence[0]
		}
		out.Tip = place
	}
	return out, nil
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

// push gives a frame to the tracker, and says in words what it tells. Rates, angles and
// single strokes are told too: Tracker.Now holds the latest of them.
func push(t *live.Tracker, frame *trajectory.Recording, s review.Setup, at *sight) (events []live.Event, words []string, err error) {
	next, err := sample(frame, s, at)
	if err == nil {
		events, err = t.Push(nil, next)
	}
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
