package main

import (
	"fmt"
	"io"
	"time"
)

// meter shows on a terminal how far the work is; with a nil writer it shows
// nothing.
type meter struct {
	out         io.Writer
	done, total int
	start, last time.Time
	shown       bool
	now         func() time.Time
}

func newMeter(out io.Writer, total int) *meter {
	m := &meter{out: out, total: total, now: time.Now}
	m.start = m.now()
	return m
}

// quiet is for how long nothing is shown: short jobs need no meter, and the time
// left is not known before.
const quiet = 2 * time.Second

func (m *meter) step() {
	m.done++
	now := m.now()
	if m.out == nil || now.Sub(m.start) < quiet || now.Sub(m.last) < 200*time.Millisecond {
		return
	}
	m.last, m.shown = now, true
	rate := float64(m.done) / now.Sub(m.start).Seconds()
	left := time.Duration(float64(m.total-m.done) / rate * float64(time.Second)).Round(time.Second)
	fmt.Fprintf(m.out, "\r%d of %d takes, %.1f a second, about %s left \x1b[K", m.done, m.total, rate, left)
}

// end takes the line away.
func (m *meter) end() {
	if m.shown {
		fmt.Fprint(m.out, "\r\x1b[K")
	}
}
