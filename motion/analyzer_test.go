package motion_test

import (
	"encoding/json"
	"fmt"
	"math"
	"testing"

	"github.com/plectrace/plectrace/motion"
	"github.com/plectrace/plectrace/motion/simulate"
	"github.com/plectrace/plectrace/trajectory"
	"github.com/plectrace/plectrace/variability/circular"
)

// window is samples [from, to) of p.
func window(p trajectory.Placed, from, to int) trajectory.Placed {
	p.T, p.Across, p.Out = p.T[from:to], p.Across[from:to], p.Out[from:to]
	return p
}

// TestAnalyzerAgain: an analyzer that keeps nothing finds what Analyze does, to the
// last digit, whatever it was given before.
func TestAnalyzerAgain(t *testing.T) {
	var a motion.Analyzer
	for seed := range uint64(6) {
		o := simulate.Options{Seed: seed, Duration: 5 + 3*float64(seed%3), DropOuts: 0.02, HideDown: 0.3, ChangeEvery: 2, PathAngle: 10 * circular.Degree}
		if seed == 4 {
			o.TimeJitter, o.FrameRate = 0.0005, 120
		}
		take, err := simulate.Make(o)
		if err != nil {
			t.Fatal(err)
		}
		p := placedTip(take)
		want, err := motion.Analyze(p, motion.Options{})
		if err != nil {
			t.Fatal(err)
		}
		got, err := a.Analyze(p, motion.Options{})
		if err != nil {
			t.Fatal(err)
		}
		if fmt.Sprintf("%+v", *got) != fmt.Sprintf("%+v", *want) {
			t.Errorf("take %d: another result from used memory", seed)
		}
	}
}

// TestAnalyzerAllocates: nothing is allocated for pieces of a take with even times.
func TestAnalyzerAllocates(t *testing.T) {
	take, err := simulate.Make(simulate.Options{Seed: 1, Duration: 60, TimeDecimals: -1, ChangeEvery: 3, HideDown: 0.2})
	if err != nil {
		t.Fatal(err)
	}
	p := placedTip(take)
	var a motion.Analyzer
	at := 0
	next := func() {
		piece := window(p, at, at+1440)
		if _, err := a.Analyze(piece, motion.Options{}); err != nil {
			t.Fatal(err)
		}
		a.Keep(piece.T[1200])
		at += 72
	}
	for at < 7200 {
		next()
	}
	if got := testing.AllocsPerRun(60, next); got != 0 {
		t.Errorf("%g allocations a piece", got)
	}
}

// TestAnalyzerState: what an analyzer remembers survives a file, and what cannot
// have been remembered is an error that leaves it alone.
func TestAnalyzerState(t *testing.T) {
	take, err := simulate.Make(simulate.Options{Seed: 2})
	if err != nil {
		t.Fatal(err)
	}
	p := placedTip(take)
	var a, b motion.Analyzer
	if _, err := a.Analyze(window(p, 0, 1440), motion.Options{}); err != nil {
		t.Fatal(err)
	}
	a.Keep(p.T[1200])
	text, err := json.Marshal(&a)
	if err != nil {
		t.Fatal(err)
	}
	if err := json.Unmarshal(text, &b); err != nil {
		t.Fatal(err)
	}
	next := window(p, 400, 1840)
	one, err := a.Analyze(next, motion.Options{})
	if err != nil {
		t.Fatal(err)
	}
	two, err := b.Analyze(next, motion.Options{})
	if err != nil {
		t.Fatal(err)
	}
	if fmt.Sprintf("%+v", *one) != fmt.Sprintf("%+v", *two) {
		t.Error("a restored analyzer finds something else")
	}
	for _, bad := range []string{
		`{"noise_weight":-1}`, `{"swings":[{"at":0,"duration":0}]}`, `{"swings":[{"at":1,"duration":1,"local":1},{"at":0,"duration":1,"local":1}]}`,
		`{"shapes":[{"direction":"","bend":[0,0,0]}]}`, `{"profiles":[{"direction":"sideways"}]}`, `[`,
	} {
		before, _ := json.Marshal(&b)
		if err := json.Unmarshal([]byte(bad), &b); err == nil {
			t.Errorf("%s: no error", bad)
		}
		if after, _ := json.Marshal(&b); string(after) != string(before) {
			t.Errorf("%s: the analyzer has changed", bad)
		}
	}
}

// TestAnalyzerReset: after Reset there is nothing to keep.
func TestAnalyzerReset(t *testing.T) {
	take, err := simulate.Make(simulate.Options{Seed: 2})
	if err != nil {
		t.Fatal(err)
	}
	var a, b motion.Analyzer
	if _, err := a.Analyze(placedTip(take), motion.Options{}); err != nil {
		t.Fatal(err)
	}
	a.Reset()
	a.Keep(9)
	b.Keep(9)
	got, _ := json.Marshal(&a)
	want, _ := json.Marshal(&b)
	if string(got) != string(want) {
		t.Errorf("after Reset %d bytes are kept, want %s", len(got), want)
	}
}

// TestAnalyzerTooFast: a piece that is too fast for its samples says so, also where
// those before were not.
func TestAnalyzerTooFast(t *testing.T) {
	const hz = 60
	piece := func(from, rate float64) trajectory.Placed {
		p := trajectory.Placed{Name: "tip", Unit: "mm"}
		for i := range 6 * hz {
			t := from + float64(i)/hz
			p.T = append(p.T, t)
			p.Across = append(p.Across, 5*math.Sin(math.Pi*rate*t))
			p.Out = append(p.Out, math.Sin(math.Pi*rate*t))
		}
		return p
	}
	var a motion.Analyzer
	for i, rate := range []float64{6, 18, 18} {
		m, err := a.Analyze(piece(6*float64(i), rate), motion.Options{})
		if err != nil {
			t.Fatal(err)
		}
		if slow := rate < 10; slow != (len(m.Strokes) > 0) || !slow && len(m.Absent) == 0 {
			t.Errorf("piece %d, %g strokes/s: %d strokes, absent %+v", i, rate, len(m.Strokes), m.Absent)
		}
		a.Keep(6 * float64(i+1))
	}
}

func BenchmarkAnalyzer(b *testing.B) {
	take, err := simulate.Make(simulate.Options{Seed: 1, Duration: 60, TimeDecimals: -1, PathAngle: 17 * circular.Degree})
	if err != nil {
		b.Fatal(err)
	}
	p := placedTip(take)
	var a motion.Analyzer
	at := 0
	b.ReportAllocs()
	for b.Loop() {
		if at+1440 > p.Len() {
			at = 0
			a.Reset()
		}
		piece := window(p, at, at+1440)
		if _, err := a.Analyze(piece, motion.Options{}); err != nil {
			b.Fatal(err)
		}
		a.Keep(piece.T[1200])
		at += 72
	}
	b.ReportMetric(float64(b.Elapsed().Nanoseconds())/float64(b.N*1440), "ns/sample")
}
