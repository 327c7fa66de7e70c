package figure

import (
	"gonum.org/v1/plot/vg"

	"github.com/plectrace/plectrace/tempo"
)

// RateOverTime shows the rate of strokes over a take, with the beats per
// minute at which as many notes of a value sound as a second reading.
type RateOverTime struct {
	// T are times in seconds that do not decrease, Rate the notes per second
	// there.
	T, Rate []float64
	// Settled are the settled spans.
	Settled []Span
	// Typical is drawn across, if positive: the rate of the take, in notes per
	// second.
	Typical float64
	// Note is the note value of a stroke, nil for a sixteenth.
	Note *tempo.NoteValue
	// Curve is the rate from moment to moment, over seconds; it may be empty.
	Curve Curve
	// Beside are rates that other figures show: the scale of rates has room for
	// them too, so that figures that name each other's are of one scale.
	Beside []RateOverTime
}

func (f RateOverTime) draw(p paper) *sheet {
	sameLength(len(f.T), len(f.Rate))
	f.Curve.check()
	time := none.with(f.T...)
	rate := f.extent()
	if time.empty() || rate.empty() {
		return p.nothing("no stroke has a rate.")
	}
	for _, b := range f.Beside {
		if other := b.extent(); !other.empty() {
			rate = rate.with(other.lo, other.hi)
		}
	}
	rate = rate.padded(0.15)
	rate.lo = max(rate.lo, 0)
	note := tempo.Sixteenth
	if f.Note != nil {
		note = *f.Note
	}
	bpm := interval{beats(rate.lo, note), beats(rate.hi, note)}

	typical := f.typical()
	entries := append([]entry{dotEntry("one cycle", onePoint)}, beyondEntry(f.Rate, rate, onePoint)...)
	if f.Curve.seen() {
		entries = append(entries, f.Curve.entry("rate over time"))
	}
	if typical {
		entries = append(entries, lineEntry("the take", takeLine))
	}
	if len(f.Settled) > 0 {
		entries = append(entries, bandEntry("settled", settledShade))
	}
	leftTicks, rightTicks := ticks(rate, 5), ticks(bpm, 5)
	s, area := p.layout(p.key(entries...), labelRoom(leftTicks), labelRoom(rightTicks)+tickLength, 190)
	a := axes{in: area, x: time.padded(0.01), y: rate}

	s.spans(a, f.Settled, settledShade)
	s.beside(a, leftTicks)
	s.title(area, "notes per second")
	s.right(axes{in: area, x: a.x, y: bpm}, rightTicks, fit("BPM, if "+note.Plural(), p.width/2))
	s.below(a, a.ticksBelow(), "time, s")
	s.band(a, f.Curve)
	s.series(a, f.T, f.Rate, onePoint)
	if typical {
		s.StrokeLines(takeLine, []vg.Point{a.at(a.x.lo, f.Typical), a.at(a.x.hi, f.Typical)})
	}
	s.curve(a, f.Curve)
	return s
}

// typical reports whether the rate of the take is drawn.
func (f RateOverTime) typical() bool { return f.Typical > 0 && shown(f.Typical) }

// extent returns the rates that are to be seen, with the curve.
func (f RateOverTime) extent() interval {
	rate := bulk(f.Rate)
	if rate.empty() {
		return rate
	}
	if f.typical() {
		rate = rate.with(f.Typical)
	}
	return rate.with(f.Curve.within(rate)...)
}

// beats returns the tempo, in beats per minute of a quarter, at which notes come at a
// rate.
func beats(rate float64, note tempo.NoteValue) float64 {
	return float64(tempo.NotesPerSecond(rate).BPM(note))
}
