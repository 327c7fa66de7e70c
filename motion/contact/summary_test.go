package contact_test

import (
	"math"
	"testing"

	"github.com/plectrace/plectrace/motion"
	"github.com/plectrace/plectrace/motion/contact"
)

// TestCoverageSummaries holds the intervals over a take against the truth: the
// share of missed strokes against the chance of a miss, and the spreads of
// follow-through and depth against those that the turns were drawn with.
func TestCoverageSummaries(t *testing.T) {
	takes := 60
	if testing.Short() {
		takes = 15
	}
	var missed, follow, depth, both covered
	for seed := range takes {
		rng := stream("contact/summary", seed)
		// Strokes on one string: turns scatter by 0.3 mm across on top of a
		// hand that wanders (autoregressive, 0.8), depths by 0.15 mm.
		const hz, n, chance, side, deep = 240.0, 240, 0.06, 0.3, 0.15
		wander := 0.0
		across, lift := make([]float64, n+1), make([]float64, n+1)
		for i := range across {
			wander = 0.8*wander + 0.6*0.3*rng.NormFloat64()
			across[i] = 5*float64(2*(i%2)-1) + wander + side*rng.NormFloat64()
			lift[i] = deep * rng.NormFloat64() * math.Sqrt2
		}
		miss := make([]float64, n)
		for i := range miss {
			if rng.Float64() < chance {
				miss[i] = 2
			}
		}
		pl := played{}
		p := &pl.path
		p.Unit = "mm"
		for j := 0; float64(j) < n*hz/9; j++ {
			x := float64(j) * 9 / hz
			i := int(x)
			s := (1 - math.Cos(math.Pi*(x-float64(i)))) / 2
			p.T = append(p.T, float64(j)/hz)
			p.Across = append(p.Across, across[i]+s*(across[i+1]-across[i])+0.04*rng.NormFloat64())
			p.Out = append(p.Out, -1+lift[i]+s*(lift[i+1]-lift[i])+miss[i]*math.Pow(math.Sin(math.Pi*(x-float64(i))), 2)+0.04*rng.NormFloat64())
		}
		m, err := motion.Analyze(*p, motion.Options{})
		if err != nil {
			t.Fatal(err)
		}
		c, err := contact.Find(m, *p, contact.Strings{Number: 1, CrownRadiusMM: -1}, contact.Options{})
		if err != nil {
			t.Fatal(err)
		}
		v := c.Missed()
		missed.add(v.Low <= chance && chance <= v.High)
		f, d := c.FollowThroughSpread(motion.Down), c.DepthSpread(motion.Up)
		want := math.Hypot(side, 0.3)
		follow.add(f.Low <= want && want <= f.High)
		// In the middle of a stroke the scatters of two turns are averaged.
		depth.add(d.Low <= deep && deep <= d.High)
		g := c.FollowThrough(motion.Down)
		both.add(g.Low <= 5 && 5 <= g.High)
	}
	t.Logf("of %d takes: share missed %d, follow-through %d, its spread %d, spread of depth %d", takes, missed.in, both.in, follow.in, depth.in)
	for name, c := range map[string]covered{"share missed": missed, "follow-through": both, "spread of follow-through": follow, "spread of depth": depth} {
		if c.share() < 0.85 {
			t.Errorf("%s: %d of %d intervals hold the truth", name, c.in, c.all)
		}
	}
}

// TestCoverageLevels holds the evenness of attack against the levels' own.
func TestCoverageLevels(t *testing.T) {
	var spread, difference covered
	for seed := range 60 {
		rng := stream("contact/levels", seed)
		strokes, on := steady(200), []contact.Onset(nil)
		slow := 0.0
		const down, own = 3.0, 2.0
		for i, s := range strokes {
			slow = 0.9*slow + math.Sqrt(1-0.81)*rng.NormFloat64()
			level := -20 + slow + math.Sqrt(own*own-1)*rng.NormFloat64()
			if s.Direction == motion.Down {
				level += down
			}
			if rng.Float64() < 0.95 {
				on = append(on, contact.Onset{Time: strokes[i].Middle() + 0.003*rng.NormFloat64(), Level: level})
			}
		}
		m, err := contact.MatchOnsets(strokes, nil, on, contact.MatchOptions{})
		if err != nil {
			t.Fatal(err)
		}
		l := m.Levels()
		spread.add(l.DownSpread.Low <= own && own <= l.DownSpread.High)
		difference.add(l.Difference.Low <= down && down <= l.Difference.High)
		if !(math.Abs(l.Down.Value-l.Up.Value-down) < 1.5) || l.Spread.N != l.Down.N+l.Up.N {
			t.Errorf("take %d: %+v", seed, l)
		}
	}
	t.Logf("of 60 takes: spread %d, down over up %d", spread.in, difference.in)
	if spread.in < 51 || difference.in < 54 {
		t.Errorf("spread %d, down over up %d of 60 intervals hold the truth", spread.in, difference.in)
	}
}

// steady returns strokes of a tenth of a second.
func steady(n int) []motion.Stroke {
	s := make([]motion.Stroke, n)
	for i := range s {
		s[i] = motion.Stroke{Direction: motion.Direction(1 + i%2), Start: 0.1 * float64(i), End: 0.1 * float64(i+1)}
	}
	return s
}

func TestMatchSpecial(t *testing.T) {
	strokes := steady(60)
	at := func(skip int, lag float64, level float64) []contact.Onset {
		var on []contact.Onset
		for i, s := range strokes {
			if skip == 0 || i%skip != 5 {
				on = append(on, contact.Onset{Time: s.Middle() + lag, Level: level})
			}
		}
		return on
	}
	even, err := contact.MatchOnsets(strokes, nil, at(20, 0.04, math.NaN()), contact.MatchOptions{FindOffset: true})
	if err != nil || even.Absent == nil || even.Absent.Code != "undecided" || even.Offset.Known() || even.Struck[3] != contact.Unknown {
		t.Errorf("even playing with a lag of 40 ms and misses: %+v, %v", even.Absent, err)
	}
	if l := even.Levels(); l.Spread.Known() || l.Difference.Absent == nil || even.Missed().Known() {
		t.Errorf("undecided, and yet levels: %+v", l)
	}
	told, err := contact.MatchOnsets(strokes, nil, at(20, 0.04, math.NaN()), contact.MatchOptions{Offset: 0.04})
	if err != nil || told.Absent != nil {
		t.Fatalf("%+v, %v", told, err)
	}
	for i, a := range told.Struck {
		if want := map[bool]contact.Answer{true: contact.No, false: contact.Yes}[i%20 == 5]; a != want {
			t.Errorf("stroke %d: %v, want %v", i, a, want)
		}
	}
	if v := told.Missed(); math.Abs(v.Value-0.05) > 1e-12 || len(told.Extra) != 0 {
		t.Errorf("missed %+v, extra %v", v, told.Extra)
	}
	if l := told.Levels(); l.Down.Known() || l.Down.Absent.Code != "no levels" {
		t.Errorf("no levels: %+v", l.Down)
	}
	none, err := contact.MatchOnsets(strokes, nil, nil, contact.MatchOptions{})
	if err != nil || none.Absent == nil || none.Absent.Code != "no onsets" || none.Struck[0] != contact.Unknown {
		t.Errorf("no onsets: %+v, %v", none, err)
	}
	far, err := contact.MatchOnsets(strokes, nil, []contact.Onset{{Time: 500}}, contact.MatchOptions{})
	if err != nil || far.Absent == nil || far.Absent.Code != "no pairs" || len(far.Extra) != 1 {
		t.Errorf("another take: %+v, %v", far, err)
	}
	still, err := contact.MatchOnsets(nil, nil, []contact.Onset{{Time: 1}}, contact.MatchOptions{})
	if err != nil || still.Absent == nil || still.Absent.Code != "no strokes" || len(still.Struck) != 0 {
		t.Errorf("no strokes: %+v, %v", still, err)
	}
	part := at(0, 0, -10)[:30]
	half, err := contact.MatchOnsets(strokes, nil, part, contact.MatchOptions{})
	if err != nil || half.Struck[10] != contact.Yes || half.Struck[35] != contact.No || half.Struck[50] != contact.Unknown {
		t.Errorf("a list of half the take: %v, %v", half.Struck, err)
	}
	double := append(at(0, 0, -10)[:10:10], contact.Onset{Time: strokes[9].Middle() + 0.01})
	twice, err := contact.MatchOnsets(strokes, nil, double, contact.MatchOptions{})
	if err != nil || len(twice.Extra) != 1 || twice.Extra[0] != 10 {
		t.Errorf("a double hit: extra %v, %v", twice.Extra, err)
	}
	for name, f := range map[string]func() error{
		"falling":  func() error { return matchError(strokes, contact.MatchOptions{}, 1, 0.5) },
		"twice":    func() error { return matchError(strokes, contact.MatchOptions{}, 1, 1) },
		"NaN":      func() error { return matchError(strokes, contact.MatchOptions{}, math.NaN()) },
		"window":   func() error { return matchError(strokes, contact.MatchOptions{Window: 2}, 1) },
		"far lag":  func() error { return matchError(strokes, contact.MatchOptions{MaxOffset: 60}, 1) },
		"lag, NaN": func() error { return matchError(strokes, contact.MatchOptions{Offset: math.NaN()}, 1) },
	} {
		if f() == nil {
			t.Errorf("%s: no error", name)
		}
	}
}

func matchError(s []motion.Stroke, o contact.MatchOptions, times ...float64) error {
	var on []contact.Onset
	for _, t := range times {
		on = append(on, contact.Onset{Time: t})
	}
	_, err := contact.MatchOnsets(s, nil, on, o)
	return err
}

func TestAgreement(t *testing.T) {
	yes, no, open := contact.Yes, contact.No, contact.Unknown
	c := &contact.Contacts{}
	m := &contact.Match{}
	for _, r := range []struct{ reached, struck contact.Answer }{{yes, yes}, {yes, no}, {no, yes}, {no, no}, {open, yes}, {yes, open}, {yes, yes}} {
		c.Strokes = append(c.Strokes, contact.Stroke{Reached: r.reached})
		m.Struck = append(m.Struck, r.struck)
	}
	a := m.Agreement(c)
	if a.Both != 2 || a.Neither != 1 || a.Unknown != 2 || len(a.Ghosted) != 1 || a.Ghosted[0] != 1 || len(a.SoundOnly) != 1 || a.SoundOnly[0] != 2 {
		t.Errorf("%+v", a)
	}
}
