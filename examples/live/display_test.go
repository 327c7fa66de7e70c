package main

import (
	"bytes"
	"io"
	"regexp"
	"strconv"
	"strings"
	"testing"
	"unicode/utf8"

	"github.com/plectrace/plectrace/examples/internal/clitest"
	"github.com/plectrace/plectrace/motion/live"
	"github.com/plectrace/plectrace/tempo"
)

// terminal is what a terminal would show: text, line ends, and the few sequences that
// the display uses.
type terminal struct {
	lines []string
	row   int
	most  int // lines
}

var sequence = regexp.MustCompile(`\x1b\[(\d*)([A-Z])`)

func (s *terminal) Write(b []byte) (int, error) {
	text := string(b)
	for text != "" {
		if at := sequence.FindStringSubmatchIndex(text); at != nil && at[0] == 0 {
			switch text[at[4]:at[5]] {
			case "A":
				n := 0
				for _, c := range text[at[2]:at[3]] {
					n = 10*n + int(c-'0')
				}
				s.row -= n
			case "J":
				s.lines = s.lines[:s.row]
			case "K": // the line is written anew each time
			default:
				panic("a sequence that no display uses")
			}
			text = text[at[1]:]
			continue
		}
		for s.row >= len(s.lines) {
			s.lines = append(s.lines, "")
		}
		r, n := utf8.DecodeRuneInString(text)
		text = text[n:]
		switch r {
		case '\r':
			s.lines[s.row] = ""
		case '\n':
			s.row++
		default:
			s.lines[s.row] += string(r)
		}
	}
	s.most = max(s.most, len(s.lines))
	return len(b), nil
}

// wide is the size of a terminal.
func wide() (columns, rows int) { return 80, 24 }

// TestScreen: the display of a take stands on the same lines from start to end, within
// a terminal's width, and is gone at its end.
func TestScreen(t *testing.T) {
	f := newFlags()
	f.speed, f.speeds, f.rest = 0, true, 6
	src, err := f.source(nil, nil)
	if err != nil {
		t.Fatal(err)
	}
	s := newSession(src, f, io.Discard, io.Discard)
	var raw bytes.Buffer
	shown := &terminal{}
	sc := &screen{out: io.MultiWriter(&raw, shown), size: wide, log: &journal{out: io.Discard, note: tempo.Sixteenth, setup: &s.setup, keep: &s.log}}
	s.show = sc
	var last string
	s.complaints = io.Discard
	// What stands there before it is taken away.
	sc.out = io.MultiWriter(sc.out, writer(func(b []byte) {
		if !bytes.Contains(b, []byte("\x1b[J")) {
			last = strings.Join(shown.lines, "\n")
		}
	}))
	if err := s.listen(nil); err != nil {
		t.Fatal(err)
	}
	clitest.WantAll(t, "the display", last, "Rate     ", "strokes a second", "BPM in sixteenths", "Path     ", "degrees", "Motion   ", "probability", "hidden turns 8",
		"Played   0:1", "TIME FOR A REST", "Stop at once at pain, numbness or tingling", "see a clinician", "Ctrl-C")
	clitest.WantResults(t, "the display", last)
	if shown.most > 11 {
		t.Errorf("it takes %d lines", shown.most)
	}
	if len(shown.lines) != 0 {
		t.Errorf("it leaves %q", shown.lines)
	}
	if n := bytes.Count(raw.Bytes(), []byte("Rate     ")); n < 150 || n > 260 {
		t.Errorf("20 s are shown %d times", n)
	}
	for l := range strings.Lines(last) {
		if utf8.RuneCountInString(strings.TrimSpace(l)) >= 80 {
			t.Errorf("wider than a terminal: %q", l)
		}
	}
	if len(s.log.lines) == 0 {
		t.Error("nothing is kept for the page")
	}
}

type writer func([]byte)

func (w writer) Write(b []byte) (int, error) { w(b); return len(b), nil }

// TestScreenByView: an angle that the view does not show is not promised, and that of
// an oblique view is no path angle; see the rule of views in package trajectory.
func TestScreenByView(t *testing.T) {
	_, settings := bundled(t, "tutor")
	for view, want := range map[string]struct{ screen, line, event string }{
		"end-on":  {` degrees\n`, "path angle 1", `"path_angle_deg":1`},
		"oblique": {` degrees in the picture\n`, "picture angle 1", `"picture_angle_deg":1`},
		"front":   {`this view shows no angle\n`, "strokes a second", `"path_angle_deg":null`},
	} {
		t.Run(view, func(t *testing.T) {
			t.Chdir(t.TempDir())
			clitest.Save(t, "s.take.json", strings.Replace(settings, `"end-on"`, strconv.Quote(view), 1))
			f := newFlags()
			f.settings, f.speeds, f.speed = "s.take.json", true, 0
			src, err := f.source(nil, nil)
			if err != nil {
				t.Fatal(err)
			}
			var lines, shown, told bytes.Buffer
			s := newSession(src, f, io.Discard, io.Discard)
			log := &journal{out: &lines, note: tempo.Sixteenth, setup: &s.setup, keep: &s.log}
			s.show = &screen{out: &shown, size: wide, log: log}
			if err := s.listen(nil); err != nil {
				t.Fatal(err)
			}
			f.JSON = true
			if src, err = f.source(nil, nil); err != nil {
				t.Fatal(err)
			}
			if err := newSession(src, f, &told, io.Discard).listen(nil); err != nil {
				t.Fatal(err)
			}
			plain := sequence.ReplaceAllString(shown.String(), "")
			if !regexp.MustCompile(`Path +[^\n]*`+want.screen).MatchString(plain) || !strings.Contains(lines.String(), want.line) || !strings.Contains(told.String(), want.event) {
				t.Errorf("%.900s\n%s", plain, lines.String())
			}
			if view != "end-on" && (strings.Contains(lines.String(), "path angle") || regexp.MustCompile(`"path_angle_deg":-?\d`).MatchString(told.String())) {
				t.Errorf("a path angle is told:\n%s", lines.String())
			}
		})
	}
}

// TestScreenBeforeStrokes: what is not known is said to be so.
func TestScreenBeforeStrokes(t *testing.T) {
	f := newFlags()
	src, err := f.source(nil, nil)
	if err != nil {
		t.Fatal(err)
	}
	tracker, err := follow(&sight{frame: src.setup.FrameOptions(), unit: "px"}, src.setup, 0)
	if err != nil {
		t.Fatal(err)
	}
	var log record
	shown := &terminal{}
	sc := &screen{out: shown, size: wide, log: &journal{out: io.Discard, note: tempo.Sixteenth, setup: &src.setup, keep: &log}}
	sc.told(nil, nil, tracker.Now())
	text := strings.Join(shown.lines, "\n")
	clitest.WantAll(t, "the display", text, "no strokes yet", "not known yet", "cannot be told yet")
	clitest.WantResults(t, "the display", text)
	sc.told(nil, []string{"\x1b[31m" + strings.Repeat("x", 200)}, live.Now{T: 1})
	if text := strings.Join(shown.lines, "\n"); strings.Contains(text, "\x1b") || strings.Contains(text, strings.Repeat("x", 80)) {
		t.Errorf("%q", text)
	}
}
