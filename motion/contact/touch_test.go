package contact_test

import (
	"math"
	"strings"
	"testing"

	"github.com/plectrace/plectrace/motion"
	"github.com/plectrace/plectrace/motion/contact"
	"github.com/plectrace/plectrace/trajectory"
)

// resting puts a rest of the tip before what is played: the tracked point sits
// at off from the tip, which lies on string k.
func resting(pl *played, s contact.Strings, k int, rest, noise float64, off [2]float64, rng interface{ NormFloat64() float64 }) trajectory.Placed {
	hz := 1 / (pl.path.T[1] - pl.path.T[0])
	p := trajectory.Placed{Name: "marker", Unit: "mm"}
	_, high := s.Height(k)
	n := int(rest * hz)
	add := func(t, y, z float64) {
		p.T = append(p.T, t)
		p.Across = append(p.Across, y+off[0])
		p.Out = append(p.Out, z+off[1])
	}
	for i := range n {
		add(float64(i)/hz, s.Across(k)+noise*rng.NormFloat64(), high+noise*rng.NormFloat64())
	}
	for i, t := range pl.path.T {
		add(rest+t, pl.path.Across[i], pl.path.Out[i])
	}
	return p
}

// TestTouch holds that a touch gives a marker up the pick the heights of the
// tip, and what the strokes reach with it.
func TestTouch(t *testing.T) {
	var out, across covered
	var likely, sure score
	for seed := range 16 {
		rng := stream("contact/touch", seed)
		q := randomPlayer(rng)
		q.hz, q.heightError = 120, 0
		pl := q.play(120, rng)
		k := 1 + rng.IntN(q.strings.Number)
		off := [2]float64{4 * rng.NormFloat64(), 8 + rng.NormFloat64()}
		p := resting(&pl, q.strings, k, 0.5+rng.Float64(), q.noise, off, rng)
		// The tip rests a little off the string's top.
		off[0] += 0.2 * rng.NormFloat64()
		off[1] += 0.2 * rng.NormFloat64()
		for i := range p.T {
			if i > 0 && p.T[i] > 0.5 && rng.Float64() < 0.02 {
				p.Across[i], p.Out[i] = math.NaN(), math.NaN()
			}
		}
		touch, err := contact.FindTouch(p, 0.25, k, q.strings, contact.TouchOptions{})
		if err != nil {
			t.Fatal(err)
		}
		if touch.Absent != nil {
			t.Fatalf("take %d: %s", seed, touch.Absent.Why)
		}
		out.add(math.Abs(touch.Out-off[1]) < 1.96*touch.OutError)
		across.add(math.Abs(touch.Across-off[0]) < 1.96*touch.AcrossError)
		tip := touch.Shift(trajectory.Placed{}, p)
		m, err := motion.Analyze(tip, motion.Options{HeightError: touch.OutError})
		if err != nil {
			t.Fatal(err)
		}
		c, err := contact.Find(m, tip, q.strings, contact.Options{AcrossError: touch.AcrossError})
		if err != nil {
			t.Fatal(err)
		}
		mid := pl.middles()
		rest := tip.T[len(tip.T)-1] - pl.path.T[len(pl.path.T)-1]
		for i := range mid {
			mid[i] += rest
		}
		for i, k := range pair(m.Strokes, mid) {
			if k >= 0 {
				count(&likely, &sure, &c.Strokes[i], len(pl.reached(k)) > 0)
			}
		}
	}
	t.Logf("out covered %d/%d, across %d/%d; F1 of missed strokes %.3f of %d, decided %.3f (undecided %d)",
		out.in, out.all, across.in, across.all, likely.f1(), likely.all, sure.f1(), sure.unknown)
	if out.in < 14 || across.in < 14 || !(likely.f1() >= 0.95 && sure.f1() >= 0.97) {
		t.Error("not accurate enough")
	}
}

func TestTouchAbsent(t *testing.T) {
	rng := stream("contact/touch", 99)
	q := randomPlayer(rng)
	q.hz, q.heightError, q.strings = 120, 0, contact.Strings{Number: 6, SpacingMM: 10, CrownRadiusMM: -1}
	pl := q.play(40, rng)
	p := resting(&pl, q.strings, 3, 0.5, 0.03, [2]float64{12, 9}, rng)
	gap := trajectory.Placed{Unit: "mm", T: p.T, Across: append([]float64(nil), p.Across...), Out: append([]float64(nil), p.Out...)}
	for i, at := range p.T {
		if at > 0.1 && at < 0.4 {
			gap.Across[i], gap.Out[i] = math.NaN(), math.NaN()
		}
	}
	pixels := p
	pixels.Unit = "px"
	for _, c := range []struct {
		name string
		p    trajectory.Placed
		at   float64
		code string
	}{
		{"while playing", p, 1.2, "moving"},
		{"hidden", gap, 0.25, "hidden"},
		{"before the film", p, -3, "hidden"},
		{"after the film", p, 1e4, "hidden"},
		{"pixels", pixels, 0.2, "unit"},
	} {
		touch, err := contact.FindTouch(c.p, c.at, 3, q.strings, contact.TouchOptions{})
		if err != nil {
			t.Fatal(err)
		}
		if touch.Absent == nil || touch.Absent.Code != c.code || !math.IsNaN(touch.Out) {
			t.Errorf("%s: %+v, want absent as %q", c.name, touch, c.code)
		}
	}
	touch, err := contact.FindTouch(p, 0.2, 3, q.strings, contact.TouchOptions{})
	if err != nil || touch.Absent != nil || len(touch.Notes) != 1 || !strings.Contains(touch.Notes[0], "nearer to string 2") {
		t.Errorf("a marker 12 mm to the treble side: %+v, %v", touch, err)
	}
	if !(touch.From < 0.02 && touch.To > 0.45 && touch.To < 0.6) {
		t.Errorf("rest from %v to %v s, want 0 to 0.5", touch.From, touch.To)
	}
	front := trajectory.Placed{Unit: "mm", T: p.T, Across: p.Across, Along: p.Out}
	touch, err = contact.FindTouch(front, 0.2, 3, q.strings, contact.TouchOptions{})
	if err != nil || touch.Absent != nil || !math.IsNaN(touch.Out) || math.Abs(touch.Across-12) > 0.1 {
		t.Errorf("front: %+v, %v", touch, err)
	}
	if s := touch.Shift(trajectory.Placed{}, front); s.Out != nil || s.Along[5] != front.Along[5] || s.Across[5] != front.Across[5]-touch.Across {
		t.Error("front: shifted wrongly")
	}
	if _, err := contact.FindTouch(p, 0.2, 7, q.strings, contact.TouchOptions{}); err == nil || !strings.Contains(err.Error(), "touch_string is 7 and string_count is 6") {
		t.Errorf("string 7 of 6: %v", err)
	}
	if _, err := contact.FindTouch(p, 0.2, 3, contact.Strings{}, contact.TouchOptions{}); err == nil {
		t.Error("no strings: no error")
	}
}
