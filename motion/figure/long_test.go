package figure_test

import (
	"maps"
	"math"
	"slices"
	"testing"

	"github.com/plectrace/plectrace/motion/figure"
)

// TestLongTake draws ten minutes at 240 samples a second: what is drawn follows
// the width, and not the number of samples.
func TestLongTake(t *testing.T) {
	s := newSample(600, 240, 0)
	for i := range s.strokes {
		s.strokes[i].EndHidden = true
	}
	if len(s.t) != 144_000 {
		t.Fatalf("%d samples", len(s.t))
	}
	for name, f := range long(s) {
		for _, width := range widths {
			most := 30_000 + 80*width
			if n := len(figure.SVG(f, figure.Options{Width: width})); n > most {
				t.Errorf("%s, %d units wide: %d bytes, more than %d", name, width, n, most)
			}
		}
	}
}

// long returns the figures that grow with a take.
func long(s sample) map[string]figure.Figure {
	x, y := s.film()
	curve := figure.Curve{X: s.mid, Y: s.rate, Low: moved(s.rate, -1), High: moved(s.rate, 1)}
	var parts []figure.Part
	for t := 0.0; t < 600; t += 5 {
		parts = append(parts,
			figure.Part{Span: figure.Span{Start: t, End: t + 3}, Kind: "settled"},
			figure.Part{Span: figure.Span{Start: t + 3, End: t + 4.5}, Kind: "searching"})
	}
	apart := slices.Clone(s.strokes) // a rest after every stroke
	for i := range apart {
		apart[i].End -= 0.02
	}
	share := figure.Share{Name: "wrist", Strokes: s.angle}
	return map[string]figure.Figure{
		"strokes": figure.StrokesOverTime{T: s.t, Across: s.across, Unit: "mm", Strokes: s.strokes},
		"paths":   figure.Paths{Across: s.across, Out: s.out},
		"picture": figure.Picture{X: x, Y: y},
		"rate":    figure.RateOverTime{T: s.mid, Rate: s.rate, Curve: curve},
		"angle":   figure.AngleOverTime{T: s.mid, Angle: s.angle},
		"gaps":    figure.StrokesOverTime{T: s.t, Across: gaps(s.across), Strokes: s.strokes},
		"rests":   figure.StrokesOverTime{T: s.t, Across: s.across, Strokes: apart},
		"dotted":  figure.AngleOverTime{T: s.mid, Angle: gaps(s.angle)},
		"broken": figure.RateOverTime{T: s.mid, Rate: gaps(s.rate), Curve: figure.Curve{
			X: s.mid, Y: gaps(s.rate), Low: gaps(moved(s.rate, -1)), High: gaps(moved(s.rate, 1)),
		}},
		"carry": figure.CarryOverTime{T: s.mid, Carry: s.angle},
		"band":  figure.AngleOverTime{T: s.mid, Angle: s.angle, Low: moved(s.angle, -3), High: moved(s.angle, 3)},
		"turns": figure.TurnScatter{AfterUp: figure.Turns{Across: s.fromX, Second: s.fromY}, AfterDown: figure.Turns{Across: s.toX, Second: s.toY}},
		"cycle": figure.MeanCycle{Mean: figure.Loop{Across: s.across, Second: s.out, HalfAcross: s.t, HalfSecond: s.t}},
		"drive": figure.DriveOverTime{T: s.mid, Shares: []figure.Share{share, share}},
		"spans": figure.SpansOverTake{Strips: []figure.Strip{{Parts: parts, Numbered: true}}},
		"early": figure.EarlyLate{Pairs: []figure.Pair{
			{Name: "angle", Early: s.angle, Late: s.angle}, {Name: "length", Early: s.length, Late: s.length}, {Name: "lasts", Early: s.lasts, Late: s.lasts},
		}},
	}
}

// gaps returns values with gap after gap, as where turns are out of sight.
func gaps(values []float64) []float64 {
	out := slices.Clone(values)
	for i := range out {
		if i%3 == 1 {
			out[i] = math.NaN()
		}
	}
	return out
}

// BenchmarkLongTake draws ten minutes at 240 samples a second.
func BenchmarkLongTake(b *testing.B) {
	figures := long(newSample(600, 240, 0))
	for _, name := range slices.Sorted(maps.Keys(figures)) {
		b.Run(name, func(b *testing.B) {
			b.ReportAllocs()
			for b.Loop() {
				figure.SVG(figures[name], figure.Options{})
			}
		})
	}
}
