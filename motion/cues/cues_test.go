package cues_test

import (
	"fmt"
	"math"
	"slices"
	"strings"
	"testing"

	"github.com/plectrace/plectrace/motion/contact"
	"github.com/plectrace/plectrace/motion/cues"
	"github.com/plectrace/plectrace/motion/review"
	"github.com/plectrace/plectrace/motion/simulate"
	"github.com/plectrace/plectrace/tempo"
	"github.com/plectrace/plectrace/testdata"
	"github.com/plectrace/plectrace/trajectory"
	"github.com/plectrace/plectrace/variability/circular"
)

// TestSpansOfTheFile: every line of spans.csv has its caption, at its time in the
// film, with what the line says; settled spans count up as on the page. A span
// without one is named in the notes.
func TestSpansOfTheFile(t *testing.T) {
	for _, name := range testdata.Names {
		for _, o := range []cues.Options{{}, {Offset: 3 * 3600}, {SlowedBy: 8, Offset: 2}, {SlowedBy: 0.5}} {
			r := mustDemo(t, name)
			track, _ := written(t, r, o)
			settled, missing := 0, 0
			rows := spanRows(t, r)
			for i, row := range rows {
				head := "searching"
				if row[0] == "settled" {
					settled++
					head = fmt.Sprintf("settled %d", settled)
				}
				start, end := float(t, row[1])*track.Options.SlowedBy+o.Offset, float(t, row[2])*track.Options.SlowedBy+o.Offset
				c, ok := byID(track, fmt.Sprintf("span-%d", i+1))
				if !ok {
					missing++
					if !told(track, fmt.Sprintf("%s at %.1f s", head, start)) {
						t.Errorf("%s, %+v: span %d has no caption, and nothing says so: %q", name, o, i+1, track.Notes)
					}
					continue
				}
				// A span shorter than a second stands longer where nothing follows.
				if math.Abs(c.Start-start) > 1e-3 || math.Abs(c.End-max(end, start+1)) > 1e-3 || !strings.HasPrefix(c.Text, head) {
					t.Errorf("%s, %+v: span %d, %s from %.3f to %.3f s: caption %+v", name, o, i+1, head, start, end, c)
				}
				if end-start < 5 { // 84 characters, 20 a second (common practice, from memory)
					continue
				}
				// What the take begins or ends with may have lasted longer.
				if cut := i == 0 || i == len(rows)-1; cut != strings.Contains(c.Text, " s seen") && row[0] == "settled" || cut && strings.Contains(c.Text, "held") {
					t.Errorf("%s, %+v: span %d of %d: %q", name, o, i+1, len(rows), c.Text)
				}
				for _, want := range []string{
					fmt.Sprintf("%.1f notes/s", float(t, row[4])), fmt.Sprintf("%.0f BPM (16ths)", 15*float(t, row[4])), // a quarter is four sixteenths
					row[3] + " strokes", fmt.Sprintf("%.1f s", float(t, row[2])-float(t, row[1])), fmt.Sprintf("path angle %.0f°", float(t, row[5])),
				} {
					if !strings.Contains(c.Text, want) {
						t.Errorf("%s, %+v: span %d: no %q in %q", name, o, i+1, want, c.Text)
					}
				}
			}
			if missing > 0 && track.Options.SlowedBy >= 1 {
				t.Errorf("%s, %+v: %d spans without a caption", name, o, missing)
			}
		}
	}
}

// TestSlowedFilm: the captions of a film in slow motion stand where the film's own
// clock, that of the simulator, shows what they tell of.
func TestSlowedFilm(t *testing.T) {
	o := simulate.Options{Seed: 11, Duration: 15, Rate: 9, PathAngle: 20 * circular.Degree, MissShare: 0.06, SlowedBy: 8, FrameRate: 240,
		Plan: []simulate.Stretch{{Search: simulate.Fresh}, {Start: 5}}}
	take, r := made(t, o, nil)
	track, _ := written(t, r, cues.Options{})
	if track.Options.SlowedBy != 8 || !strings.Contains(strings.Join(track.Made, " "), "8 times slower") {
		t.Errorf("options %+v, made %q", track.Options, track.Made)
	}
	i := slices.IndexFunc(track.Cues, func(c cues.Cue) bool { return strings.HasPrefix(c.Text, "settled 1") })
	if i < 0 {
		t.Fatalf("nothing settled: %+v", track.Cues)
	}
	// Where a span begins is known to a few strokes (package settling); 1 s is nine.
	if want := take.FilmTime(5); math.Abs(track.Cues[i].Start-want) > 8 {
		t.Errorf("settled from %.1f s of the film, played from %.1f s", track.Cues[i].Start, want)
	}
	// Rates are those of life.
	if v := r.Value("notes_per_second"); math.Abs(v.Value-9) > 0.5 || !strings.Contains(track.Cues[i].Text, "9.") && !strings.Contains(track.Cues[i].Text, "8.9") {
		t.Errorf("%q of a rate of 9 (%+v)", track.Cues[i].Text, v)
	}
	// A missed stroke of the truth stands in a caption while it is in the picture.
	reached, shown := map[bool]int{}, map[bool]int{}
	for _, s := range take.Truth.Strokes {
		at := take.FilmTime((s.Start + s.End) / 2)
		reached[s.Reached]++
		for _, c := range track.Cues {
			if strings.HasPrefix(c.ID, "strokes-") && c.Start <= at && at < c.End {
				shown[s.Reached]++
			}
		}
	}
	// Misses are drawn out to be read: a second of the film is a stroke and a half.
	if n := reached[false]; n < 5 || float64(shown[false]) < 0.9*float64(n) || float64(shown[true]) > 2.5*float64(n) {
		t.Errorf("missed strokes %d, captioned %d; others %d, captioned %d", n, shown[false], reached[true], shown[true])
	}
}

// TestEveryStrokeIsCounted: the captions speak of as many strokes as miss, and as
// do not sound, and of none twice.
func TestEveryStrokeIsCounted(t *testing.T) {
	for _, c := range []struct{ slowed, share float64 }{{1, 0.15}, {8, 0.15}, {1, 0.6}} { // the last without a rest
		slowed := c.slowed
		o := simulate.Options{Seed: 5, Duration: 20, Rate: 10, PathAngle: 20 * circular.Degree, MissShare: c.share, SlowedBy: slowed}
		_, r := made(t, o, heard)
		var missing, silent int
		for i, s := range r.Contacts.Strokes {
			switch quiet := r.Struck.Struck[i] == contact.No; {
			case s.Reached == contact.No && r.Struck.Struck[i] != contact.Yes:
				missing++
			case quiet:
				silent++
			}
		}
		if missing < 10 {
			t.Fatalf("%d strokes miss", missing)
		}
		track, _ := written(t, r, cues.Options{Show: []cues.Kind{cues.Misses, cues.Silent}})
		if n := counted(track, strokesMiss); n != missing {
			t.Errorf("slowed by %g: %d strokes miss, captions tell of %d", slowed, missing, n)
		}
		if n := counted(track, strokesSilent); n != silent {
			t.Errorf("slowed by %g: %d strokes do not sound, captions tell of %d", slowed, silent, n)
		}
		// By the sound alone those that miss are silent, too.
		track, _ = written(t, r, cues.Options{Show: []cues.Kind{cues.Silent}})
		all := 0
		for _, a := range r.Struck.Struck {
			if a == contact.No {
				all++
			}
		}
		if n := counted(track, strokesSilent); n != all || all < 10 {
			t.Errorf("slowed by %g: %d strokes do not sound, captions tell of %d", slowed, all, n)
		}
		steady(t, track)
	}
}

// steady holds captions of strokes against what is common practice, from memory: at
// most 7 s, then half a second or nothing.
func steady(t *testing.T, track cues.Track) {
	t.Helper()
	for i, c := range track.Cues {
		if c.Line != 0 || c.End-c.Start > 7.5 {
			t.Errorf("%+v", c)
		}
		if i > 0 {
			if gap := c.Start - track.Cues[i-1].End; gap > 1e-9 && gap < 0.5-1e-9 {
				t.Errorf("%.3f s before %+v", gap, c)
			}
		}
	}
}

// TestEveryThirdStroke: misses a third of a second apart make a caption of 7 s, and
// the next follows on it.
func TestEveryThirdStroke(t *testing.T) {
	_, r := made(t, simulate.Options{Seed: 5, Duration: 20, Rate: 9, PathAngle: 20 * circular.Degree}, nil)
	n := 0
	for i := range r.Contacts.Strokes {
		r.Contacts.Strokes[i].Reached = contact.Yes
		if i%3 == 0 {
			r.Contacts.Strokes[i].Reached = contact.No
			n++
		}
	}
	track, _ := written(t, r, cues.Options{Show: []cues.Kind{cues.Misses}})
	if steady(t, track); len(track.Cues) != 3 || counted(track, strokesMiss) != n {
		t.Errorf("%d misses: %+v", n, track.Cues)
	}
}

// TestSoundDecides: a stroke that seems to miss and sounds all the same is not
// captioned as a miss, and the notes say how many there are.
func TestSoundDecides(t *testing.T) {
	_, r := made(t, simulate.Options{Seed: 5, Rate: 10, PathAngle: 20 * circular.Degree, MissShare: 0.1}, heard)
	i := slices.IndexFunc(r.Contacts.Strokes, func(s contact.Stroke) bool { return s.Reached == contact.No })
	track, _ := written(t, r, cues.Options{})
	before := counted(track, strokesMiss)
	r.Struck.Struck[i] = contact.Yes
	track, _ = written(t, r, cues.Options{})
	if n := counted(track, strokesMiss); n != before-1 || !told(track, "1 stroke seems to miss by the film") {
		t.Errorf("%d strokes miss, %d before; %q", n, before, track.Notes)
	}
}

// TestNoRates: where the film goes over to slow motion within the take, captions
// tell of no rate, span or pause, and each change is pointed at.
func TestNoRates(t *testing.T) {
	take, r := made(t, simulate.Options{Seed: 2, Duration: 20, Rate: 6, PathAngle: 20 * circular.Degree, SlowAt: 8, SlowUntil: 12, SlowBy: 4, FrameRate: 480}, nil)
	track, _ := written(t, r, cues.Options{})
	if len(r.Jumps) != 2 {
		t.Fatalf("jumps %+v", r.Jumps)
	}
	for i, at := range []float64{take.FilmTime(8), take.FilmTime(12)} {
		c, ok := byID(track, fmt.Sprintf("pace-%d", i+1))
		if !ok || math.Abs(c.Start-at) > 1 || !strings.Contains(c.Text, "no rates") {
			t.Errorf("the pace changes at %.1f s: %+v", at, c)
		}
	}
	for _, c := range track.Cues {
		if strings.Contains(c.Text, "notes/s") || strings.HasPrefix(c.ID, "span-") || strings.HasPrefix(c.ID, "pause-") {
			t.Errorf("%+v", c)
		}
	}
	if !told(track, "The pace of the film changes") || !told(track, r.Questions[0]) {
		t.Errorf("notes %q", track.Notes)
	}
}

// TestViews: what a view cannot give is not captioned, and the notes say why.
func TestViews(t *testing.T) {
	_, r := made(t, simulate.Options{Seed: 4, Rate: 8, View: trajectory.Front, Skew: 10 * circular.Degree}, nil)
	track, _ := written(t, r, cues.Options{SlowedBy: 4})
	text := ""
	for _, c := range track.Cues {
		text += c.Text + "\n"
	}
	if strings.Contains(text, "angle") || strings.Contains(text, "miss") || !strings.Contains(text, "notes/s") || !told(track, "Whether strokes miss the strings is not known: ") {
		t.Errorf("front view: %s%q", text, track.Notes)
	}
	_, r = made(t, simulate.Options{Seed: 4, Rate: 8, View: trajectory.Oblique}, nil)
	track, _ = written(t, r, cues.Options{SlowedBy: 4})
	if i := slices.IndexFunc(track.Cues, func(c cues.Cue) bool { return strings.Contains(c.Text, "picture angle") }); i < 0 {
		t.Errorf("oblique view: %+v", track.Cues)
	}
}

// TestNoStrokes: a take without a stroke has a file without captions that says why.
func TestNoStrokes(t *testing.T) {
	_, r := made(t, simulate.Options{Seed: 1, Duration: 5}, func(take *simulate.Take, s *review.Setup, _ *review.Options) {
		tip, _ := take.Recording.Point("tip")
		for i := range tip.X { // it drifts
			tip.X[i], tip.Y[i] = 500+0.01*float64(i), 500
		}
	})
	track, f := written(t, r, cues.Options{Show: []cues.Kind{cues.Spans, cues.Rates, cues.Misses, cues.Silent, cues.Pauses, cues.Strings, cues.Hidden}})
	if len(f.cues) != 0 || !told(track, "No strokes, no captions: fewer than three turns") {
		t.Errorf("cues %+v, notes %q", track.Cues, track.Notes)
	}
}

// TestPausesAndWholeTake: pauses stand between the spans; the rate of the take
// stands where it is played when spans are not asked for.
func TestPausesAndWholeTake(t *testing.T) {
	take, r := made(t, simulate.Options{Seed: 8, Duration: 20, Rate: 8, PathAngle: 20 * circular.Degree, Pauses: []simulate.Pause{{At: 6, For: 2}, {At: 14, For: 0.6}}}, nil)
	track, _ := written(t, r, cues.Options{})
	c, ok := byID(track, "pause-1")
	p := take.Truth.Pauses[0]
	if !ok || math.Abs(c.Start-p.Start) > 0.3 || math.Abs(c.End-p.End) > 0.3 || !strings.HasPrefix(c.Text, "pause: ") {
		t.Errorf("paused from %.2f to %.2f s: %+v", p.Start, p.End, c)
	}
	if _, ok := byID(track, "pause-2"); ok || !told(track, "pause at 14.") && !told(track, "pause at 13.9") {
		t.Errorf("a pause of 0.6 s: notes %q", track.Notes)
	}
	track, _ = written(t, r, cues.Options{Show: []cues.Kind{cues.Rates}})
	if len(track.Cues) != 3 {
		t.Errorf("three stretches of playing: %+v", track.Cues)
	}
	for _, c := range track.Cues {
		if !strings.HasPrefix(c.Text, "whole take: 8.0 notes/s, 120 BPM (16ths)") && !strings.HasPrefix(c.Text, "whole take: 7.9 notes/s") {
			t.Errorf("%+v", c)
		}
	}
	track, _ = written(t, r, cues.Options{Show: []cues.Kind{cues.Spans}})
	for _, c := range track.Cues {
		if strings.Contains(c.Text, "notes/s") || strings.Contains(c.Text, "pause") {
			t.Errorf("only spans were asked for: %+v", c)
		}
	}
}

// TestNoteValue: the tempo is told in the note value of the settings.
func TestNoteValue(t *testing.T) {
	for _, c := range []struct{ name, want string }{
		// By definition: 8 notes a second are 160 quarters a minute in eighth
		// triplets, 240 in eighths, 60 in thirty-seconds, 480 in quarters.
		{"8t", "160 BPM (8t)"}, {"8", "240 BPM (8ths)"}, {"32", "60 BPM (32nds)"}, {"4", "480 BPM (quarters)"},
	} {
		v, err := tempo.ParseNoteValue(c.name)
		if err != nil {
			t.Fatal(err)
		}
		_, r := made(t, simulate.Options{Seed: 8, Duration: 12, Rate: 8, Jitter: -1, PathAngle: 20 * circular.Degree}, func(_ *simulate.Take, s *review.Setup, _ *review.Options) {
			s.TempoNote, s.TempoBPM = &v, 8*60*v.Quarters()
		})
		track, _ := written(t, r, cues.Options{})
		if i := slices.IndexFunc(track.Cues, func(q cues.Cue) bool { return strings.Contains(q.Text, c.want) }); i < 0 {
			t.Errorf("%s: no %q in %+v", c.name, c.want, track.Cues)
		}
	}
}

// TestStringChanges: the string played is told above the strokes where it changes.
func TestStringChanges(t *testing.T) {
	take, r := made(t, simulate.Options{Seed: 3, Duration: 16, Rate: 9, PathAngle: 20 * circular.Degree, MissShare: 0.05, Changes: []simulate.Change{{At: 8, By: 1}}}, nil)
	track, _ := written(t, r, cues.Options{})
	var got []cues.Cue
	for _, c := range track.Cues {
		switch {
		case strings.HasPrefix(c.ID, "string-"):
			got = append(got, c)
		case strings.HasPrefix(c.ID, "strokes-") && c.Line != 1:
			t.Errorf("%+v", c)
		}
	}
	if len(got) != 2 || got[1].Text != "string 2" || math.Abs(got[1].Start-take.FilmTime(8)) > 0.5 || got[0].Line != 0 {
		t.Errorf("from 8 s on string 2: %+v", got)
	}
}
