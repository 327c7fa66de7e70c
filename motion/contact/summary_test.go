package contact_test

import (
	"cmp"
	"math"
	"slices"
	"strings"
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
	if l := even.Levels(); l.Spread.Known() || l.Difference.Absent == nil || even.Silent().Known() {
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
	if v := told.Silent(); math.Abs(v.Value-0.05) > 1e-12 || len(told.Extra) != 0 {
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
	near, err := contact.MatchOnsets(strokes, nil, []contact.Onset{{Time: -0.9}}, contact.MatchOptions{})
	if err != nil || near.Absent == nil || slices.ContainsFunc(near.Struck, func(a contact.Answer) bool { return a != contact.Unknown }) || near.Silent().Known() {
		t.Errorf("another take, that ends as this one begins: %+v, %v", near, err)
	}
	for _, why := range []string{far.Absent.Why, even.Absent.Why} {
		if !strings.Contains(why, "(onset_lag_s)") {
			t.Errorf("%q does not name the setting", why)
		}
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
	for _, c := range []struct {
		says  string
		o     contact.MatchOptions
		times []float64
	}{
		{"onset 2 is at 0.5 s", contact.MatchOptions{}, []float64{1, 0.5}},
		{"onset 2 is at 1 s", contact.MatchOptions{}, []float64{1, 1}},
		{"onset 1 is at NaN s", contact.MatchOptions{}, []float64{math.NaN()}},
		{"the window is 2 strokes", contact.MatchOptions{Window: 2}, []float64{1}},
		{"the lag is sought within 60 s", contact.MatchOptions{MaxOffset: 60}, []float64{1}},
		{"onset_lag_s is no number", contact.MatchOptions{Offset: math.NaN()}, []float64{1}},
	} {
		if err := matchError(strokes, c.o, c.times...); err == nil || !strings.HasPrefix(err.Error(), "onsets: "+c.says) {
			t.Errorf("%v, want %q", err, c.says)
		}
	}
}

// TestSilentWhereHidden holds what a stroke without an onset counts as, by how
// well the film shows when it passed the string.
func TestSilentWhereHidden(t *testing.T) {
	const at = 31
	for _, c := range []struct {
		name   string
		edit   func(s *motion.Stroke)
		stray  float64 // an onset so long after the stroke's middle, 0 for none
		struck contact.Answer
		share  float64 // of silent strokes
		n      int
	}{
		{name: "plain", struck: contact.No, share: 1. / 60, n: 60},
		{name: "plain, a stray near", stray: 0.045, struck: contact.No, share: 1. / 60, n: 60},
		{name: "a turn hidden", edit: func(s *motion.Stroke) { s.EndHidden = true }, struck: contact.No, share: 1. / 60, n: 60},
		{name: "a turn hidden, its own onset far off", edit: func(s *motion.Stroke) { s.EndHidden = true }, stray: 0.045, struck: contact.Yes, n: 60},
		{name: "odd times, an onset near", edit: func(s *motion.Stroke) { s.End += 0.05 }, stray: -0.04, struck: contact.Unknown, n: 60},
		{name: "bridged", edit: func(s *motion.Stroke) { s.Bridged = true }, struck: contact.Unknown, n: 59},
		{name: "bridged, an onset", edit: func(s *motion.Stroke) { s.Bridged = true }, stray: 0.02, struck: contact.Yes, n: 59},
	} {
		strokes := steady(60)
		var on []contact.Onset
		for i, s := range strokes {
			switch late := 0.002 * math.Sin(float64(i*i)); {
			case i != at:
				on = append(on, contact.Onset{Time: s.Middle() + late})
			case c.stray != 0:
				on = append(on, contact.Onset{Time: s.Middle() + c.stray})
			}
		}
		if c.edit != nil {
			c.edit(&strokes[at])
		}
		slices.SortFunc(on, func(a, b contact.Onset) int { return cmp.Compare(a.Time, b.Time) })
		m, err := contact.MatchOnsets(strokes, nil, on, contact.MatchOptions{})
		if err != nil {
			t.Fatal(err)
		}
		v := m.Silent()
		if m.Struck[at] != c.struck || v.N != c.n || math.Abs(v.Value-c.share) > 1e-12 {
			t.Errorf("%s: %q, %+v; want %q, share %v of %d", c.name, m.Struck[at], v, c.struck, c.share, c.n)
		}
		// What may be silent counts so at the high end.
		plain := 1 - math.Pow(0.025, 1/float64(v.N)) // Clopper and Pearson, none of n
		if c.struck == contact.Unknown && c.n == 60 && !(v.Low == 0 && v.High > 1.2*plain) {
			t.Errorf("%s: %+v, want a high end over %v", c.name, v, plain)
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
