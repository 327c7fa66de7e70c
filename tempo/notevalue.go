package tempo

import (
	"fmt"
	"strconv"
	"strings"
)

// NoteValue is a written note length as an exact fraction of a quarter note:
// a base note, augmentation dots and a tuplet ratio,
//
//	2^-Halvings · (2 - 2^-Dots) · Normal/Actual
//
// Its zero value is a plain quarter note.
type NoteValue struct {
	// Halvings is how often a quarter note is halved to get the base note: 0
	// quarter, 1 eighth, 2 sixteenth, … 8 1024th; -1 half, -2 whole, … -5
	// maxima.
	Halvings int
	// Dots is the number of augmentation dots, 0 to 4.
	Dots int
	// Actual notes are played in the time of Normal ones: 3 in the time of 2
	// for a triplet. Zero in both means no tuplet.
	Actual, Normal int
}

// The note values that practice is mostly written in.
var (
	Quarter       = NoteValue{}
	Eighth        = NoteValue{Halvings: 1}
	EighthTriplet = NoteValue{Halvings: 1, Actual: 3, Normal: 2}
	Sixteenth     = NoteValue{Halvings: 2}
	Sextuplet     = NoteValue{Halvings: 2, Actual: 6, Normal: 4}
	ThirtySecond  = NoteValue{Halvings: 3}
)

// Limits of a note value.
const (
	maxima    = -5
	shortest  = 8
	mostDots  = 4
	mostTuple = 255
)

// Validate returns an error if v is not a note value that can be written:
// Halvings outside [-5, 8], Dots outside [0, 4], or a tuplet with only one
// side given or a side outside [1, 255].
func (v NoteValue) Validate() error {
	switch {
	case v.Halvings < maxima || v.Halvings > shortest:
		return fmt.Errorf("tempo: base note of %d halvings of a quarter is outside %d (maxima) to %d (1024th)", v.Halvings, maxima, shortest)
	case v.Dots < 0 || v.Dots > mostDots:
		return fmt.Errorf("tempo: %d dots are outside 0 to %d", v.Dots, mostDots)
	case v.Actual == 0 && v.Normal == 0:
		return nil
	case v.Actual < 1 || v.Normal < 1 || v.Actual > mostTuple || v.Normal > mostTuple:
		return fmt.Errorf("tempo: tuplet %d:%d is outside 1:1 to %d:%d", v.Actual, v.Normal, mostTuple, mostTuple)
	}
	return nil
}

// Fraction returns the length in quarter notes as a reduced fraction: 1/4 for
// a sixteenth, 1/3 for an eighth triplet. It is 0/1 if v is not valid.
func (v NoteValue) Fraction() (num, den int64) {
	if v.Validate() != nil {
		return 0, 1
	}
	num = int64(1)<<(v.Dots+1) - 1 // dots: (2^(d+1) - 1)/2^d
	den = int64(1) << v.Dots
	if v.Halvings >= 0 {
		den <<= v.Halvings
	} else {
		num <<= -v.Halvings
	}
	if v.Actual != 0 {
		num *= int64(v.Normal)
		den *= int64(v.Actual)
	}
	g := gcd(num, den)
	return num / g, den / g
}

func gcd(a, b int64) int64 {
	for b != 0 {
		a, b = b, a%b
	}
	return a
}

// Quarters returns the length in quarter notes, 0 if v is not valid.
func (v NoteValue) Quarters() float64 {
	num, den := v.Fraction()
	return float64(num) / float64(den)
}

// NotesPerBeat returns how many notes of value v fill a beat, such as
// [Quarter].
func (v NoteValue) NotesPerBeat(beat NoteValue) float64 {
	a, b := beat.Fraction()
	c, d := v.Fraction()
	return float64(a*d) / float64(b*c)
}

// String returns the name that [ParseNoteValue] reads: "16", "8.", "8t",
// "16(5:4)", "breve".
func (v NoteValue) String() string {
	if err := v.Validate(); err != nil {
		return fmt.Sprintf("NoteValue(%d,%d,%d:%d)", v.Halvings, v.Dots, v.Actual, v.Normal)
	}
	var s strings.Builder
	switch {
	case v.Halvings >= -2:
		s.WriteString(strconv.Itoa(parts(v.Halvings)))
	default:
		s.WriteString(longNames[-3-v.Halvings])
	}
	s.WriteString(strings.Repeat(".", v.Dots))
	switch {
	case v.Actual == 0:
	case v.Actual == 3 && v.Normal == 2:
		s.WriteString("t")
	default:
		fmt.Fprintf(&s, "(%d:%d)", v.Actual, v.Normal)
	}
	return s.String()
}
