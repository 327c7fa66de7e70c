package simulate

import (
	"math"
	"testing"

	"github.com/plectrace/plectrace/trajectory"
	"github.com/plectrace/plectrace/variability/circular"
	"gonum.org/v1/gonum/spatial/r3"
	"gonum.org/v1/gonum/stat"
)

func TestTimeBase(t *testing.T) {
	steps := func(o Options) (mean, sd, least float64, n int) {
		ts := mustMake(t, o).Recording.T
		var d []float64
		least = math.Inf(1)
		for i := 1; i < len(ts); i++ {
			d = append(d, ts[i]-ts[i-1])
			least = math.Min(least, d[i-1])
		}
		mean, sd = stat.MeanStdDev(d, nil)
		return mean, sd, least, len(ts)
	}
	mean, sd, _, n := steps(exact(Options{FrameRate: 120}))
	near(t, "step", mean, 1.0/120, 1e-12)
	near(t, "even", sd, 0, 1e-12)
	near(t, "samples", float64(n), 20*120+1, 0)
	for name, o := range map[string]Options{
		"frames":           {FrameRate: 60, TimeJitter: 0.001},
		"stamps":           {FrameRate: 60, StampError: 0.001},
		"rounded to a ms":  {FrameRate: 60, TimeDecimals: 3},
		"far too much":     {FrameRate: 60, TimeJitter: 0.5, StampError: 0.5},
		"slowed":           {FrameRate: 240, SlowedBy: 8},
		"slow, and jitter": {FrameRate: 240, SlowedBy: 8, TimeJitter: 0.0002},
	} {
		mean, sd, least, _ := steps(o)
		slow := math.Max(o.SlowedBy, 1)
		near(t, name+": mean step", mean*o.FrameRate/slow, 1, 1e-3)
		if least <= 0 {
			t.Errorf("%s: time runs back", name)
		}
		want := math.Max(o.TimeJitter, o.StampError) * math.Sqrt2 * slow
		if name == "rounded to a ms" {
			// A third of 1/60 s rounded: steps of 16 and 17 ms, 1 and 2 in 3.
			want = 0.001 * math.Sqrt(2.0/9)
		}
		if name != "far too much" {
			near(t, name+": scatter of steps", sd, want, 0.05*want+2e-6)
		}
	}
	// Jittered frames see the tip where it is then; jittered stamps do not.
	at, _ := motion(t, Options{})
	for _, c := range []struct {
		o     Options
		least float64
		most  float64
	}{{Options{TimeJitter: 0.0004}, 0, 1e-6}, {Options{StampError: 0.0004}, 0.3, 2}} {
		k := mustMake(t, exact(c.o))
		worst := 0.0
		for i, p := range point(t, k, "tip") {
			worst = math.Max(worst, math.Abs(p.X-(960+12*at(k.Recording.T[i]).X)))
		}
		if worst < c.least || worst > c.most {
			t.Errorf("%+v: %v px off", c.o.TimeJitter, worst)
		}
	}
}

// A frame that averages over an exposure e sees a sine of f Hz smaller by
// sin(πfe)/(πfe).
func TestExposure(t *testing.T) {
	// Frames every quarter of a cycle, and far more, so that turns are seen.
	o := quiet(Options{Rate: 10, FrameRate: 100, Duration: 2})
	amplitude := func(o Options) float64 {
		var lo, hi = math.Inf(1), math.Inf(-1)
		var s, c float64
		k := mustMake(t, o)
		for i, p := range point(t, k, "tip")[:200] {
			lo, hi = math.Min(lo, p.X), math.Max(hi, p.X)
			sin, cos := math.Sincos(2 * math.Pi * 5 * k.Recording.T[i])
			s += p.X * sin / 100
			c += p.X * cos / 100
		}
		return math.Hypot(s, c)
	}
	near(t, "sharp", amplitude(o), 60, 1e-6) // 10 mm at 12 px/mm, half of it
	o.Exposure = 0.008
	x := math.Pi * 5 * 0.008
	near(t, "blurred", amplitude(o), 60*math.Sin(x)/x, 0.02) // 8 parts for the integral
}

func TestNoiseAndRounding(t *testing.T) {
	clean := mustMake(t, exact(Options{TrackMarks: true, Wrist: true}))
	noisy := mustMake(t, Options{TrackMarks: true, Wrist: true, Noise: 1.5, MarkNoise: 0.25, Decimals: -1, TimeDecimals: -1})
	for _, c := range []struct {
		name string
		sd   float64
	}{{"tip", 1.5}, {"wrist", 1.5}, {"bass", 0.25}, {"treble", 0.25}} {
		a, b := point(t, clean, c.name), point(t, noisy, c.name)
		var dx, dy []float64
		for i := range a {
			dx, dy = append(dx, b[i].X-a[i].X), append(dy, b[i].Y-a[i].Y)
		}
		for _, d := range [][]float64{dx, dy} {
			mean, sd := stat.MeanStdDev(d, nil)
			near(t, c.name+" mean", mean/c.sd, 0, 0.06) // 4 standard errors of 4801 samples
			near(t, c.name+" noise", sd/c.sd, 1, 0.05)
			near(t, c.name+" white", lag1(d), 0, 0.06)
		}
		near(t, c.name+" axes", stat.Correlation(dx, dy, nil), 0, 0.06)
	}
	rounded := mustMake(t, Options{Decimals: 2})
	for _, p := range point(t, rounded, "tip") {
		if math.Abs(p.X*100-math.Round(p.X*100)) > 1e-6 {
			t.Fatalf("%v is not rounded", p.X)
		}
	}
	near(t, "default noise", mustMake(t, Options{}).Options.Noise, 0.4, 0)
	space := mustMake(t, Options{View: trajectory.Spatial})
	if space.Recording.Unit != "mm" || space.Recording.Points[0].Planar() {
		t.Error("a 3-d take is not in mm")
	}
}

// The wrist moves with the hand's centre and, in phase, with its share of the
// tip's travel.
func TestWrist(t *testing.T) {
	for _, carry := range []float64{0, 0.3, 1} {
		o := exact(Options{Wrist: true, Carry: carry, PathAngle: 0.3, HandWander: 0.4, Changes: []Change{{At: 10, By: 2}}})
		k := mustMake(t, o)
		tip, wrist := point(t, k, "tip"), point(t, k, "wrist")
		var x, y []float64
		for i := range tip[:9*240] {
			// Differences over half a stroke leave the slow wander out.
			if i >= 12 {
				x, y = append(x, tip[i].X-tip[i-12].X), append(y, wrist[i].X-wrist[i-12].X)
			}
		}
		_, slope := stat.LinearRegression(x, y, nil, false)
		near(t, "carry", slope, carry, 0.02)
		near(t, "moves with the hand", wrist[19*240].X-wrist[240].X, 240, 70*carry+40)
	}
}

func TestSway(t *testing.T) {
	o := exact(Options{TrackMarks: true, Sway: 30, SwayAngle: 3 * circular.Degree, PathAngle: 0.2, Duration: 60})
	k := mustMake(t, o)
	still := mustMake(t, exact(Options{PathAngle: 0.2, Duration: 60}))
	tip, bass, treble, want := point(t, k, "tip"), point(t, k, "bass"), point(t, k, "treble"), point(t, still, "tip")
	far, turned := 0.0, 0.0
	for i := range tip {
		middle := r3.Scale(0.5, r3.Add(bass[i], treble[i]))
		axis := r3.Sub(treble[i], bass[i])
		near(t, "distance of the marks", r3.Norm(axis), 50*12, 1e-6)
		move := r3.Sub(middle, r3.Vec{X: 960, Y: 540})
		far = math.Max(far, math.Max(math.Abs(move.X), math.Abs(move.Y)))
		turned = math.Max(turned, math.Abs(math.Atan2(axis.Y, axis.X)))
		// The tip in the marks' frame does not sway.
		u := r3.Unit(axis)
		d := r3.Sub(tip[i], middle)
		near(t, "across", r3.Dot(d, u), want[i].X-960, 1e-6)
		near(t, "out", r3.Dot(d, r3.Vec{X: -u.Y, Y: u.X}), want[i].Y-540, 1e-6)
	}
	if far > 30 || far < 12 {
		t.Errorf("sways by %v px", far)
	}
	if d := turned / (3 * math.Pi / 180); d > 1 || d < 0.4 {
		t.Errorf("turns by %v of the bound", d)
	}
}

func TestMarkerUp(t *testing.T) {
	a, b := point(t, mustMake(t, exact(Options{})), "tip"), point(t, mustMake(t, exact(Options{MarkerUp: 10})), "tip")
	for i := range a {
		near(t, "10 mm further out", a[i].Y-b[i].Y, 120, 1e-9)
	}
}

// Facts of sampling: a turn of a sine of f Hz filmed at fps frames/s is missed
// by at most 1-cos(πf/fps) of its amplitude, and nearly that at worst; samples
// per stroke are fps/(2f). Values to two places from the arithmetic alone.
func TestSamplingFacts(t *testing.T) {
	for _, c := range []struct {
		cycle, fps        float64
		perStroke, missed float64 // missed in per cent
	}{
		{5.5, 30, 2.73, 16.13}, {5.5, 60, 5.45, 4.12}, {5.5, 240, 21.82, 0.26}, // 165 BPM sixteenths
		{20.0 / 3, 30, 2.25, 23.40}, {20.0 / 3, 60, 4.5, 6.03}, {20.0 / 3, 120, 9, 1.52}, // 200 BPM sixteenths
		{7, 30, 2.14, 25.69}, {7, 60, 4.29, 6.64},
	} {
		o := quiet(Options{Rate: 2 * c.cycle, FrameRate: c.fps, Duration: 60})
		o.Jitter = 0.01 // so that turns fall anywhere between two frames
		k := mustMake(t, o)
		tip := point(t, k, "tip")
		n := 0
		worst := 0.0
		for _, u := range k.Truth.Turns {
			best := math.Inf(1)
			for i := int((u.T - 0.5/c.cycle) * c.fps); i <= int((u.T+0.5/c.cycle)*c.fps); i++ {
				if i >= 0 && i < len(tip) && math.Abs(k.Recording.T[i]-u.T) < 0.25/c.cycle {
					best = math.Min(best, math.Abs((tip[i].X-960)/12-u.Across)/5)
				}
			}
			if u.T > 0.5 && u.T < 59.5 {
				n++
				worst = math.Max(worst, 100*best)
			}
		}
		near(t, "samples per stroke", c.fps/k.Truth.Rate, c.perStroke, 0.01*c.perStroke)
		// Durations scatter by 1 %, and the worst of n turns comes close to the
		// bound but need not touch it.
		if worst > 1.06*c.missed+0.01 || worst < 0.93*c.missed {
			t.Errorf("%.3g Hz at %v frames/s: misses %.2f %% of the amplitude at worst, want %.2f (%d turns)", c.cycle, c.fps, worst, c.missed, n)
		}
	}
}
