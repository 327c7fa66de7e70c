package live

import (
	"fmt"

	"github.com/plectrace/plectrace/motion"
	"github.com/plectrace/plectrace/tempo"
	"github.com/plectrace/plectrace/variability/circular"
)

// Kind says what an event tells. The package's comment has the table.
type Kind int

const (
	KindUnknown Kind = iota
	// Turn: the tip has turned (provisional).
	Turn
	// Provisional: a stroke has ended, by what is seen so far.
	Provisional
	// Final: a stroke as the analysis of a whole take finds it.
	Final
	// Withdrawn: a provisional stroke that no final one confirms.
	Withdrawn
	// HiddenTurn: a turn of a final stroke fell into a gap.
	HiddenTurn
	// Rate: the rate of the last strokes.
	Rate
	// PathAngle: the path angle of the last final strokes; in an oblique view the
	// angle in its picture, which compares only within one setup.
	PathAngle
	// Settled and Searching: the player begins to keep one motion, or leaves it.
	Settled
	Searching
	// Pause: the hand rests, or the tip is lost for longer than strokes can be
	// counted through.
	Pause
	// Gap: the tip was not seen for a time, and is seen again.
	Gap
	// Cut: samples were taken for the tracker's mistakes.
	Cut
	// Moved: the tip went elsewhere at once and stayed there.
	Moved
	// Repeated and Late: a sample whose time was there already, or lies behind
	// that of the last, was left out.
	Repeated
	Late
	// FrameRate: the camera's frame rate has changed.
	FrameRate
	// Rest: it is time for a rest. See Caution.
	Rest
)

var kindText = [...]string{
	"unknown", "turn", "provisional stroke", "final stroke", "withdrawn stroke", "hidden turn", "rate", "path angle",
	"settled", "searching", "pause", "gap", "cut", "moved", "repeated sample", "late sample", "frame rate", "rest",
}

// String returns the kind in words.
func (k Kind) String() string {
	if k < 0 || int(k) >= len(kindText) {
		return fmt.Sprintf("Kind(%d)", int(k))
	}
	return kindText[k]
}

// MarshalText returns the kind in words.
func (k Kind) MarshalText() ([]byte, error) { return []byte(k.String()), nil }

// Event is one thing that a tracker tells. Fields that its kind does not name in
// the package's table are zero.
type Event struct {
	Kind Kind
	// T is the time that the event is about, At that of the sample that told
	// it, both in the samples' seconds: At - T is the delay.
	T, At float64

	// Stroke is that of Provisional, Final, Withdrawn and HiddenTurn. Number
	// counts final strokes from 0, and provisional ones on their own.
	// Confirms is for Final the number of the provisional stroke that it
	// confirms, -1 for none.
	Stroke   motion.Stroke
	Number   int
	Confirms int
	// Direction is for Turn that of the stroke which ends there.
	Direction motion.Direction

	// NotesPerSecond is that of Rate, with its bounds at 95 %, NaN where they
	// cannot be had. Spectral says that it comes from the spectrum because
	// there are too few samples for strokes.
	NotesPerSecond, Low, High tempo.NotesPerSecond
	Spectral                  bool
	// Angle is that of PathAngle: the median over the last strokes.
	Angle circular.Angle

	// P is the probability of Settled and Searching. Since is where the span
	// begins.
	P, Since float64

	// Samples are those that Cut and Gap are about. Seconds is the length of
	// Gap and of Pause so far, and the playing time of Rest.
	Samples int
	Seconds float64
	// Hz is that of FrameRate.
	Hz float64
}

// Caution belongs on every page that shows a rest prompt, or strokes at all.
const Caution = "Stop at once at pain, numbness or tingling, and rest. If it comes back or stays, see a clinician."
