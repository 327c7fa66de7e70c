package variability_test

import (
	"testing"

	"github.com/plectrace/plectrace/variability"
	"github.com/plectrace/plectrace/variability/circular"
)

const benchStrokes = 6600 // ten minutes at 11 strokes per second

func BenchmarkSpreadOf(b *testing.B) {
	x := each(series(benchStrokes, 0.3, 1), func(v float64) float64 { return v + 100 })
	b.ReportAllocs()
	for b.Loop() {
		variability.SpreadOf(x, variability.Options{})
	}
}

func BenchmarkAxialSpread(b *testing.B) {
	angles := make([]circular.Angle, benchStrokes)
	for i, v := range series(benchStrokes, 0.3, 1) {
		angles[i] = circular.Angle(v / 10)
	}
	b.ReportAllocs()
	for b.Loop() {
		variability.AxialSpread(angles, variability.Options{})
	}
}

func BenchmarkEarlyLate(b *testing.B) {
	x, times := series(benchStrokes, 0.3, 1), seconds(benchStrokes, 0.09)
	b.ReportAllocs()
	for b.Loop() {
		if _, err := variability.EarlyLate(times, x, variability.EarlyLateOptions{}); err != nil {
			b.Fatal(err)
		}
	}
}
