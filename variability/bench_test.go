package variability_test

import (
	"testing"

	"github.com/plectrace/plectrace/variability"
	"github.com/plectrace/plectrace/variability/circular"
	"github.com/plectrace/plectrace/variability/internal/series"
)

const benchStrokes = 6600 // ten minutes at 11 strokes per second

func BenchmarkSpreadOf(b *testing.B) {
	x := each(autoregression(benchStrokes, 0.3, 1), func(v float64) float64 { return v + 100 })
	b.ReportAllocs()
	for b.Loop() {
		variability.SpreadOf(x, variability.Options{})
	}
}

func BenchmarkAxialSpread(b *testing.B) {
	angles := make([]circular.Angle, benchStrokes)
	for i, v := range autoregression(benchStrokes, 0.3, 1) {
		angles[i] = circular.Angle(v / 10)
	}
	b.ReportAllocs()
	for b.Loop() {
		variability.AxialSpread(angles, variability.Options{})
	}
}

func BenchmarkEarlyLate(b *testing.B) {
	x, times := autoregression(benchStrokes, 0.3, 1), series.Times(benchStrokes, 0.09)
	b.ReportAllocs()
	for b.Loop() {
		if _, err := variability.EarlyLate(times, x, variability.EarlyLateOptions{}); err != nil {
			b.Fatal(err)
		}
	}
}

func BenchmarkTrend(b *testing.B) {
	x, times := autoregression(benchStrokes, 0.3, 1), series.Times(benchStrokes, 0.09)
	b.ReportAllocs()
	for b.Loop() {
		if _, err := variability.Trend(times, x, variability.TrendOptions{}); err != nil {
			b.Fatal(err)
		}
	}
}

func BenchmarkJointSpread(b *testing.B) {
	columns := mixed(nullSpec(0.3), benchStrokes, 1)
	for _, robust := range []bool{false, true} {
		b.Run(map[bool]string{false: "plain", true: "robust"}[robust], func(b *testing.B) {
			b.ReportAllocs()
			for b.Loop() {
				if _, err := variability.JointSpread(columns, variability.JointOptions{Robust: robust}); err != nil {
					b.Fatal(err)
				}
			}
		})
	}
}
