package takefile

import (
	"bytes"
	"io"
	"io/fs"
	"strings"
	"sync/atomic"
	"testing"

	"github.com/plectrace/plectrace/examples/internal/cli"
	"github.com/plectrace/plectrace/testdata"
)

// bundled opens the bundled take under the name a.csv, and other texts.
func bundled(t *testing.T, others map[string]string) Opener {
	t.Helper()
	export, settings, err := testdata.Take("beginner-2")
	if err != nil {
		t.Fatal(err)
	}
	return func(name string) (io.ReadCloser, error) {
		text, ok := others[name]
		switch {
		case ok:
			return io.NopCloser(strings.NewReader(text)), nil
		case name == "a.csv":
			return io.NopCloser(bytes.NewReader(export)), nil
		case name == "a.take.json":
			return io.NopCloser(bytes.NewReader(settings)), nil
		}
		return nil, fs.ErrNotExist
	}
}

func TestOpen(t *testing.T) {
	k, err := Open("a.csv", bundled(t, nil), Options{SetupName: "class"})
	if err != nil {
		t.Fatal(err)
	}
	if k.Review.Setup.SetupName != "class" || len(k.Content) != 12 || k.Review.Summary().Setup != "class" {
		t.Errorf("set-up %q, content %q", k.Review.Setup.SetupName, k.Content)
	}
	// Settings for an export that has none, and the name of their own set-up stays.
	s := k.Review.Setup
	s.SetupName = "desk"
	open := bundled(t, nil)
	k, err = Open("b.csv", func(name string) (io.ReadCloser, error) {
		if name == "b.csv" {
			return open("a.csv")
		}
		return nil, fs.ErrNotExist
	}, Options{Setup: &s, SetupName: "class"})
	if err != nil || k.Review.Setup.SetupName != "desk" {
		t.Errorf("%v, %+v", err, k)
	}
}

func TestOpenFails(t *testing.T) {
	for _, c := range []struct {
		name  string
		other map[string]string
		says  []string
	}{
		{"none.csv", nil, []string{"none.csv: it cannot be opened: there is no such file", "check the name"}},
		{"b.csv", map[string]string{"b.csv": "time_s,tip_x,tip_y\n0,1,2\n"}, []string{"there is no settings file b.take.json", "-settings"}},
		{"b.csv", map[string]string{"b.csv": "time_s,tip_x,tip_y\n0,1,2\n", "b.take.json": "{"}, []string{"b.take.json", "correct the settings file"}},
		{"a.csv", map[string]string{"a.csv": ""}, []string{"a.csv"}},
		{"a.csv", map[string]string{"a.take.json": `{"schema":"plectrace/take/1","tip":"hand","view":"end-on"}`}, []string{"a.csv", "hand"}},
	} {
		_, err := Open(c.name, bundled(t, c.other), Options{})
		if cli.Code(err) != cli.BadInput {
			t.Errorf("%s: %v", c.name, err)
			continue
		}
		for _, want := range c.says {
			if !strings.Contains(err.Error(), want) {
				t.Errorf("%q does not say %q", err, want)
			}
		}
	}
}

func TestEach(t *testing.T) {
	for _, n := range []int{0, 1, 100} {
		var sum atomic.Int64
		Each(n, func(i int) { sum.Add(int64(i + 1)) })
		if want := int64(n * (n + 1) / 2); sum.Load() != want {
			t.Errorf("%d: %d, want %d", n, sum.Load(), want)
		}
	}
}
