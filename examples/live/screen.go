package main

import (
	"fmt"
	"io"
	"math"
	"strings"
	"unicode/utf8"

	"github.com/plectrace/plectrace/examples/internal/cli"
	"github.com/plectrace/plectrace/motion"
	"github.com/plectrace/plectrace/motion/live"
	"github.com/plectrace/plectrace/trajectory"
)

// screen writes what holds over what it wrote before.
type screen struct {
	out     io.Writer
	size    func() (columns, rows int)
	log     *journal
	lines   int     // that stand there
	last    float64 // when they were written, in the samples' time
	rested  float64 // the playing time of the last prompt, 0 for none
	happens string  // the last that was told
	latest  []motion.Stroke
	now     live.Now
	begun   bool
	quiet   int // seconds without a line
}

// mostLatest is how many strokes are shown one by one.
const mostLatest = 3

func (s *screen) told(events []live.Event, words []string, now live.Now) {
	s.log.told(events, words, now)
	for _, e := range events {
		switch e.Kind {
		case live.Rest:
			s.rested = e.Seconds
		case live.Provisional:
			if s.latest = append(s.latest, e.Stroke); len(s.latest) > mostLatest {
				s.latest = append(s.latest[:0], s.latest[1:]...)
			}
		}
	}
	if now.Playing < s.rested {
		s.rested = 0 // the player has rested
	}
	if len(words) > 0 {
		s.happens = fmt.Sprintf("At %.1f s: %s", now.T, words[len(words)-1])
	}
	s.now, s.begun, s.quiet = now, true, 0
	if s.lines > 0 && len(words) == 0 && math.Abs(now.T-s.last) < renewEvery {
		return
	}
	s.last = now.T
	s.show()
}

func (s *screen) anew(c newClock, now live.Now) {
	s.log.anew(c, now)
	s.happens = c.String()
}

func (s *screen) silent(seconds int) {
	s.quiet = seconds
	s.show()
}

// show writes the display over the last one.
func (s *screen) show() {
	columns, rows := s.size()
	var text []string
	for _, l := range s.text() {
		text = append(text, wrap(cli.Printable(l), columns-1)...)
	}
	text = text[:min(len(text), max(rows-1, 1))] // more would roll away
	var b strings.Builder
	if s.lines > 0 {
		fmt.Fprintf(&b, "\x1b[%dA", s.lines)
	}
	for _, l := range text {
		fmt.Fprintf(&b, "\r%s\x1b[K\n", l)
	}
	if len(text) < s.lines {
		b.WriteString("\x1b[J")
	}
	s.lines = len(text)
	io.WriteString(s.out, b.String())
}

// text are the lines of the display.
func (s *screen) text() []string {
	care := strings.SplitAfterN(live.Caution, ". ", 2)
	end := "Ctrl-C ends, and writes the review."
	if s.quiet > 0 {
		end = silence(s.quiet)
	}
	if !s.begun {
		return []string{end}
	}
	now, view, note := s.now, s.log.setup.View, s.log.note
	rate, angle, state := "no strokes yet", "not known yet", "cannot be told yet whether it is settled"
	if r := now.NotesPerSecond; r == r {
		rate = fmt.Sprintf("%.1f strokes a second, %.0f BPM in %s", r, float64(r.BPM(note)), note.Plural())
	}
	switch a := now.PathAngle.Degrees(); {
	case !view.HasOut():
		angle = "this view shows no angle"
	case a == a && view == trajectory.Oblique:
		angle = fmt.Sprintf("%.0f degrees in the picture", a)
	case a == a:
		angle = fmt.Sprintf("%.0f degrees", a)
	}
	if all := status(now, note, view); now.Known {
		state = all[len(all)-1]
	}
	lines := []string{
		"Rate     " + rate,
		"Path     " + angle,
		"Motion   " + state,
		"Latest   " + s.strokes(),
		fmt.Sprintf("Strokes  %d, hidden turns %d", now.Final, s.log.hidden),
		fmt.Sprintf("Played   %s since the last rest, %s in all", minutes(now.Playing), minutes(now.Played)),
		s.happens,
	}
	if s.rested > 0 { // at the top, where a small terminal shows it too
		rest := fmt.Sprintf("TIME FOR A REST: %s played. Put the instrument down for five minutes.", minutes(now.Playing))
		lines = append([]string{rest}, lines...)
	}
	return append(append(lines, care...), end)
}

// longAgo is when strokes are no longer the latest, in seconds.
const longAgo = 2

// strokes are the latest strokes, the last one first, as they were told at once.
func (s *screen) strokes() string {
	n := len(s.latest)
	if n == 0 || s.now.T-s.latest[n-1].End > longAgo {
		return "none now"
	}
	var each []string
	for i := n - 1; i >= 0; i-- {
		k := s.latest[i]
		text := fmt.Sprintf("%s %.0f ms", strings.TrimSuffix(k.Direction.String(), "stroke"), 1000*(k.End-k.Start))
		if k.Length == k.Length {
			text += fmt.Sprintf(" %.1f %s", k.Length, s.now.Unit)
		}
		each = append(each, strings.TrimSpace(text))
	}
	return strings.Join(each, ", ")
}

func (s *screen) bad(int, string) {}

// away takes the display away; the next is written whole.
func (s *screen) away() {
	if s.lines > 0 {
		fmt.Fprintf(s.out, "\x1b[%dA\r\x1b[J", s.lines)
		s.lines = 0
	}
}

// hang is how far the further lines of a text hang in.
const hang = "         "

// wrap breaks a text between words, so that no line is wider than columns. A word that
// is wider is cut.
func wrap(text string, columns int) []string {
	columns = max(columns, 2*len(hang))
	var lines []string
	for utf8.RuneCountInString(text) > columns {
		r := []rune(text)
		at := columns
		for at > 0 && r[at] != ' ' {
			at--
		}
		if at < len(hang)+1 { // one word
			lines = append(lines, string(r[:columns-1])+"…")
			return lines
		}
		lines = append(lines, string(r[:at]))
		text = hang + string(r[at+1:])
	}
	return append(lines, text)
}
