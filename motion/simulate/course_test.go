package simulate

import (
	"math"
	"testing"

	"github.com/plectrace/plectrace/variability/circular"
	"gonum.org/v1/gonum/spatial/r3"
	"gonum.org/v1/gonum/stat"
)

// Each kind of search widens what it says, and nothing else.
func TestKindsOfSearch(t *testing.T) {
	type spread struct{ angle, length, time float64 }
	of := func(s Search) (spread, []Stroke) {
		o := Options{Seed: 2, Duration: 200, PathAngle: 0.2, Plan: []Stretch{{Search: s}}}
		k := mustMake(t, o).Truth.Strokes
		var r spread
		_, r.angle = stat.MeanStdDev(values(k, nil, angleDegrees), nil)
		mean, sd := stat.MeanStdDev(values(k, nil, lengthOf), nil)
		r.length = sd / mean
		mean, sd = stat.MeanStdDev(values(k, nil, duration), nil)
		r.time = sd / mean
		return r, k
	}
	const settled, searching = 0, 1
	for _, c := range []struct {
		s                   Search
		angle, length, time int
	}{
		{Settled, settled, settled, settled},
		{Fresh, searching, searching, searching},
		{Wander, searching, searching, searching},
		{RateWander, settled, settled, searching},
		{AngleOnly, searching, settled, settled},
	} {
		got, k := of(c.s)
		near(t, c.s.String()+" angle", got.angle, []float64{1.5, 8}[c.angle], []float64{0.1, 0.9}[c.angle])
		if c.s != AngleOnly { // a turn moved square to the axis lengthens the stroke a little
			near(t, c.s.String()+" length", got.length, []float64{0.05, 0.2}[c.length], []float64{0.004, 0.025}[c.length])
		}
		near(t, c.s.String()+" duration", got.time, []float64{0.03, 0.15}[c.time], []float64{0.002, 0.02}[c.time])
		slow := lag1(values(k, nil, angleDegrees)) > 0.7
		if want := c.s == Wander; slow != want {
			t.Errorf("%v: angle wanders %v", c.s, slow)
		}
		slow = lag1(values(k, nil, duration)) > 0.7
		if want := c.s == Wander || c.s == RateWander; slow != want {
			t.Errorf("%v: duration wanders %v", c.s, slow)
		}
	}
	_, k := of(TinyStrokes)
	tiny := 0
	for i, s := range k {
		if !s.Tiny {
			continue
		}
		tiny++
		if i == 0 || i == len(k)-1 {
			continue
		}
		whole := k[i-1].Length - s.Length + k[i+1].Length
		if f := s.Length / whole; f < 0.19 || f > 0.31 {
			t.Errorf("tiny stroke is %v of the way", f)
		}
	}
	// One in three whole strokes becomes three strokes: n(1+2/3) strokes, n/3 tiny.
	near(t, "share of tiny strokes", float64(tiny)/float64(len(k)), 1.0/5, 0.02)
}

func TestSearchAsSettled(t *testing.T) {
	o := Options{Duration: 60, Plan: []Stretch{{Search: Fresh}}, SearchJitter: -1, SearchAngle: -1, SearchLength: -1}
	_, sd := stat.MeanStdDev(values(mustMake(t, o).Truth.Strokes, nil, angleDegrees), nil)
	near(t, "angle", sd, 1.5, 0.2)
}

func TestDrift(t *testing.T) {
	o := Options{Duration: 40, Rate: 8, RateDrift: 0.5, LengthDrift: -0.3, AngleDrift: 10 * circular.Degree, PathAngle: 10 * circular.Degree}
	s := mustMake(t, o).Truth.Strokes
	first, last := s[:40], s[len(s)-40:] // 5 and 3.5 s: the middles lie at 6 and 96 % of the drift
	near(t, "duration at the start", stat.Mean(values(first, nil, duration), nil), 1/(8*1.03), 0.002)
	near(t, "duration at the end", stat.Mean(values(last, nil, duration), nil), 1/(8*1.48), 0.002)
	near(t, "length at the start", stat.Mean(values(first, nil, lengthOf), nil), 9.8, 0.25)
	near(t, "length at the end", stat.Mean(values(last, nil, lengthOf), nil), 7.1, 0.25)
	near(t, "angle at the start", stat.Mean(values(first, nil, angleDegrees), nil), 10.6, 0.7)
	near(t, "angle at the end", stat.Mean(values(last, nil, angleDegrees), nil), 19.6, 0.7)
}

func TestPause(t *testing.T) {
	o := Options{Pauses: []Pause{{At: 4, For: 1.2}, {At: 9, For: 2, Tremor: 0.3}}}
	at, tr := motion(t, o)
	if len(tr.Pauses) != 2 {
		t.Fatalf("%d pauses", len(tr.Pauses))
	}
	for i, p := range tr.Pauses {
		if p.Start < o.Pauses[i].At || p.Start > o.Pauses[i].At+0.15 {
			t.Errorf("pause %d begins at %v", i, p.Start)
		}
		near(t, "lasts", p.End-p.Start, o.Pauses[i].For, 1e-9)
		most := 0.0
		for x := p.Start; x <= p.End; x += 1e-3 {
			most = math.Max(most, r3.Norm(r3.Sub(at(x), at(p.Start))))
		}
		near(t, "moves by", most, o.Pauses[i].Tremor, 0.02)
		for _, s := range tr.Strokes {
			if s.Start < p.End && s.End > p.Start {
				t.Errorf("a stroke from %v to %v s in the pause", s.Start, s.End)
			}
		}
	}
	// The strokes are those of a take without pauses, later.
	without := mustMake(t, Options{}).Truth.Strokes
	for i, s := range tr.Strokes {
		if s.Length != without[i].Length {
			t.Fatalf("stroke %d is another", i)
		}
	}
}

func TestChange(t *testing.T) {
	side := func(turns []Turn, from, to float64) float64 {
		var v []float64
		for _, u := range turns {
			if u.T >= from && u.T < to {
				v = append(v, u.Across)
			}
		}
		return stat.Mean(v, nil)
	}
	for _, c := range []struct {
		name string
		by   int
		over int
		want float64 // mm
	}{
		{"one up", 1, 0, 10}, {"one down", -1, 0, -10}, {"one down in two strokes", -1, 2, -10}, {"three down", -3, 1, -30}, {"two up", 2, 1, 20},
		{"off the instrument, so back", 4, 1, -30}, // from string 3 of 0..5, as far as it goes
	} {
		tr := mustMake(t, Options{Changes: []Change{{At: 10, By: c.by, Over: c.over}}}).Truth
		near(t, c.name, side(tr.Turns, 11, 19)-side(tr.Turns, 1, 9), c.want, 0.25)
		changed := 0
		for i, s := range tr.Strokes {
			if s.Changed {
				changed++
				if s.Start < 10 || s.Start > 10.35 {
					t.Errorf("%s: changes at %v s", c.name, s.Start)
				}
			}
			if s.Length < 3.5 {
				t.Errorf("%s: stroke %d is only %v mm long", c.name, i, s.Length)
			}
		}
		if changed < 1 || changed > 2 || c.over != 0 && changed != c.over {
			t.Errorf("%s: %d strokes change", c.name, changed)
		}
	}
	tr := mustMake(t, Options{ChangeEvery: 1, Duration: 60, Strings: 4, Spacing: 9}).Truth
	changed := 0
	for _, s := range tr.Strokes {
		if s.Changed {
			changed++
		}
	}
	if changed < 45 || changed > 130 { // 60 moves or so, over one stroke or two
		t.Errorf("%d strokes change", changed)
	}
	for _, u := range tr.Turns {
		if math.Abs(u.Across) > 13.5+5+3 {
			t.Errorf("a turn %v mm from the middle of the strings", u.Across)
		}
	}
}

func TestHandWander(t *testing.T) {
	tr := mustMake(t, quiet(Options{Duration: 600, HandWander: 2})).Truth
	var out []float64
	for _, u := range tr.Turns {
		out = append(out, u.Out)
	}
	mean, sd := stat.MeanStdDev(out, nil)
	near(t, "height", mean, -1, 0.5) // about 60 independent places
	near(t, "its scatter", sd, 2, 0.4)
}
