package settling_test

import (
	"math"
	"math/rand/v2"
	"slices"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"

	"github.com/plectrace/plectrace/variability/circular"
	"github.com/plectrace/plectrace/variability/estimate"
	"github.com/plectrace/plectrace/variability/settling"
)

// twoSpans is a take of known truth: settled 2 to 8 s and 11 to 16 s of 18.
func twoSpans(seed int) (take, []settling.Stroke, truth) {
	rng := seeded("two spans", seed)
	tk := plain(rng)
	tk.rate, tk.seconds = 10, 18
	tk.noise = triple{0.5, 0.01, 0.02}
	tk.search.sd = triple{8, 0.18, 0.25}
	tk.spans, tk.centres = [][2]float64{{2, 8}, {11, 16}}, []triple{{3, 0.05, 0}, {-4, 0, 0.1}}
	ss, tr := tk.make(rng)
	return tk, ss, tr
}

func TestSpans(t *testing.T) {
	_, ss, tr := twoSpans(1)
	in := slices.Clone(ss)
	r := settling.Find(ss, settling.Options{})
	if d := cmp.Diff(in, ss); d != "" {
		t.Errorf("the strokes were changed:\n%s", d)
	}
	if r.Absent != nil || count(r) != 2 || len(r.Spans) != 5 {
		t.Fatalf("%+v", r)
	}
	at := 0
	settled, total := 0.0, 0.0
	for i, s := range r.Spans {
		if s.First != at || s.Last < s.First || s.Settled == (i%2 == 0) {
			t.Errorf("span %d: %+v", i, s)
		}
		if s.Start != ss[s.First].Start || s.End != ss[s.Last].End {
			t.Errorf("span %d: times %v to %v of %+v", i, s.Start, s.End, s)
		}
		for k := s.First; k <= s.Last; k++ {
			if r.Labels[k] != s.Settled {
				t.Errorf("label of stroke %d in %+v", k, s)
			}
			d := ss[k].End - ss[k].Start
			total += d
			if s.Settled {
				settled += d
			}
		}
		at = s.Last + 1
	}
	if at != len(ss) {
		t.Errorf("spans end at stroke %d of %d", at, len(ss))
	}
	if v := r.Share; !v.Known() || math.Abs(v.Value-settled/total) > 1e-12 || !(v.Low <= v.Value && v.Value <= v.High) || v.Level != 0.95 || v.N != len(ss) {
		t.Errorf("share %+v, want %v", v, settled/total)
	}
	if v := overlap(ss, r.Labels, tr.settled()); v < 0.95 {
		t.Errorf("overlap %v", v)
	}
	for i, p := range r.P {
		if !(p >= 0 && p <= 1) {
			t.Errorf("P[%d] = %v", i, p)
		}
		if r.Labels[i] && p < 0.025 || !r.Labels[i] && p > 0.975 {
			t.Errorf("stroke %d: settled %v at P = %v", i, r.Labels[i], p)
		}
	}
	if r.Used != (settling.Features{Angle: true, Duration: true, Length: true}) || len(r.Notes) != 0 {
		t.Errorf("used %+v, notes %q", r.Used, r.Notes)
	}
	want := settling.Tolerances{Angle: 3.5 * circular.Degree, Duration: 0.08, Length: 0.12, MinSpan: 1}
	if r.Options != (settling.Options{Tolerances: want, Dwell: 2}) {
		t.Errorf("options %+v", r.Options)
	}
}

// TestSame: what does not change the motion does not change the result.
func TestSame(t *testing.T) {
	_, ss, _ := twoSpans(2)
	want := settling.Find(ss, settling.Options{})
	for _, tt := range []struct {
		name  string
		alter func(s *settling.Stroke)
	}{
		{"nothing", func(s *settling.Stroke) {}},
		{"axes read from the other end", func(s *settling.Stroke) { s.Angle += math.Pi }},
		{"mirrored", func(s *settling.Stroke) { s.Angle = -s.Angle }},
		{"turned across the wrap", func(s *settling.Stroke) { s.Angle = (s.Angle + 70*circular.Degree).Axial() }},
		{"down is up", func(s *settling.Stroke) { s.Down = !s.Down }},
		{"other unit of length", func(s *settling.Stroke) { s.Length *= 8.5; s.LengthNoise *= 8.5 }},
		{"later", func(s *settling.Stroke) { s.Start += 64; s.End += 64 }},
		{"downstrokes turned", func(s *settling.Stroke) {
			if s.Down {
				s.Angle += 8 * circular.Degree
				s.Length *= 1.2
			}
		}},
	} {
		t.Run(tt.name, func(t *testing.T) {
			ss := slices.Clone(ss)
			for i := range ss {
				tt.alter(&ss[i])
			}
			got := settling.Find(ss, settling.Options{})
			if d := cmp.Diff(want.Labels, got.Labels); d != "" {
				t.Errorf("labels (-want +got):\n%s", d)
			}
		})
	}
}

// TestOddStroke: one or two strokes that stand out do not end a span.
func TestOddStroke(t *testing.T) {
	for odd := 1; odd <= 2; odd++ {
		for seed := range 20 {
			rng := seeded("odd stroke", seed)
			tk := plain(rng)
			ss, _ := tk.make(rng)
			want := settling.Find(ss, settling.Options{}).Spans
			for i := range odd {
				s := &ss[len(ss)/2+i]
				s.Angle += 15 * circular.Degree
				s.Length *= 2
				s.Duration *= 1.4
			}
			got := settling.Find(ss, settling.Options{}).Spans
			if d := cmp.Diff(want, got); d != "" {
				t.Errorf("seed %d, %d odd (-without +with):\n%s", seed, odd, d)
			}
		}
	}
}

func TestBreak(t *testing.T) {
	rng := seeded("break", 0)
	tk := plain(rng)
	tk.pause = 7
	ss, _ := tk.make(rng)
	at := 1 + slices.IndexFunc(ss[1:], func(s settling.Stroke) bool { return s.Break })
	r := settling.Find(ss, settling.Options{})
	want := []settling.Span{
		{Settled: true, First: 0, Last: at - 1, Start: ss[0].Start, End: ss[at-1].End},
		{Settled: true, First: at, Last: len(ss) - 1, Start: ss[at].Start, End: ss[len(ss)-1].End},
	}
	if d := cmp.Diff(want, r.Spans); d != "" {
		t.Errorf("spans (-want +got):\n%s", d)
	}
	if r.Share.Value != 1 {
		t.Errorf("share %v: a pause is no playing time", r.Share.Value)
	}
	// Broken off every half second, nothing lasts a whole one.
	for i := range ss {
		ss[i].Break = i%int(tk.rate/2) == 0
	}
	if r := settling.Find(ss, settling.Options{}); count(r) != 0 || r.Share.Value != 0 || !r.Share.Known() {
		t.Errorf("in pieces: %+v", r.Share)
	}
	if r := settling.Find(ss, settling.Options{Tolerances: settling.Tolerances{MinSpan: -1}}); count(r) == 0 {
		t.Error("in pieces, no least length: no span")
	}
}

func TestAbsent(t *testing.T) {
	_, good, _ := twoSpans(3)
	nan := math.NaN()
	for _, tt := range []struct {
		name, code, why string
		alter           func(ss []settling.Stroke) []settling.Stroke
		o               settling.Options
	}{
		{name: "no strokes", code: "too-few-strokes", why: "0 strokes",
			alter: func([]settling.Stroke) []settling.Stroke { return nil }},
		{name: "seven strokes", code: "too-few-strokes", why: "7 strokes",
			alter: func(ss []settling.Stroke) []settling.Stroke { return ss[:7] }},
		{name: "time backwards", code: "times", why: "stroke 5",
			alter: func(ss []settling.Stroke) []settling.Stroke { ss[5].Start = ss[4].Start - 1; return ss }},
		{name: "no end", code: "times", why: "stroke 2",
			alter: func(ss []settling.Stroke) []settling.Stroke { ss[2].End = nan; return ss }},
		{name: "no length", code: "no-length", why: "0 of",
			alter: each(func(i int, s *settling.Stroke) { s.Length = nan })},
		{name: "durations zero", code: "no-duration", why: "0 of",
			alter: each(func(i int, s *settling.Stroke) { s.Duration = 0 })},
		{name: "most lengths infinite", code: "no-length",
			alter: each(func(i int, s *settling.Stroke) {
				if i%3 > 0 {
					s.Length = math.Inf(1)
				}
			})},
		{name: "angle noise", code: "noise", why: "the angle, 1.8 degrees, is more than half its tolerance of 3.5 degrees",
			alter: each(func(i int, s *settling.Stroke) { s.AngleNoise = degrees(1.8) })},
		{name: "length noise", code: "noise", why: "the length",
			alter: each(func(i int, s *settling.Stroke) { s.LengthNoise = s.Length * 0.061 })},
		{name: "tolerance NaN", code: "tolerances", o: settling.Options{Tolerances: settling.Tolerances{Length: nan}}},
		{name: "tolerance of duration off", code: "tolerances", o: settling.Options{Tolerances: settling.Tolerances{Duration: -1}}},
	} {
		t.Run(tt.name, func(t *testing.T) {
			ss := slices.Clone(good)
			if tt.alter != nil {
				ss = tt.alter(ss)
			}
			r := settling.Find(ss, tt.o)
			if r.Absent == nil || r.Absent.Code != tt.code || !strings.Contains(r.Absent.Why, tt.why) {
				t.Fatalf("absent %+v, want code %q, why %q", r.Absent, tt.code, tt.why)
			}
			if r.Share.Known() || r.Share.Absent != r.Absent || r.Spans != nil {
				t.Errorf("%+v", r)
			}
			if len(r.Labels) != len(ss) || len(r.P) != len(ss) || slices.Contains(r.Labels, true) {
				t.Errorf("%d labels and %d probabilities of %d strokes", len(r.Labels), len(r.P), len(ss))
			}
			for i, p := range r.P {
				if !math.IsNaN(p) {
					t.Fatalf("P[%d] = %v", i, p)
				}
			}
		})
	}
}

func each(f func(i int, s *settling.Stroke)) func([]settling.Stroke) []settling.Stroke {
	return func(ss []settling.Stroke) []settling.Stroke {
		for i := range ss {
			f(i, &ss[i])
		}
		return ss
	}
}

// TestWithout: what is missing is left out, and said.
func TestWithout(t *testing.T) {
	_, good, tr := twoSpans(4)
	nan := math.NaN()
	for _, tt := range []struct {
		name  string
		alter func(i int, s *settling.Stroke)
		o     settling.Options
		used  settling.Features
		note  string
	}{
		{"all", func(int, *settling.Stroke) {}, settling.Options{}, settling.Features{Angle: true, Duration: true, Length: true}, ""},
		{"angle not had", func(i int, s *settling.Stroke) { s.Angle = circular.Angle(nan) }, settling.Options{},
			settling.Features{Duration: true, Length: true}, "the angle takes no part: only 0 of"},
		{"angle off, however noisy", func(i int, s *settling.Stroke) { s.AngleNoise = 1 },
			settling.Options{Tolerances: settling.Tolerances{Angle: -1}}, settling.Features{Duration: true, Length: true}, ""},
		{"noise not known", func(i int, s *settling.Stroke) { s.LengthNoise = nan }, settling.Options{},
			settling.Features{Angle: true, Duration: true, Length: true}, "the noise of the length is not known"},
		{"every third without angle and length", func(i int, s *settling.Stroke) {
			if i%3 == 0 {
				s.Angle, s.Length = circular.Angle(nan), nan
			}
		}, settling.Options{}, settling.Features{Angle: true, Duration: true, Length: true}, ""},
	} {
		t.Run(tt.name, func(t *testing.T) {
			ss := slices.Clone(good)
			for i := range ss {
				tt.alter(i, &ss[i])
			}
			r := settling.Find(ss, tt.o)
			if r.Absent != nil || r.Used != tt.used {
				t.Fatalf("absent %+v, used %+v", r.Absent, r.Used)
			}
			if got := strings.Join(r.Notes, "\n"); !strings.Contains(got, tt.note) || (tt.note == "") != (got == "") {
				t.Errorf("notes %q, want %q", got, tt.note)
			}
			if v := overlap(ss, r.Labels, tr.settled()); v < 0.9 {
				t.Errorf("overlap %v", v)
			}
		})
	}
}

// TestNotes: a stretch that keeps together but is not settled is explained.
func TestNotes(t *testing.T) {
	rng := seeded("notes", 0)
	tk := plain(rng)
	tk.drift = triple{15, 0, 0}
	ss, _ := tk.make(rng)
	r := settling.Find(ss, settling.Options{})
	if count(r) != 0 || len(r.Notes) != 1 || !strings.Contains(r.Notes[0], "the angle") {
		t.Errorf("spans %v, notes %q", r.Spans, r.Notes)
	}
}

// TestAnything: no input makes Find, HistoryOf or Explore panic or break their
// promises.
func TestAnything(t *testing.T) {
	rng := rand.New(rand.NewPCG(9, 10))
	odd := []float64{0, -1, 1, 1e300, 1e-300, math.NaN(), math.Inf(1), math.Inf(-1)}
	value := func(like float64) float64 {
		if rng.IntN(4) == 0 {
			return odd[rng.IntN(len(odd))]
		}
		return like * rng.Float64()
	}
	for range 2000 {
		ss := make([]settling.Stroke, rng.IntN(120))
		at := 0.0
		constant := rng.IntN(3) == 0
		for i := range ss {
			d := 0.2 * rng.Float64()
			ss[i] = settling.Stroke{Start: at, End: at + d, Angle: 0.3, Duration: 0.1, Length: 10, Down: rng.IntN(2) == 0, Break: rng.IntN(20) == 0}
			if !constant {
				ss[i].Angle, ss[i].Duration, ss[i].Length = circular.Angle(value(1)), value(0.1), value(10)
				ss[i].AngleNoise, ss[i].DurationNoise, ss[i].LengthNoise = circular.Angle(value(0.01)), value(0.001), value(0.1)
			}
			at += d
		}
		o := settling.Options{Dwell: value(2), Tolerances: settling.Tolerances{MinSpan: value(1), Duration: value(0.1)}}
		r := settling.Find(ss, o)
		h := settling.HistoryOf(ss, r, settling.HistoryOptions{Reference: &settling.Motion{
			Down: settling.Centre{Angle: 0.3, Duration: value(0.1), Length: value(10), LengthError: value(0.1)},
		}})
		values := make([]float64, len(ss))
		for i := range values {
			values[i] = value(1)
		}
		e := settling.Explore(ss, r, settling.ExploreOptions{Columns: []settling.Column{{Name: "height", Values: values, Noise: value(0.1), Tolerance: value(1)}}})
		if (h.Absent == nil) != (r.Absent == nil) || r.Absent != nil && e.Absent == nil {
			t.Fatalf("absent %+v, history %+v, exploration %+v", r.Absent, h.Absent, e.Absent)
		}
		bounded := func(v estimate.Value[float64]) {
			t.Helper()
			if v.Known() && (math.IsNaN(v.Value) || v.Level > 0 && !(v.Low <= v.Value && v.Value <= v.High)) {
				t.Fatalf("%+v", v)
			}
		}
		for _, f := range e.Features {
			for _, v := range []estimate.Value[float64]{f.Scatter, f.Ratio, f.Share, f.Memory} {
				bounded(v)
			}
		}
		for _, x := range h.Holds {
			for _, v := range []estimate.Value[float64]{x.Rate, x.Onset.Strokes, x.FromLast.Distance, x.FromReference.Distance} {
				bounded(v)
			}
		}
		for _, third := range h.Thirds {
			bounded(third.Share)
		}
		if r.Absent != nil {
			continue
		}
		next := 0
		for _, s := range r.Spans {
			if s.First != next {
				t.Fatalf("span %+v does not follow stroke %d", s, next-1)
			}
			next = s.Last + 1
		}
		if v := r.Share; next != len(ss) || !(v.Low >= 0 && v.Low <= v.Value && v.Value <= v.High && v.High <= 1) {
			t.Fatalf("%d of %d strokes, share %+v", next, len(ss), v)
		}
		for i, p := range r.P {
			if !(p >= 0 && p <= 1) {
				t.Fatalf("P[%d] = %v", i, p)
			}
		}
	}
}
