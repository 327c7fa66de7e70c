package cues_test

import (
	"bytes"
	"encoding/csv"
	"math"
	"regexp"
	"strconv"
	"strings"
	"testing"
	"unicode/utf8"

	"github.com/plectrace/plectrace/motion/contact"
	"github.com/plectrace/plectrace/motion/cues"
	"github.com/plectrace/plectrace/motion/review"
	"github.com/plectrace/plectrace/motion/simulate"
	"github.com/plectrace/plectrace/trajectory"
)

// made is the review of a made take, played on strings that are described, with
// the settings and the onsets that change makes of it.
func made(t *testing.T, o simulate.Options, change func(*simulate.Take, *review.Setup, *review.Options)) (*simulate.Take, *review.Review) {
	t.Helper()
	take, err := simulate.Make(o)
	if err != nil {
		t.Fatal(err)
	}
	s := review.Setup{Tip: "tip", TipIs: review.TipOfPick, View: take.Options.View, SlowedBy: take.Options.SlowedBy}
	s.Marks.DistanceMM, s.StringCount, s.CrownRadiusMM = take.Truth.MarkDistance, 6, -1
	s.Marks.Bass, s.Marks.Treble = trajectory.Mark{At: take.Truth.Bass[:2]}, trajectory.Mark{At: take.Truth.Treble[:2]}
	for i := range take.Recording.T {
		take.Recording.T[i] /= take.Options.SlowedBy // as reading an export does
	}
	var ro review.Options
	if change != nil {
		change(take, &s, &ro)
	}
	r, err := review.Run(&take.Recording, s, ro)
	if err != nil {
		t.Fatal(err)
	}
	return take, r
}

// heard gives the review the onsets of the take.
func heard(take *simulate.Take, _ *review.Setup, o *review.Options) {
	o.Onsets = []contact.Onset{}
	for _, on := range take.Truth.Onsets {
		o.Onsets = append(o.Onsets, contact.Onset{Time: on.T, Level: on.Level})
	}
}

// mustDemo is the review of a demo take.
func mustDemo(t testing.TB, name string) *review.Review {
	t.Helper()
	r, err := demo(name)
	if err != nil {
		t.Fatal(err)
	}
	return r
}

// written makes captions, writes them, holds the file against the syntax and
// against what was to be written, and returns both.
func written(t *testing.T, r *review.Review, o cues.Options) (cues.Track, vttFile) {
	t.Helper()
	track, err := cues.Of(r, o)
	if err != nil {
		t.Fatal(err)
	}
	var b bytes.Buffer
	if err := track.WriteVTT(&b); err != nil {
		t.Fatal(err)
	}
	f, err := parseVTT(b.Bytes())
	if err != nil {
		t.Fatalf("%v\n%s", err, b.Bytes())
	}
	if len(f.cues) != len(track.Cues) {
		t.Fatalf("%d cues in the file, %d made", len(f.cues), len(track.Cues))
	}
	if !strings.Contains(strings.Join(f.notes, "\n"), "Stop at pain, numbness or tingling") {
		t.Errorf("no caution in %q", f.notes)
	}
	until := map[int]float64{} // a line is taken
	for i, c := range track.Cues {
		g := f.cues[i]
		if g.id != c.ID || g.payload != c.Text || g.settings["line"] != strconv.Itoa(c.Line) ||
			math.Abs(float64(g.start)/1000-c.Start) > 0.000501 || math.Abs(float64(g.end)/1000-c.End) > 0.000501 {
			t.Errorf("written %+v, made %+v", g, c)
		}
		lines := strings.Split(c.Text, "\n")
		if len(lines) > 2 {
			t.Errorf("%s: %d lines", c.ID, len(lines))
		}
		for _, line := range lines {
			if n := utf8.RuneCountInString(line); n > 42 {
				t.Errorf("%s: %d characters: %s", c.ID, n, line)
			}
		}
		if c.End-c.Start < track.Options.MinSeconds-1e-6 {
			t.Errorf("%s stands for %.3f s", c.ID, c.End-c.Start)
		}
		// 20 characters a second (common practice, from memory); who a span is is
		// always said.
		if n := utf8.RuneCountInString(c.Text); c.Line == -1 && strings.Contains(c.Text, ":") && float64(n) > 20*(c.End-c.Start)+1 {
			t.Errorf("%s: %d characters in %.1f s", c.ID, n, c.End-c.Start)
		}
		if c.Start < until[c.Line]-1e-9 {
			t.Errorf("%s begins at %.3f s, line %d is taken until %.3f s", c.ID, c.Start, c.Line, until[c.Line])
		}
		until[c.Line] = c.End
	}
	return track, f
}

// byID returns the cue of that name.
func byID(track cues.Track, id string) (cues.Cue, bool) {
	for _, c := range track.Cues {
		if c.ID == id {
			return c, true
		}
	}
	return cues.Cue{}, false
}

// spanRows are the lines of spans.csv, without the header.
func spanRows(t *testing.T, r *review.Review) [][]string {
	t.Helper()
	var b bytes.Buffer
	if err := r.WriteSpans(&b); err != nil {
		t.Fatal(err)
	}
	rows, err := csv.NewReader(&b).ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	return rows[1:]
}

func float(t *testing.T, s string) float64 {
	t.Helper()
	x, err := strconv.ParseFloat(s, 64)
	if err != nil {
		t.Fatal(err)
	}
	return x
}

// told returns whether a note holds a text.
func told(track cues.Track, text string) bool {
	return strings.Contains(strings.Join(track.Notes, "\n"), text)
}

var strokesMiss = regexp.MustCompile(`(\d+) strokes miss|(stroke) \d+ misses`)
var strokesSilent = regexp.MustCompile(`(\d+) strokes do not sound|(stroke) \d+ does not sound`)

// counted adds up the strokes that captions speak of.
func counted(track cues.Track, of *regexp.Regexp) (n int) {
	for _, c := range track.Cues {
		for _, m := range of.FindAllStringSubmatch(c.Text, -1) {
			if m[2] != "" {
				n++
			} else if k, err := strconv.Atoi(m[1]); err == nil {
				n += k
			}
		}
	}
	return n
}
