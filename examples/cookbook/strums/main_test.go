package main

import (
	"bytes"
	"fmt"
	"os"
	"strings"
	"testing"

	"github.com/plectrace/plectrace/examples/internal/cli"
)

func TestDemo(t *testing.T) {
	var b bytes.Buffer
	if err := run(nil, &b); err != nil {
		t.Fatal(err)
	}
	p, strums, err := demo()
	if err != nil {
		t.Fatal(err)
	}
	if len(strums) < 80 || p.Len() < 500 {
		t.Fatalf("%d strums, %d samples", len(strums), p.Len())
	}
	out := b.String()
	if !strings.Contains(out, "No real player was measured") || strings.Count(out, "\n") != len(strums)+3 {
		t.Errorf("%d strums, printed:\n%s", len(strums), out)
	}
	var agree, known int
	last := out[strings.LastIndex(strings.TrimSpace(out), "\n")+1:]
	if n, err := fmt.Sscanf(last, "%d of %d", &agree, &known); err != nil || n != 2 || known != len(strums) || float64(agree) < 0.95*float64(known) {
		t.Errorf("%q: want at least 95 %% of %d", last, len(strums))
	}
}

func TestFiles(t *testing.T) {
	const channel = "t;v\n0;0\n0.1;1\n0.2;2\n0.3;1\n0.4;0\n0.5;1\n0.6;2\n0.7;1\n0.8;0\n0.9;1\n1.0;2\n1.1;1\n1.2;0\n1.3;1\n1.4;2\n1.5;1\n1.6;0\n1.7;1\n1.8;2\n1.9;1\n2.0;0\n"
	for _, c := range []struct {
		name, channel, times string
		args                 []string
		code                 int
		want                 string
	}{
		{"rising", channel, "0.1\tD\tC\n0.3\tU\tC\n", nil, 0, "2 of 2 directions"},
		{"falling", channel, "0.1\tU\n0.3\tD\n", []string{"-down", "falling"}, 0, "2 of 2 directions"},
		{"unlabelled", channel, "time\n0.1\n", nil, 0, "0.1000,down"},
		{"outside", channel, "9\n", nil, 0, "9.0000,\n"},
		{"no way", channel, "0.1\n", []string{"-down", "up"}, 2, "rising or falling"},
		{"no value", "0\n1\n", "0.1\n", nil, 1, "line 1"},
		{"words", "0,a\n1,b\n", "0.1\n", nil, 1, "line 1, column 2"},
		{"backward", "0,1\n1,2\n0.5,3\n", "0.1\n", nil, 1, "line 3"},
		{"no times", channel, "\n", nil, 1, "no times"},
		{"bad time", channel, "0.1\nsoon\n", nil, 1, "line 2, column 1"},
		{"short", "0,1\n1,2\n", "0.1\n", nil, 1, "2 samples"},
	} {
		t.Chdir(t.TempDir())
		for name, text := range map[string]string{"c.csv": c.channel, "t.csv": c.times} {
			if err := os.WriteFile(name, []byte(text), 0o600); err != nil {
				t.Fatal(err)
			}
		}
		var b bytes.Buffer
		err := run(append(c.args, "c.csv", "t.csv"), &b)
		text := b.String()
		if err != nil {
			text = err.Error()
		}
		if cli.Code(err) != c.code || !strings.Contains(text, c.want) {
			t.Errorf("%s: code %d, %q; want %d with %q", c.name, cli.Code(err), text, c.code, c.want)
		}
	}
}
