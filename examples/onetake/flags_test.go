package main

import (
	"bytes"
	"errors"
	"flag"
	"strings"
	"testing"

	"github.com/plectrace/plectrace/examples/internal/cli"
)

func TestHelpTeaches(t *testing.T) {
	var b bytes.Buffer
	err := run([]string{"-h"}, &b)
	if !errors.Is(err, flag.ErrHelp) || cli.Code(err) != cli.OK {
		t.Errorf("-h: %v", err)
	}
	help := b.String()
	grouped := map[string]bool{}
	for _, g := range program.Groups {
		for _, name := range g.Flags {
			grouped[name] = true
		}
	}
	newFlags().set.VisitAll(func(f *flag.Flag) {
		if !strings.Contains(help, "\n  -"+f.Name) || f.Usage == "" || !grouped[f.Name] {
			t.Errorf("the help leaves out -%s, or has it in no group", f.Name)
		}
	})
	for _, want := range []string{"NAME.take.json", "flags win", "bass mark", "end-on", "tip_x", "240 frames/s", "-check", "see\na clinician"} {
		if !strings.Contains(help, want) {
			t.Errorf("the help leaves out %q", want)
		}
	}
	if strings.Contains(help, "`") {
		t.Error("the help shows a back quote")
	}
	wantPlain(t, "the help", help)
}
