package tempo

import (
	"errors"
	"fmt"
	"strings"
)

// britishNames are the notes by their British trade names, by halvings of a
// quarter.
var britishNames = map[string]int{
	"semibreve": -2, "minim": -1, "crotchet": 0, "quaver": 1, "semiquaver": 2,
	"demisemiquaver": 3, "hemidemisemiquaver": 4,
}

// tuplets are the tuplets by name: so many notes in the time of so many.
var tuplets = map[string][2]int{
	"triplet": {3, 2}, "quintuplet": {5, 4}, "sextuplet": {6, 4}, "septuplet": {7, 4}, "nonuplet": {9, 8},
}

// someWords ends the messages about words that were not understood.
const someWords = `; write for example "sixteenths", "eighth triplets" or "8."`

// parseWords reads a note value as musicians write it, from lower-case text.
func parseWords(s string) (NoteValue, error) {
	if strings.HasPrefix(s, "-") || strings.HasSuffix(s, "-") {
		return NoteValue{}, fmt.Errorf("the hyphen is not understood%s", someWords)
	}
	s = strings.NewReplacer("semi-", "semi", "demi-", "demi", "hemi-", "hemi", "-", " ").Replace(s)
	s = strings.NewReplacer("thirty second", "thirty-second", "sixty fourth", "sixty-fourth").Replace(s)
	var v NoteValue
	var base, tuplet, dots string
	times := 0 // of "double", before "dotted"
	for _, word := range strings.Fields(s) {
		one := singular(word)
		halvings, dotsAfter, isBase := baseWord(one)
		ratio, isTuplet := tuplets[one]
		switch {
		case word == "note" || word == "notes":
		case word == "double" || word == "doubly" || word == "triple":
			if times > 0 || dots != "" {
				return NoteValue{}, fmt.Errorf("%q is not understood there%s", word, someWords)
			}
			times = 2
			if word == "triple" {
				times = 3
			}
		case word == "dotted" && dots == "":
			dots = word
			v.Dots += max(1, times)
			times = 0
		case isBase && base == "":
			base = word
			v.Halvings = halvings
			v.Dots += dotsAfter
			if dotsAfter > 0 {
				if dots != "" {
					return NoteValue{}, fmt.Errorf("the dots are given twice%s", someWords)
				}
				dots = word
			}
		case isTuplet && tuplet == "":
			tuplet = one
			v.Actual, v.Normal = ratio[0], ratio[1]
		case isBase || isTuplet:
			return NoteValue{}, fmt.Errorf("%q comes after %q, and only one of them can hold%s", word, base+tuplet, someWords)
		default:
			return NoteValue{}, fmt.Errorf("%q is not understood%s", word, someWords)
		}
	}
	switch {
	case times > 0:
		return NoteValue{}, fmt.Errorf(`"double" and "triple" stand before "dotted"%s`, someWords)
	case base != "":
		return v, nil
	case tuplet == "triplet":
		return NoteValue{}, errors.New(`triplets of which note? Write for example "eighth triplets", "quarter triplets" or "8t"`)
	case tuplet == "nonuplet":
		return NoteValue{}, errors.New(`a nonuplet of which note? Write for example "32nd nonuplet", "16th nonuplet" or "32(9:8)"`)
	case tuplet != "": // five, six or seven in the time of four sixteenths
		v.Halvings = 2
		return v, nil
	}
	return NoteValue{}, fmt.Errorf("no note is named%s", someWords)
}

// singular takes the ending of a plural off.
func singular(word string) string {
	if word == "halves" {
		return "half"
	}
	return strings.TrimSuffix(word, "s")
}

// baseWord returns the halvings and the dots of a base note in words, or in
// figures with dots.
func baseWord(word string) (halvings, dots int, known bool) {
	if h, ok := britishNames[word]; ok {
		return h, 0, true
	}
	name, dots := cutDots(word)
	halvings, known = baseOf(name)
	return halvings, dots, known
}
