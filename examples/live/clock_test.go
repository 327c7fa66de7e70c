package main

import (
	"math"
	"strings"
	"testing"

	"github.com/plectrace/plectrace/examples/internal/clitest"
	"github.com/plectrace/plectrace/motion/live"
)

// TestClockBeginsAnew: what comes after the clock began anew is heard too, at a break that
// is said to be put in, and no stroke or gap is made of that.
func TestClockBeginsAnew(t *testing.T) {
	t.Chdir(t.TempDir())
	export, settings := bundled(t, "tutor")
	clitest.Save(t, "s.take.json", settings)
	head, _, _ := strings.Cut(export, "\n")
	first, second := part(export, 0, 1200), strings.TrimPrefix(part(export, 0, 1800), head+"\n")
	for name, text := range map[string]string{"": first + second, "with its header": first + head + "\n" + second} {
		t.Run(name, func(t *testing.T) {
			got := call(strings.NewReader(text), "-settings", "s.take.json", "-json", "-")
			if got.err != nil || got.complaints != "" {
				t.Fatal(got.err, got.complaints)
			}
			var clock *eventLine
			before, after := 0, 0
			all := events(t, got.out)
			for _, l := range all {
				switch l.Event {
				case "clock":
					clock = &l
				case live.Gap.String():
					if *l.Seconds > 1 {
						t.Errorf("a gap of %v s", *l.Seconds)
					}
				case live.Final.String():
					switch s := l.Stroke; {
					case s.End <= 5:
						before++
					case s.Start >= 6.9:
						after++
					default:
						t.Errorf("a stroke from %v to %v s", s.Start, s.End)
					}
				}
			}
			if clock == nil || clock.Line < 1202 || clock.Line > 1203 || *clock.T < 6.9 || *clock.T > 7.1 || *clock.Shift != *clock.T {
				t.Fatalf("the clock: %+v", clock)
			}
			// The take has 11 strokes a second throughout.
			if before < 50 || after < 75 {
				t.Errorf("%d strokes before, %d after", before, after)
			}
			clitest.WantAll(t, "the last line", strings.Join(all[len(all)-1].Notes, " "), "The clock began anew at line 120", "after 5.0 s", "not known")
		})
	}
}

// TestWrongTimes: one or two lines with a wrong time do not pass for a clock that begins
// anew, wherever they stand; those around them count.
func TestWrongTimes(t *testing.T) {
	t.Chdir(t.TempDir())
	export, settings := bundled(t, "tutor")
	clitest.Save(t, "s.take.json", settings)
	all := strings.SplitAfter(part(export, 0, 1200), "\n")
	want := strokesCSV(t, offline(t, strings.Join(all, ""), settings))
	wrong := func(time string) string { return time + all[500][strings.IndexByte(all[500], ','):] }
	for name, lines := range map[string][]string{
		"ahead": {wrong("9000")}, "back": {wrong("-50")}, "both": {wrong("9000"), wrong("-50"), wrong("9001")}, "two in order": {wrong("77"), wrong("77.1")},
	} {
		for at, where := range map[int]string{700: "amid", len(all): "at the end"} {
			text := strings.Join(all[:at], "") + strings.Join(lines, "") + strings.Join(all[at:], "")
			got := call(strings.NewReader(text), "-settings", "s.take.json", "-force", "-out", "o", "-")
			if got.err != nil || strings.Count(got.complaints, " of that of the others") != len(lines) || strings.Contains(got.out, "anew") {
				t.Errorf("%s, %s: %v, %q", name, where, got.err, got.complaints)
			}
			if diff := clitest.Differs(want, clitest.Read(t, "o/strokes.csv")); diff != "" {
				t.Errorf("%s, %s: %s", name, where, diff)
			}
		}
	}
}

// TestClockFarAhead: a break of minutes is told as it is, one that no take has is another
// clock.
func TestClockFarAhead(t *testing.T) {
	var c takeClock
	push := func(times ...float64) (ready []timed, anew *newClock) {
		for i, x := range times {
			r, wrong, a := c.next(stamped(x, i))
			if len(wrong) > 0 {
				t.Errorf("%v are wrong", wrong)
			}
			ready = append(ready, r...)
			if a != nil {
				anew = a
			}
		}
		return ready, anew
	}
	push(0, 0.1, 0.2)
	if ready, anew := push(600, 600.1, 600.2); len(ready) != 3 || anew != nil || ready[0].t() != 600 {
		t.Errorf("ten minutes: %v, %v", ready, anew)
	}
	if ready, anew := push(1e6, 1e6+0.1, 1e6+0.2); len(ready) != 3 || anew == nil || math.Abs(ready[0].t()-600.2-restart) > 1e-6 {
		t.Errorf("eleven days: %v, %v", ready, anew)
	}
	if ready, anew := push(1e6 + 0.3); len(ready) != 1 || anew != nil || ready[0].t() > 603 {
		t.Errorf("the next: %v, %v", ready, anew)
	}
}
