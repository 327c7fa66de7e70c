package main

import (
	"errors"
	"fmt"
	"io"
	"os"
	"slices"
	"strconv"
	"strings"
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
	rec     *trajectory.Recording // all samples so far
	show    display
	words   io.Writer
	log     []told // what was told, for the page

	complaints io.Writer
	bad        int   // lines left out
	badFirst   int   // the number of the first
	broken     error // why no more lines could be read
	cut        bool  // by an interrupt

	began time.Time // when the first sample was replayed
}

// display shows what is told while a take is played.
type display interface {
	// told shows what a sample brought: events, the same in words, and what holds.
	told(events []live.Event, words []string, now live.Now)
	// bad shows why a line was left out.
	bad(number int, text string)
	// away makes room for other text.
	away()
}

func newSession(src *source, f *flags, out, complaints io.Writer) *session {
	s := &session{src: src, setup: src.setup, rest: f.rest, complaints: complaints, words: f.Words(out)}
	s.in.name = src.name
	terminal := !f.JSON && !f.Quiet && cli.InPlace(out)
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
		s.show = &eventLines{out: out, source: src.name, log: log}
	case terminal:
		log.out = io.Discard
		s.show = &screen{out: out, log: log}
	default:
		s.show = log
	}
	return s
}

// listen takes lines until there are no more, or an interrupt comes.
func (s *session) listen(interrupt <-chan os.Signal) error {
	s.note(s.src.notes...)
	stop := make(chan struct{})
	defer close(stop)
	in := feed(s.src.lines, stop)
	defer s.show.away()
	var opening error
	for !s.cut {
		select { // an interrupt comes first
		case <-interrupt:
			s.cut = true
			continue
		default:
		}
		var l line
		select {
		case <-interrupt:
			s.cut = true
			continue
		case l = <-in:
		}
		if l.err != nil {
			if l.err != io.EOF {
				s.broken = l.err
			}
			break
		}
		s.in.number++
		switch {
		case l.tooLong:
			s.leaveOut(s.in.number, fmt.Sprintf("it is longer than %d bytes", longest))
			continue
		case passed(l.text):
			continue
		}
		if err := s.in.start(&l.text); err != nil {
			return badExport(err)
		}
		text, err := s.in.asRow(l.text)
		if err != nil {
			s.in.rows++ // it was a frame
			s.leaveOut(s.in.number, err.Error())
			continue
		}
		if s.tracker == nil {
			opening = s.open(text, interrupt)
			var fatal *cli.Error
			if errors.As(opening, &fatal) {
				return opening
			}
			continue
		}
		if err := s.take(s.in.number, text, interrupt); err != nil {
			return err
		}
	}
	if s.tracker == nil {
		switch {
		case opening != nil:
			return badExport(opening)
		case s.broken != nil:
			return cli.Input(fmt.Errorf("%s cannot be read: %w", s.src.name, s.broken), "")
		}
		next := "pipe the lines of a tracker into it"
		if s.src.replay {
			next = "check the file"
		}
		return cli.Input(fmt.Errorf("no sample came from %s", s.src.name), next+"; see "+program.Name+" -h for what lines hold")
	}
	events := s.tracker.Flush(nil)
	s.show.told(events, say(events), s.tracker.Now())
	return nil
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
	tracker, err := follow(setup, unit, s.rest)
	if err != nil {
		return cli.Input(err, "see "+program.Name+" -h, and the settings")
	}
	s.tracker = tracker
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
	switch {
	case s.Tip == "":
		return cli.Input(errors.New("it is not clear which point is the tip"), "name it (tip) in a file given with -settings; the lines hold "+measured.Join(quoted))
	case !s.Card.IsZero():
		return cli.Input(errors.New("a card is not followed while a take is played"), "give a bass and a treble mark in place of card")
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
	if s.await(frame.T[0], interrupt); s.cut {
		return nil
	}
	before := s.tracker.Now().Counts
	events, words, err := push(s.tracker, sample(frame, s.setup))
	if err != nil {
		s.leaveOut(n, why(err))
		return nil
	}
	after := s.tracker.Now().Counts
	switch {
	case after.Repeated > before.Repeated:
		s.leaveOut(n, fmt.Sprintf("the time %g s was there already", frame.T[0]))
	case after.Late > before.Late:
		s.leaveOut(n, fmt.Sprintf("the time %g s lies behind that of the sample before", frame.T[0]))
	default:
		s.keep(frame)
	}
	s.show.told(events, words, s.tracker.Now())
	return nil
}

// keep adds a frame to the samples that the review is of.
func (s *session) keep(frame *trajectory.Recording) {
	if s.rec == nil {
		s.rec = frame
		return
	}
	r := s.rec
	r.T = append(r.T, frame.T...)
	for i := range r.Points {
		p, q := &r.Points[i], &frame.Points[i]
		p.X, p.Y, p.Z = append(p.X, q.X...), append(p.Y, q.Y...), append(p.Z, q.Z...)
		p.Confidence = append(p.Confidence, q.Confidence...)
		p.T = r.T
	}
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
	due := s.began.Add(time.Duration((t - s.rec.T[0]) / s.speed * float64(time.Second)))
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
