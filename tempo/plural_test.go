package tempo

import (
	"fmt"
	"testing"
)

func TestPlural(t *testing.T) {
	for _, c := range []struct{ name, want string }{
		{"16", "sixteenths"}, {"8", "eighths"}, {"2", "halves"}, {"8.", "dotted eighths"}, {"4..", "double dotted quarters"}, {"8t", "eighth triplets"},
		{"16(6:4)", "sixteenth sextuplets"}, {"16(11:8)", "sixteenths(11:8)"}, {"breve", "breves"}, {"128", "128ths"},
	} {
		v, err := ParseNoteValue(c.name)
		if err != nil {
			t.Fatal(err)
		}
		if got := v.Plural(); got != c.want {
			t.Errorf("many of %s are %q, want %q", c.name, got, c.want)
		}
	}
	// Every name leads back to its value.
	for h := -5; h <= shortest; h++ {
		for dots := range 5 {
			for _, ratio := range [][2]int{{0, 0}, {3, 2}, {5, 4}, {6, 4}, {7, 4}, {9, 8}, {11, 8}, {2, 3}} {
				v := NoteValue{h, dots, ratio[0], ratio[1]}
				if v.Validate() != nil {
					continue
				}
				if got, err := ParseNoteValue(v.Plural()); err != nil || got != v {
					t.Errorf("%+v is called %q, which is read as %+v (%v)", v, v.Plural(), got, err)
				}
			}
		}
	}
	if got := (NoteValue{Dots: -1}).Plural(); got != (NoteValue{Dots: -1}).String() {
		t.Errorf("no note is called %q", got)
	}
}

func ExampleNoteValue_Plural() {
	for _, name := range []string{"16", "8t", "8."} {
		v, err := ParseNoteValue(name)
		if err != nil {
			fmt.Println(err)
		}
		fmt.Println(v.Plural())
	}
	// Output:
	// sixteenths
	// eighth triplets
	// dotted eighths
}
