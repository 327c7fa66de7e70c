package cues_test

import (
	"bytes"
	"errors"
	"math"
	"strings"
	"testing"

	"github.com/plectrace/plectrace/motion/cues"
)

// TestNegativeOffset: what lies before the film is left out or cut, and told.
func TestNegativeOffset(t *testing.T) {
	r := mustDemo(t, "beginner-1")
	all, _ := written(t, r, cues.Options{})
	track, f := written(t, r, cues.Options{Offset: -9.5})
	if f.cues[0].start != 0 || f.cues[0].id != "span-5" {
		t.Errorf("from 9.3 to 11.0 s, less 9.5 s: %+v", f.cues[0])
	}
	if !told(track, "Cut at the film's start") || !told(track, "Before the film's start, by the offset of -9.5 s, and not shown: ") || len(track.Cues) >= len(all.Cues) {
		t.Errorf("notes %q", track.Notes)
	}
	// Cut to 0.06 s, a caption cannot be read.
	third, _ := byID(all, "span-3")
	track, _ = written(t, r, cues.Options{Offset: 0.06 - third.End})
	if _, ok := byID(track, "span-3"); ok || !told(track, "searching at 0.0 s") {
		t.Errorf("%+v %q", track.Cues[0], track.Notes)
	}
	track, f = written(t, r, cues.Options{Offset: -1000})
	if len(f.cues) != 0 || !told(track, "not shown") {
		t.Errorf("%+v %q", track.Cues, track.Notes)
	}
}

// TestTimestamps holds times against those of the specification's examples, with
// hours, which it leaves open.
func TestTimestamps(t *testing.T) {
	for _, c := range []struct {
		start, end float64
		want       string
	}{
		{242.5, 245, "00:04:02.500 --> 00:04:05.000"},
		{245.001, 247.8, "00:04:05.001 --> 00:04:07.800"},
		{0, 0.0005, "00:00:00.000 --> 00:00:00.001"},
		{59.9996, 3599.9996, "00:01:00.000 --> 01:00:00.000"}, // no 60th second
		{3 * 3600, 100 * 3600, "03:00:00.000 --> 100:00:00.000"},
		{0.1 + 0.2, 999999999.999, "00:00:00.300 --> 277777:46:39.999"},
	} {
		var b bytes.Buffer
		if err := (cues.Track{Cues: []cues.Cue{{Start: c.start, End: c.end, Text: "x"}}}).WriteVTT(&b); err != nil {
			t.Errorf("%s: %v", c.want, err)
		}
		if _, err := parseVTT(b.Bytes()); err != nil || !strings.Contains(b.String(), "\n"+c.want+" line:0\n") {
			t.Errorf("want %s: %v\n%s", c.want, err, b.String())
		}
	}
}

// TestWriteOrders: cues are written in order, and the track is left as it is.
func TestWriteOrders(t *testing.T) {
	track := cues.Track{Cues: []cues.Cue{{ID: "b", Start: 2, End: 3, Text: "b"}, {ID: "a", Start: 1, End: 3, Text: "a"}}}
	var b bytes.Buffer
	if err := track.WriteVTT(&b); err != nil {
		t.Fatal(err)
	}
	f, err := parseVTT(b.Bytes())
	if err != nil || f.cues[0].id != "a" || track.Cues[0].ID != "b" {
		t.Errorf("%v\n%s", err, b.String())
	}
}

type full struct{}

func (full) Write([]byte) (int, error) { return 0, errors.New("the disk is full") }

// TestBadCues: what cannot be written is an error that says where, and nothing of
// the file is written.
func TestBadCues(t *testing.T) {
	good := cues.Cue{ID: "a", Start: 1, End: 2, Text: "x"}
	for _, c := range []struct {
		name   string
		change func(*cues.Cue)
		want   string
	}{
		{"negative", func(c *cues.Cue) { c.Start = -0.001 }, "from -0.001"},
		{"no number", func(c *cues.Cue) { c.Start = math.NaN() }, "from NaN"},
		{"endless", func(c *cues.Cue) { c.End = math.Inf(1) }, "+Inf"},
		{"end is no number", func(c *cues.Cue) { c.End = math.NaN() }, "NaN"},
		{"no time at all", func(c *cues.Cue) { c.End = 1.0004 }, "a millisecond after"},
		{"no text", func(c *cues.Cue) { c.Text = " \n\x00\r\n" }, "no text"},
		{"arrow", func(c *cues.Cue) { c.ID = "a-->b" }, "identifier"},
		{"two lines", func(c *cues.Cue) { c.ID = "a\nb" }, "identifier"},
		{"twice", func(c *cues.Cue) { c.ID = "a" }, "another cue"},
		{"a comment", func(c *cues.Cue) { c.ID = "NOTE 1" }, "begins like"},
	} {
		bad := cues.Cue{ID: "b", Start: 1, End: 2, Text: "y"}
		c.change(&bad)
		var b bytes.Buffer
		err := cues.Track{Cues: []cues.Cue{good, bad}}.WriteVTT(&b)
		if err == nil || !strings.Contains(err.Error(), c.want) || !strings.Contains(err.Error(), "cue 2") || b.Len() > 0 {
			t.Errorf("%s: %v, %d bytes written", c.name, err, b.Len())
		}
	}
	if err := (cues.Track{Cues: []cues.Cue{good}}).WriteVTT(full{}); err == nil {
		t.Error("a full disk goes unnoticed")
	}
}

// TestBadOptions: options that cannot be are errors that name them.
func TestBadOptions(t *testing.T) {
	r := mustDemo(t, "tutor")
	for _, c := range []struct {
		o    cues.Options
		want string
	}{
		{cues.Options{Offset: math.NaN()}, "offset is NaN"},
		{cues.Options{Offset: math.Inf(-1)}, "offset is -Inf"},
		{cues.Options{Offset: 1e12}, "offset"},
		{cues.Options{SlowedBy: -1}, "slowed_by is -1"},
		{cues.Options{SlowedBy: math.NaN()}, "slowed_by is NaN"},
		{cues.Options{SlowedBy: math.Inf(1)}, "slowed_by is +Inf"},
		{cues.Options{SlowedBy: 1e12}, "check the offset and slowed_by"},
		{cues.Options{MinSeconds: math.NaN()}, "NaN"},
		{cues.Options{MinSeconds: 61}, "61"},
		{cues.Options{Show: []cues.Kind{99}}, "Kind(99)"},
		{cues.Options{Show: []cues.Kind{cues.KindUnknown}}, "kind"},
	} {
		if track, err := cues.Of(r, c.o); err == nil || !strings.Contains(err.Error(), c.want) {
			t.Errorf("%+v: %v, %d cues", c.o, err, len(track.Cues))
		}
	}
	// The least that may be asked for, and a film that nearly stands still.
	written(t, r, cues.Options{MinSeconds: -1})
	written(t, r, cues.Options{SlowedBy: 1e-9})
	written(t, r, cues.Options{SlowedBy: 1000, MinSeconds: 60})
	given := []cues.Kind{cues.Hidden}
	track, _ := written(t, r, cues.Options{Show: given})
	if track.Options.Show[0] = cues.Spans; given[0] != cues.Hidden {
		t.Error("the caller's list was changed")
	}
}
