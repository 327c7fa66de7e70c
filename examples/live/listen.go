package main

import (
	"errors"
	"fmt"
	"io"
	"os"
	"strconv"
	"time"

	"github.com/plectrace/plectrace/examples/internal/cli"
)

// listen takes lines until there are no more, an interrupt comes, or nobody reads what
// is told.
func (s *session) listen(interrupt <-chan os.Signal) error {
	s.note(s.src.notes...)
	stop := make(chan struct{})
	defer close(stop)
	in := feed(s.src.lines, stop)
	defer s.show.away()
	var opening error
	for !s.cut && s.broken == nil && s.out.err == nil {
		l, ok := s.wait(in, interrupt)
		if !ok {
			continue
		}
		if l.err != nil {
			if l.err != io.EOF {
				s.broken = l.err
			}
			break
		}
		if err := s.line(l, &opening, interrupt); err != nil {
			return err
		}
	}
	if s.tracker == nil {
		return s.nothing(opening)
	}
	s.untimed(s.clock.end())
	events := s.tracker.Flush(nil)
	s.show.told(events, say(events), s.tracker.Now())
	return nil
}

// patient is how long no line may come before it is said, in seconds.
const patient = 2

// wait waits for a line. ok is false where none has come: for some seconds, or before an
// interrupt.
func (s *session) wait(in <-chan line, interrupt <-chan os.Signal) (l line, ok bool) {
	select { // an interrupt comes first
	case <-interrupt:
		s.cut = true
		return l, false
	default:
	}
	select {
	case l = <-in:
		s.silence = 0
		return l, true
	default:
	}
	tick := time.NewTimer(time.Second)
	defer tick.Stop()
	select {
	case <-interrupt:
		s.cut = true
		return l, false
	case l = <-in:
		s.silence = 0
		return l, true
	case <-tick.C:
		if s.silence++; s.silence >= patient {
			s.show.silent(s.silence)
		}
		return l, false
	}
}

// line takes a line. opening is why the lines so far show no layout.
func (s *session) line(l line, opening *error, interrupt <-chan os.Signal) error {
	s.in.number++
	switch {
	case l.tooLong:
		s.leaveOut(s.in.number, fmt.Sprintf("it is longer than %d bytes", longest))
		return nil
	case s.in.passed(l.text):
		return nil
	}
	if err := s.in.start(&l.text); err != nil {
		return badExport(err)
	}
	text, unknown, err := s.in.asRow(l.text)
	if err != nil {
		s.in.rows++ // it was a frame
		s.leaveOut(s.in.number, err.Error())
		return nil
	}
	for _, k := range unknown {
		s.complain(fmt.Sprintf("line %d: %s is not in the first object, and is passed over in all", s.in.number, strconv.Quote(k)))
	}
	if s.tracker == nil {
		*opening = s.open(text, interrupt)
		var fatal *cli.Error
		if errors.As(*opening, &fatal) {
			return *opening
		}
		return nil
	}
	switch same, other := s.in.heads(text); {
	case same: // the tracker was started again
		return nil
	case other: // what lies below it would be read as something else
		s.in.number--
		s.broken = errors.New("below it stands a header of other columns")
		return nil
	}
	return s.take(s.in.number, text, interrupt)
}

// nothing says why no sample came.
func (s *session) nothing(opening error) error {
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
