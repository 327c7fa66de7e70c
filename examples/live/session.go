package main

import (
	"errors"
	"fmt"
	"io"
	"os"
	"slices"
	"strconv"
	"strings"
	"sync"
	"time"

	"github.com/plectrace/plectrace/examples/internal/cli"
	"github.com/plectrace/plectrace/examples/internal/measured"
	"github.com/plectrace/plectrace/motion/live"
	"github.com/plectrace/plectrace/motion/review"
	"github.com/plectrace/plectrace/tempo"
	"github.com/plectrace/plectrace/trajectory"
	"github.com/plectrace/plectrace/trajectory/tracks"
)

// session is a take while it is played.
type session struct {
	src     *source
	setup   review.Setup // with what was guessed
	rest    float64
	speed   float64 // 0 is as fast as can be
	in      lines
	tracker *live.Tracker
	sight   *sight // of the tip and marks
	clock   takeClock
	kept
	show  display
	words io.Writer
	log   record // what was told, for the page

	out        *outlet
	complaints io.Writer
	bad        int        // lines left out
	badFirst   int        // the number of the first
	broken     error      // why no more lines could be read
	cut        bool       // by an interrupt
	silence    int        // seconds without a line
	writing    sync.Mutex // while the folder is written
	placed     bool       // the folder is written

	began time.Time // when the first sample was replayed
}

// display shows what is told while a take is played.
type display interface {
	// told shows what a sample brought: events, the same in words, and what holds.
	told(events []live.Event, words []string, now live.Now)
	// bad shows why a line was left out.
	bad(number int, text string)
	// anew shows that the clock of the samples began anew.
	anew(c newClock, now live.Now)
	// silent shows that no line has come for some seconds.
	silent(seconds int)
	// away makes room for other text.
	away()
}

// outlet is where to print. After an error nothing more is printed.
type outlet struct {
	to  io.Writer
	err error
}

func (o *outlet) Write(b []byte) (int, error) {
	if o.err != nil {
		return 0, o.err
	}
	n, err := o.to.Write(b)
	o.err = err
	return n, err
}

func newSession(src *source, f *flags, to, complaints io.Writer) *session {
	out := &outlet{to: to}
	s := &session{src: src, setup: src.setup, rest: f.rest, out: out, complaints: complaints, words: f.Words(out)}
	s.in.name, s.in.above, s.most = src.name, src.above, f.keep
	terminal := !f.JSON && !f.Quiet && cli.InPlace(to)
	if s.speed = f.speed; src.demo && !f.speeds && !terminal || !src.replay {
		s.speed = 0
	}
	note := tempo.Sixteenth
	if n := src.setup.TempoNote; n != nil {
		note = *n
	}
	log := &journal{out: s.words, note: note, setup: &s.setup, keep: &s.log}
	switch {
	case f.JSON:
		s.show = &eventLines{out: out, src: src, log: log}
	case terminal:
		log.out = io.Discard
		s.show = &screen{out: out, size: func() (int, int) { return cli.Size(to) }, log: log}
	default:
		s.show = log
	}
	return s
}

// open looks at the first lines. Once they show the layout it makes the tracker and
// gives it the samples that came.
func (s *session) open(text string, interrupt <-chan os.Signal) error {
	layout, err := s.in.opening(text)
	if err != nil {
		if len(s.in.head) > patience {
			return badExport(err)
		}
		return err
	}
	spatial := slices.ContainsFunc(layout.Columns, func(c tracks.Column) bool { return c.Axis == "z" })
	setup, notes := s.setup.Guess(layout.Points, spatial)
	if err := followable(setup, layout.Points); err != nil {
		return err
	}
	texts, numbers, note := s.in.begin(layout, setup)
	if s.setup = setup; note != "" {
		notes = append(notes, note)
	}
	unit := layout.Unit
	if setup.Unit != "" {
		unit = setup.Unit
	}
	at, err := look(setup, unit)
	if err != nil {
		return cli.Input(err, "see the settings")
	}
	tracker, err := follow(at, setup, s.rest)
	if err != nil {
		return cli.Input(err, "see "+program.Name+" -h, and the settings")
	}
	s.tracker, s.sight = tracker, at
	if at.card != nil {
		notes = append(notes, at.card.Notes...)
	}
	s.note(notes...)
	s.src.notes = append(s.src.notes, notes...)
	for i, t := range texts {
		if err := s.take(numbers[i], t, interrupt); err != nil {
			return err
		}
	}
	return nil
}

// followable refuses settings that a tracker cannot go by.
func followable(s review.Setup, points []string) error {
	var quoted []string
	for _, p := range points[:min(len(points), 12)] {
		quoted = append(quoted, strconv.Quote(p))
	}
	if s.Tip == "" {
		return cli.Input(errors.New("it is not clear which point is the tip"), "name it (tip) in a file given with -settings; the lines hold "+measured.Join(quoted))
	}
	if err := s.Validate(); err != nil {
		return cli.Input(err, "see -settings")
	}
	return nil
}

// take takes a line as a sample. The error is of all lines.
func (s *session) take(n int, text string, interrupt <-chan os.Signal) error {
	frame, err := s.in.frame(n, text)
	if err != nil {
		if s.rec == nil && ofAll(err) {
			return badExport(err)
		}
		s.leaveOut(n, why(err))
		return nil
	}
	if err := s.in.clock(text); err != nil {
		return badExport(err)
	}
	ready, wrong, anew := s.clock.next(timed{frame, n})
	s.untimed(wrong)
	if anew != nil {
		anew.shift -= s.in.origin
		s.show.anew(*anew, s.tracker.Now())
	}
	for i, r := range ready {
		if s.await(r.t(), interrupt); s.cut {
			return nil
		}
		s.pass(r, anew != nil && i == 0)
	}
	return nil
}

// untimed leaves out samples whose times nothing bears out.
func (s *session) untimed(wrong []timed) {
	for _, w := range wrong {
		s.leaveOut(w.line, s.clock.off(w))
	}
}

// pass gives a sample to the tracker, shows what it tells, and keeps it. first says that
// a clock begins with it: how long the tip was not seen before is not known then.
func (s *session) pass(r timed, first bool) {
	before := s.tracker.Now().Counts
	events, words, err := push(s.tracker, r.frame, s.setup, s.sight)
	if err != nil {
		s.leaveOut(r.line, why(err))
		return
	}
	after := s.tracker.Now().Counts
	switch {
	case after.Repeated > before.Repeated:
		s.leaveOut(r.line, fmt.Sprintf("the time %g s was there already", r.t()))
	case after.Late > before.Late:
		s.leaveOut(r.line, fmt.Sprintf("the time %g s lies behind that of the sample before", r.t()))
	default:
		s.add(r.frame)
	}
	if first {
		events = slices.DeleteFunc(events, func(e live.Event) bool { return e.Kind == live.Gap })
		words = say(events)
	}
	s.show.told(events, words, s.tracker.Now())
}

// await waits until a sample is due, or an interrupt.
func (s *session) await(t float64, interrupt <-chan os.Signal) {
	if s.speed == 0 {
		return
	}
	if s.rec == nil {
		s.began = time.Now()
		return
	}
	due := s.began.Add(time.Duration((t - s.first) / s.speed * float64(time.Second)))
	wait := time.Until(due)
	if wait <= 0 {
		return
	}
	timer := time.NewTimer(wait)
	defer timer.Stop()
	select {
	case <-timer.C:
	case <-interrupt:
		s.cut = true
	}
}

// note prints what is to be known about how the lines are read.
func (s *session) note(texts ...string) {
	s.show.away()
	for _, t := range texts {
		fmt.Fprintln(s.words, t)
	}
}

// most is how many lines that are left out are told one by one.
const most = 20

// leaveOut says why a line is left out. Where many are, they are counted.
func (s *session) leaveOut(n int, text string) {
	if s.bad++; s.bad == 1 {
		s.badFirst = n
	}
	s.show.bad(n, text)
	switch {
	case s.bad > most+1:
		return
	case s.bad == most+1:
		text = "many lines are left out; the others are counted"
	default:
		text = fmt.Sprintf("line %d is left out: %s", n, text)
	}
	s.complain(text)
}

// complain prints what is wrong with a line.
func (s *session) complain(text string) {
	s.show.away()
	fmt.Fprintf(s.complaints, "%s: %s\n", program.Name, cli.Printable(strings.Join(strings.Fields(text), " ")))
}

// why is what is wrong with a line, without the line and its file.
func why(err error) string {
	var t *tracks.Error
	var d *trajectory.DataError
	switch {
	case errors.As(err, &t):
		switch t.Rule {
		case "ragged", "truncated":
			return "it has not as many cells as the header"
		case "text", "infinite", "quote", "time", "confidence":
			at := *t
			at.File, at.Line = "", 0
			return strings.TrimPrefix(at.Error(), "tracks: ")
		}
		return "it is no row of numbers"
	case errors.As(err, &d):
		return d.Rule
	}
	return err.Error()
}

// ofAll reports whether an error of the first frame is one of all that follow.
func ofAll(err error) bool {
	var e *tracks.Error
	return errors.As(err, &e) && slices.Contains([]string{"rate", "point", "column", "unit", "time-unit", "option"}, e.Rule)
}

// badExport is what is wrong with all lines as a failure of the input.
func badExport(err error) error {
	next := ""
	var e *tracks.Error
	if errors.As(err, &e) {
		switch e.Rule {
		case "rate":
			next = "bring the time in a column time_s, or give rate in the settings"
		case "point", "column", "unit", "time-unit":
			next = "see -settings"
		}
	}
	return cli.Input(err, next)
}
