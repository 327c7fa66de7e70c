package tempo

import (
	"strings"
	"testing"
)

// FuzzParseNoteValue: a name is an error that quotes it, or a value whose own name
// reads back as it and whose length is finite.
func FuzzParseNoteValue(f *testing.F) {
	for _, s := range []string{
		"16", "1/16", "8.", "8..", "8t", "16(6:4)", "dotted eighth", "eighth triplets", "quintuplet", "breve",
		"16(99999999999:4)", "hemidemisemiquaver", "4(1:0)", "", " notes ", "8(2:3)", "1/1/4", "16thnd", "İ",
	} {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, s string) {
		v, err := ParseNoteValue(s)
		if err != nil {
			if strings.ContainsAny(err.Error(), "\n\x00\x1b") {
				t.Errorf("error %q", err)
			}
			return
		}
		again, err := ParseNoteValue(v.String())
		if err != nil || again != v {
			t.Errorf("%q is %+v, whose name %q is %+v (%v)", s, v, v.String(), again, err)
		}
		if q := v.Quarters(); !(q > 0) || q > 1e9 {
			t.Errorf("%q is %v quarters long", s, q)
		}
	})
}
