package cycle_test

import (
	"flag"
	"fmt"
	"math"
	"math/rand/v2"
	"testing"

	"github.com/plectrace/plectrace/motion"
	"github.com/plectrace/plectrace/motion/cycle"
	"github.com/plectrace/plectrace/motion/simulate"
	"github.com/plectrace/plectrace/trajectory"
	"github.com/plectrace/plectrace/variability/circular"
	"github.com/plectrace/plectrace/variability/estimate"
)

var heldOutTakes = flag.Int("heldout", 0, "takes a row of TestHeldOut; 0 means a few")

// drawn is a take of package simulate, all of whose options are drawn, and the
// truth of its mean cycle.
type drawn struct {
	o     simulate.Options
	cycle cycle.Cycle
}

// draw returns the options of a take: another motion, hand, camera and number
// of strokes for every seed.
func draw(seed uint64, hz, noise float64) simulate.Options {
	rng := rand.New(rand.NewPCG(seed, 90210))
	between := func(a, b float64) float64 { return a + (b-a)*rng.Float64() }
	o := simulate.Options{
		Seed: seed, FrameRate: hz, Noise: noise,
		Rate:          between(5, 13),
		PathAngle:     circular.Angle(between(-30, 30)) * circular.Degree,
		Length:        between(7, 14),
		Curvature:     between(-0.03, 0.05),
		DownShare:     between(0.45, 0.55),
		Lead:          between(-0.2, 0.2),
		Jitter:        between(0.01, 0.06),
		AngleScatter:  circular.Angle(between(0.3, 3)) * circular.Degree,
		LengthScatter: between(0.01, 0.08),
		HandWander:    between(0, 0.5),
		Duration:      between(5, 16),
	}
	if rng.IntN(2) == 0 {
		o.Profile = simulate.MinimumJerk
	}
	if rng.IntN(3) == 0 {
		o.Exposure = between(0.2, 1) / hz
	}
	if rng.IntN(3) == 0 {
		o.DropOuts = between(0, 0.1)
	}
	return o
}

func drawnTake(t *testing.T, o simulate.Options) drawn {
	t.Helper()
	p := placed(o)
	m, err := motion.Analyze(p, motion.Options{})
	if err != nil {
		t.Fatal(err)
	}
	c, err := cycle.Fit(p, m, m.Strokes, cycle.Options{View: trajectory.EndOn, Exposure: o.Exposure})
	if err != nil {
		t.Fatal(err)
	}
	return drawn{o, c}
}

// path is the profile of package simulate by its formula in the doc there.
func (d drawn) path(u float64) float64 {
	w := u + d.o.Lead/(2*math.Pi)*(1-math.Cos(2*math.Pi*u))
	if d.o.Profile == simulate.MinimumJerk {
		return w * w * w * (10 + w*(6*w-15))
	}
	return (1 - math.Cos(math.Pi*w)) / 2
}

// place is that of the mean cycle, across and out, about the middle of its
// chord.
func (d drawn) place(phase float64) (across, out float64) {
	phase -= math.Floor(phase)
	var s float64
	if share := d.o.DownShare; phase < share {
		s = d.path(phase / share)
	} else {
		s = 1 - d.path((phase-share)/(1-share))
	}
	sin, cos := math.Sincos(d.o.PathAngle.Radians())
	h := d.o.Curvature * d.o.Length * d.o.Length / 8 * 4 * s * (1 - s)
	return (s-0.5)*d.o.Length*cos - h*sin, (s-0.5)*d.o.Length*sin + h*cos
}

// peak is the greatest speed along the chord of a stroke that lasts 1 s.
func (d drawn) peak() float64 {
	top := 0.0
	const n = 2000
	for i := range n {
		top = math.Max(top, n*(d.path(float64(i+1)/n)-d.path(float64(i)/n)))
	}
	return top * d.o.Length
}

// evenness is the root mean square over the cycle of what the scatter of two
// turns leaves between them: s of one and 1-s of the other. Turns scatter by
// 1/√2 of what strokes do. What the hand does faster than the slow centre
// follows comes on top.
func (d drawn) evenness() float64 {
	sum := 0.0
	const n = 2000
	for i := range n {
		s := d.path((float64(i) + 0.5) / n)
		sum += (s*s + (1-s)*(1-s)) / n
	}
	scatter := d.o.Length * math.Hypot(d.o.LengthScatter, d.o.AngleScatter.Radians()) * math.Sqrt(sum/2)
	return math.Hypot(scatter, d.o.HandWander*math.Sqrt(2*d.quick()))
}

// quick is the share of the variance of the hand's wander, which keeps 0.98
// from turn to turn in package simulate, that is left of it beside local lines
// with tricube weights, half a second and half a cycle to each side and three
// cycles at least, through the centres of the cycles: a quarter, a half and a
// quarter of three turns.
func (d drawn) quick() float64 {
	period := 2 / d.o.Rate
	half := math.Max(0.5, 3*period) + period/2
	reach := int(half / period)
	weight := make([]float64, 4*reach+5) // of the turns about the one in the middle
	total := 0.0
	for j := -reach; j <= reach; j++ {
		k := math.Pow(1-math.Pow(math.Abs(float64(j))*period/half, 3), 3)
		total += k
		for i, share := range [3]float64{0.25, 0.5, 0.25} {
			weight[2*(j+reach)+i+1] -= k * share
		}
	}
	for i := range weight {
		weight[i] /= total
	}
	weight[2*reach+2]++
	left := 0.0
	for i, v := range weight {
		for j, w := range weight {
			left += v * w * math.Pow(0.98, math.Abs(float64(i-j)))
		}
	}
	return left
}

// held gathers what the intervals of drawn takes hold.
type held struct {
	length, angle, curvature, share, speed, evenness, band tally
	harmonics, takes                                       float64
	answers                                                map[string]*answers
}

// answers counts what is said of motions that are truly within or beyond.
type answers struct{ of, inside, outside int }

func (h *held) add(d drawn) {
	h.count(d)
	if d.cycle.Absent == nil {
		h.judge(d)
	}
}

func (h *held) count(d drawn) {
	c := d.cycle
	h.takes++
	h.harmonics += float64(c.Harmonics)
	if c.Absent != nil {
		h.length.absent++
		return
	}
	// Curvature counts in bulges of one hundredth of the length.
	unit := 0.08 / d.o.Length
	h.length.add(c.Length, d.o.Length, d.o.Length)
	h.angle.add(estimate.As[float64](c.PathAngle), d.o.PathAngle.Radians(), math.Pi/180*100)
	// The mean bulge is that of the mean square of the chords, which turn.
	ls, as := d.o.LengthScatter, d.o.AngleScatter.Radians()
	h.curvature.add(c.Curvature, d.o.Curvature*(1+ls*ls+as*as/2), unit*100)
	h.share.add(c.DownShare, d.o.DownShare, 1)
	peak := d.peak() * d.o.Rate / 2
	h.speed.add(c.PeakSpeedDown, peak/d.o.DownShare, peak/d.o.DownShare)
	h.speed.add(c.PeakSpeedUp, peak/(1-d.o.DownShare), peak/(1-d.o.DownShare))
	e := d.evenness()
	h.evenness.add(c.Evenness, e, e)
	const grid = 64
	var got, want [grid][2]float64
	var shift [2]float64
	for k := range grid {
		ph := (float64(k) + 0.5) / grid
		x, _ := c.At(ph)
		a, o := d.place(ph)
		got[k], want[k] = [2]float64{x.Across, x.Out}, [2]float64{a, o}
		for i := range shift {
			shift[i] += (got[k][i] - want[k][i]) / grid
		}
	}
	for k := range grid {
		lo, hi := c.Band((float64(k) + 0.5) / grid)
		l, u := [2]float64{lo.Across, lo.Out}, [2]float64{hi.Across, hi.Out}
		for i := range shift {
			h.band.add(estimate.Value[float64]{Value: got[k][i] - shift[i], Low: l[i] - shift[i], High: u[i] - shift[i], Level: 0.95, N: 1}, want[k][i], d.o.Length)
		}
	}
}

func (h *held) String() string {
	return fmt.Sprintf("H %4.1f | length%% %v | angle° %v | bulge%% %v | share%% %v | speed%% %v | evenness%% %v | band%% %v",
		h.harmonics/h.takes, &h.length, &h.angle, &h.curvature, &h.share, &h.speed, &h.evenness, &h.band)
}

// offsets of the truth from a reference, in margins.
var offsets = []float64{0, 0.5, 0.9, 1, 1.1, 1.5, 2}

// judge holds a take against references from which it truly differs by so many
// margins.
func (h *held) judge(d drawn) {
	sign := 1.0
	if d.o.Seed%2 == 0 {
		sign = -1
	}
	for _, off := range offsets {
		m := cycle.Margins{PathAngle: 2 * circular.Degree, Curvature: 0.008, Shape: 0.03}
		angle := d.o.PathAngle + circular.Angle(sign*off)*m.PathAngle
		curvature := d.o.Curvature + sign*off*m.Curvature
		ref := cycle.Reference{View: trajectory.EndOn, PathAngle: &angle, Curvature: &curvature, Margins: m, Shape: d.shape(off * m.Shape)}
		for _, k := range ref.Distance(d.cycle).Components {
			key := fmt.Sprintf("%s %.1f", k.Name, off)
			a := h.answers[key]
			if a == nil {
				a = &answers{}
				h.answers[key] = a
			}
			a.of++
			switch k.Answer {
			case cycle.Inside:
				a.inside++
			case cycle.Outside:
				a.outside++
			}
		}
	}
}

const shapeHarmonics = 24

// coefficients returns the cosines and sines of a path of unit length.
func (d drawn) coefficients() (across, out [][2]float64) {
	const n = 512
	across, out = make([][2]float64, shapeHarmonics), make([][2]float64, shapeHarmonics)
	for k := range n {
		ph := float64(k) / n
		a, o := d.place(ph)
		for h := range shapeHarmonics {
			s, c := math.Sincos(2 * math.Pi * float64(h+1) * ph)
			for i, v := range [2]float64{c, s} {
				across[h][i] += 2 * v * a / n / d.o.Length
				out[h][i] += 2 * v * o / n / d.o.Length
			}
		}
	}
	return across, out
}

// shape returns a shape that lies by the distance from the true one: the
// downstroke bulges further out. The turns are where they were, so that the
// length is what it was.
func (d drawn) shape(distance float64) *cycle.Shape {
	across, out := d.coefficients()
	s := &cycle.Shape{DownShare: d.o.DownShare, Across: across, Out: out}
	if distance == 0 {
		return s
	}
	// A bump square to the chord, as wide as the downstroke: sin²(πu).
	sin, cos := math.Sincos(d.o.PathAngle.Radians())
	const n = 512
	var bump [n]float64
	mean, square := 0.0, 0.0
	for k := range n {
		if u := float64(k) / n / d.o.DownShare; u < 1 {
			bump[k] = math.Pow(math.Sin(math.Pi*u), 2)
		}
		mean += bump[k] / n
	}
	for k := range n {
		bump[k] -= mean
		square += bump[k] * bump[k] / n
	}
	size := distance / math.Sqrt(square)
	for k := range n {
		for h := range shapeHarmonics {
			sn, cs := math.Sincos(2 * math.Pi * float64(h+1) * float64(k) / n)
			for i, v := range [2]float64{cs, sn} {
				across[h][i] -= 2 * v * size * bump[k] * sin / n
				out[h][i] += 2 * v * size * bump[k] * cos / n
			}
		}
	}
	return s
}

// TestHeldOut holds mean cycles to takes of package simulate that nothing was
// set by: the intervals, and what is said of motions within and beyond the
// margins of a reference. Run it with -v for the table (mean and root mean
// square error, share of intervals that hold the truth, number absent), and
// with -heldout=100 for more takes a row.
func TestHeldOut(t *testing.T) {
	n := 12
	switch {
	case *heldOutTakes > 0:
		n = *heldOutTakes
	case testing.Short():
		n = 3
	}
	total := held{answers: map[string]*answers{}}
	type row struct {
		name  string
		hz    float64
		noise float64
		f     func(o *simulate.Options)
	}
	var rows []row
	for _, hz := range []float64{60, 120, 240, 1000} {
		for _, noise := range []float64{0.3, 0.8} {
			rows = append(rows, row{fmt.Sprintf("%g frames/s, %g px", hz, noise), hz, noise, func(o *simulate.Options) {}})
		}
	}
	plain := len(rows) // those before are asserted together, those after are hard
	rows = append(rows,
		row{"even player", 240, 0.3, func(o *simulate.Options) {
			o.AngleScatter, o.LengthScatter, o.HandWander, o.Jitter = 0.2*circular.Degree, 0.004, 0.1, 0.01
		}},
		row{"uneven strokes", 240, 0.3, func(o *simulate.Options) {
			o.DownShare = 0.45 + 0.1*float64(o.Seed%2)
		}},
		row{"a minute", 240, 0.3, func(o *simulate.Options) { o.Duration = 60 }},
		row{"3 strokes/s", 240, 0.3, func(o *simulate.Options) { o.Rate, o.Duration = 3, 20 }},
		row{"noise of a tracker that smooths", 240, 0.4, func(o *simulate.Options) { o.NoiseColour = 0.5 }},
		row{"changes of string", 240, 0.4, func(o *simulate.Options) { o.ChangeEvery = 3 }},
	)
	for i, r := range rows {
		h := held{answers: total.answers}
		for seed := range n {
			o := draw(uint64(seed)+31000000+uint64(i+1)*100000, r.hz, r.noise)
			r.f(&o)
			d := drawnTake(t, o)
			h.add(d)
			if i < plain {
				total.count(d)
			}
		}
		t.Logf("%-32s %v", r.name, &h)
	}
	t.Logf("%-32s %v", "the first eight", &total)
	for _, q := range []struct {
		name        string
		tally       *tally
		bias, short float64 // limits of the mean error
	}{
		{"length", &total.length, 0.005, 0.01},
		{"path angle", &total.angle, 0.001, 0.003}, // 0.1 degrees
		{"bulge", &total.curvature, 0.0005, 0.001}, // of the length
		{"share of the downstroke", &total.share, 0.002, 0.005},
		{"peak speed", &total.speed, 0.005, 0.01},
		{"evenness", &total.evenness, 0.03, 0.06},
		{"band", &total.band, 1e-9, 1e-9},
	} {
		least, limit := 0.9, q.bias
		if testing.Short() {
			least, limit = 0.8, q.short
		}
		if v := q.tally.cover(); !(v >= least) || q.tally.absent > 0 {
			t.Errorf("%.3f of the intervals of %s hold the truth, want %g; %d absent", v, q.name, least, q.tally.absent)
		}
		if b := q.tally.bias(); !(math.Abs(b) <= limit) {
			t.Errorf("bias of %s is %.5f, limit %g", q.name, b, limit)
		}
	}
	for _, name := range []string{"path angle", "curvature", "cycle shape"} {
		line := name
		for _, off := range offsets {
			a := total.answers[fmt.Sprintf("%s %.1f", name, off)]
			if in := float64(a.inside) / float64(a.of); off >= 1 && in > 0.05 {
				t.Errorf("%s: %.3f of those truly beyond the margin, by %.1f of it, are called inside", name, in, off)
			}
			if out := float64(a.outside) / float64(a.of); off <= 1 && out > 0.05 {
				t.Errorf("%s: %.3f of those truly within the margin, at %.1f of it, are called outside", name, out, off)
			}
			line += fmt.Sprintf(" | %.1f: in %.3f out %.3f", off, float64(a.inside)/float64(a.of), float64(a.outside)/float64(a.of))
		}
		t.Log(line)
	}
}
