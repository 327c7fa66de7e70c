package cues_test

import (
	"bytes"
	"fmt"
	"os"
	"strings"

	"github.com/plectrace/plectrace/motion/cues"
	"github.com/plectrace/plectrace/motion/review"
	"github.com/plectrace/plectrace/testdata"
	"github.com/plectrace/plectrace/trajectory/tracks"
)

// demo is the review of a demo take.
func demo(name string) (*review.Review, error) {
	export, settings, err := testdata.Take(name)
	if err != nil {
		return nil, err
	}
	setup, err := review.ParseSetup(bytes.NewReader(settings))
	if err != nil {
		return nil, err
	}
	o, _ := setup.Tracks(true)
	rec, err := tracks.Read(bytes.NewReader(export), o)
	if err != nil {
		return nil, err
	}
	return review.Run(rec, setup, review.Options{})
}

// The settled spans of a take that begins 20 s into a film that plays 4 times
// slower than life.
func ExampleOf() {
	r, err := demo("beginner-1")
	if err != nil {
		fmt.Println(err)
		return
	}
	t, err := cues.Of(r, cues.Options{Offset: 20, SlowedBy: 4})
	if err != nil {
		fmt.Println(err)
		return
	}
	for _, c := range t.Cues {
		if strings.HasPrefix(c.Text, "settled") {
			fmt.Printf("%s, %.0f to %.0f s\n%s\n", c.ID, c.Start, c.End, c.Text)
		}
	}
	// Output:
	// span-2, 33 to 39 s
	// settled 1: 7.0 notes/s, 105 BPM (16ths)
	// held 1.6 s, 11 strokes, path angle 17°
	// span-4, 53 to 57 s
	// settled 2: 7.0 notes/s, 105 BPM (16ths)
	// held 1.1 s, 8 strokes, path angle 20°
	// span-5, 57 to 64 s
	// settled 3: 7.1 notes/s, 106 BPM (16ths)
	// held 1.7 s, 12 strokes, path angle 16°
	// span-8, 80 to 85 s
	// settled 4: 6.9 notes/s, 104 BPM (16ths)
	// held 1.2 s, 8 strokes, path angle 18°
	// span-9, 85 to 96 s
	// settled 5: 7.0 notes/s, 105 BPM (16ths)
	// held 2.7 s, 19 strokes, path angle 19°
}

// A file of one caption, made by hand.
func ExampleTrack_WriteVTT() {
	t := cues.Track{
		Made: []string{"Made by hand."},
		Cues: []cues.Cue{{ID: "look", Start: 3, End: 5.5, Line: -1, Text: "down & up: <look at the turn>"}},
	}
	if err := t.WriteVTT(os.Stdout); err != nil {
		fmt.Println(err)
	}
	t.Cues[0].End = 3
	fmt.Println(t.WriteVTT(os.Stdout))
	// Output:
	// WEBVTT
	//
	// NOTE
	// Made by hand.
	//
	// NOTE
	// Fast repeated motion can hurt. Stop at pain, numbness or tingling, rest, and see a clinician if it stays. Nothing here is medical advice.
	//
	// look
	// 00:00:03.000 --> 00:00:05.500 line:-1
	// down &amp; up: &lt;look at the turn&gt;
	// cues: cue 1 ("look"): it stands from 3 to 3 s: a cue ends at least a millisecond after it starts
}

// The names of kinds, as settings and flags have them.
func ExampleKind_UnmarshalText() {
	var k cues.Kind
	fmt.Println(k.UnmarshalText([]byte("misses")), k)
	fmt.Println(k.UnmarshalText([]byte("trills")))
	// Output:
	// <nil> misses
	// cues: there is no kind of caption "trills": choose of spans, rates, misses, silent, pauses, strings, hidden
}
