package cli

import (
	"fmt"
	"io"
	"os"
	"sync"
	"sync/atomic"
	"time"
	"unicode/utf8"
)

// Meter tells on a terminal how far work is that takes more than two seconds, on
// a line that it takes away in the end, and for the words that are printed meanwhile
// (see Common.Words). A nil Meter tells nothing.
type Meter struct {
	mu          sync.Mutex
	out         io.Writer
	what        string
	done, total int
	start       time.Time
	shown       bool
	now         func() time.Time
	stop        chan struct{}
	over        sync.WaitGroup
}

const (
	patience = 2 * time.Second        // short work needs no meter
	tick     = 500 * time.Millisecond // from one look to the next
)

// Meter returns a meter of work in those words, such as "Reviewing lesson.csv",
// or nil with -quiet and where standard error cannot be written over. End must follow;
// a program has one meter at a time.
func (c Common) Meter(what string) *Meter {
	if c.Quiet || !InPlace(os.Stderr) {
		return nil
	}
	m := newMeter(os.Stderr, what, time.Now)
	standing.Store(m)
	m.over.Add(1)
	go func() {
		defer m.over.Done()
		t := time.NewTicker(tick)
		defer t.Stop()
		for {
			select {
			case <-m.stop:
				return
			case <-t.C:
				m.show()
			}
		}
	}()
	return m
}

// standing is the meter that Common.Meter began and that has not ended.
var standing atomic.Pointer[Meter]

func newMeter(out io.Writer, what string, now func() time.Time) *Meter {
	return &Meter{out: out, what: Printable(what), start: now(), now: now, stop: make(chan struct{})}
}

// Count says how many pieces of the work are done, and of how many.
func (m *Meter) Count(done, total int) {
	if m == nil {
		return
	}
	m.mu.Lock()
	defer m.mu.Unlock()
	m.done, m.total = done, total
}

// show writes the line anew.
func (m *Meter) show() {
	m.mu.Lock()
	defer m.mu.Unlock()
	lasts := m.now().Sub(m.start)
	if lasts < patience {
		return
	}
	m.shown = true
	text := fmt.Sprintf(", %d s", int(lasts.Seconds()))
	if m.done > 0 && m.done <= m.total {
		rate := float64(m.done) / lasts.Seconds()
		left := time.Duration(float64(m.total-m.done) / rate * float64(time.Second)).Round(time.Second)
		text = fmt.Sprintf(", %d of %d, %.1f a second, about %s left", m.done, m.total, rate, left)
	}
	what := []rune(m.what)
	columns, _ := Size(m.out) // a line that is wider cannot be taken away
	if room := columns - 2 - utf8.RuneCountInString(text); len(what) > room {
		what = append(what[:max(room-1, 0)], '…')
	}
	fmt.Fprintf(m.out, "\r%s%s \x1b[K", string(what), text)
}

// End takes the line away. It may be called again.
func (m *Meter) End() {
	if m == nil {
		return
	}
	m.mu.Lock()
	select {
	case <-m.stop:
	default:
		close(m.stop)
	}
	m.mu.Unlock()
	m.over.Wait()
	standing.CompareAndSwap(m, nil)
	m.aside(func() {})
}

// aside takes the line away while do prints; the next look shows it again.
func (m *Meter) aside(do func()) {
	if m == nil {
		do()
		return
	}
	m.mu.Lock()
	defer m.mu.Unlock()
	if m.shown {
		fmt.Fprint(m.out, "\r\x1b[K")
		m.shown = false
	}
	do()
}
