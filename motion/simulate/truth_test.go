package simulate

import (
	"math"
	"slices"
	"testing"

	"github.com/plectrace/plectrace/variability/circular"
	"gonum.org/v1/gonum/spatial/r3"
	"gonum.org/v1/gonum/stat"
)

// busy is a take with all that the motion can do.
func busy() Options {
	return Options{
		Seed: 3, PathAngle: 18 * circular.Degree, Skew: -9 * circular.Degree, Curvature: -0.02, DownShare: 0.46, Lead: 0.3,
		Plan: []Stretch{
			{Start: 0, Search: Fresh}, {Start: 3}, {Start: 7, Search: Wander}, {Start: 9, AngleBy: 6 * circular.Degree, RateBy: 1.2},
			{Start: 13, Search: TinyStrokes}, {Start: 16, Search: RateWander}, {Start: 18, Search: AngleOnly},
		},
		Pauses:     []Pause{{At: 5, For: 0.8, Tremor: 0.2}, {At: 14, For: 0.4}},
		Changes:    []Change{{At: 4, By: 1}, {At: 10, By: -2}},
		MissShare:  0.05,
		HandWander: 0.5,
	}
}

// The turns of Truth are where the tip rests for an instant, at the stated
// places, and between them it moves without a jump of position or velocity.
func TestTurnsAreAtRest(t *testing.T) {
	for name, o := range map[string]Options{
		"zero": {}, "busy": busy(), "minimum jerk": {Profile: MinimumJerk, Lead: -0.5, PathAngle: 0.3}, "pulse": {Pulse: true, Jitter: 0.1},
	} {
		at, tr := motion(t, o)
		const h = 1e-6
		for _, k := range tr.Turns {
			p := at(k.T)
			near(t, name+": across", p.X, k.Across, 1e-9)
			near(t, name+": along", p.Y, k.Along, 1e-9)
			near(t, name+": out", p.Z, k.Out, 1e-9)
			for _, side := range []float64{-h, h} {
				if v := r3.Norm(r3.Sub(at(k.T+side), p)) / h; !(v < 0.2) { // strokes run at 150 mm/s
					t.Fatalf("%s: %v mm/s at the turn at %v s", name, v, k.T)
				}
			}
		}
		last := at(1)
		for s := 1.0; s < 19; s += 1e-4 {
			p := at(s)
			if v := r3.Norm(r3.Sub(p, last)) / 1e-4; v > 1200 {
				t.Fatalf("%s: jumps at %v s: %v mm/s", name, s, v)
			}
			last = p
		}
	}
}

func TestStrokesFollowFromTurns(t *testing.T) {
	k := mustMake(t, busy())
	tr := k.Truth
	if len(tr.Strokes) < 150 {
		t.Fatalf("%d strokes", len(tr.Strokes))
	}
	place := map[float64]Turn{}
	for i, u := range tr.Turns {
		place[u.T] = u
		if i > 0 && u.T <= tr.Turns[i-1].T {
			t.Fatalf("turn %d is not after the one before", i)
		}
	}
	for i, s := range tr.Strokes {
		a, okA := place[s.Start]
		b, okB := place[s.End]
		if !okA || !okB {
			t.Fatalf("stroke %d does not run from turn to turn", i)
		}
		if b.AfterDown != s.Down || a.AfterDown == s.Down {
			t.Errorf("stroke %d: sides of its turns", i)
		}
		d := r3.Vec{X: b.Across - a.Across, Y: b.Along - a.Along, Z: b.Out - a.Out}
		if (d.X > 0) != s.Down {
			t.Errorf("stroke %d goes %v mm across, down %v", i, d.X, s.Down)
		}
		near(t, "length", s.Length, r3.Norm(d), 1e-9)
		near(t, "path angle", math.Tan(float64(s.PathAngle)), d.Z/d.X, 1e-9)
		near(t, "skew", math.Tan(float64(s.Skew)), d.Y/d.X, 1e-9)
		near(t, "height at start", s.HeightStart, a.Out, 1e-12)
		near(t, "height at end", s.HeightEnd, b.Out, 1e-12)
		if i > 0 && tr.Strokes[i-1].Down == s.Down {
			t.Errorf("stroke %d goes the same way as the one before", i)
		}
	}
	time := 0.0
	for _, s := range tr.Strokes {
		time += duration(s)
	}
	near(t, "rate", tr.Rate, float64(len(tr.Strokes))/time, 1e-9)
}

func TestPeakSpeedAndStruck(t *testing.T) {
	at, tr := motion(t, busy())
	for _, s := range tr.Strokes[:60] {
		chord := r3.Unit(r3.Sub(at(s.End-1e-9), at(s.Start)))
		most := 0.0
		h := (s.End - s.Start) / 4000
		for x := s.Start + h; x < s.End-h; x += h {
			most = math.Max(most, r3.Dot(r3.Sub(at(x+h/2), at(x-h/2)), chord)/h)
		}
		near(t, "peak speed", s.PeakSpeed, most, 1e-4*most)
		if s.Reached == math.IsNaN(s.Struck) {
			t.Fatal("reached without a time, or a time without reaching")
		}
		if s.Reached {
			p := at(s.Struck)
			near(t, "struck on a string's line", math.Remainder(p.X-5, 10), 0, 1e-6) // strings at ±5, ±15, ±25
			if p.Z >= 0 || s.Struck <= s.Start || s.Struck >= s.End {
				t.Errorf("struck %v mm out at %v s in [%v, %v]", p.Z, s.Struck, s.Start, s.End)
			}
		}
	}
}

func TestReached(t *testing.T) {
	share := func(o Options) float64 {
		n := 0
		s := mustMake(t, o).Truth.Strokes
		for _, k := range s {
			if k.Reached {
				n++
			}
		}
		return float64(n) / float64(len(s))
	}
	near(t, "no misses", share(Options{PathAngle: 0.3}), 1, 0)
	near(t, "above the strings", share(Options{PathAngle: 0.3, Depth: -2}), 0, 0)
	// A stroke between two misses has both its turns lifted: 0.1 + 0.9 0.1².
	near(t, "misses", share(Options{PathAngle: 0.3, MissShare: 0.1, Duration: 300, AngleScatter: -1}), 1-0.109, 0.02)
	near(t, "all missed", share(Options{PathAngle: 0.3, MissShare: 1}), 0, 0.01) // the first has no stroke before it to be lifted with
}

func TestScatterAsStated(t *testing.T) {
	o := Options{
		Seed: 5, Duration: 400, Jitter: 0.04, AngleScatter: 2 * circular.Degree, SkewScatter: 3 * circular.Degree, LengthScatter: 0.06,
		PathAngle: 15 * circular.Degree, Skew: 10 * circular.Degree, DownShare: 0.45, Length: 9,
	}
	tr := mustMake(t, o).Truth
	n := float64(len(tr.Strokes))
	down := func(s Stroke) bool { return s.Down }
	up := func(s Stroke) bool { return !s.Down }
	// Standard errors: σ/√(2n) about 1.1 % for a standard deviation; the shared
	// turns widen it, 5 % is above three of them.
	angles := values(tr.Strokes, nil, angleDegrees)
	mean, sd := stat.MeanStdDev(angles, nil)
	near(t, "path angle", mean, 15, 0.1)
	near(t, "its scatter", sd, 2, 0.1)
	near(t, "neighbours' angles", lag1(angles), 0.5, 0.05)
	mean, sd = stat.MeanStdDev(values(tr.Strokes, nil, lengthOf), nil)
	near(t, "length", mean, 9, 0.03)
	near(t, "its scatter", sd/mean, 0.06, 0.003)
	downs, ups := values(tr.Strokes, down, duration), values(tr.Strokes, up, duration)
	mean, sd = stat.MeanStdDev(downs, nil)
	near(t, "duration of downstrokes", mean, 0.09, 0.0005)
	near(t, "its scatter", sd/mean, 0.04, 0.002)
	mean, sd = stat.MeanStdDev(ups, nil)
	near(t, "duration of upstrokes", mean, 0.11, 0.0005)
	near(t, "its scatter", sd/mean, 0.04, 0.002)
	near(t, "rate", n/400, 10, 0.03)
	mean, sd = stat.MeanStdDev(values(tr.Strokes, nil, skewDegrees), nil)
	near(t, "skew", mean, 10, 0.15)
	// A deviation square to the axis by 3 degrees turns its projection by a
	// little more or less, as the axis rises by 15 degrees and is skewed by 10.
	near(t, "its scatter", sd, 3, 0.3)

	o.Pulse, o.DownShare = true, 0.5
	d := values(mustMake(t, o).Truth.Strokes, nil, duration)
	_, sd = stat.MeanStdDev(d, nil)
	near(t, "scatter about a pulse", sd*10, 0.04, 0.002)
	// Turns that scatter about a pulse make neighbours' durations correlate by
	// -1/2 (Wing & Kristofferson 1973, motor delays alone).
	near(t, "neighbours' durations", lag1(d), -0.5, 0.05)
	o.Pulse = false
	near(t, "neighbours' durations", lag1(values(mustMake(t, o).Truth.Strokes, nil, duration)), 0, 0.06)
}

func TestWithoutScatter(t *testing.T) {
	tr := mustMake(t, quiet(Options{PathAngle: 12 * circular.Degree, Skew: -5 * circular.Degree, Length: 7, Rate: 8, Curvature: 0.03})).Truth
	for _, s := range tr.Strokes {
		near(t, "length", s.Length, 7, 1e-9)
		near(t, "path angle", s.PathAngle.Degrees(), 12, 1e-9)
		near(t, "skew", s.Skew.Degrees(), -5, 1e-9)
		near(t, "duration", duration(s), 0.125, 1e-9)
		near(t, "curvature", s.Curvature, 0.03, 1e-12)
	}
	near(t, "rate", tr.Rate, 8, 1e-9)
	near(t, "path angle", tr.PathAngle.Degrees(), 12, 1e-9)
	near(t, "settled share", tr.SettledShare, 1, 0)
	near(t, "marks", tr.MarkDistance, 50, 0)
}

func TestClearing(t *testing.T) {
	const deg = circular.Degree
	for _, c := range []struct {
		name     string
		o        Options
		want     string
		low, top float64 // bounds of the turns' heights that must clear or stay below
	}{
		{"flat", Options{}, "neither", 0, 0},
		{"by angle", Options{PathAngle: 20 * deg}, "after downstrokes", 0, 0},
		{"by angle, the other way", Options{PathAngle: -20 * deg}, "after upstrokes", 0, 0},
		{"by curvature", Options{Curvature: -0.16}, "both", 0, 0},
		{"asked", Options{PathAngle: 14 * deg, Clearing: "after downstrokes"}, "after downstrokes", 0, 0},
		{"asked, the other way", Options{PathAngle: -14 * deg, Clearing: "after upstrokes"}, "after upstrokes", 0, 0},
		{"asked for both", Options{PathAngle: 5 * deg, Clearing: "both"}, "both", 0, 0},
		{"asked for neither", Options{PathAngle: 30 * deg, Clearing: "neither"}, "neither", 0, 0},
	} {
		tr := mustMake(t, quiet(c.o)).Truth
		if tr.Clearing != c.want {
			t.Errorf("%s: %q, want %q", c.name, tr.Clearing, c.want)
		}
		for _, u := range tr.Turns {
			clears := c.want == "both" || c.want == "after downstrokes" && u.AfterDown || c.want == "after upstrokes" && !u.AfterDown
			if c.o.Clearing != "" && clears && u.Out < clearBy-1e-9 || clears != (u.Out > 0) {
				t.Fatalf("%s: turn %v mm out, after a downstroke %v", c.name, u.Out, u.AfterDown)
			}
		}
		for _, s := range tr.Strokes {
			if !s.Reached {
				t.Fatalf("%s: a stroke does not reach the string", c.name)
			}
		}
	}
	for _, o := range []Options{{Clearing: "after downstrokes"}, {Clearing: "after upstrokes", PathAngle: 0.4}, {Clearing: "sometimes"}} {
		if _, err := Make(o); err == nil {
			t.Errorf("%q at %v degrees: no error", o.Clearing, o.PathAngle.Degrees())
		}
	}
}

func TestSpans(t *testing.T) {
	tr := mustMake(t, busy()).Truth
	type span struct {
		settled    bool
		start, end float64
	}
	// busy rests at 5 and 14 s, and its searches from 13 s on are one.
	want := []span{{false, 0, 3}, {true, 3, 5}, {true, 5.8, 7}, {false, 7, 9}, {true, 9, 13}, {false, 13, 14}, {false, 14.4, 20}}
	if len(tr.Spans) != len(want) {
		t.Fatalf("%d spans, want %d: %+v", len(tr.Spans), len(want), tr.Spans)
	}
	i := 0
	for j, s := range tr.Spans {
		if s.Settled != want[j].settled {
			t.Errorf("span %d: settled %v", j, s.Settled)
		}
		near(t, "start", s.Start, want[j].start, 0.15)
		near(t, "end", s.End, want[j].end, 0.15)
		if tr.Strokes[i].Start != s.Start || tr.Strokes[i+s.Strokes-1].End != s.End {
			t.Errorf("span %d does not begin and end with its strokes", j)
		}
		i += s.Strokes
	}
	if i != len(tr.Strokes) {
		t.Errorf("spans hold %d strokes of %d", i, len(tr.Strokes))
	}
	near(t, "rate of the faster centre", tr.Spans[4].Rate, 12, 0.3)
	near(t, "angle of the steeper centre", tr.Spans[4].PathAngle.Degrees(), 24, 2)
	if len(tr.Pauses) != 2 {
		t.Fatalf("pauses: %+v", tr.Pauses)
	}
	near(t, "pause", tr.Pauses[0].End-tr.Pauses[0].Start, 0.8, 1e-9)
}

func TestSteadyAndNeverSettled(t *testing.T) {
	tr := mustMake(t, Options{}).Truth
	if len(tr.Spans) != 1 || !tr.Spans[0].Settled || tr.SettledShare != 1 {
		t.Errorf("steady: %+v", tr.Spans)
	}
	for _, o := range []Options{
		{Plan: []Stretch{{Search: Fresh}}}, {Plan: []Stretch{{End: 10, Search: Wander}, {Start: 10, Search: RateWander}}},
		{AngleDrift: 0.2}, {RateDrift: -0.3}, {LengthDrift: -0.4},
	} {
		tr := mustMake(t, o).Truth
		if len(tr.Spans) != 1 || tr.Spans[0].Settled || tr.SettledShare != 0 || !math.IsNaN(tr.SettledRate) {
			t.Errorf("never settled: %+v, share %v", tr.Spans, tr.SettledShare)
		}
	}
	// Time that the plan leaves out is searching.
	tr = mustMake(t, Options{Plan: []Stretch{{Start: 5, End: 12}}}).Truth
	if got := settledFlags(tr.Spans); !slices.Equal(got, []bool{false, true, false}) {
		t.Errorf("holes of the plan: %v", got)
	}
}

func settledFlags(s []Span) (f []bool) {
	for _, k := range s {
		f = append(f, k.Settled)
	}
	return f
}
