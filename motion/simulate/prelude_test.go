package simulate

import (
	"math"
	"testing"

	"gonum.org/v1/gonum/spatial/r3"
)

// The tip rests on its string for the touch, and plays the strokes of a take
// without one after it.
func TestTouch(t *testing.T) {
	for _, c := range []struct {
		name   string
		o      Options
		at     float64
		string int
		across float64
	}{
		{"touch", Options{TouchFor: 1}, 0.5, 3, 5},
		{"on another string", Options{TouchFor: 0.6, TouchString: 6}, 0.3, 6, -25},
		{"after the card", Options{Card: true, TouchFor: 1}, 1.8, 3, 5},
		{"on a crown", Options{TouchFor: 1, TouchString: 2, CrownRadius: 254, Strings: 4}, 0.5, 2, 5},
	} {
		plain := c.o
		plain.Card, plain.TouchFor = false, 0
		want := mustMake(t, plain).Truth.Strokes
		at, tr := motion(t, c.o)
		near(t, c.name+": touch", tr.TouchAt, c.at, 1e-12)
		near(t, c.name+": string", float64(tr.TouchString), float64(c.string), 0)
		s := tr.Strings[c.string-1]
		near(t, c.name+": across", s.Across, c.across, 1e-12)
		for x := -c.o.TouchFor / 2; x <= c.o.TouchFor/2; x += 0.01 {
			p := at(c.at + x*0.999)
			near(t, c.name+": rests", r3.Norm(r3.Sub(p, r3.Vec{X: s.Across, Z: s.Out})), 0, 1e-12)
		}
		start := c.at + c.o.TouchFor/2 + approaches
		near(t, c.name+": plays from", tr.Strokes[0].Start, start, 1e-9)
		near(t, c.name+": pause", tr.Pauses[0].End, start, 1e-9)
		near(t, c.name+": pause from", tr.Pauses[0].Start, 0, 0)
		near(t, c.name+": first turn", tr.Turns[0].T, start, 1e-9)
		// The plain take's first strokes lie before the film.
		skip := 0
		for skip < 5 && tr.Strokes[skip].Length != want[0].Length {
			skip++
		}
		for i, s := range tr.Strokes[skip : skip+100] {
			if s.Length != want[i].Length || s.PathAngle != want[i].PathAngle {
				t.Fatalf("%s: stroke %d is another", c.name, i)
			}
		}
		// No leap on the way to the first turn.
		for x := start - approaches - 0.1; x < start+0.05; x += 1e-4 {
			if v := r3.Norm(r3.Sub(at(x+1e-4), at(x))) / 1e-4; v > 400 {
				t.Fatalf("%s: %v mm/s at %v s", c.name, v, x)
			}
		}
	}
}

// The tracked point keeps its place against the tip through touch and playing.
func TestTouchWithMarker(t *testing.T) {
	o := exact(Options{TouchFor: 1, Duration: 4})
	a := point(t, mustMake(t, o), "tip")
	o.MarkerUp, o.MarkerAcross = 9, -3
	k := mustMake(t, o)
	b := point(t, k, "tip")
	for i := range a {
		near(t, "across", b[i].X-a[i].X, -36, 1e-9)
		near(t, "out", a[i].Y-b[i].Y, 108, 1e-9)
	}
	i := int(k.Truth.TouchAt * 240)
	near(t, "marker at the touch", b[i].Y, 540-108, 1e-9)
	near(t, "and to the side", b[i].X, 960+60-36, 1e-9)
}

func TestPreludeTooLong(t *testing.T) {
	if _, err := Make(Options{Duration: 2, Card: true, TouchFor: 1}); err == nil {
		t.Error("a take that ends before it begins")
	}
	k := mustMake(t, Options{Duration: 3, Card: true, Pauses: []Pause{{At: 0.5, For: 0.2}}})
	if n := len(k.Truth.Strokes); n < 8 || n > 11 { // 1 s of 10 strokes/s
		t.Errorf("%d strokes", n)
	}
}

// The strings of a crown lie on a circle through the outer two; what is reached
// is decided string by string.
func TestCrown(t *testing.T) {
	const r = 184.15 // 7 1/4 inches
	o := exact(Options{CrownRadius: r, ChangeEvery: 0.5, Duration: 60, Depth: 0.4, AngleScatter: 0.1, HandWander: 0.3, PathAngle: 0.1})
	at, tr := motion(t, o)
	for i, s := range tr.Strings {
		near(t, "across", s.Across, 25-10*float64(i), 1e-12)
		near(t, "on the circle", math.Hypot(s.Across, s.Out+math.Sqrt(r*r-25*25)), r, 1e-9)
	}
	near(t, "first string", tr.Strings[0].Out, 0, 1e-12)
	near(t, "third string", tr.Strings[2].Out, 1.63699, 5e-6) // √(184.15²-5²) - √(184.15²-25²)
	missed, inner := 0, 0
	for _, s := range tr.Strokes {
		// Every string between the turns, in order, is reached or too high.
		var want []int
		depth := math.NaN()
		for i := range tr.Strings {
			n := i + 1
			if s.Down {
				n = len(tr.Strings) - i
			}
			y := tr.Strings[n-1]
			lo, hi := s.Start, s.End
			if (at(lo).X-y.Across)*(at(hi).X-y.Across) > 0 {
				continue
			}
			for range 50 {
				m := (lo + hi) / 2
				if (at(m).X < y.Across) == (at(s.Start).X < y.Across) {
					lo = m
				} else {
					hi = m
				}
			}
			if d := y.Out - at(hi).Z; d > 0 {
				if want == nil {
					depth = d
				}
				want = append(want, n)
			}
		}
		if len(want) != len(s.Strings) {
			t.Fatalf("reaches %v, want %v", s.Strings, want)
		}
		for i := range want {
			if s.Strings[i] != want[i] {
				t.Fatalf("reaches %v, want %v", s.Strings, want)
			}
			if want[i] == 3 || want[i] == 4 {
				inner++
			}
		}
		if len(want) == 0 {
			missed++
			continue
		}
		near(t, "depth", s.StruckDepth, depth, 1e-6)
		last := tr.Strings[want[len(want)-1]-1]
		near(t, "follow-through", s.FollowThrough, math.Abs(at(s.End-1e-12).X-last.Across), 1e-6)
	}
	if missed == 0 || inner < 100 {
		t.Errorf("%d missed, %d on the inner strings: the take shows nothing", missed, inner)
	}
	// Without scatter, a stroke on an inner string runs as deep below it as one
	// on a flat instrument.
	_, tr = motion(t, quiet(Options{CrownRadius: r, Depth: 0.7}))
	for _, s := range tr.Strokes {
		near(t, "depth", s.StruckDepth, 0.7, 1e-9)
		near(t, "follow-through", s.FollowThrough, 5, 1e-9)
		near(t, "height", s.HeightStart, tr.Strings[2].Out-0.7, 1e-9)
	}
	if tr.Clearing != "neither" {
		t.Errorf("clears %s", tr.Clearing)
	}
	if _, err := Make(Options{CrownRadius: 26}); err == nil {
		t.Error("strings at 25 mm on a cylinder of 26 mm")
	}
}
