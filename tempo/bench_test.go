package tempo_test

import (
	"fmt"
	"testing"

	"github.com/plectrace/plectrace/tempo"
	"github.com/plectrace/plectrace/variability/estimate"
)

// A take of 30 s and one of 10 minutes at ten strokes a second.
func benchmarkTakes(b *testing.B, do func(turns []float64, c tempo.Curve)) {
	for _, n := range []int{300, 6000} {
		turns := hand{memory: 0.3, clock: 0.03, jitter: 0.02, uneven: 0.1}.turns(estimate.Stream(1, "benchmark"), n, nil)
		c := tempo.NewCurve(turns, tempo.CurveOptions{})
		b.Run(fmt.Sprintf("strokes=%d", n), func(b *testing.B) {
			b.ReportAllocs()
			for b.Loop() {
				do(turns, c)
			}
		})
	}
}

func BenchmarkNewCurve(b *testing.B) {
	benchmarkTakes(b, func(turns []float64, _ tempo.Curve) { tempo.NewCurve(turns, tempo.CurveOptions{}) })
}

func BenchmarkDrift(b *testing.B) {
	benchmarkTakes(b, func(_ []float64, c tempo.Curve) { c.Drift(estimate.BootstrapOptions{}) })
}

func BenchmarkFastest(b *testing.B) {
	benchmarkTakes(b, func(_ []float64, c tempo.Curve) {
		if _, err := c.Fastest(tempo.FastestOptions{}); err != nil {
			b.Fatal(err)
		}
	})
}
