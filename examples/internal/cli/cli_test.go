package cli

import (
	"bytes"
	"errors"
	"flag"
	"fmt"
	"io"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
)

func TestCodeAndLine(t *testing.T) {
	cause := errors.New("tip.csv, line 3: \"x\" is no number\nin column tip_x")
	for _, c := range []struct {
		name string
		err  error
		code int
		line string
	}{
		{"none", nil, 0, ""},
		{"help", flag.ErrHelp, 0, ""},
		{"input", Input(cause, "name another column with -tip"), 1, `onetake: tip.csv, line 3: "x" is no number in column tip_x; name another column with -tip`},
		{"usage", Usage(errors.New("no such flag"), ""), 2, "onetake: no such flag"},
		{"wrapped", fmt.Errorf("second take: %w", Usage(errors.New("no file"), "name one")), 2, "onetake: second take: no file; name one"},
		{"plain", errors.New("disk full"), 1, "onetake: disk full"},
		{"joined", errors.Join(errors.New("disk full"), nil, errors.New("disk full")), 1, "onetake: disk full"},
		{"of a package", errors.New("w.csv: motion: drive: too few"), 1, "onetake: w.csv: too few"},
	} {
		if got := Code(c.err); got != c.code {
			t.Errorf("%s: code %d, want %d", c.name, got, c.code)
		}
		if c.code != OK {
			if got := oneLine("onetake", c.err); got != c.line {
				t.Errorf("%s: %q, want %q", c.name, got, c.line)
			}
		}
	}
	if err := Input(cause, ""); !errors.Is(err, cause) {
		t.Error("the cause is lost")
	}
}

func TestParse(t *testing.T) {
	p := Program{Name: "onetake"}
	for _, c := range []struct {
		args string
		rest string
		rate float64
		code int
	}{
		{"", "", 0, OK},
		{"take.csv", "take.csv", 0, OK},
		{"-rate 240 take.csv", "take.csv", 240, OK},
		{"take.csv -rate 240", "take.csv", 240, OK},
		{"a.csv -rate=240 b.csv", "a.csv b.csv", 240, OK},
		{"-rate 240 -- -odd.csv -rate", "-odd.csv -rate", 240, OK},
		{"a.csv -- -odd.csv", "a.csv -odd.csv", 0, OK},
		{"-rate", "", 0, BadUsage},
		{"-rate fast", "", 0, BadUsage},
		{"take.csv -speed 3", "", 0, BadUsage},
	} {
		fs := p.Flags()
		rate := fs.Float64("rate", 0, "frames a second")
		rest, err := p.Parse(fs, strings.Fields(c.args), io.Discard)
		if got := Code(err); got != c.code {
			t.Errorf("%q: code %d (%v), want %d", c.args, got, err, c.code)
			continue
		}
		if c.code == OK && (strings.Join(rest, " ") != c.rest || *rate != c.rate) {
			t.Errorf("%q: rest %q, rate %v, want %q, %v", c.args, rest, *rate, c.rest, c.rate)
		}
		if c.code == BadUsage && !strings.HasSuffix(err.Error(), "; see onetake -h") {
			t.Errorf("%q: %q names no next step", c.args, err)
		}
	}
}

func TestHelp(t *testing.T) {
	p := Program{
		Name:     "onetake",
		Does:     "Reviews one take: reads what a tracker exported and writes a folder with a page of findings.",
		Usage:    []string{"[flags]", "[flags] FILE"},
		Examples: []string{"", "-check take.csv"},
		Groups:   []Group{{"The film", []string{"rate", "left"}}},
		Notes:    []string{"Flags win over the file beside the export."},
		Samples:  []Sample{{"That file:", "{\n  \"rate\": 240\n}\n"}},
	}
	fs := p.Flags()
	fs.Float64("rate", 0, "the film has `N` frames a second; needed where the export has no column of times, and ignored otherwise")
	fs.Bool("left", false, "left-handed instrument")
	fs.String("out", "onetake-out", "write to `FOLDER`")
	var out bytes.Buffer
	if _, err := p.Parse(fs, []string{"-h"}, &out); err != flag.ErrHelp {
		t.Fatalf("error %v, want flag.ErrHelp", err)
	}
	want := `Reviews one take: reads what a tracker exported and writes a folder with a page
of findings.

usage: onetake [flags]
       onetake [flags] FILE

  -out FOLDER
        write to FOLDER (default onetake-out)

The film

  -rate N
        the film has N frames a second; needed where the export has no column of
        times, and ignored otherwise

  -left
        left-handed instrument

Try:
  onetake
  onetake -check take.csv

Flags win over the file beside the export.

That file:

  {
    "rate": 240
  }
`
	if diff := cmp.Diff(want, out.String()); diff != "" {
		t.Errorf("help text (-want +got):\n%s", diff)
	}
}
