package figure

import (
	"maps"
	"slices"
	"testing"
)

// TestLongTake draws ten minutes at 240 samples a second: each figure stays
// below 60 kB, whatever is out of sight.
func TestLongTake(t *testing.T) {
	s := newSample(600, 240, 0)
	for i := range s.strokes {
		s.strokes[i].EndHidden = true
	}
	if len(s.t) != 144_000 {
		t.Fatalf("%d samples", len(s.t))
	}
	for name, f := range long(s) {
		if n := len(SVG(f, Options{})); n > 60_000 {
			t.Errorf("%s: %d bytes", name, n)
		}
	}
}

// long returns the figures that grow with a take.
func long(s sample) map[string]Figure {
	x, y := s.film()
	return map[string]Figure{
		"strokes": StrokesOverTime{s.t, s.across, "mm", s.strokes},
		"paths":   Paths{Across: s.across, Out: s.out},
		"picture": Picture{X: x, Y: y},
		"rate":    RateOverTime{T: s.mid, Rate: s.rate},
		"angle":   AngleOverTime{T: s.mid, Angle: s.angle},
		"band":    AngleOverTime{T: s.mid, Angle: s.angle, Low: bounds(s.angle, -3), High: bounds(s.angle, 3)},
		"turns":   TurnScatter{AfterUp: Turns{s.fromX, s.fromY}, AfterDown: Turns{s.toX, s.toY}},
		"early":   EarlyLate{[]Pair{{"angle", "", s.angle, s.angle}, {"length", "", s.length, s.length}, {"lasts", "", s.lasts, s.lasts}}},
	}
}

// BenchmarkLongTake draws ten minutes at 240 samples a second.
func BenchmarkLongTake(b *testing.B) {
	figures := long(newSample(600, 240, 0))
	for _, name := range slices.Sorted(maps.Keys(figures)) {
		b.Run(name, func(b *testing.B) {
			b.ReportAllocs()
			for b.Loop() {
				SVG(figures[name], Options{})
			}
		})
	}
}
