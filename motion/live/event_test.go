package live_test

import (
	"math"
	"strings"
	"testing"

	"github.com/plectrace/plectrace/motion"
	"github.com/plectrace/plectrace/motion/live"
	"github.com/plectrace/plectrace/motion/simulate"
	"github.com/plectrace/plectrace/trajectory"
	"github.com/plectrace/plectrace/variability/circular"
)

// count returns how many events of each kind there are.
func count(events []live.Event) map[live.Kind]int {
	n := map[live.Kind]int{}
	for _, e := range events {
		n[e.Kind]++
	}
	return n
}

func pushed(t *testing.T, tr *live.Tracker, s []live.Sample) []live.Event {
	t.Helper()
	events, err := tr.PushAll(nil, s)
	if err != nil {
		t.Fatal(err)
	}
	return events
}

// TestLateAndRepeated: such samples are left out and told, and change nothing else.
func TestLateAndRepeated(t *testing.T) {
	all := camera(6)
	want := pushed(t, placed(), all)
	var mixed []live.Sample
	for i, s := range all {
		mixed = append(mixed, s)
		switch i % 100 {
		case 50:
			mixed = append(mixed, s)
		case 70:
			s.T -= 0.4
			mixed = append(mixed, s)
		}
	}
	tr := placed()
	got := pushed(t, tr, mixed)
	n, m := count(got), count(want)
	if n[live.Repeated] != 14 || n[live.Late] != 14 || tr.Now().Repeated != 14 || tr.Now().Late != 14 {
		t.Errorf("%d repeated and %d late told, %d and %d counted, want 14 each", n[live.Repeated], n[live.Late], tr.Now().Repeated, tr.Now().Late)
	}
	if len(got) != len(want)+28 || n[live.Final] != m[live.Final] {
		t.Errorf("%d events, want those of the take without them, %d, and 28", len(got), len(want))
	}
}

// TestFrameRate: a camera that changes its rate is followed, and told once.
func TestFrameRate(t *testing.T) {
	all := camera(12)
	slow := all[:1440:1440]
	for i := 1440; i < len(all); i += 2 { // 120 frames/s from 6 s on
		slow = append(slow, all[i])
	}
	tr := placed()
	events := tr.Flush(pushed(t, tr, slow))
	var told []float64
	finals := 0
	for _, e := range events {
		switch e.Kind {
		case live.FrameRate:
			told = append(told, e.Hz)
		case live.Final:
			finals++
		}
	}
	if len(told) != 1 || math.Abs(told[0]-120) > 1 {
		t.Errorf("frame rates %v are told, want 120", told)
	}
	if finals < 117 || finals > 120 {
		t.Errorf("%d strokes, want about 119", finals)
	}
}

// TestLostAndMoved: a tip that is lost makes a gap, one that leaps and stays is
// waited for and then believed; strokes are found before and after.
func TestLostAndMoved(t *testing.T) {
	all := camera(20)
	nan := math.NaN()
	for i := range all {
		switch {
		case i >= 1200 && i < 1440: // a second without it
			all[i].Tip = [3]float64{nan, nan, nan}
		case i >= 2400: // the hand goes to another place at once
			all[i].Tip[0] += 200
			all[i].Tip[2] += 80
		}
	}
	tr := placed()
	events := tr.Flush(pushed(t, tr, all))
	n := count(events)
	if n[live.Gap] != 1 || n[live.Moved] != 1 || tr.Now().Missing != 240 {
		t.Errorf("%d gaps, %d moves, %d missing; want 1, 1 and 240", n[live.Gap], n[live.Moved], tr.Now().Missing)
	}
	for _, e := range events {
		if e.Kind == live.Gap && (math.Abs(e.Seconds-241./240) > 0.01 || e.Samples != 240) {
			t.Errorf("a gap of %g s and %d samples", e.Seconds, e.Samples)
		}
	}
	late := 0
	for _, e := range events {
		if e.Kind == live.Final && e.T > 12 {
			late++
			if d := math.Abs(e.Stroke.PathAngle.Degrees() - 20); d > 1 {
				t.Errorf("a stroke of %.1f degrees after the move", e.Stroke.PathAngle.Degrees())
			}
		}
	}
	if late < 77 || late > 80 {
		t.Errorf("%d strokes after the move, want 80", late)
	}
}

// TestTooFewSamples: below four samples a stroke a rate is told and no stroke, from
// the spectrum, with an interval that holds it.
func TestTooFewSamples(t *testing.T) {
	take, err := simulate.Make(simulate.Options{Seed: 4, FrameRate: 30, Rate: 11, PathAngle: 17 * circular.Degree})
	if err != nil {
		t.Fatal(err)
	}
	tr, events := followed(t, take)
	n := count(events)
	if n[live.Final] > 0 {
		t.Errorf("%d final strokes from 2.7 samples each", n[live.Final])
	}
	last := live.Event{}
	for _, e := range events {
		if e.Kind == live.Rate && e.Spectral {
			last = e
		}
	}
	if math.Abs(float64(last.NotesPerSecond)-11) > 0.3 || tr.Now().NotesPerSecond != last.NotesPerSecond {
		t.Errorf("the rate told is %.2f, and %.2f, want 11", last.NotesPerSecond, tr.Now().NotesPerSecond)
	}
	o := options(take)
	list, err := o.Allows(live.Plan{FrameRate: 30, NotesPerSecond: 11})
	if err != nil {
		t.Fatal(err)
	}
	for _, a := range list {
		if a.Can != (a.What == "rate") {
			t.Errorf("%s: %v (%s)", a.What, a.Can, a.Why)
		}
	}
}

// TestAllows holds what is promised to what a take filmed so shows.
func TestAllows(t *testing.T) {
	for _, c := range []struct {
		view trajectory.View
		hz   float64
	}{{trajectory.EndOn, 240}, {trajectory.EndOn, 100}, {trajectory.EndOn, 60}, {trajectory.Front, 240}, {trajectory.Spatial, 240}} {
		take, err := simulate.Make(simulate.Options{Seed: 6, FrameRate: c.hz, Rate: 10, View: c.view, PathAngle: 17 * circular.Degree})
		if err != nil {
			t.Fatal(err)
		}
		_, events := followed(t, take)
		got := map[string]bool{}
		for _, e := range events {
			switch st := &e.Stroke; e.Kind {
			case live.Rate:
				got["rate"] = true
			case live.Final:
				got["turns, strokes and their timing"] = true
				got["path angle"] = got["path angle"] || st.PathAngle == st.PathAngle
				got["skew"] = got["skew"] || st.Skew == st.Skew
				got["curvature"] = got["curvature"] || st.Curvature == st.Curvature
				got["heights"] = got["heights"] || st.HeightEnd == st.HeightEnd
			case live.Settled:
				got["settled and searching"] = true
			}
		}
		list, err := options(take).Allows(live.Plan{FrameRate: c.hz, NotesPerSecond: 10})
		if err != nil {
			t.Fatal(err)
		}
		for _, a := range list {
			if a.Can != got[a.What] {
				t.Errorf("%v at %g frames/s: %s is said to be %v (%s), and is %v", c.view, c.hz, a.What, a.Can, a.Why, got[a.What])
			}
		}
	}
	o := live.Options{Placed: true, Frame: trajectory.FrameOptions{View: trajectory.EndOn}}
	list, err := o.Allows(live.Plan{FrameRate: 240, Noise: 2, StrokeLength: 10})
	if err != nil {
		t.Fatal(err)
	}
	if a := list[len(list)-1]; a.Can || !strings.Contains(a.Why, "noise") {
		t.Errorf("with a fifth of a stroke of noise, %+v", a)
	}
	// The noise of durations counts too: here it is 4.6 %, more than half the tolerance
	// of 8 %, where those of angle and length are below half of theirs.
	if list, err = o.Allows(live.Plan{FrameRate: 80, NotesPerSecond: 10, Noise: 0.45, StrokeLength: 10}); err != nil {
		t.Fatal(err)
	}
	if a := list[len(list)-1]; a.Can || !strings.Contains(a.Why, "noise of the duration") {
		t.Errorf("with 4.6 %% of noise of the duration, %+v", a)
	}
	o.Motion.Relative, o.Frame.View = true, trajectory.Oblique
	if list, err = o.Allows(live.Plan{FrameRate: 240}); err != nil {
		t.Fatal(err)
	}
	for _, a := range list {
		if a.What == "path angle" || a.What == "heights" && (a.Can || !strings.Contains(a.Why, "view")) {
			t.Errorf("in an oblique view %+v", a)
		}
	}
	o.Frame.View = trajectory.EndOn
	if list, err = o.Allows(live.Plan{FrameRate: 240}); err != nil {
		t.Fatal(err)
	}
	for _, a := range list {
		if a.What == "heights" && (a.Can || a.Why == "") {
			t.Errorf("where heights have no zero %+v", a)
		}
	}
}

// TestRest: a rest is suggested after the time asked for and each further fifth,
// and a long enough rest starts the count anew.
func TestRest(t *testing.T) {
	o := placed().Options()
	o.RestAfter, o.RestFor = 10, 5
	tr, err := live.New(o)
	if err != nil {
		t.Fatal(err)
	}
	var at []float64
	take := func(from, seconds float64) {
		for _, s := range camera(seconds) {
			s.T += from
			events, err := tr.Push(nil, s)
			if err != nil {
				t.Fatal(err)
			}
			for _, e := range events {
				if e.Kind == live.Rest {
					at = append(at, e.Seconds)
				}
			}
		}
	}
	take(0, 15)
	if len(at) != 3 || math.Abs(at[0]-10) > 0.2 || math.Abs(at[1]-12) > 0.2 {
		t.Errorf("rests are suggested after %.1f s, want 10, 12 and 14", at)
	}
	take(30, 9)
	if len(at) != 3 {
		t.Errorf("rests are suggested after %.1f s: a rest of 15 s did not count", at)
	}
	n := tr.Now()
	if n.Playing > 9 || n.Played < 21 {
		t.Errorf("%.1f s played since the rest, %.1f in all", n.Playing, n.Played)
	}
	for _, word := range []string{"pain", "numbness", "tingling", "rest", "clinician"} {
		if !strings.Contains(live.Caution, word) {
			t.Errorf("the caution does not say %q", word)
		}
	}
}

// TestBounded: a tracker that runs for an hour holds no more samples than one that
// has run for a minute, by what it saves.
func TestBounded(t *testing.T) {
	if testing.Short() {
		t.Skip("slow")
	}
	tr, l := endless(t, simulate.Options{Seed: 1, FrameRate: 60, Rate: 7, Duration: 120})
	size := func(samples int) int {
		for range samples {
			var err error
			if l.events, err = tr.Push(l.events[:0], l.next()); err != nil {
				t.Fatal(err)
			}
		}
		b, err := tr.MarshalJSON()
		if err != nil {
			t.Fatal(err)
		}
		return len(b)
	}
	first := size(60 * 120)
	if last := size(60 * 3480); float64(last) > 1.3*float64(first) {
		t.Errorf("%d bytes after an hour, %d after two minutes", last, first)
	}
}

// TestDirections: the direction of a Turn is that of the stroke which ends there.
func TestDirections(t *testing.T) {
	var last motion.Direction
	n := 0
	for _, e := range pushed(t, placed(), camera(5)) {
		switch e.Kind {
		case live.Turn:
			last = e.Direction
		case live.Provisional:
			n++
			if e.Stroke.Direction != last {
				t.Fatalf("stroke %d goes %v, its turn says %v", e.Number, e.Stroke.Direction, last)
			}
		}
	}
	if n < 45 {
		t.Errorf("%d strokes", n)
	}
}

// TestTakenBackAtOnce: what one look says is searching, and then settled from the same
// stroke on, is told as settled alone.
func TestTakenBackAtOnce(t *testing.T) {
	settled := 0
	for _, p := range simulate.Presets() {
		take, err := simulate.Make(p.Options)
		if err != nil {
			t.Fatal(err)
		}
		_, events := followed(t, take)
		searching := live.Event{At: math.NaN()}
		for _, e := range events {
			switch e.Kind {
			case live.Searching:
				searching = e
			case live.Settled:
				settled++
				if searching.At == e.At && e.Since <= searching.Since {
					t.Errorf("%s: searching since %.3f s and settled since %.3f s, both told at %.3f s", p.Name, searching.Since, e.Since, e.At)
				}
			}
		}
	}
	if settled == 0 {
		t.Error("no take settles")
	}
}
