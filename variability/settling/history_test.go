package settling_test

import (
	"encoding/json"
	"math"
	"math/rand/v2"
	"slices"
	"strings"
	"testing"

	"github.com/plectrace/plectrace/variability/circular"
	"github.com/plectrace/plectrace/variability/estimate"
	"github.com/plectrace/plectrace/variability/settling"
)

// plan returns strokes of a tenth of a second with the spans planned, each of
// so many strokes; a negative number: searching. "|" in breaks marks the spans
// that begin with a break. Angles of settled strokes are those of the centre,
// in degrees, give or take one.
func plan(numbers []int, breaks string, centres ...float64) ([]settling.Stroke, settling.Result) {
	rng := rand.New(rand.NewPCG(1, 2))
	var ss []settling.Stroke
	r := settling.Result{Options: settling.Find(nil, settling.Options{}).Options}
	at, h := 0.0, 0
	for k, n := range numbers {
		settled := n > 0
		if !settled {
			n = -n
		}
		brk := k == 0 || k < len(breaks) && breaks[k] == '|'
		if k > 0 && brk {
			at += 2
		}
		scale, centre := 6.0, 0.0
		if settled {
			scale, centre = 1, centres[h%len(centres)]
			h++
		}
		sp := settling.Span{Settled: settled, First: len(ss), Start: at}
		for i := range n {
			ss = append(ss, settling.Stroke{
				Start: at, End: at + 0.1, Down: len(ss)%2 == 0, Break: brk && i == 0,
				Angle:      degrees(centre + scale*rng.NormFloat64()),
				Duration:   0.1 * math.Exp(0.02*scale*rng.NormFloat64()),
				Length:     12 * math.Exp(0.03*scale*rng.NormFloat64()),
				AngleNoise: degrees(0.1), DurationNoise: 0.0002, LengthNoise: 0.02,
			})
			at += 0.1
			r.Labels = append(r.Labels, settled)
			p := 0.0
			if settled {
				p = 1
			}
			r.P = append(r.P, p)
		}
		sp.Last, sp.End = len(ss)-1, at
		r.Spans = append(r.Spans, sp)
	}
	return ss, r
}

func TestHistoryCounts(t *testing.T) {
	for _, tt := range []struct {
		name                      string
		numbers                   []int
		breaks                    string
		leaves, returns, switches int
		ends                      bool
		last                      settling.Rank
		hold, search              [3]int // whole, cut off, left out
	}{
		{"settled throughout", []int{60}, "", 0, 0, 0, true, settling.Rank{Rank: 1, Best: 1, Worst: 1, Of: 1}, [3]int{0, 0, 1}, [3]int{}},
		{"searching throughout", []int{-60}, "", 0, 0, 0, false, settling.Rank{}, [3]int{}, [3]int{0, 0, 1}},
		{"takes hold", []int{-30, 40}, "", 0, 0, 0, true, settling.Rank{Rank: 1, Best: 1, Worst: 1, Of: 1}, [3]int{0, 1, 0}, [3]int{0, 0, 1}},
		{"loses hold", []int{40, -30}, "", 1, 0, 0, false, settling.Rank{Rank: 1, Best: 1, Worst: 1, Of: 1}, [3]int{0, 0, 1}, [3]int{0, 1, 0}},
		{"leaves and returns", []int{-20, 30, -10, 20, -20}, "", 2, 1, 0, false, settling.Rank{Rank: 2, Best: 2, Worst: 2, Of: 2}, [3]int{2, 0, 0}, [3]int{1, 1, 1}},
		{"a tie", []int{-20, 30, -10, 30, -20}, "", 2, 1, 0, false, settling.Rank{Rank: 1, Best: 1, Worst: 1, Of: 2}, [3]int{2, 0, 0}, [3]int{1, 1, 1}},
		// The first may have begun before, the last may go on.
		{"both ends open", []int{30, -10, 40, -10, 35}, "", 2, 2, 0, true, settling.Rank{Rank: 2, Best: 1, Worst: 3, Of: 3}, [3]int{1, 1, 1}, [3]int{2, 0, 0}},
		{"switches", []int{-10, 30, 20, 40, -10}, "", 1, 0, 2, false, settling.Rank{Rank: 1, Best: 1, Worst: 1, Of: 3}, [3]int{3, 0, 0}, [3]int{0, 1, 1}},
		// What happens in a pause is not seen.
		{"a pause", []int{-10, 30, 20, -15, 30}, "  |  ", 1, 1, 0, true, settling.Rank{Rank: 1, Best: 1, Worst: 3, Of: 3}, [3]int{0, 2, 1}, [3]int{1, 0, 1}},
	} {
		t.Run(tt.name, func(t *testing.T) {
			ss, r := plan(tt.numbers, tt.breaks, 10, 10.5)
			h := settling.HistoryOf(ss, r, settling.HistoryOptions{})
			if h.Leaves != tt.leaves || h.Returns != tt.returns || h.Switches != tt.switches {
				t.Errorf("%d leaves, %d returns, %d switches", h.Leaves, h.Returns, h.Switches)
			}
			if h.EndsSettled != tt.ends || h.LastHold != tt.last {
				t.Errorf("ends settled %v, last hold %+v", h.EndsSettled, h.LastHold)
			}
			for _, l := range []struct {
				got  settling.Length
				want [3]int
			}{{h.HoldLength, tt.hold}, {h.SearchLength, tt.search}} {
				if got := [3]int{l.got.Whole, l.got.CutOff, l.got.LeftOut}; got != l.want {
					t.Errorf("whole, cut off, left out: %v, want %v", got, l.want)
				}
			}
			if v := h.LeavesPerMinute; math.Abs(v.Value-float64(tt.leaves)*60/(float64(len(ss))/10)) > 1e-9 || !(v.Low <= v.Value && v.Value <= v.High) {
				t.Errorf("leaves per minute %+v", v)
			}
			for _, s := range h.Searches {
				if s.Settled || s.Strokes != s.Last-s.First+1 || math.Abs(s.Seconds-float64(s.Strokes)/10) > 1e-9 || math.Abs(s.Rate.Value-10) > 1e-9 {
					t.Errorf("search %+v", s)
				}
			}
		})
	}
}

// TestPerMinute: no leave in a minute is fewer than 3.689 a minute, three are
// 0.619 to 8.767 (exact Poisson intervals, Garwood 1936, table 1).
func TestPerMinute(t *testing.T) {
	for leaves, want := range map[int][2]float64{0: {0, 3.689}, 3: {0.619, 8.767}} {
		var numbers []int
		for range leaves {
			numbers = append(numbers, 100, -50)
		}
		numbers = append(numbers, 600-150*leaves)
		ss, r := plan(numbers, "", 0)
		v := settling.HistoryOf(ss, r, settling.HistoryOptions{}).LeavesPerMinute
		if math.Abs(v.Low-want[0]) > 5e-4 || math.Abs(v.High-want[1]) > 5e-4 || v.N != 2*leaves+1 {
			t.Errorf("%d: %+v, want %v", leaves, v, want)
		}
	}
}

func TestThirds(t *testing.T) {
	// 12 s: settled from 2.05 to 6 and 8.05 to 10 s; thirds of 4 s.
	ss, r := plan([]int{-20, 40, -20, 20, -20}, "", 5)
	for i := range ss { // the last stroke of each ten takes 0.15 s, the one after it 0.05
		if i%10 == 9 {
			ss[i].End += 0.05
		}
		if i > 0 && i%10 == 0 {
			ss[i].Start += 0.05
		}
	}
	for k := range r.Spans {
		r.Spans[k].Start, r.Spans[k].End = ss[r.Spans[k].First].Start, ss[r.Spans[k].Last].End
	}
	h := settling.HistoryOf(ss, r, settling.HistoryOptions{})
	end := ss[len(ss)-1].End
	for k, want := range []struct{ share, holds, begun float64 }{
		{(end/3 - 2.05) / (end / 3), 1, 1}, {(6.05 - end/3) / (end / 3), 1, 0}, {2 / (end / 3), 1, 1},
	} {
		got := h.Thirds[k]
		if math.Abs(got.Share.Value-want.share) > 1e-9 || got.Holds != int(want.holds) || got.Begun != int(want.begun) {
			t.Errorf("third %d: %+v, want %+v", k, got, want)
		}
		if !(got.Share.Low < got.Share.Value && got.Share.Value < got.Share.High) && k != 1 {
			t.Errorf("third %d: an end of a span in it, and %+v", k, got.Share)
		}
	}
	// A pause that fills a third.
	ss, r = plan([]int{20, 20}, " |", 5)
	for i := 20; i < 40; i++ {
		ss[i].Start += 6
		ss[i].End += 6
	}
	r.Spans[1].Start, r.Spans[1].End = r.Spans[1].Start+6, r.Spans[1].End+6
	h = settling.HistoryOf(ss, r, settling.HistoryOptions{})
	if v := h.Thirds[1].Share; v.Known() || v.Absent.Code != "no-playing" {
		t.Errorf("a third without a stroke: %+v", v)
	}
}

func TestMotions(t *testing.T) {
	ss, r := plan([]int{-30, 40, -20, 40, -20, 40, 40, -20}, "", 10, 22, 10.3, 2)
	h := settling.HistoryOf(ss, r, settling.HistoryOptions{})
	var from []settling.Verdict
	var again []int
	for _, x := range h.Holds {
		from, again = append(from, x.FromLast.Verdict), append(again, x.Again)
	}
	if want := []settling.Verdict{0, settling.AnotherMotion, settling.AnotherMotion, settling.AnotherMotion}; !slices.Equal(from, want) {
		t.Errorf("from the last: %v, want %v", from, want)
	}
	if want := []int{-1, -1, 0, -1}; !slices.Equal(again, want) {
		t.Errorf("again: %v, want %v", again, want)
	}
	l := h.Holds[1].FromLast
	if l.Of != "angle" || math.Abs(l.Distance.Value-12/3.5) > 0.3 || !(l.Distance.Low < 12/3.5 && 12/3.5 < l.Distance.High) {
		t.Errorf("%+v, want %.2f tolerances of angle", l, 12/3.5)
	}
	m := h.Holds[1].Motion
	if a := m.Down.Angle.Degrees(); math.Abs(a-22) > 1 || !(m.Down.AngleError.Degrees() < 0.6) {
		t.Errorf("centre %v, error %v", a, m.Down.AngleError.Degrees())
	}
	if math.Abs(m.Up.Duration-0.1) > 0.002 || math.Abs(m.Up.Length-12) > 0.4 {
		t.Errorf("centre %+v", m.Up)
	}
	if h.OnReference.Known() || h.OnReference.Absent.Code != "no-reference" {
		t.Errorf("no reference given: %+v", h.OnReference)
	}
	// The first as the reference of the take itself.
	ref := h.Holds[0].Motion
	h = settling.HistoryOf(ss, r, settling.HistoryOptions{Reference: &ref})
	half := func(v estimate.Value[float64]) bool { return math.Abs(v.Value-0.5) < 1e-9 }
	if !half(h.OnReference) || !half(h.Elsewhere) || h.CannotSay.Value != 0 {
		t.Errorf("on %v, elsewhere %v, cannot say %v", h.OnReference.Value, h.Elsewhere.Value, h.CannotSay.Value)
	}
	// The axis may be read from the other end; without errors nothing is told.
	turned := ref
	turned.Down.Angle += math.Pi
	h = settling.HistoryOf(ss, r, settling.HistoryOptions{Reference: &turned})
	if !half(h.OnReference) {
		t.Errorf("turned by half a turn: %+v", h.OnReference)
	}
	vague := ref
	vague.Up.LengthError = math.NaN()
	h = settling.HistoryOf(ss, r, settling.HistoryOptions{Reference: &vague})
	if h.CannotSay.Value != 1 || h.Holds[0].FromReference.Distance.Level != 0 {
		t.Errorf("an error not known: %+v", h.CannotSay)
	}
	nan := math.NaN()
	none := settling.Centre{Angle: circular.Angle(nan), Duration: nan, Length: nan}
	h = settling.HistoryOf(ss, r, settling.HistoryOptions{Reference: &settling.Motion{Down: none, Up: none}})
	if v := h.Holds[0].FromReference.Distance; h.CannotSay.Value != 1 || v.Known() || v.Absent.Code != "nothing-in-common" {
		t.Errorf("nothing in common: %+v", h.Holds[0].FromReference)
	}
	// Within a wide margin they are one.
	h = settling.HistoryOf(ss, r, settling.HistoryOptions{Margin: 8})
	if h.Holds[1].FromLast.Verdict != settling.SameMotion || h.Options.Margin != 8 {
		t.Errorf("margin of 8: %+v", h.Holds[1].FromLast)
	}
}

func TestOnset(t *testing.T) {
	ss, r := plan([]int{-40, 60, -6, 40, 40}, "", 10, 10, 25)
	h := settling.HistoryOf(ss, r, settling.HistoryOptions{})
	if v := h.Holds[0].Onset; !(v.Strokes.Value <= 1 && v.Strokes.High < 10) || math.Abs(v.Seconds.High-v.Strokes.High/10) > 1e-9 {
		t.Errorf("from one stroke to the next: %+v", v)
	}
	for k, code := range []string{1: "too-few-strokes", 2: "no-searching"} {
		if v := h.Holds[k].Onset.Strokes; k > 0 && (v.Known() || v.Absent.Code != code) {
			t.Errorf("hold %d: %+v, want none for %q", k, v, code)
		}
	}
	if v := h.OnsetMedian.Strokes; v.Value != h.Holds[0].Onset.Strokes.Value || v.N != 1 {
		t.Errorf("median %+v", v)
	}
	// What scatters alike before and after tells nothing.
	for i := range 40 {
		ss[i].Angle, ss[i].Duration, ss[i].Length = ss[50].Angle+degrees(float64(i%3-1)), 0.1*(1+0.01*float64(i%5-2)), 12
	}
	if v := settling.HistoryOf(ss, r, settling.HistoryOptions{}).Holds[0].Onset.Strokes; v.Known() || v.Absent.Code != "alike" {
		t.Errorf("alike: %+v", v)
	}
}

func TestHistoryTrends(t *testing.T) {
	ss, r := plan([]int{-60, 10, -50, 20, -40, 30, -30, 40, -20, 50, -15, 12}, "", 10)
	h := settling.HistoryOf(ss, r, settling.HistoryOptions{})
	// Five whole holds that grow: 2 of 120 orders are as plain (Kendall 1975).
	if v := h.HoldTrend; math.Abs(v.Slope.Value-1) > 1e-9 || math.Abs(v.P.Value-2.0/120) > 1e-12 || v.N != 5 || v.Tau != 1 {
		t.Errorf("holds %+v", v)
	}
	if v := h.SearchTrend; math.Abs(v.Slope.Value+1) > 0.1 || math.Abs(v.P.Value-2.0/120) > 1e-12 || v.N != 5 {
		t.Errorf("searches %+v", v)
	}
	if v := h.HoldRateTrend; !v.Slope.Known() || v.P.Known() || v.P.Absent.Code != "defines-spans" {
		t.Errorf("rates %+v", v)
	}
	ss, r = plan([]int{-60, 10, -50, 20, -40, 30, -30}, "", 10)
	if v := settling.HistoryOf(ss, r, settling.HistoryOptions{}).HoldTrend; !v.Slope.Known() || v.P.Known() || v.P.Absent.Code != "too-few-spans" {
		t.Errorf("three holds: %+v", v)
	}
}

func TestHistoryAbsent(t *testing.T) {
	ss, _ := plan([]int{7}, "", 10)
	r := settling.Find(ss, settling.Options{})
	h := settling.HistoryOf(ss, r, settling.HistoryOptions{})
	for _, v := range []estimate.Value[float64]{h.Thirds[2].Share, h.HoldLength.Seconds, h.SearchLength.Strokes, h.LeavesPerMinute,
		h.OnsetMedian.Seconds, h.HoldTrend.P, h.SearchRateTrend.Slope, h.CannotSay} {
		if v.Absent != r.Absent || v.Known() {
			t.Errorf("%+v, want absent like the result", v)
		}
	}
	e := settling.Explore(ss, r, settling.ExploreOptions{})
	if h.Absent != r.Absent || e.Absent != r.Absent || e.Memory.Absent != r.Absent {
		t.Errorf("%+v, %+v", h.Absent, e.Absent)
	}
	for name, f := range map[string]func(){
		"history": func() { settling.HistoryOf(ss[1:], r, settling.HistoryOptions{}) },
		"explore": func() { settling.Explore(ss[1:], r, settling.ExploreOptions{}) },
		"column": func() {
			settling.Explore(ss, r, settling.ExploreOptions{Columns: []settling.Column{{Values: []float64{1}}}})
		},
	} {
		func() {
			defer func() {
				if recover() == nil {
					t.Errorf("%s: slices of unequal length do not panic", name)
				}
			}()
			f()
		}()
	}
}

func TestWords(t *testing.T) {
	for _, v := range []settling.Verdict{0, settling.SameMotion, settling.AnotherMotion, settling.MotionUnsure} {
		b, err := json.Marshal(v)
		var again settling.Verdict
		if err != nil || json.Unmarshal(b, &again) != nil || again != v {
			t.Errorf("%v: %s, %v", v, b, err)
		}
	}
	for _, d := range []settling.Draws{0, settling.Fresh, settling.Wander, settling.DrawsUnsure} {
		b, err := json.Marshal(d)
		var again settling.Draws
		if err != nil || json.Unmarshal(b, &again) != nil || again != d {
			t.Errorf("%v: %s, %v", d, b, err)
		}
	}
	var v settling.Verdict
	if err := v.UnmarshalText([]byte("perhaps")); err == nil || !strings.Contains(err.Error(), `"perhaps"`) {
		t.Errorf("unknown verdict: %v", err)
	}
	if got := settling.Draws(9).String(); got != "Draws(9)" {
		t.Errorf("out of range: %q", got)
	}
}
