package browsertest

import (
	"errors"
	"fmt"
	"os/exec"
	"runtime"
	"strings"
	"testing"
)

func TestFind(t *testing.T) {
	if runtime.GOOS == "windows" {
		t.Skip("no browser is looked for on Windows")
	}
	for _, c := range []struct {
		name      string
		asked     string
		installed []string
		want      string
		fault     string // part of the error
		none      bool   // the error says that there is no browser
	}{
		{"the first of several", "", []string{"google-chrome", "chromium"}, "/bin/chromium", "", false},
		{"by another name", "", []string{"google-chrome"}, "/bin/google-chrome", "", false},
		{"asked for", "mine", []string{"chromium", "mine"}, "/bin/mine", "", false},
		{"asked for in vain", "mine", []string{"chromium"}, "", "PLECTRACE_CHROMIUM", false},
		{"none", "", nil, "", "apt-get install chromium", true},
	} {
		t.Run(c.name, func(t *testing.T) {
			getenv := func(name string) string {
				if name == pathVariable {
					return c.asked
				}
				return ""
			}
			lookPath := func(name string) (string, error) {
				for _, has := range c.installed {
					if has == name {
						return "/bin/" + name, nil
					}
				}
				return "", &exec.Error{Name: name, Err: exec.ErrNotFound}
			}
			got, err := find(getenv, lookPath)
			if got != c.want {
				t.Errorf("found %q, want %q", got, c.want)
			}
			if (err != nil) != (c.fault != "") || errors.Is(err, errNoBrowser) != c.none {
				t.Errorf("error %v", err)
			}
			if err != nil && !strings.Contains(err.Error(), c.fault) {
				t.Errorf("%v: does not hold %q", err, c.fault)
			}
		})
	}
}

func TestDemanded(t *testing.T) {
	for _, c := range []struct {
		variable, value string
		want            bool
	}{
		{"CI", "true", true},
		{"CI", "", false},
		{demandVariable, "required", true},
		{demandVariable, "no", false},
	} {
		getenv := func(name string) string {
			if name == c.variable {
				return c.value
			}
			return ""
		}
		if got := demanded(getenv); got != c.want {
			t.Errorf("%s=%s: %t, want %t", c.variable, c.value, got, c.want)
		}
	}
}

// ending is a test that notes how it ends. Like a test, it ends its goroutine.
type ending struct {
	testing.TB
	how string
}

func (e *ending) Helper()           {}
func (e *ending) Skip(args ...any)  { e.how = "skip: " + fmt.Sprint(args...); runtime.Goexit() }
func (e *ending) Fatal(args ...any) { e.how = "fail: " + fmt.Sprint(args...); runtime.Goexit() }

func TestRefuse(t *testing.T) {
	for _, c := range []struct {
		fault    error
		demanded bool
		want     string
	}{
		{nil, true, ""},
		{errNoBrowser, false, "skip: no Chromium"},
		{errNoBrowser, true, "fail: no Chromium"},
		{errNoPipe, true, "skip: a browser cannot be driven"},
		{errors.New("it does not start"), false, "fail: it does not start"},
	} {
		e := new(ending)
		done := make(chan struct{})
		go func() {
			defer close(done)
			refuse(e, c.fault, c.demanded)
		}()
		<-done
		if e.how != c.want && (c.want == "" || !strings.HasPrefix(e.how, c.want)) {
			t.Errorf("%v, demanded %t: %q, want %q", c.fault, c.demanded, e.how, c.want)
		}
	}
}
