package takefile

import (
	"io"
	"io/fs"
	"math"
	"strings"
	"sync/atomic"
	"testing"

	"github.com/plectrace/plectrace/examples/internal/cli"
	"github.com/plectrace/plectrace/motion/cohort"
	"github.com/plectrace/plectrace/motion/progress"
	"github.com/plectrace/plectrace/motion/simulate"
)

// with opens the bundled take under the name a.csv, and other texts.
func with(others map[string]string) Opener {
	return func(name string) (io.ReadCloser, error) {
		if text, ok := others[name]; ok {
			return io.NopCloser(strings.NewReader(text)), nil
		}
		if rest, ok := strings.CutPrefix(name, "a."); ok {
			return Bundled("beginner-2." + rest)
		}
		return nil, fs.ErrNotExist
	}
}

func TestOpen(t *testing.T) {
	k, err := Open(progress.Take{File: "a.csv", Setup: "class"}, with(nil), cohort.Options{})
	if err != nil {
		t.Fatal(err)
	}
	if k.Review.Setup.SetupName != "class" || len(k.Content) != 12 || k.Review.Summary().Setup != "class" || k.Setup != "class" {
		t.Errorf("set-up %q, content %q", k.Review.Setup.SetupName, k.Content)
	}
	// Settings for an export that has none, and the name of their own set-up stays.
	s := k.Review.Setup
	s.SetupName = "desk"
	k, err = Open(progress.Take{File: "b.csv", Setup: "class"}, func(name string) (io.ReadCloser, error) {
		if name == "b.csv" {
			return Bundled("beginner-2.csv")
		}
		return nil, fs.ErrNotExist
	}, cohort.Options{Setup: &s})
	if err != nil || k.Review.Setup.SetupName != "desk" {
		t.Errorf("%v, %+v", err, k)
	}
}

func TestOpenFails(t *testing.T) {
	const two = "time_s,tip_x,tip_y\n0,1,2\n"
	for _, c := range []struct {
		name  string
		other map[string]string
		says  []string
	}{
		{"none.csv", nil, []string{"none.csv: it cannot be opened: there is no such file", "check the name"}},
		{"b.csv", map[string]string{"b.csv": two}, []string{"there is no settings file b.take.json", "-write-settings", "-settings"}},
		{"b.csv", map[string]string{"b.csv": two, "b.take.json": "{"}, []string{"b.take.json", "correct the settings file"}},
		{"a.csv", map[string]string{"a.csv": ""}, []string{"a.csv"}},
		{"a.csv", map[string]string{"a.take.json": `{"schema":"plectrace/take/1","tip":"hand","view":"end-on"}`}, []string{"a.csv", "hand"}},
	} {
		k, err := Open(progress.Take{File: c.name}, with(c.other), cohort.Options{})
		if cli.Code(err) != cli.BadInput || k.Review != nil {
			t.Errorf("%s: %v, %v", c.name, err, k.Review)
			continue
		}
		for _, want := range c.says {
			if !strings.Contains(err.Error(), want) {
				t.Errorf("%q does not say %q", err, want)
			}
		}
	}
}

// TestMade: a made take and its settings are a take that can be opened.
func TestMade(t *testing.T) {
	take, err := simulate.Make(simulate.Options{Seed: 3, Duration: 6, Rate: 8})
	if err != nil {
		t.Fatal(err)
	}
	k, err := Open(progress.Take{File: "a.csv"}, func(name string) (io.ReadCloser, error) { return Made(take, strings.HasSuffix(name, ".json")) }, cohort.Options{})
	if err != nil {
		t.Fatal(err)
	}
	// Half a stroke in six seconds of 48.
	if v := k.Value("notes_per_second"); math.Abs(v.Value-8) > 0.1 {
		t.Errorf("rate %v, want 8", v)
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
