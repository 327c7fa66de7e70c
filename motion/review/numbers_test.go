package review_test

import (
	"encoding/json"
	"flag"
	"fmt"
	"math"
	"os"
	"runtime"
	"slices"
	"testing"
	"time"

	"github.com/plectrace/plectrace/motion/review"
	"github.com/plectrace/plectrace/motion/simulate"
	"github.com/plectrace/plectrace/testdata"
	"github.com/plectrace/plectrace/trajectory"
)

// .ci/numbers writes on one kind of processor what it compares on the others.
var (
	numbersTo      = flag.String("numbers-to", "", "write all numbers of a few reviews to this file, to the last digit")
	numbersAgainst = flag.String("numbers-against", "", "compare with the numbers in this file")
)

// numbersOf is all that a review says in numbers, in order. JSON has no NaN, so
// numbers are text; text that is no number must be the same everywhere.
func numbersOf(r *review.Review) []string {
	var out []string
	add := func(what string, xs ...float64) {
		for _, x := range xs {
			out = append(out, fmt.Sprintf("%s %v", what, x))
		}
	}
	for i, m := range review.Measures() {
		v := r.Values[i]
		add(m.Name, v.Value, v.Low, v.High)
		out = append(out, fmt.Sprintf("%s.n is %d", m.Name, v.N))
	}
	for i, s := range r.Motion.Strokes {
		out = append(out, fmt.Sprintf("stroke %d is %v", i, s.Direction))
		add("start_s", s.Start)
		add("end_s", s.End)
		add("stroke", s.Length, s.PathAngle.Degrees(), s.PathAngleLow.Degrees(), s.PathAngleHigh.Degrees(),
			s.Skew.Degrees(), s.Curvature, s.HeightStart, s.HeightEnd, s.PeakSpeed)
	}
	for _, s := range r.Spans {
		out = append(out, fmt.Sprintf("span of strokes %d to %d is %v", s.First, s.Last, s.Kind()))
		add("span", float64(s.Rate.Value), float64(s.Rate.Low), float64(s.Rate.High))
	}
	return out
}

// reviewed are the numbers of the demo takes and of a take of each view with all
// that a tracker does.
func reviewed(t *testing.T) map[string][]string {
	t.Helper()
	out := map[string][]string{}
	for _, name := range testdata.Names {
		rec, setup := demo(name)
		r, err := review.Run(rec, setup, review.Options{})
		if err != nil {
			t.Fatal(err)
		}
		out[name] = numbersOf(r)
	}
	for _, view := range []trajectory.View{trajectory.EndOn, trajectory.Front, trajectory.Spatial} {
		take, err := simulate.Make(faulty(view))
		if err != nil {
			t.Fatal(err)
		}
		round(&take.Recording)
		s := setup(take)
		if view == trajectory.Spatial {
			s.Marks.Nut = []trajectory.Mark{{Point: "nut"}}
		}
		r, err := review.Run(&take.Recording, s, review.Options{})
		if err != nil {
			t.Fatal(view, err)
		}
		out[view.String()] = numbersOf(r)
	}
	return out
}

// round takes a simulated take to the digits of an export, in which processors do
// not differ.
func round(rec *trajectory.Recording) {
	for _, p := range rec.Points {
		for _, axis := range [][]float64{p.X, p.Y, p.Z} {
			for i, x := range axis {
				axis[i] = math.Round(x*1e4) / 1e4
			}
		}
	}
}

// TestNumbersNeedNoPlace: the numbers are the same to the last digit in another
// time zone, on one processor and on several, and when asked again.
func TestNumbersNeedNoPlace(t *testing.T) {
	want := reviewed(t)
	if n := len(want["tutor"]); n < 500 {
		t.Fatalf("%d numbers: hardly anything is compared", n)
	}
	if *numbersTo != "" {
		text, err := json.MarshalIndent(want, "", " ")
		if err != nil {
			t.Fatal(err)
		}
		if err := os.WriteFile(*numbersTo, text, 0o644); err != nil {
			t.Fatal(err)
		}
	}
	zone, procs := time.Local, runtime.GOMAXPROCS(1)
	defer func() { time.Local = zone; runtime.GOMAXPROCS(procs) }()
	time.Local = time.FixedZone("far", 13*3600+45*60)
	t.Setenv("LANG", "tr_TR.UTF-8")
	t.Setenv("LC_ALL", "de_DE.UTF-8")
	for name, got := range reviewed(t) {
		if !slices.Equal(got, want[name]) {
			t.Errorf("%s: the numbers differ", name)
		}
	}
}

// TestNumbersOfProcessors compares with another processor's numbers, written by
// TestNumbersNeedNoPlace there. Counts, directions and spans must be equal, times
// within a nanosecond, all else within 1e-9 of one or of the number: several
// processors multiply and add in one rounding, which some hundred steps carry on.
func TestNumbersOfProcessors(t *testing.T) {
	if *numbersAgainst == "" {
		t.Skip("no numbers of another processor: see .ci/numbers")
	}
	text, err := os.ReadFile(*numbersAgainst)
	if err != nil {
		t.Fatal(err)
	}
	var want map[string][]string
	if err := json.Unmarshal(text, &want); err != nil {
		t.Fatal(err)
	}
	got := reviewed(t)
	if len(got) != len(want) {
		t.Fatalf("%d takes, want %d", len(got), len(want))
	}
	var worst float64
	var at string
	differing, all := 0, 0
	for name := range want {
		a, b := want[name], got[name]
		if len(a) != len(b) {
			t.Errorf("%s: %d numbers, want %d", name, len(b), len(a))
			continue
		}
		for i := range a {
			all++
			if a[i] == b[i] {
				continue
			}
			differing++
			var what, again string
			var x, y float64
			if _, err := fmt.Sscan(a[i], &what, &x); err != nil {
				t.Errorf("%s: %q, want %q", name, b[i], a[i])
				continue
			}
			if _, err := fmt.Sscan(b[i], &again, &y); err != nil || what != again {
				t.Errorf("%s: %q, want %q", name, b[i], a[i])
				continue
			}
			off, tolerance := math.Abs(x-y), 1e-9*max(1, math.Abs(x))
			if what == "start_s" || what == "end_s" {
				tolerance = 1e-9
			}
			if !(off <= tolerance) {
				t.Errorf("%s: %s, want %s", name, b[i], a[i])
			}
			if r := off / max(1, math.Abs(x)); r > worst {
				worst, at = r, name+" "+what
			}
		}
	}
	t.Logf("%s: %d of %d numbers differ, by at most %.1e (%s)", runtime.GOARCH, differing, all, worst, at)
}
