package browsertest

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"io"
	"os"
	"os/exec"
	"sync"
	"testing"
	"time"
)

// patience is how long the browser may take over one command: on a machine that
// does much else, with the race detector.
const patience = 30 * time.Second

// flags of the browser, besides the folder of its profile.
var flags = []string{
	"--headless",
	"--remote-debugging-pipe",
	"--no-sandbox",
	"--disable-dev-shm-usage", // containers have little of it
	"--disable-gpu",
	"--no-first-run",
	"--no-default-browser-check",
	"--disable-extensions",
	"--disable-sync",
	"--disable-component-update",
	"--disable-background-networking",
	"--disable-breakpad",
	"--renderer-process-limit=2", // to start one takes longer than most checks
	"--disable-site-isolation-trials",
	"--disable-background-timer-throttling",
	"--disable-renderer-backgrounding",
	"--disable-backgrounding-occluded-windows",
	"--host-resolver-rules=MAP * ~NOTFOUND , EXCLUDE 127.0.0.1",
	"--hide-scrollbars",
	"--force-color-profile=srgb",
	"--lang=en-GB",
}

// browser is a running browser.
type browser struct {
	*devtools
	command *exec.Cmd
	profile string
	said    *tail
	from    *os.File
	done    chan struct{} // closed when the processes have ended and the profile is gone
}

// keep runs the browser, and takes its profile away after it. It outlives a test
// that panics: the browser ends when the pipe does.
const keep = `profile=$1; shift
trap '' INT
"$@" "--user-data-dir=$profile"
for try in 1 2 3 4 5 6 7 8 9 10; do
	rm -rf "$profile" 2>/dev/null && break
	sleep 0.2
done`

// start starts the browser at path.
func start(path string) (*browser, error) {
	profile, err := os.MkdirTemp("", "plectrace-browser-")
	if err != nil {
		return nil, err
	}
	b, err := startIn(profile, path)
	if err != nil {
		return nil, errors.Join(err, os.RemoveAll(profile))
	}
	ctx, cancel := context.WithTimeout(context.Background(), patience)
	defer cancel()
	if err := b.call(ctx, "", "Browser.getVersion", nil, nil); err != nil {
		b.close()
		return nil, fmt.Errorf("%s did not start: %w\n%s", path, err, b.said)
	}
	return b, nil
}

func startIn(profile, path string) (*browser, error) {
	read, to, err := os.Pipe() // what we say
	if err != nil {
		return nil, err
	}
	from, write, err := os.Pipe() // what it says
	if err != nil {
		return nil, errors.Join(err, read.Close(), to.Close())
	}
	said := new(tail)
	args := append([]string{"-c", keep, "sh", profile, path}, flags...)
	command := exec.Command("sh", args...)
	command.ExtraFiles = []*os.File{read, write} // descriptors 3 and 4
	command.Stdout, command.Stderr = said, said
	command.WaitDelay = 5 * time.Second
	err = command.Start()
	err = errors.Join(err, read.Close(), write.Close())
	if err != nil {
		return nil, errors.Join(err, to.Close(), from.Close())
	}
	b := &browser{
		devtools: talk(to, from),
		command:  command, profile: profile, said: said, from: from,
		done: make(chan struct{}),
	}
	go func() {
		defer close(b.done)
		// How it ended does not matter: what it left unanswered is an error elsewhere.
		_ = command.Wait()
	}()
	return b, nil
}

// close ends the browser, and waits until its processes have ended and its
// profile is gone.
func (b *browser) close() error {
	ctx, cancel := context.WithTimeout(context.Background(), 10*time.Second)
	defer cancel()
	// A browser that does not answer ends with its pipe.
	_ = b.call(ctx, "", "Browser.close", nil, nil)
	err := errors.Join(b.to.Close(), b.from.Close())
	select {
	case <-b.done:
	case <-time.After(15 * time.Second):
		err = errors.Join(err, errors.New("the browser does not end"), b.command.Process.Kill())
		<-b.done
	}
	return errors.Join(err, os.RemoveAll(b.profile))
}

// shared is the browser of this test binary, which the first page starts.
var shared struct {
	main  bool // Main runs
	once  sync.Once
	on    *browser
	fault error
}

// Main runs the tests of a package, ends the browser that they used, and exits.
func Main(m *testing.M) {
	shared.main = true
	code := m.Run()
	if shared.on != nil {
		if err := shared.on.close(); err != nil {
			fmt.Fprintln(os.Stderr, "browsertest:", err)
			code = max(code, 1)
		}
	}
	os.Exit(code)
}

// need returns the browser, and skips or fails the test where there is none.
func need(t testing.TB) *browser {
	t.Helper()
	if !shared.main {
		t.Fatal("the browser would be left running: add to this package's tests\n" +
			"\tfunc TestMain(m *testing.M) { browsertest.Main(m) }")
	}
	shared.once.Do(func() {
		path, err := find(os.Getenv, exec.LookPath)
		if err == nil {
			shared.on, err = start(path)
		}
		shared.fault = err
	})
	refuse(t, shared.fault, demanded(os.Getenv))
	return shared.on
}

// refuse ends a test that has no browser: it skips where none could be driven, and
// where none is installed and none is demanded.
func refuse(t testing.TB, fault error, demanded bool) {
	t.Helper()
	switch {
	case fault == nil:
	case errors.Is(fault, errNoPipe), errors.Is(fault, errNoBrowser) && !demanded:
		t.Skip(fault)
	default:
		t.Fatal(fault)
	}
}

// tail keeps the last of what is written to it.
type tail struct {
	mu   sync.Mutex
	last []byte
}

var _ io.Writer = (*tail)(nil)

func (w *tail) Write(p []byte) (int, error) {
	w.mu.Lock()
	defer w.mu.Unlock()
	w.last = append(w.last, p...)
	w.last = bytes.Clone(w.last[max(0, len(w.last)-1024):])
	return len(p), nil
}

func (w *tail) String() string {
	w.mu.Lock()
	defer w.mu.Unlock()
	return string(w.last)
}
