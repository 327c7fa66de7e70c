package main

import (
	"fmt"

	"github.com/plectrace/plectrace/trajectory"
)

const (
	farBack  = 1.0    // seconds: a time that lies further back is not that of a late sample
	farAhead = 10.0   // seconds: a wrong digit makes a time that lies further ahead
	another  = 3600.0 // seconds: no break in a take is longer; the clock was set anew
	agree    = 3      // samples in a row that bear each other out: one wrong line cannot
	restart  = 2.0    // seconds that a new clock is put after the old one: no stroke reaches so far
)

// timed is a sample with the number of its line. Its time is the take's.
type timed struct {
	frame *trajectory.Recording
	line  int
}

func (s timed) t() float64 { return s.frame.T[0] }

// takeClock tells a clock that begins anew from a line with a wrong time: a sample
// whose time lies far off waits until others agree with it.
type takeClock struct {
	began bool
	last  float64 // time of the last sample that was let through
	shift float64 // is added to the times of the source
	held  []timed
	anew  []newClock
}

// newClock is a clock that began anew.
type newClock struct {
	line  int     // of the first sample
	after float64 // time of the last sample before
	shift float64
}

func (c newClock) String() string {
	return fmt.Sprintf("The clock began anew at line %d, after %.1f s: what follows is put %g s later, as the length of the break is not known.", c.line, c.after, restart)
}

// next takes a sample with the time of the source. ready are those that can be told
// now; wrong, if any, are those whose time nothing bears out.
func (c *takeClock) next(s timed) (ready, wrong []timed, anew *newClock) {
	s.frame.T[0] += c.shift
	off := s.t() - c.last
	if !c.began || off >= -farBack && off <= farAhead {
		c.began, c.last = true, max(s.t(), c.last)
		if len(c.held) == 0 { // as nearly always
			return []timed{s}, nil, nil
		}
		wrong, c.held = c.held, nil
		return []timed{s}, wrong, nil
	}
	if n := len(c.held); n > 0 {
		if step := s.t() - c.held[n-1].t(); !(step > 0 && step <= farAhead) {
			wrong, c.held = c.held, nil
		}
	}
	if c.held = append(c.held, s); len(c.held) < agree {
		return nil, wrong, nil
	}
	ready, c.held = c.held, nil
	if first := ready[0].t(); first < c.last || first > c.last+another {
		more := c.last + restart - first
		for _, r := range ready {
			r.frame.T[0] += more
		}
		c.shift += more
		c.anew = append(c.anew, newClock{ready[0].line, c.last, c.shift})
		anew = &c.anew[len(c.anew)-1]
	}
	c.last = ready[len(ready)-1].t()
	return ready, wrong, anew
}

// end returns the samples that still wait: nothing bears their times out.
func (c *takeClock) end() (wrong []timed) {
	wrong, c.held = c.held, nil
	return wrong
}

// off says what is wrong with the time of a sample that was not let through.
func (c *takeClock) off(s timed) string {
	where := "back"
	if s.t() > c.last {
		where = "ahead"
	}
	return fmt.Sprintf("the time %g s lies far %s of that of the others", s.t()-c.shift, where)
}
