package cycle_test

import (
	"math"
	"math/rand/v2"
	"testing"

	"github.com/plectrace/plectrace/motion"
	"github.com/plectrace/plectrace/motion/cycle"
	"github.com/plectrace/plectrace/motion/simulate"
	"github.com/plectrace/plectrace/trajectory"
	"github.com/plectrace/plectrace/variability/circular"
)

// TestFewOrNone: what cannot be had is absent with its reason and no error.
func TestFewOrNone(t *testing.T) {
	p, _ := maker{seed: 1, hz: 120, rate: 8, strokes: 61, noise: 0.05}.make()
	m, err := motion.Analyze(p, motion.Options{})
	if err != nil {
		t.Fatal(err)
	}
	for _, n := range []int{0, 1, 2, 11} {
		c, err := cycle.Fit(p, m, m.Strokes[:n], cycle.Options{})
		if err != nil {
			t.Fatal(err)
		}
		if c.Absent == nil || c.Absent.Why == "" || c.Length.Known() || c.Length.Absent == nil || c.PathAngle.Absent == nil || c.ClearingWhy == nil {
			t.Errorf("%d strokes: %+v", n, c)
		}
		if x, v := c.At(0.3); x.Across == x.Across || v.Across == v.Across {
			t.Errorf("%d strokes: a place %v", n, x)
		}
		if lo, _ := c.Band(0.3); lo.Across == lo.Across {
			t.Errorf("%d strokes: a band from %v", n, lo)
		}
		if s := c.Spread(0.3); s.Across == s.Across {
			t.Errorf("%d strokes: a spread %v", n, s)
		}
		if _, err := cycle.FromCycle(c, "", cycle.Margins{}); err == nil {
			t.Errorf("%d strokes make a reference", n)
		}
	}
	// Two strokes at the ends count for no whole cycle where they lack their
	// other half.
	c, err := cycle.Fit(p, m, m.Strokes[1:13], cycle.Options{})
	if err != nil || c.Absent == nil && c.Cycles > 6 {
		t.Errorf("%d cycles of 12 strokes, %v", c.Cycles, err)
	}
	var zero cycle.Cycle
	if x, _ := zero.At(0); x.Across == x.Across {
		t.Errorf("the zero cycle lies at %v", x)
	}
	for _, ph := range []float64{math.NaN(), math.Inf(1)} {
		c, _ := cycle.Fit(p, m, m.Strokes, cycle.Options{})
		if x, _ := c.At(ph); x.Across == x.Across {
			t.Errorf("phase %g lies at %v", ph, x)
		}
	}
	broken := p
	broken.T = append([]float64(nil), p.T...)
	broken.T[5] = broken.T[4]
	if _, err := cycle.Fit(broken, m, m.Strokes, cycle.Options{}); err == nil {
		t.Error("no error for a path with equal times")
	}
}

// TestClosed: the cycle is closed, phase 1 is phase 0, and its velocity is the
// slope of its place.
func TestClosed(t *testing.T) {
	c := cycleOf(t, tutor, trajectory.Spatial)
	a, _ := c.At(0)
	b, _ := c.At(1)
	z, _ := c.At(-3)
	if math.Abs(a.Across-b.Across)+math.Abs(a.Out-b.Out)+math.Abs(a.Along-z.Along) > 1e-9 {
		t.Errorf("phase 0 %v, 1 %v, -3 %v", a, b, z)
	}
	for _, ph := range []float64{0.1, 0.3, 0.48, 0.9} {
		const h = 1e-5
		x, _ := c.At(ph - h)
		y, _ := c.At(ph + h)
		_, v := c.At(ph)
		if want := (y.Across - x.Across) / (2 * h * c.Period.Value); math.Abs(v.Across-want) > 1e-3*math.Abs(want)+0.01 {
			t.Errorf("phase %g: velocity %g, slope %g", ph, v.Across, want)
		}
	}
	first, _ := c.At(0)
	second, _ := c.At(c.DownShare.Value)
	d := math.Sqrt(math.Pow(second.Across-first.Across, 2) + math.Pow(second.Along-first.Along, 2) + math.Pow(second.Out-first.Out, 2))
	if math.Abs(d-c.Length.Value) > 0.01 {
		t.Errorf("the turns are %.3f mm apart, length %.3f", d, c.Length.Value)
	}
}

// TestErrorsOfTheFrame: the frame's own errors are in the intervals, and
// without a zero there are no heights.
func TestErrorsOfTheFrame(t *testing.T) {
	m := tutor
	m.height = 3
	p, _ := m.make()
	fit := func(o motion.Options) cycle.Cycle {
		mo, err := motion.Analyze(p, o)
		if err != nil {
			t.Fatal(err)
		}
		c, err := cycle.Fit(p, mo, mo.Strokes, cycle.Options{})
		if err != nil {
			t.Fatal(err)
		}
		return c
	}
	c := fit(motion.Options{})
	if c.Clearing != motion.ClearsBoth {
		t.Errorf("clearing is %v: %+v", c.Clearing, c.ClearingWhy)
	}
	c = fit(motion.Options{AxisError: 1 * circular.Degree})
	if w := (c.PathAngle.High - c.PathAngle.Low).Degrees(); w < 3.92 || w > 4.2 {
		t.Errorf("the path angle's interval is %.2f degrees wide with an axis error of 1", w)
	}
	c = fit(motion.Options{HeightError: 2})
	if c.Clearing != motion.ClearingUnknown || c.ClearingWhy.Code != "undecided" || c.HeightAfterUp.High-c.HeightAfterUp.Low < 7.8 {
		t.Errorf("clearing is %v with a height error of 2 mm: %+v", c.Clearing, c.HeightAfterUp)
	}
	was := c.HeightAfterDown
	c = fit(motion.Options{HeightError: 2, StringLow: 0.5, StringHigh: 1.5})
	if h := c.HeightAfterDown; math.Abs(h.Value-was.Value+1) > 1e-9 || math.Abs(h.Low-was.Low+1.5) > 1e-9 || math.Abs(h.High-was.High+0.5) > 1e-9 {
		t.Errorf("height over a string at 0.5 to 1.5 mm: %+v, over the plane %+v", h, was)
	}
	c = fit(motion.Options{Relative: true, RelativeWhy: "a marker"})
	if c.HeightAfterDown.Known() || c.Clearing != motion.ClearingUnknown || c.ClearingWhy.Why != "a marker" || !c.Rise.Known() {
		t.Errorf("heights without a zero: %+v", c.HeightAfterDown)
	}
}

// TestSimulated holds mean cycles to takes of package simulate, string changes,
// a tracker's faults and all.
func TestSimulated(t *testing.T) {
	for _, hz := range []float64{60, 120, 240, 1000} {
		o := simulate.Options{
			Seed: 11, FrameRate: hz, Rate: 13.3, PathAngle: 17 * circular.Degree, Curvature: 0.03, DownShare: 0.49,
			ChangeEvery: 4, DropOuts: 0.02, Noise: 0.4, HandWander: 0.3, Duration: 15,
		}
		c := fit(o)
		if c.Absent != nil {
			t.Fatal(c.Absent)
		}
		if e := c.Length.Value/10 - 1; math.Abs(e) > 0.015 {
			t.Errorf("%g frames/s: length %.3f, asked for 10", hz, c.Length.Value)
		}
		if e := c.PathAngle.Value.Degrees() - 17; math.Abs(e) > 0.7 {
			t.Errorf("%g frames/s: path angle off by %.2f degrees", hz, e)
		}
		limit := 0.05
		if hz == 60 {
			limit = 0.1
		}
		if e := c.Curvature.Value/0.03 - 1; math.Abs(e) > limit {
			t.Errorf("%g frames/s: curvature %.4f, asked for 0.03", hz, c.Curvature.Value)
		}
		if math.Abs(c.LoopWidth.Value) > 0.05 {
			t.Errorf("%g frames/s: loop width %.3f mm of a path that is retraced", hz, c.LoopWidth.Value)
		}
		if c.LeftOut == 0 {
			t.Errorf("%g frames/s: no stroke to another string is left out", hz)
		}
	}
}

// TestUnits: millimetres or not, lengths scale and angles stay.
func TestUnits(t *testing.T) {
	p, _ := tutor.make()
	m, err := motion.Analyze(p, motion.Options{})
	if err != nil {
		t.Fatal(err)
	}
	a, err := cycle.Fit(p, m, m.Strokes, cycle.Options{})
	if err != nil {
		t.Fatal(err)
	}
	q := p
	q.Unit = "px"
	q.Across, q.Out = make([]float64, p.Len()), make([]float64, p.Len())
	for i := range p.T {
		q.Across[i], q.Out[i] = 12*p.Across[i], 12*p.Out[i]
	}
	if m, err = motion.Analyze(q, motion.Options{}); err != nil {
		t.Fatal(err)
	}
	b, err := cycle.Fit(q, m, m.Strokes, cycle.Options{})
	if err != nil {
		t.Fatal(err)
	}
	for _, v := range [][2]float64{
		{12 * a.Length.Value, b.Length.Value}, {float64(a.PathAngle.Value), float64(b.PathAngle.Value)}, {a.Curvature.Value, 12 * b.Curvature.Value},
		{a.CurvatureLength.Value, b.CurvatureLength.Value}, {12 * a.Evenness.Value, b.Evenness.Value}, {a.EvennessShare.Value, b.EvennessShare.Value},
		{12 * a.PeakSpeedUp.Value, b.PeakSpeedUp.Value}, {12 * a.LoopWidth.Value, b.LoopWidth.Value},
	} {
		if math.Abs(v[0]-v[1]) > 1e-6*math.Abs(v[0]) {
			t.Errorf("%v", v)
		}
	}
	if b.Unit != "px" {
		t.Errorf("unit is %q", b.Unit)
	}
}

func BenchmarkFit(b *testing.B) {
	for _, c := range []struct {
		name    string
		hz      float64
		strokes int
	}{{"120 strokes", 120, 121}, {"120 strokes at 1000 per s", 1000, 121}, {"6000 strokes at 240 per s", 240, 6001}} {
		p, _ := maker{seed: 1, hz: c.hz, rate: 11, strokes: c.strokes, angle: 17, down: 0.03, up: 0.02, jitter: 0.03, scatter: 0.3, noise: 0.05}.make()
		m, err := motion.Analyze(p, motion.Options{})
		if err != nil {
			b.Fatal(err)
		}
		b.Run(c.name, func(b *testing.B) {
			b.ReportAllocs()
			for b.Loop() {
				if _, err := cycle.Fit(p, m, m.Strokes, cycle.Options{}); err != nil {
					b.Fatal(err)
				}
			}
		})
	}
}

func BenchmarkDistance(b *testing.B) {
	ref, c := referenceOf(b, tutor, trajectory.EndOn), cycleOf(b, tutor, trajectory.EndOn)
	b.ReportAllocs()
	for b.Loop() {
		ref.Distance(c)
	}
}

func BenchmarkSpectralArcLength(b *testing.B) {
	rng := rand.New(rand.NewPCG(1, 1))
	speed := make([]float64, 1000)
	for i := range speed {
		speed[i] = rng.Float64()
	}
	b.ReportAllocs()
	for b.Loop() {
		cycle.SpectralArcLength(speed, 240, cycle.SpectralOptions{})
	}
}

func BenchmarkSmooth(b *testing.B) {
	p, _ := maker{seed: 1, hz: 240, rate: 5, strokes: 1201, noise: 0.02}.make()
	m, err := motion.Analyze(p, motion.Options{})
	if err != nil {
		b.Fatal(err)
	}
	b.ReportAllocs()
	for b.Loop() {
		if _, err := cycle.Smooth(p, m, m.Strokes, cycle.SmoothOptions{}); err != nil {
			b.Fatal(err)
		}
	}
}
