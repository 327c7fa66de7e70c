package filter_test

import (
	"fmt"
	"math"
	"strings"
	"testing"

	"github.com/plectrace/plectrace/trajectory/filter"
)

func TestCoefficients(t *testing.T) {
	for _, c := range readReference(t).Coefficients {
		name := fmt.Sprintf("%v of %v Hz", c.FC, c.FS)
		b, a := once(t, c.FC, c.FS).Coefficients()
		allNear(t, name+" b", b[:], c.B[:], 1e-12)
		allNear(t, name+" a", a[:], c.A[:], 1e-12)
		b, a = lowPass(t, c.FC, c.FS).Coefficients()
		allNear(t, name+" corrected b", b[:], c.BCorrected[:], 1e-12)
		allNear(t, name+" corrected a", a[:], c.ACorrected[:], 1e-12)
	}
}

// Winter (2009), 3.4.4.2 prints a0 = 0.06746, a1 = 0.13491, b1 = 1.14298 and
// b2 = -0.41280 for 6 Hz at 60 Hz (figures from memory; they are scipy's
// rounded). His b have the other sign.
func TestCoefficientsWinter(t *testing.T) {
	b, a := once(t, 6, 60).Coefficients()
	allNear(t, "b", b[:], []float64{0.06746, 0.13491, 0.06746}, 5e-6)
	allNear(t, "a", a[:], []float64{1, -1.14298, 0.41280}, 5e-6)
}

// Closed form: the gain of an n-th order Butterworth filter is 1/√2 at its
// cut-off, and that of two passes is the square.
func TestGain(t *testing.T) {
	for _, tc := range []struct{ cutoff, rate float64 }{
		{6, 60}, {6, 100}, {12, 120}, {20, 240}, {29, 60}, {0.5, 1000},
	} {
		if g := once(t, tc.cutoff, tc.rate).Gain(tc.cutoff, tc.rate); !near(g, math.Sqrt2/2, 1e-9) {
			t.Errorf("Once(%v, %v): gain %v at the cut-off, want 0.7071", tc.cutoff, tc.rate, g)
		}
		g := lowPass(t, tc.cutoff, tc.rate).Gain(tc.cutoff, tc.rate)
		if !near(g*g, math.Sqrt2/2, 1e-9) {
			t.Errorf("LowPass(%v, %v): gain %v of two passes, want 0.7071", tc.cutoff, tc.rate, g*g)
		}
		if g := lowPass(t, tc.cutoff, tc.rate).Gain(0, tc.rate); !near(g, 1, 1e-9) {
			t.Errorf("LowPass(%v, %v): gain %v at zero, want 1", tc.cutoff, tc.rate, g)
		}
	}
	if g := (filter.Butterworth{}).Gain(7, 100); g != 1 {
		t.Errorf("zero value: gain %v, want 1", g)
	}
}

// TestNoiseShare holds the closed form to the sum of the squared gain of both passes
// over all frequencies, which by Parseval's theorem is what is left of white noise.
func TestNoiseShare(t *testing.T) {
	for _, tc := range []struct{ share, most float64 }{{0.005, 0.001}, {0.05, 0.005}, {0.1, 0.016}, {0.25, 0.06}, {0.4, 0.06}} {
		const n = 5000
		f, sum := lowPass(t, tc.share, 1), 0.0
		for i := range n {
			g := f.Gain((float64(i)+0.5)/(2*n), 1)
			sum += g * g * g * g / n
		}
		if got := filter.NoiseShare(tc.share, 1); got < sum || got > sum*(1+tc.most) {
			t.Errorf("cut-off of %g of the rate: %.4f of the variance is left, want %.4f, at most %g more", tc.share, got, sum, tc.most)
		}
	}
	for _, cutoff := range []float64{-1, 0, 50, 80, math.NaN()} {
		if got := filter.NoiseShare(cutoff, 100); got != 1 {
			t.Errorf("cut-off %g Hz: %g of the noise is left, want all", cutoff, got)
		}
	}
}

// A long oscillation at the cut-off keeps 1/√2 of its amplitude in the middle
// of the result, and is not delayed.
func TestZeroPhaseGainAndPhase(t *testing.T) {
	const rate, hz, n = 240.0, 12.0, 2400
	x := make([]float64, n)
	for i := range x {
		x[i] = math.Sin(2 * math.Pi * hz * float64(i) / rate)
	}
	y := lowPass(t, hz, rate).ZeroPhase(nil, x)
	for i := 400; i < n-400; i++ {
		if !near(y[i], x[i]*math.Sqrt2/2, 1e-9) {
			t.Fatalf("sample %d is %v, want %v", i, y[i], x[i]*math.Sqrt2/2)
		}
	}
}

func TestZeroPhaseReference(t *testing.T) {
	for _, c := range readReference(t).Filtfilt {
		f := once(t, c.FC, c.FS)
		if c.Corrected {
			f = lowPass(t, c.FC, c.FS)
		}
		name := fmt.Sprintf("%v of %v Hz, corrected %v, %d samples, padding %d", c.FC, c.FS, c.Corrected, len(c.X), c.Padlen)
		allNear(t, name, f.ZeroPhase(nil, c.X), c.Y, 1e-12)
	}
}

func TestStateReference(t *testing.T) {
	for _, c := range readReference(t).Causal {
		s := once(t, c.FC, c.FS).Start()
		y := make([]float64, len(c.X))
		for i, x := range c.X {
			y[i] = s.Push(x)
		}
		allNear(t, fmt.Sprintf("%v of %v Hz", c.FC, c.FS), y, c.Y, 1e-12)
	}
}

// A ramp comes out of a causal filter late by the group delay at zero.
func TestDelay(t *testing.T) {
	f := once(t, 12, 240)
	s := f.Start()
	var y float64
	const n = 2000
	for i := range n {
		y = s.Push(float64(i))
	}
	if got := n - 1 - y; !near(got, f.Delay(), 1e-9) {
		t.Errorf("a ramp is late by %v samples, Delay says %v", got, f.Delay())
	}
	if d := (filter.Butterworth{}).Delay(); d != 0 {
		t.Errorf("zero value: delay %v, want 0", d)
	}
}

func TestDesignErrors(t *testing.T) {
	for _, tc := range []struct {
		cutoff, rate float64
		says         string
	}{
		{0, 100, "cut-off"}, {-1, 100, "cut-off"}, {50, 100, "cut-off"}, {60, 100, "cut-off"},
		{math.NaN(), 100, "cut-off"}, {math.Inf(1), 100, "cut-off"},
		{6, 0, "sample rate"}, {6, -100, "sample rate"}, {6, math.NaN(), "sample rate"}, {6, math.Inf(1), "sample rate"},
	} {
		for name, design := range map[string]func(c, r float64) (filter.Butterworth, error){"LowPass": filter.LowPass, "Once": filter.Once} {
			f, err := design(tc.cutoff, tc.rate)
			if err == nil || !strings.Contains(err.Error(), tc.says) {
				t.Errorf("%s(%v, %v): error %v, want one about the %s", name, tc.cutoff, tc.rate, err, tc.says)
			}
			if f != (filter.Butterworth{}) {
				t.Errorf("%s(%v, %v): a filter beside the error", name, tc.cutoff, tc.rate)
			}
		}
	}
}
