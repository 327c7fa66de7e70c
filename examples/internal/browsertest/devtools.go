package browsertest

import (
	"bufio"
	"bytes"
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"os"
	"sync"
)

// devtools is one end of the pipe: JSON messages, each ended by a NUL. A command
// has a number, which its answer repeats; what has none is an event. Both may
// belong to a session, which is one page.
type devtools struct {
	to      *os.File
	writing sync.Mutex // not mu: the browser may have to be heard before it reads on

	mu      sync.Mutex
	last    int
	waiting map[int]chan answer
	events  map[string]func(method string, params json.RawMessage)
	ended   error // why no answer will come any more
}

type answer struct {
	result json.RawMessage
	err    error
}

// message is what the browser sends.
type message struct {
	ID        int             `json:"id"`
	SessionID string          `json:"sessionId"`
	Method    string          `json:"method"`
	Params    json.RawMessage `json:"params"`
	Result    json.RawMessage `json:"result"`
	Error     *struct {
		Message string `json:"message"`
		Data    string `json:"data"`
	} `json:"error"`
}

// errEnded is what a call returns that no browser answers any more.
var errEnded = errors.New("the browser has ended")

// talk starts to read what the browser says. It reads until the pipe ends.
func talk(to *os.File, from io.Reader) *devtools {
	d := &devtools{
		to:      to,
		waiting: map[int]chan answer{},
		events:  map[string]func(string, json.RawMessage){},
	}
	go d.read(bufio.NewReaderSize(from, 1<<20))
	return d
}

func (d *devtools) read(from *bufio.Reader) {
	for {
		line, err := from.ReadBytes(0)
		if err != nil {
			d.end(errEnded)
			return
		}
		var m message
		if err := json.Unmarshal(bytes.TrimSuffix(line, []byte{0}), &m); err != nil {
			d.end(fmt.Errorf("the browser sent what is no message: %w", err))
			return
		}
		d.mu.Lock()
		waiting, event := d.waiting[m.ID], d.events[m.SessionID]
		delete(d.waiting, m.ID)
		d.mu.Unlock()
		switch {
		case waiting != nil && m.Error != nil:
			waiting <- answer{err: fmt.Errorf("%s %s", m.Error.Message, m.Error.Data)}
		case waiting != nil:
			waiting <- answer{result: m.Result}
		case m.Method != "" && event != nil:
			event(m.Method, m.Params)
		}
	}
}

// end answers all that wait, and all that will ask, with err.
func (d *devtools) end(err error) {
	d.mu.Lock()
	defer d.mu.Unlock()
	if d.ended == nil {
		d.ended = err
	}
	for id, waiting := range d.waiting {
		waiting <- answer{err: err}
		delete(d.waiting, id)
	}
}

// listen has the events of a session given to event, one at a time and in order;
// nil ends that. event must not call.
func (d *devtools) listen(session string, event func(method string, params json.RawMessage)) {
	d.mu.Lock()
	defer d.mu.Unlock()
	if event == nil {
		delete(d.events, session)
		return
	}
	d.events[session] = event
}

// call sends a command and waits for its answer, which it puts into result unless
// that is nil. An empty session is the browser itself.
func (d *devtools) call(ctx context.Context, session, method string, params, result any) error {
	got := make(chan answer, 1)
	if err := d.send(ctx, session, method, params, got); err != nil {
		return fmt.Errorf("%s: %w", method, err)
	}
	select {
	case a := <-got:
		if a.err != nil {
			return fmt.Errorf("%s: %w", method, a.err)
		}
		if result == nil {
			return nil
		}
		if err := json.Unmarshal(a.result, result); err != nil {
			return fmt.Errorf("%s: %w", method, err)
		}
		return nil
	case <-ctx.Done():
		// Whoever asks next would wait as long.
		d.end(fmt.Errorf("%w: it did not answer %s", errEnded, method))
		return fmt.Errorf("%s: no answer: %w", method, context.Cause(ctx))
	}
}

func (d *devtools) send(ctx context.Context, session, method string, params any, got chan answer) error {
	id, err := d.await(got)
	if err != nil {
		return err
	}
	data, err := json.Marshal(struct {
		ID        int    `json:"id"`
		SessionID string `json:"sessionId,omitempty"`
		Method    string `json:"method"`
		Params    any    `json:"params,omitempty"`
	}{id, session, method, params})
	if err != nil {
		return err
	}
	d.writing.Lock()
	defer d.writing.Unlock()
	until, _ := ctx.Deadline() // the zero time is none
	if err := d.to.SetWriteDeadline(until); err != nil {
		return err
	}
	_, err = d.to.Write(append(data, 0))
	return err
}

// await gives a command its number, and got its answer.
func (d *devtools) await(got chan answer) (int, error) {
	d.mu.Lock()
	defer d.mu.Unlock()
	if d.ended != nil {
		return 0, d.ended
	}
	d.last++
	d.waiting[d.last] = got
	return d.last, nil
}
