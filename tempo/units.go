package tempo

// NotesPerSecond is a rate of strokes, which are notes if every stroke
// sounds. One down-up cycle is two of them: 11 notes per second are 5.5 cycles
// per second.
type NotesPerSecond float64

// BPM is a tempo in quarter notes per minute. A tempo marked in another beat
// is converted with [BPM.In] and [Marked].
type BPM float64

// perCycle is the number of strokes in a cycle, down and up.
const perCycle = 2

// Hz returns the rate as down-up cycles per second.
func (r NotesPerSecond) Hz() float64 { return float64(r) / perCycle }

// FromHz returns the rate of a number of down-up cycles per second.
func FromHz(cycles float64) NotesPerSecond { return NotesPerSecond(perCycle * cycles) }

// BPM returns the tempo at which notes of value v come at rate r.
func (r NotesPerSecond) BPM(v NoteValue) BPM { return BPM(60 * float64(r) * v.Quarters()) }

// NotesPerSecond returns the rate of notes of value v at tempo b.
func (b BPM) NotesPerSecond(v NoteValue) NotesPerSecond {
	return NotesPerSecond(float64(b) / (60 * v.Quarters()))
}

// In returns the tempo counted in another beat, in beats per minute: 120
// quarters per minute are 80 dotted quarters per minute.
func (b BPM) In(beat NoteValue) float64 { return float64(b) / beat.Quarters() }

// Marked returns the tempo that a metronome mark states as so many beats per
// minute: half note = 60 is 120 BPM.
func Marked(beat NoteValue, perMinute float64) BPM { return BPM(perMinute * beat.Quarters()) }
