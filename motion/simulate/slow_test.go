package simulate

import (
	"math"
	"testing"

	"github.com/plectrace/plectrace/trajectory"
	"gonum.org/v1/gonum/stat"
)

// A film that is slowed from 5 to 7 s by 8 has 30 frames/s throughout; between,
// its motion is 8 times slower than life.
func TestSlowInside(t *testing.T) {
	for _, c := range []struct {
		name    string
		o       Options
		samples int
		last    float64 // on the film
	}{
		{"inside", Options{SlowAt: 5, SlowUntil: 7, SlowBy: 8}, (5 + 16 + 13) * 30, 34},
		{"to the end", Options{SlowAt: 15, SlowBy: 4}, (15 + 20) * 60, 35},
		{"from the start", Options{SlowUntil: 2, SlowBy: 10, FrameRate: 300}, (20 + 18) * 30, 38},
		{"slowed as a whole, too", Options{SlowAt: 5, SlowUntil: 7, SlowBy: 8, SlowedBy: 2}, 34 * 30, 68},
		{"not slowed", Options{SlowAt: 5, SlowUntil: 7, SlowBy: 1}, 20 * 240, 20},
		{"beyond the end", Options{SlowAt: 30, SlowUntil: 40, SlowBy: 8}, 20 * 30, 20},
	} {
		k := mustMake(t, exact(c.o))
		ts := k.Recording.T
		near(t, c.name+": samples", float64(len(ts)), float64(c.samples+1), 0)
		near(t, c.name+": last stamp", ts[len(ts)-1], c.last, 1e-9)
		step := c.last / float64(c.samples)
		at, _ := motion(t, c.o)
		worst := 0.0
		for i, p := range point(t, k, "tip") {
			near(t, c.name+": stamp", ts[i], float64(i)*step, 1e-9)
			real := k.RealTime(ts[i])
			near(t, c.name+": there and back", k.FilmTime(real), ts[i], 1e-9)
			worst = math.Max(worst, math.Abs(p.X-960-12*at(real).X))
		}
		near(t, c.name+": the tip is where it was then", worst, 0, 1e-6)
	}
	k := mustMake(t, Options{SlowAt: 5, SlowUntil: 7, SlowBy: 8})
	for _, c := range []struct{ real, film float64 }{{0, 0}, {4.9, 4.9}, {5.5, 9}, {7, 21}, {20, 34}} {
		near(t, "film time", k.FilmTime(c.real), c.film, 1e-12)
		near(t, "real time", k.RealTime(c.film), c.real, 1e-12)
	}
	// The strokes are those of a film that is not slowed.
	plain := mustMake(t, Options{}).Truth.Strokes
	for i, s := range k.Truth.Strokes {
		if s.Start != plain[i].Start {
			t.Fatalf("stroke %d is another", i)
		}
	}
	for _, o := range []Options{{SlowBy: 0.5}, {SlowBy: 1000}, {SlowBy: 8, SlowAt: 4, SlowUntil: 4}, {SlowBy: 8, SlowAt: -1}} {
		if _, err := Make(o); err == nil {
			t.Errorf("%v to %v s by %v is taken", o.SlowAt, o.SlowUntil, o.SlowBy)
		}
	}
}

// First-order autoregressive noise of coefficient a has the stated deviation
// and the correlation aᵏ at lag k.
func TestNoiseColour(t *testing.T) {
	for _, a := range []float64{0.3, 0.8} {
		o := exact(Options{Duration: 100})
		clean := point(t, mustMake(t, o), "tip")
		o.Noise, o.NoiseColour = 1.5, a
		noisy := point(t, mustMake(t, o), "tip")
		var e []float64
		for i := range clean {
			e = append(e, noisy[i].Y-clean[i].Y)
		}
		mean, sd := stat.MeanStdDev(e, nil)
		near(t, "mean", mean, 0, 0.12) // 24,000 samples, worth a ninth of that at 0.8
		near(t, "deviation", sd, 1.5, 0.05)
		near(t, "lag 1", lag1(e), a, 0.025)
		near(t, "lag 3", stat.Correlation(e[:len(e)-3], e[3:], nil), a*a*a, 0.05)
	}
}

// A rolling shutter sees a point when its row is read.
func TestReadout(t *testing.T) {
	for _, up := range []bool{false, true} {
		o := exact(Options{Readout: 0.004, Depth: -20, PathAngle: 0.4, Orientation: trajectory.Orientation{YUp: up}})
		k := mustMake(t, o)
		at, _ := motion(t, o)
		sign := 1.0
		if up {
			sign = -1
		}
		for i, p := range point(t, k, "tip") {
			late := 0.004 * sign * (p.Y - 540) / 1080
			want := at(k.Recording.T[i] + late)
			near(t, "x", p.X, 960+12*want.X, 1e-6)
			near(t, "y", p.Y, 540-sign*12*want.Z, 1e-6)
			if late > -0.0004 { // 20 mm above the strings is 240 px, less half a stroke
				t.Fatalf("read %v s late", late)
			}
		}
	}
	if _, err := Make(Options{Readout: 0.001, View: trajectory.Spatial}); err == nil {
		t.Error("rows in a 3-d view")
	}
}
