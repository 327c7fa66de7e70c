package main

import (
	"fmt"
	"io"
	"slices"
	"strings"

	"github.com/plectrace/plectrace/motion/live"
	"github.com/plectrace/plectrace/motion/review"
	"github.com/plectrace/plectrace/tempo"
)

const (
	statusEvery = 5.0 // seconds from one line of what holds to the next
	renewEvery  = 0.1 // seconds from one display on a terminal to the next
	quietLine   = 5   // seconds without a line that a journal tells of
)

// told is what was told, and the time of the sample that told it.
type told struct {
	at   float64
	text string
}

// record holds the first and the last of what was told, however long it goes on.
type record struct {
	lines []told
	left  int // out between the halves
}

// most that a page shows of what was told.
const mostTold = 150

func (r *record) add(t told) {
	if r.lines = append(r.lines, t); len(r.lines) > mostTold {
		half := mostTold / 2
		r.lines = append(r.lines[:half], r.lines[half+1:]...)
		r.left++
	}
}

// journal writes what is told as lines, one below the other, and keeps them.
type journal struct {
	out    io.Writer
	note   tempo.NoteValue
	setup  *review.Setup // its view may be known with the first lines only
	keep   *record
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
	j.keep.add(told{t, text})
	fmt.Fprintf(j.out, "%7.1f s  %s\n", t, text)
}

func (j *journal) anew(c newClock, now live.Now) { j.line(now.T, c.String()) }

func (j *journal) silent(seconds int) {
	if seconds == quietLine {
		fmt.Fprintln(j.out, strings.Repeat(" ", 11)+silence(seconds))
	}
}

// silence says that nothing comes.
func silence(seconds int) string {
	return fmt.Sprintf("No line has come for %d s. Ctrl-C ends, and writes the review.", seconds)
}

func (j *journal) bad(int, string) {}
func (j *journal) away()           {}
