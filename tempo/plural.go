package tempo

import "fmt"

// Plural returns how players call many notes of the value, in words that
// ParseNoteValue reads: "sixteenths", "dotted eighths", "eighth triplets",
// "sixteenths(11:8)". Notes without a name in words are called by figures
// ("128ths"). It returns v.String() for a value that is not valid.
func (v NoteValue) Plural() string {
	if v.Validate() != nil {
		return v.String()
	}
	note := ""
	for name, h := range wordNames {
		if h == v.Halvings {
			note = name
		}
	}
	if note == "" {
		note = fmt.Sprintf("%dth", parts(v.Halvings))
	}
	dots := ""
	switch v.Dots {
	case 0:
	case 1:
		dots = "dotted "
	case 2:
		dots = "double dotted "
	case 3:
		dots = "triple dotted "
	default:
		return v.String()
	}
	for name, ratio := range tuplets {
		if ratio == [2]int{v.Actual, v.Normal} {
			return dots + note + " " + name + "s"
		}
	}
	many := note + "s"
	if note == "half" {
		many = "halves"
	}
	if v.Actual != 0 {
		many += fmt.Sprintf("(%d:%d)", v.Actual, v.Normal)
	}
	return dots + many
}
