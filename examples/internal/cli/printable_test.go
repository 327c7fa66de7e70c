package cli

import (
	"bytes"
	"errors"
	"fmt"
	"strings"
	"testing"
	"time"
)

// TestPrintable: what ECMA-48 (Control Functions for Coded Character Sets) calls
// control functions begins with a character of C0 or C1, and none of these is left.
func TestPrintable(t *testing.T) {
	for in, want := range map[string]string{
		"lesson 3, Übung.csv\tx\n": "lesson 3, Übung.csv\tx\n",
		"a\x1b[2Jb":                "a\uFFFD[2Jb",
		"\u009b31m":                "\uFFFD31m",
		"\x9b31m":                  "\uFFFD31m", // no UTF-8
		"a\rb\x7f\x00":             "a\uFFFDb\uFFFD\uFFFD",
		"\u202Evsc.a\u2066":        "\uFFFDvsc.a\uFFFD",
		"弦 🎸 −1\u00a0mm":           "弦 🎸 −1\u00a0mm",
	} {
		if got := Printable(in); got != want {
			t.Errorf("%q becomes %q, want %q", in, got, want)
		}
	}
}

// TestNothingObeyed: no way to the terminal lets a name through that it would obey.
func TestNothingObeyed(t *testing.T) {
	const name = "\x1b]0;x\x07\u009b2J.csv"
	clean := func(where, text string) {
		if strings.ContainsAny(text, "\x1b\x07\u009b") || !strings.Contains(text, ".csv") {
			t.Errorf("%s: %q", where, text)
		}
	}
	var words bytes.Buffer
	fmt.Fprintf(Common{}.Words(&words), "Written: %s.\n", name)
	clean("words", words.String())
	clean("an error", oneLine("onetake", Input(errors.New(name+" is empty"), "")))
	var line bytes.Buffer
	at := time.Date(2026, 1, 5, 19, 0, 0, 0, time.UTC)
	m := newMeter(&line, "Reviewing "+name, func() time.Time { return at })
	at = at.Add(3 * time.Second)
	m.show()
	clean("the meter", strings.TrimSuffix(line.String(), "\x1b[K"))
}

// TestMeterFits: a line that is wider than a terminal of 80 columns could not be
// taken away.
func TestMeterFits(t *testing.T) {
	var line bytes.Buffer
	at := time.Date(2026, 1, 5, 19, 0, 0, 0, time.UTC)
	m := newMeter(&line, "Reviewing "+strings.Repeat("ü", 200)+".csv", func() time.Time { return at })
	m.Count(12345, 99999)
	at = at.Add(3 * time.Second)
	m.show()
	text := strings.TrimSuffix(strings.TrimPrefix(line.String(), "\r"), "\x1b[K")
	if n := len([]rune(text)); n >= 80 || !strings.Contains(text, "…, 12345 of 99999") {
		t.Errorf("%d characters: %q", n, text)
	}
}
