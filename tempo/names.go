package tempo

import (
	"fmt"
	"strconv"
	"strings"
)

// longNames are the notes longer than a whole note, from two wholes up.
var longNames = [...]string{"breve", "long", "maxima"}

// wordNames are the notes with a name in words, by halvings of a quarter.
var wordNames = map[string]int{
	"maxima": -5, "long": -4, "breve": -3, "whole": -2, "half": -1, "quarter": 0,
	"eighth": 1, "sixteenth": 2, "thirty-second": 3, "sixty-fourth": 4,
}

// ParseNoteValue reads a note value in figures or in words:
//
//	base   4, 1/4, 4th, 16, 1/16, 16th, 32nd, quarter, eighth, sixteenth,
//	       half, whole, breve, long, maxima, …
//	dots   8. 8.. after the base
//	tuplet 8t for a triplet (3:2), 16(6:4) for any other, after the dots
//
//	words  sixteenths, 16ths, dotted eighth, double dotted quarter,
//	       eighth triplets, triplet eighths, 16 sextuplet, quintuplet
//	       sixteenths, septuplet 16ths; semiquavers, quaver, crotchet, minim,
//	       semibreve, demisemiquaver, hemidemisemiquaver
//
// Words come in any order. A triplet is 3:2, a quintuplet 5:4, a sextuplet 6:4,
// a septuplet 7:4 and a nonuplet 9:8. Quintuplets, sextuplets and septuplets
// without a note are of sixteenths; triplets and nonuplets without a note are
// an error, since several are common. So are duplets and quadruplets, whose
// ratio depends on the metre: write 8(2:3). Letter case, surrounding space and
// the word "notes" are of no importance.
func ParseNoteValue(name string) (NoteValue, error) {
	s := strings.ToLower(strings.TrimSpace(name))
	fail := func(why string) (NoteValue, error) {
		return NoteValue{}, fmt.Errorf("tempo: note value %q: %s", name, why)
	}
	var v NoteValue
	if i := strings.IndexByte(s, '('); i >= 0 {
		inside, ok := strings.CutSuffix(s[i+1:], ")")
		actual, normal, colon := strings.Cut(inside, ":")
		a, errA := strconv.Atoi(actual)
		b, errB := strconv.Atoi(normal)
		if !ok || !colon || errA != nil || errB != nil || a < 1 || b < 1 {
			return fail(`a tuplet is written like "16(5:4)", "8(3:2)" or "16(6:4)"`)
		}
		v.Actual, v.Normal = a, b
		s = s[:i]
	}
	base, dots := cutDots(s)
	halvings, known := baseOf(base)
	if !known && v.Actual == 0 && strings.HasSuffix(s, "t") {
		base, dots = cutDots(strings.TrimSuffix(s, "t"))
		if halvings, known = baseOf(base); known {
			v.Actual, v.Normal = 3, 2
		}
	}
	if known {
		v.Halvings, v.Dots = halvings, dots
	} else {
		words, err := parseWords(s)
		if err != nil {
			return fail(err.Error())
		}
		if words.Actual != 0 && v.Actual != 0 {
			return fail("the tuplet is given twice" + someWords)
		}
		if v.Actual != 0 {
			words.Actual, words.Normal = v.Actual, v.Normal
		}
		v = words
	}
	if err := v.Validate(); err != nil {
		return fail(strings.TrimPrefix(err.Error(), "tempo: "))
	}
	return v, nil
}

// cutDots parts the augmentation dots from a base.
func cutDots(s string) (base string, dots int) {
	base = strings.TrimRight(s, ".")
	return base, len(s) - len(base)
}

// baseOf returns the halvings of a base note's name.
func baseOf(s string) (halvings int, known bool) {
	if h, ok := wordNames[s]; ok {
		return h, true
	}
	s = strings.TrimPrefix(s, "1/")
	for _, ending := range []string{"th", "nd"} {
		s = strings.TrimSuffix(s, ending)
	}
	for h := -2; h <= shortest; h++ {
		if s == strconv.Itoa(parts(h)) {
			return h, true
		}
	}
	return 0, false
}

// parts returns which part of a whole note the base is: 16 for a sixteenth.
func parts(halvings int) int { return 1 << (halvings + 2) }

// MarshalText returns v.String(), or an error if v is not valid.
func (v NoteValue) MarshalText() ([]byte, error) {
	if err := v.Validate(); err != nil {
		return nil, err
	}
	return []byte(v.String()), nil
}

// UnmarshalText reads what [ParseNoteValue] reads.
func (v *NoteValue) UnmarshalText(text []byte) error {
	parsed, err := ParseNoteValue(string(text))
	if err == nil {
		*v = parsed
	}
	return err
}
