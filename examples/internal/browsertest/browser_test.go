package browsertest

import (
	"bytes"
	"context"
	"image/png"
	"os"
	"os/exec"
	"path/filepath"
	"runtime"
	"strings"
	"testing"
	"time"
)

// running returns the processes that were started for a profile, on Linux.
func running(t *testing.T, profile string) []string {
	t.Helper()
	lines, err := filepath.Glob("/proc/[0-9]*/cmdline")
	if err != nil {
		t.Fatal(err)
	}
	var found []string
	for _, name := range lines {
		// A process may end while its line is read.
		if line, err := os.ReadFile(name); err == nil && bytes.Contains(line, []byte(profile)) {
			found = append(found, strings.ReplaceAll(string(line), "\x00", " "))
		}
	}
	return found
}

// TestNothingIsLeft ends a browser as Main does, and as a test does that panics:
// the pipe ends, and no more.
func TestNothingIsLeft(t *testing.T) {
	need(t) // skips where there is none
	path, err := find(os.Getenv, exec.LookPath)
	if err != nil {
		t.Fatal(err)
	}
	for name, end := range map[string]func(*browser) error{
		"close": (*browser).close,
		"pipe": func(b *browser) error {
			if err := b.to.Close(); err != nil {
				return err
			}
			select {
			case <-b.done:
			case <-time.After(patience):
				t.Error("the browser outlives its pipe")
			}
			return b.from.Close()
		},
	} {
		t.Run(name, func(t *testing.T) {
			b, err := start(path)
			if err != nil {
				t.Fatal(err)
			}
			if runtime.GOOS == "linux" && len(running(t, b.profile)) == 0 {
				t.Error("no process names the profile: they would not be found if they were left")
			}
			if err := end(b); err != nil {
				t.Error(err)
			}
			if _, err := os.Stat(b.profile); !os.IsNotExist(err) {
				t.Errorf("the profile is left: %v", err)
			}
			if left := running(t, b.profile); len(left) > 0 {
				t.Errorf("processes are left: %q", left)
			}
			if err := b.call(context.Background(), "", "Browser.getVersion", nil, nil); err == nil {
				t.Error("an ended browser answers")
			}
		})
	}
}

func TestStartInVain(t *testing.T) {
	if runtime.GOOS == "windows" {
		t.Skip("no browser is started on Windows")
	}
	t.Setenv("TMPDIR", t.TempDir())
	no := filepath.Join(t.TempDir(), "no-browser")
	if err := os.WriteFile(no, []byte("#!/bin/sh\necho it is broken >&2\nexit 1\n"), 0o777); err != nil {
		t.Fatal(err)
	}
	if _, err := start(no); err == nil || !strings.Contains(err.Error(), "no-browser did not start") || !strings.Contains(err.Error(), "it is broken") {
		t.Errorf("error %v", err)
	}
	if left, err := os.ReadDir(os.Getenv("TMPDIR")); err != nil || len(left) > 0 {
		t.Errorf("left behind: %v, %v", left, err)
	}
}

func TestScreenshot(t *testing.T) {
	t.Parallel()
	p := OpenHTML(t, with(`<div style="height: 3000px"></div>`))
	for _, width := range widths {
		picture, err := png.DecodeConfig(bytes.NewReader(p.Screenshot(width)))
		if err != nil {
			t.Fatal(err)
		}
		if picture.Width != width || picture.Height < 3000 {
			t.Errorf("at %d pixels the picture is %d by %d", width, picture.Width, picture.Height)
		}
	}
}

func TestScreenshotsAreKept(t *testing.T) {
	t.Parallel()
	dir := filepath.Join(t.TempDir(), "pictures")
	OpenHTML(t, sheet).keep(dir)
	for _, name := range []string{"TestScreenshotsAreKept-page-375.png", "TestScreenshotsAreKept-page-1280.png"} {
		if _, err := os.Stat(filepath.Join(dir, name)); err != nil {
			t.Error(err)
		}
	}
}
