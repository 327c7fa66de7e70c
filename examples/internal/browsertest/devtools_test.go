package browsertest

import (
	"bufio"
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"os"
	"runtime"
	"strings"
	"testing"
	"time"
)

// other is the browser's end of a pipe.
type other struct {
	in  *bufio.Reader
	out *os.File
}

func connect(t *testing.T) (*devtools, other) {
	t.Helper()
	if runtime.GOOS == "windows" {
		t.Skip("its pipes know no deadlines")
	}
	in, to, err := os.Pipe()
	if err != nil {
		t.Fatal(err)
	}
	from, out, err := os.Pipe()
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() {
		for _, f := range []*os.File{in, to, from, out} {
			_ = f.Close() // some are closed before
		}
	})
	return talk(to, from), other{bufio.NewReader(in), out}
}

// hear returns the next command.
func (o other) hear() (m struct {
	ID        int
	SessionID string
	Method    string
}, err error) {
	line, err := o.in.ReadBytes(0)
	if err != nil {
		return m, err
	}
	return m, json.Unmarshal(line[:len(line)-1], &m)
}

func (o other) say(format string, args ...any) {
	fmt.Fprintf(o.out, format+"\x00", args...)
}

func TestCall(t *testing.T) {
	d, o := connect(t)
	events := make(chan string, 1)
	d.listen("page", func(method string, params json.RawMessage) { events <- method + string(params) })
	go func() {
		first, _ := o.hear()
		second, _ := o.hear()
		o.say(`{"method":"Page.loaded","sessionId":"page","params":{"at":1}}`)
		o.say(`{"method":"Page.loaded","sessionId":"another","params":{"at":2}}`)
		// Answers may come in another order than questions.
		o.say(`{"id":%d,"result":{"method":%q}}`, second.ID, second.Method)
		o.say(`{"id":%d,"result":{"method":%q}}`, first.ID, first.Method)
		third, _ := o.hear()
		o.say(`{"id":%d,"error":{"message":"Not found","data":"no node"}}`, third.ID)
		o.out.Close()
	}()
	ctx, cancel := context.WithTimeout(context.Background(), 10*time.Second)
	defer cancel()
	got := make(chan error, 2)
	for _, method := range []string{"A.a", "B.b"} {
		go func() {
			var result struct{ Method string }
			err := d.call(ctx, "page", method, nil, &result)
			if err == nil && result.Method != method {
				err = fmt.Errorf("%s got the answer of %s", method, result.Method)
			}
			got <- err
		}()
	}
	for range 2 {
		if err := <-got; err != nil {
			t.Error(err)
		}
	}
	if e := <-events; e != `Page.loaded{"at":1}` {
		t.Errorf("event %s", e)
	}
	if err := d.call(ctx, "", "C.c", nil, nil); err == nil || !strings.Contains(err.Error(), "C.c: Not found no node") {
		t.Errorf("a refused command: %v", err)
	}
	for range 2 { // while it ends, and after
		if err := d.call(ctx, "", "D.d", nil, nil); !errors.Is(err, errEnded) {
			t.Errorf("after the end: %v", err)
		}
	}
}

func TestCallInVain(t *testing.T) {
	d, o := connect(t)
	go func() { _, _ = o.hear() }() // and no answer
	ctx, cancel := context.WithTimeout(context.Background(), 10*time.Millisecond)
	defer cancel()
	if err := d.call(ctx, "", "A.a", nil, nil); !errors.Is(err, context.DeadlineExceeded) {
		t.Errorf("error %v", err)
	}
	// The next does not wait.
	if err := d.call(context.Background(), "", "B.b", nil, nil); !errors.Is(err, errEnded) || !strings.Contains(err.Error(), "did not answer A.a") {
		t.Errorf("after a command without an answer: %v", err)
	}
}

func TestFullPipe(t *testing.T) {
	d, _ := connect(t) // nobody reads
	ctx, cancel := context.WithTimeout(context.Background(), 50*time.Millisecond)
	defer cancel()
	if err := d.call(ctx, "", "A.a", strings.Repeat("x", 1<<20), nil); !errors.Is(err, os.ErrDeadlineExceeded) {
		t.Errorf("error %v", err)
	}
}

func TestNoMessage(t *testing.T) {
	d, o := connect(t)
	go func() {
		_, _ = o.hear()
		o.say("not JSON")
	}()
	ctx, cancel := context.WithTimeout(context.Background(), 10*time.Second)
	defer cancel()
	if err := d.call(ctx, "", "A.a", nil, nil); err == nil || !strings.Contains(err.Error(), "no message") {
		t.Errorf("error %v", err)
	}
}
