package settling_test

import (
	"encoding/json"
	"fmt"
	"math"
	"slices"
	"testing"

	"github.com/plectrace/plectrace/variability/circular"
	"github.com/plectrace/plectrace/variability/settling"
)

// TestWatch counts how often a watch says settled in takes that never settle, and
// how long it takes to say so of spans of three seconds and more, and in how many
// takes it still says so late in searching. The figures are those of its doc comment.
// The limits were set after measuring, above what 40 takes and 400 show: they keep
// what was reached, and no theory gives them.
func TestWatch(t *testing.T) {
	n := takes(t, 40)
	for _, c := range []struct{ r, alarms, late float64 }{{0, 0.03, 0.01}, {0.3, 0.03, 0.01}, {0.6, 0.05, 0.01}, {0.9, 0.7, 0.05}} {
		alarms, minutes := 0, 0.0
		for seed := range n {
			rng := seeded(fmt.Sprintf("watch never %v", *tuning), seed)
			tk := never(rng)
			tk.seconds, tk.search.phi, tk.frozen = 60, c.r, -1
			ss, _ := tk.make(rng)
			w := settling.NewWatch(settling.Options{})
			was := false
			for _, s := range ss {
				r := w.Push(s)
				if r.Settled && !was {
					alarms++
				}
				was = r.Settled
			}
			minutes += ss[len(ss)-1].End / 60
		}
		var delays, ends []float64
		spans, told, lost, breaks, minutesTold := 0, 0, 0, 0, 0.0
		for seed := range n {
			rng := seeded(fmt.Sprintf("watch mixed %v", *tuning), seed)
			tk := mixed(rng)
			tk.search.phi, tk.frozen = c.r, -1
			ss, tr := tk.make(rng)
			w := settling.NewWatch(settling.Options{})
			said := make([]bool, len(ss))
			for i, s := range ss {
				said[i] = w.Push(s).Settled
			}
			for k, span := range tk.spans {
				if span[1]-span[0] < 3 {
					continue
				}
				first := slices.Index(tr, k)
				spans++
				for i := first; i < len(ss) && tr[i] == k; i++ {
					// Not what was said of the span before.
					if said[i] && ss[i].End-ss[first].Start > 0.5 {
						told++
						delays = append(delays, ss[i].End-ss[first].Start)
						minutesTold += (span[1] - ss[i].End) / 60
						for i++; i < len(ss) && tr[i] == k; i++ {
							if said[i-1] && !said[i] {
								breaks++
							}
						}
						// The end, where searching follows for as long.
						end := ss[i-1].End
						for ; i < len(ss) && tr[i] < 0 && said[i-1]; i++ {
							if !said[i] {
								ends = append(ends, ss[i].End-end)
							}
						}
						break
					}
				}
			}
			// Settled for longer than a second after a span's end.
			for i := range said {
				if said[i] && tr[i] < 0 && i >= 12 && !slices.ContainsFunc(tr[i-12:i], func(k int) bool { return k >= 0 }) {
					lost++
					break
				}
			}
		}
		slices.Sort(delays)
		slices.Sort(ends)
		at := func(p float64) float64 { return delays[int(p*float64(len(delays)-1))] }
		over := func(p float64) float64 { return ends[int(p*float64(len(ends)-1))] }
		share := float64(told) / float64(spans)
		t.Logf("r %.1f: %.3f alarms a minute (%d in %.0f), %d of %d spans told (%.3f), delay median %.2f s, nine of ten %.2f s, taken back %.2f times a minute, %d ends told after %.2f and %.2f s; %d takes with settled said late in searching",
			c.r, float64(alarms)/minutes, alarms, minutes, told, spans, share, at(0.5), at(0.9), float64(breaks)/minutesTold, len(ends), over(0.5), over(0.9), lost)
		if float64(alarms)/minutes > c.alarms {
			t.Errorf("r %.1f: %.3f alarms a minute, want %.2f", c.r, float64(alarms)/minutes, c.alarms)
		}
		if share < 0.95 || at(0.9) > 2.6 {
			t.Errorf("r %.1f: %.3f of spans told, nine of ten after %.2f s, want 0.95 and 2.6", c.r, share, at(0.9))
		}
		if over(0.9) > 1 {
			t.Errorf("r %.1f: nine of ten ends told after %.2f s, want 1", c.r, over(0.9))
		}
		if float64(breaks) > 0.2*minutesTold {
			t.Errorf("r %.1f: settled is taken back %d times in %.1f settled minutes", c.r, breaks, minutesTold)
		}
		if float64(lost) > c.late*float64(n) {
			t.Errorf("r %.1f: settled said late in searching in %d of %d takes", c.r, lost, n)
		}
	}
}

// TestWatchState: a watch restored from JSON goes on as the one saved, at every
// stroke of a take with breaks and missing measurements.
func TestWatchState(t *testing.T) {
	rng := seeded("watch state", 1)
	tk := mixed(rng)
	tk.pause, tk.missing, tk.seconds = 6, 0.2, 40
	ss, _ := tk.make(rng)
	whole, pieces := settling.NewWatch(settling.Options{}), settling.NewWatch(settling.Options{})
	for i, s := range ss {
		a, b := whole.Push(s), pieces.Push(s)
		if a.Settled != b.Settled || math.Float64bits(a.P) != math.Float64bits(b.P) || math.Float64bits(a.Since) != math.Float64bits(b.Since) {
			t.Fatalf("stroke %d: %+v restored, %+v before", i, b, a)
		}
		text, err := json.Marshal(pieces)
		if err != nil {
			t.Fatal(err)
		}
		pieces = settling.NewWatch(settling.Options{})
		if err := json.Unmarshal(text, pieces); err != nil {
			t.Fatalf("stroke %d: %v", i, err)
		}
	}
}

// TestWatchLateNoise: noise that is not known before counts in full from the first
// stroke of which it is.
func TestWatchLateNoise(t *testing.T) {
	w := settling.NewWatch(settling.Options{})
	for i := range 60 {
		s := settling.Stroke{
			Start: float64(i) / 10, End: float64(i+1) / 10, Down: i%2 == 0, Angle: circular.Angle(math.Sin(float64(i))) * circular.Degree,
			Duration: 0.1, Length: 10, AngleNoise: circular.Angle(math.NaN()),
		}
		if i >= 30 {
			s.AngleNoise = 2 * circular.Degree // of a tolerance of 3.5
		}
		if p := w.Push(s).P; (p != p) != (i < 7 || i >= 30) {
			t.Errorf("stroke %d: probability %g", i, p)
		}
	}
}

func TestWatchStateBroken(t *testing.T) {
	for _, text := range []string{
		`{"n":3}`, `{"n":-1}`, `{"n":1,"strokes":[{"start":1,"end":0}]}`, `[]`, `{"n":1e9}`,
		`{"n":1,"strokes":[{"start":0,"end":1}],"threads":[{"start":7,"n":[1,0]}]}`,
		`{"n":1,"strokes":[{"start":0,"end":1}],"threads":[{"start":0,"n":[99,0]}]}`,
		`{"n":1,"strokes":[{"start":0,"end":1}],"threads":[{"start":0,"odd":9,"n":[1,0]}]}`,
	} {
		w := settling.NewWatch(settling.Options{})
		if err := json.Unmarshal([]byte(text), w); err == nil {
			t.Errorf("%s: no error", text)
		}
		w.Push(settling.Stroke{Start: 1, End: 2, Duration: 1, Length: 3})
	}
}

func TestWatchAllocates(t *testing.T) {
	rng := seeded("watch allocates", 1)
	tk := mixed(rng)
	tk.seconds = 60
	ss, _ := tk.make(rng)
	w := settling.NewWatch(settling.Options{})
	i := 0
	if got := testing.AllocsPerRun(len(ss)-2, func() { w.Push(ss[i]); i++ }); got != 0 {
		t.Errorf("%g allocations a stroke", got)
	}
}

func BenchmarkWatch(b *testing.B) {
	rng := seeded("watch bench", 1)
	tk := mixed(rng)
	tk.seconds = 60
	ss, _ := tk.make(rng)
	w := settling.NewWatch(settling.Options{})
	b.ReportAllocs()
	i := 0
	for b.Loop() {
		if i == len(ss) {
			i = 0
			w.Reset()
		}
		w.Push(ss[i])
		i++
	}
}
