package filter_test

import (
	"testing"

	"github.com/plectrace/plectrace/trajectory/filter"
)

const benchSamples = 14400 // a minute at 240 samples per second

func perSample(b *testing.B) {
	b.ReportMetric(float64(b.Elapsed().Nanoseconds())/float64(b.N)/benchSamples, "ns/sample")
}

func BenchmarkZeroPhase(b *testing.B) {
	x, f := wander(benchSamples), lowPass(b, 12, 240)
	dst := make([]float64, len(x))
	b.ReportAllocs()
	for b.Loop() {
		f.ZeroPhase(dst, x)
	}
	perSample(b)
}

// The window has about the pass band of BenchmarkZeroPhase.
func BenchmarkSavitzkyGolay(b *testing.B) {
	x := wander(benchSamples)
	dst := make([]float64, len(x))
	for _, c := range []struct {
		name       string
		window     int
		derivative int
	}{{"window=7", 7, 0}, {"window=21", 21, 0}, {"window=21/speed", 21, 1}} {
		b.Run(c.name, func(b *testing.B) {
			f := filter.SavitzkyGolay{Window: c.window}
			b.ReportAllocs()
			for b.Loop() {
				_, _ = f.Apply(dst, x, c.derivative, 240)
			}
			perSample(b)
		})
	}
}

func BenchmarkPush(b *testing.B) {
	x, s := wander(benchSamples), once(b, 12, 240).Start()
	b.ReportAllocs()
	for b.Loop() {
		for _, v := range x {
			s.Push(v)
		}
	}
	perSample(b)
}

func BenchmarkHampel(b *testing.B) {
	x := wander(benchSamples)
	dst, flags := make([]float64, len(x)), make([]bool, len(x))
	b.ReportAllocs()
	for b.Loop() {
		filter.Hampel{Floor: 1}.Apply(dst, flags, x)
	}
	perSample(b)
}

func BenchmarkNoiseLevel(b *testing.B) {
	x := wander(benchSamples)
	b.ReportAllocs()
	for b.Loop() {
		filter.NoiseLevel(x)
	}
	perSample(b)
}

func BenchmarkDerivative(b *testing.B) {
	x := wander(benchSamples)
	dst := make([]float64, len(x))
	b.ReportAllocs()
	for b.Loop() {
		filter.Derivative(dst, x, 240)
	}
	perSample(b)
}

func BenchmarkResidualAnalysis(b *testing.B) {
	x := wander(benchSamples)
	b.ReportAllocs()
	for b.Loop() {
		_, _ = filter.ResidualAnalysis(x, 240, filter.ResidualOptions{})
	}
	perSample(b)
}
