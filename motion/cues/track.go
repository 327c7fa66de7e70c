package cues

import (
	"cmp"
	"fmt"
	"math"
	"slices"

	"github.com/plectrace/plectrace/motion/review"
	"github.com/plectrace/plectrace/variability/estimate"
)

// Options say how the captions fit the film. The zero value is the documented
// default of every field.
type Options struct {
	// Offset is added to every time, in seconds of the film as it plays: when
	// the take begins in it, where that is not at its start. Negative where the
	// film was cut after it was tracked.
	Offset float64 `json:"offset_s,omitempty"`
	// SlowedBy is how many times slower than life the film plays. Zero means as
	// the review's settings say (slowed_by), and 1 where they do not.
	SlowedBy float64 `json:"slowed_by"`
	// Show lists what is shown. Empty means all kinds but Hidden.
	Show []Kind `json:"show"`
	// MinSeconds is how long a caption stands at least, in seconds of the film.
	// Zero means 1; negative as long as what it tells of.
	MinSeconds float64 `json:"min_s"`
}

// longest is the longest time for which strokes share a caption and between the
// least time without one, in seconds, and readable how many characters are read in
// a second (common practice of subtitling, from memory).
const (
	longest  = 7.0
	between  = 0.5
	readable = 20.0
)

// shortest is the shortest caption that may be asked for, in seconds: times are
// written to the millisecond.
const shortest = 0.002

// Cue is one caption.
type Cue struct {
	// ID names the caption within its track, by what it tells of: span-3 is the
	// third span of spans.csv, strokes-37 begins with stroke 37 of strokes.csv.
	// May be empty.
	ID string
	// Start and End are in seconds of the film as it plays.
	Start, End float64
	// Text is plain text; a line feed parts its lines.
	Text string
	// Line is where its first line stands: 0 is the first line from the top of
	// the picture, -1 the last, from which players move two lines up.
	Line int
}

func byStart(a, b Cue) int { return cmp.Compare(milliseconds(a.Start), milliseconds(b.Start)) }

// Track is the captions of one take.
type Track struct {
	// Cues are in order of their starts.
	Cues []Cue
	// Made says how the captions were made, Notes what is not shown and why: a
	// sentence each.
	Made, Notes []string
	// Options are those in force, defaults filled in.
	Options Options
}

// Of makes the captions of a review. A take without strokes gives none, with the
// reason in Track.Notes. Captions that the offset puts before the film's start are
// cut there or left out, and Track.Notes says so. The error is for options that
// cannot be.
func Of(r *review.Review, o Options) (Track, error) {
	if o.SlowedBy == 0 {
		o.SlowedBy = r.Setup.SlowedBy
	}
	if o.SlowedBy == 0 {
		o.SlowedBy = 1
	}
	if len(o.Show) == 0 {
		o.Show = shownByDefault
	}
	o.Show = slices.Clone(o.Show)
	if o.MinSeconds == 0 {
		o.MinSeconds = 1
	}
	switch {
	case !(o.SlowedBy > 0) || math.IsInf(o.SlowedBy, 0):
		return Track{}, fmt.Errorf("cues: slowed_by is %g: give how many times slower than life the film plays", o.SlowedBy)
	case !(math.Abs(o.Offset) <= latest):
		return Track{}, fmt.Errorf("cues: the offset is %g: give when the take begins in the film, in seconds", o.Offset)
	case !(o.MinSeconds <= 60):
		return Track{}, fmt.Errorf("cues: captions are to stand for %g s at least: give up to 60, negative for as long as what they tell of", o.MinSeconds)
	}
	for _, k := range o.Show {
		if k <= KindUnknown || int(k) >= len(kindText) {
			return Track{}, fmt.Errorf("cues: there is no kind of caption %v", k)
		}
	}
	m := maker{r: r, o: o, least: max(o.MinSeconds, shortest)}
	m.made()
	m.bottom()
	m.top()
	m.cuts()
	slices.SortStableFunc(m.cues, byStart)
	t := Track{Cues: m.cues, Made: m.how, Notes: m.notes, Options: o}
	return t, t.check()
}

// maker makes the captions of one review.
type maker struct {
	r     *review.Review
	o     Options
	least float64 // seconds for which a caption stands

	cues       []Cue
	how, notes []string
	lost       int // what lies before the film's start
	cut        int // what is cut there
}

func (m *maker) note(format string, args ...any) {
	m.notes = append(m.notes, fmt.Sprintf(format, args...))
}

func (m *maker) shows(k Kind) bool { return slices.Contains(m.o.Show, k) }

// paced reports whether the film has one pace throughout.
func (m *maker) paced() bool { return len(m.r.Jumps) == 0 }

// film returns the film's time of a moment of the take.
func (m *maker) film(t float64) float64 { return t*m.o.SlowedBy + m.o.Offset }

// within returns a stretch of the take in the film's time, cut at its start; not
// ok where nothing is left of it.
func (m *maker) within(start, end float64) (from, to float64, ok bool) {
	from, to = m.film(start), m.film(end)
	switch {
	case to < shortest && from < 0:
		m.lost++
		return 0, 0, false
	case from < 0:
		m.cut++
		from = 0
	}
	return from, to, true
}

// made says how the captions were made.
func (m *maker) made() {
	if m.r.Source != "" {
		m.how = append(m.how, fmt.Sprintf("Captions of the take %s.", m.r.Source))
	}
	if s := m.o.SlowedBy; s == 1 {
		m.how = append(m.how, "The film is taken to play as in life.")
	} else {
		m.how = append(m.how, fmt.Sprintf("The film is taken to play %.6g times slower than life. Seconds and rates in the captions are those of life.", s))
	}
	if m.o.Offset != 0 {
		m.how = append(m.how, fmt.Sprintf("Times of the take are shifted by %.6g s of the film.", m.o.Offset))
	}
	m.how = append(m.how, "Numbers of spans are those of the page and of spans.csv, numbers of strokes those of strokes.csv. Rates and angles are middles; their intervals stand in the review.")
	for _, q := range m.r.Questions {
		m.note("%s", q)
	}
	if len(m.r.Motion.Strokes) > 0 {
		return
	}
	if v := m.r.Value("notes_per_second"); v.Absent != nil {
		m.note("No strokes, no captions: %s.", v.Absent.Why)
	}
}

// why notes the reason for which captions of a kind are not to be had.
func (m *maker) why(what string, a *estimate.Absence) {
	if a != nil && len(m.r.Motion.Strokes) > 0 {
		m.note("%s: %s.", what, a.Why)
	}
}

// cuts says what was lost before the film's start.
func (m *maker) cuts() {
	if m.lost > 0 {
		m.note("Before the film's start, by the offset of %.6g s, and not shown: %s of spans, pauses and strokes.", m.o.Offset, count(m.lost, "caption", "captions"))
	}
	if m.cut > 0 {
		m.note("Cut at the film's start, by the offset of %.6g s: %s of spans, pauses and strokes.", m.o.Offset, count(m.cut, "caption", "captions"))
	}
}
