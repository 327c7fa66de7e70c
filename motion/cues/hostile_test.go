package cues_test

import (
	"bytes"
	"strings"
	"testing"
	"unicode"

	"github.com/plectrace/plectrace/motion/cues"
	"github.com/plectrace/plectrace/motion/review"
	"github.com/plectrace/plectrace/motion/simulate"
)

// hostile is text that would end a block, begin a cue, or open a tag.
var hostile = []string{
	"a --> b", "\n\n00:00.000 --> 01:00.000\nnot ours", "\r\rSTYLE\r::cue { color: red }", "NOTE", "<script>alert(1)</script>", "&nosuch; & &amp;",
	"\x00\x1b[2J", "\xff\xfe", "\u2028\u2029", "\u202Edne", "---->>>--->", "WEBVTT", "0\n00:00:01.000 --> 00:00:02.000\nx", "\uFEFF", "é 弦 🎸",
}

// TestHostileNames: names from outside stand in the file as text, and no more.
func TestHostileNames(t *testing.T) {
	for _, h := range hostile {
		_, r := made(t, simulate.Options{Seed: 1, Duration: 4}, func(take *simulate.Take, s *review.Setup, _ *review.Options) {
			take.Recording.Source, s.SetupName = h, h
		})
		r.Questions = append(r.Questions, h)
		written(t, r, cues.Options{}) // holds the file against the syntax and counts its cues
	}
}

// FuzzWrite: whatever the texts are, the file is valid, has one cue, and its text
// is what was given but for blanks and what is no character.
func FuzzWrite(f *testing.F) {
	for _, h := range hostile {
		f.Add(h, h, 0.5, 3.0, -1)
	}
	f.Fuzz(func(t *testing.T, id, text string, start, end float64, line int) {
		track := cues.Track{Made: []string{text}, Notes: []string{id, text}, Cues: []cues.Cue{{ID: id, Start: start, End: end, Text: text, Line: line}}}
		var b bytes.Buffer
		if err := track.WriteVTT(&b); err != nil {
			if b.Len() > 0 {
				t.Errorf("%v, and %d bytes are written", err, b.Len())
			}
			track.Cues = nil // the comments all the same
			if err := track.WriteVTT(&b); err != nil {
				t.Fatal(err)
			}
		}
		got, err := parseVTT(b.Bytes())
		if err != nil || len(got.cues) != len(track.Cues) {
			t.Fatalf("%v, %d cues\n%q", err, len(got.cues), b.String())
		}
		if len(got.cues) > 0 && (got.cues[0].id != id || visible(got.cues[0].payload) != visible(text)) {
			t.Errorf("wrote %q, %q, read %q, %q", id, text, got.cues[0].id, got.cues[0].payload)
		}
	})
}

// visible is a text without blanks, controls, and marks of direction and of byte
// order.
func visible(s string) string {
	return strings.Map(func(r rune) rune {
		if unicode.IsSpace(r) || unicode.IsControl(r) || unicode.In(r, unicode.Bidi_Control) || r == '\uFEFF' {
			return -1
		}
		return r
	}, strings.ToValidUTF8(s, "\uFFFD"))
}
