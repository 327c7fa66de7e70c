package main

import (
	"fmt"
	"io"
	"math"
	"slices"
	"strings"
	"unicode/utf8"

	"github.com/plectrace/plectrace/examples/internal/cli"
	"github.com/plectrace/plectrace/motion/live"
	"github.com/plectrace/plectrace/motion/review"
	"github.com/plectrace/plectrace/tempo"
	"github.com/plectrace/plectrace/trajectory"
)

const (
	statusEvery = 5.0 // seconds from one line of what holds to the next
	renewEvery  = 0.1 // seconds from one display on a terminal to the next
	columns     = 80  // of a terminal
)

// told is what was told, and the time of the sample that told it.
type told struct {
	at   float64
	text string
}

// journal writes what is told as lines, one below the other, and keeps them.
type journal struct {
	out    io.Writer
	note   tempo.NoteValue
	setup  *review.Setup // its view may be known with the first lines only
	keep   *[]told
	hidden int     // turns
	status float64 // when what holds was last told
	began  bool
}

func (j *journal) told(events []live.Event, words []string, now live.Now) {
	for _, e := range events {
		if e.Kind == live.HiddenTurn {
			j.hidden++
		}
	}
	if !j.began {
		j.began, j.status = true, now.T
	}
	for _, w := range words {
		j.line(now.T, w)
	}
	if slices.ContainsFunc(events, func(e live.Event) bool { return e.Kind == live.Rest }) {
		fmt.Fprintln(j.out, strings.Repeat(" ", 11)+live.Caution)
	}
	if now.T-j.status >= statusEvery {
		j.status = now.T
		if s := status(now, j.note, j.setup.View); len(s) > 0 {
			s = append(s, fmt.Sprintf("hidden turns %d", j.hidden), "played "+minutes(now.Played))
			j.line(now.T, strings.Join(s, "; "))
		}
	}
}

func (j *journal) line(t float64, text string) {
	*j.keep = append(*j.keep, told{t, text})
	fmt.Fprintf(j.out, "%7.1f s  %s\n", t, text)
}

func (j *journal) bad(int, string) {}
func (j *journal) away()           {}

// screen writes what holds over what it wrote before.
type screen struct {
	out     io.Writer
	log     *journal
	lines   int     // that stand there
	last    float64 // when they were written, in the samples' time
	rested  float64 // the playing time of the last prompt, 0 for none
	happens string  // the last that was told
}

func (s *screen) told(events []live.Event, words []string, now live.Now) {
	s.log.told(events, words, now)
	for _, e := range events {
		if e.Kind == live.Rest {
			s.rested = e.Seconds
		}
	}
	if now.Playing < s.rested {
		s.rested = 0 // the player has rested
	}
	if len(words) > 0 {
		s.happens = fmt.Sprintf("At %.1f s: %s", now.T, words[len(words)-1])
	}
	if s.lines > 0 && len(words) == 0 && math.Abs(now.T-s.last) < renewEvery {
		return
	}
	s.last = now.T
	var b strings.Builder
	if s.lines > 0 {
		fmt.Fprintf(&b, "\x1b[%dA", s.lines)
	}
	text := s.text(now)
	for _, l := range text {
		fmt.Fprintf(&b, "\r%s\x1b[K\n", fit(l))
	}
	s.lines = len(text)
	io.WriteString(s.out, b.String())
}

// text are the lines of the display, always as many.
func (s *screen) text(now live.Now) []string {
	view, note := s.log.setup.View, s.log.note
	rate, angle, motion := "no strokes yet", "not known yet", "cannot be told yet whether it is settled"
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
		motion = all[len(all)-1]
	}
	rest := ""
	if s.rested > 0 {
		rest = fmt.Sprintf("TIME FOR A REST: %s played. Put the instrument down for five minutes.", minutes(now.Playing))
	}
	care := strings.SplitAfterN(live.Caution, ". ", 2)
	return append([]string{
		"Rate     " + rate,
		"Path     " + angle,
		"Motion   " + motion,
		fmt.Sprintf("Strokes  %d, hidden turns %d", now.Final, s.log.hidden),
		fmt.Sprintf("Played   %s since the last rest, %s in all", minutes(now.Playing), minutes(now.Played)),
		s.happens, rest,
	}, append(care, "Ctrl-C ends, and writes the review.")...)
}

func (s *screen) bad(int, string) {}

// away takes the display away; the next is written whole.
func (s *screen) away() {
	if s.lines > 0 {
		fmt.Fprintf(s.out, "\x1b[%dA\r\x1b[J", s.lines)
		s.lines = 0
	}
}

// fit is a line as far as it goes on a terminal.
func fit(text string) string {
	text = cli.Printable(text)
	if utf8.RuneCountInString(text) < columns {
		return text
	}
	return string([]rune(text)[:columns-2]) + "…"
}
