package motion_test

import (
	"encoding/json"
	"errors"
	"math"
	"testing"

	"github.com/google/go-cmp/cmp"

	"github.com/plectrace/plectrace/motion"
	"github.com/plectrace/plectrace/trajectory"
	"github.com/plectrace/plectrace/variability/circular"
)

// swinging returns a placed path at hz that swings as half cosines of the given
// length about centre(t), along an axis at angle to the string plane, with a
// bulge given by curvature. Its turns are at multiples of period seconds.
func swinging(hz, seconds, period, length, curvature float64, angle circular.Angle, centre func(t float64) float64) trajectory.Placed {
	n := int(hz*seconds) + 1
	p := trajectory.Placed{Name: "tip", Unit: "mm", T: make([]float64, n), Across: make([]float64, n), Out: make([]float64, n)}
	sin, cos := math.Sincos(angle.Radians())
	for i := range p.T {
		t := float64(i) / hz
		w := -length / 2 * math.Cos(math.Pi*t/period) // along the chord, up turn first
		v := curvature / 2 * (length*length/4 - w*w)  // out from the chord
		p.T[i] = t
		p.Across[i] = w*cos - v*sin + centre(t)
		p.Out[i] = w*sin + v*cos
	}
	return p
}

func still(float64) float64 { return 0 }

// TestAnalyzeClosedForm checks every measure on a noise-free swing whose
// measures are known by construction.
func TestAnalyzeClosedForm(t *testing.T) {
	for _, c := range []struct {
		name      string
		hz        float64
		angle     float64 // degrees
		curvature float64
	}{
		{"straight", 240, 17, 0},
		{"downstroke ends nearer", 240, -25, 0},
		{"bulges out", 240, 10, 0.04},
		{"bulges in", 240, 10, -0.04},
		{"steep", 240, 70, 0},
		{"1000 samples/s", 1000, 17, 0.02},
	} {
		t.Run(c.name, func(t *testing.T) {
			const period, length = 0.1, 10.0
			p := swinging(c.hz, 5.05, period, length, c.curvature, circular.Angle(c.angle)*circular.Degree, still)
			m, err := motion.Analyze(p, motion.Options{})
			if err != nil {
				t.Fatal(err)
			}
			if len(m.Strokes) != 50 {
				t.Fatalf("%d strokes, want 50: absent %v", len(m.Strokes), m.Absent)
			}
			for i, s := range m.Strokes {
				want := motion.Down
				if i%2 == 1 {
					want = motion.Up
				}
				if s.Direction != want {
					t.Fatalf("stroke %d goes %v, want %v", i, s.Direction, want)
				}
				near := func(what string, got, want, tol float64) {
					t.Helper()
					if !(math.Abs(got-want) <= tol) {
						t.Errorf("stroke %d: %s is %.5g, want %.5g within %.2g", i, what, got, want, tol)
					}
				}
				if i > 0 && i < 49 {
					near("start", s.Start, float64(i)*period, 2e-5)
					near("length", s.Length, length, 0.01*length) // the low-pass takes 0.3 %
				}
				tol := 0.02
				if i == 0 || i == 49 {
					tol = 0.1 // the filter bends the ends of the recording
				}
				near("path angle", s.PathAngle.Degrees(), c.angle, tol)
				near("curvature", s.Curvature, c.curvature, 0.02*math.Abs(c.curvature)+1e-6)
				down, up := s.HeightEnd, s.HeightStart
				if s.Direction == motion.Up {
					down, up = up, down
				}
				h := length / 2 * math.Sin(c.angle*math.Pi/180)
				near("height after a downstroke", down, h, 0.05)
				near("height after an upstroke", up, -h, 0.05)
				// Peak speed of half a cosine is π/2 times the mean speed
				// (closed form).
				near("peak speed", s.PeakSpeed, math.Pi/2*length/period, 0.02*math.Pi/2*length/period)
			}
		})
	}
}

// TestAnalyzeHandMoves checks that strokes are still counted one by one while
// the hand's centre moves by three stroke lengths in half a second and back.
func TestAnalyzeHandMoves(t *testing.T) {
	step := func(t float64) float64 {
		up := 15 * (1 + math.Tanh((t-2)/0.12))
		return up - 15*(1+math.Tanh((t-4)/0.12))
	}
	p := swinging(240, 6.05, 0.1, 10, 0, 0, step)
	m, err := motion.Analyze(p, motion.Options{})
	if err != nil {
		t.Fatal(err)
	}
	if len(m.Strokes) != 60 {
		t.Fatalf("%d strokes, want 60", len(m.Strokes))
	}
	for i, s := range m.Strokes {
		if mid := (float64(i) + 0.5) * 0.1; math.Abs(s.Middle()-mid) > 0.35*0.1 {
			t.Errorf("stroke %d has its middle at %.3f s, want %.3f", i, s.Middle(), mid)
		}
	}
}

// TestAnalyzePause checks that a resting hand that trembles by 0.3 mm holds
// no strokes, and that those before and after it are whole.
func TestAnalyzePause(t *testing.T) {
	p := swinging(240, 6.05, 0.1, 10, 0, 0, still)
	for i, at := range p.T {
		switch { // rests from 2 s to 4 s at a turn
		case at >= 2 && at < 4:
			p.Across[i] = -5 + 0.3*math.Sin(2*math.Pi*9*(at-2))
			p.Out[i] = 0
		}
	}
	m, err := motion.Analyze(p, motion.Options{})
	if err != nil {
		t.Fatal(err)
	}
	if len(m.Strokes) != 40 {
		t.Errorf("%d strokes, want 40", len(m.Strokes))
	}
	for _, s := range m.Strokes {
		if s.Middle() > 2 && s.Middle() < 4 {
			t.Errorf("stroke at %.3f s, in the pause", s.Middle())
		}
	}
	if len(m.Pauses) != 1 || math.Abs(m.Pauses[0].Start-2) > 0.03 || math.Abs(m.Pauses[0].End-4) > 0.03 {
		t.Errorf("pauses %v, want one from 2 s to 4 s", m.Pauses)
	}
}

// TestAnalyzeHiddenTurn checks what a stroke keeps whose turn was not seen.
func TestAnalyzeHiddenTurn(t *testing.T) {
	p := swinging(240, 4.05, 0.1, 10, 0, 15*circular.Degree, still)
	for i, at := range p.T { // hidden around every second turn after a downstroke
		if k := math.Mod(at+0.2, 0.4); k > 0.28 && k < 0.32 {
			p.Across[i], p.Out[i] = math.NaN(), math.NaN()
		}
	}
	m, err := motion.Analyze(p, motion.Options{})
	if err != nil {
		t.Fatal(err)
	}
	if len(m.Strokes) != 40 {
		t.Fatalf("%d strokes, want 40", len(m.Strokes))
	}
	hidden := 0
	for i, s := range m.Strokes {
		if mid := (float64(i) + 0.5) * 0.1; math.Abs(s.Middle()-mid) > 0.01 {
			t.Errorf("stroke %d has its middle at %.4f s, want %.4f", i, s.Middle(), mid)
		}
		if s.TurnHidden() {
			hidden++
			if !math.IsNaN(s.Length) || !math.IsNaN(float64(s.PathAngle)) || !math.IsNaN(s.HeightEnd) {
				t.Errorf("stroke %d has length %v, angle %v, height %v though a turn is hidden", i, s.Length, s.PathAngle, s.HeightEnd)
			}
		}
	}
	if hidden != 20 {
		t.Errorf("%d strokes have a hidden turn, want 20", hidden)
	}
}

// TestAnalyzeGrades checks what is absent as samples per stroke fall.
func TestAnalyzeGrades(t *testing.T) {
	for _, c := range []struct {
		hz                      float64
		strokes, angles, shapes bool
	}{
		{30, false, false, false},
		{60, true, false, false},
		{100, true, true, false},
		{200, true, true, true},
	} {
		p := swinging(c.hz, 8, 0.1, 10, 0, 15*circular.Degree, still)
		m, err := motion.Analyze(p, motion.Options{})
		if err != nil {
			t.Fatal(err)
		}
		strokes := len(m.Strokes) > 0
		angles := strokes && !math.IsNaN(float64(m.Strokes[3].PathAngle))
		shapes := strokes && !math.IsNaN(m.Strokes[3].Curvature) && !math.IsNaN(m.Strokes[3].HeightEnd)
		if strokes != c.strokes || angles != c.angles || shapes != c.shapes {
			t.Errorf("%g samples/s: strokes %v angles %v shapes %v, want %v %v %v", c.hz, strokes, angles, shapes, c.strokes, c.angles, c.shapes)
		}
		if (!strokes || !angles || !shapes) && len(m.Absent) == 0 {
			t.Errorf("%g samples/s: nothing says why", c.hz)
		}
	}
}

func TestAnalyzeViews(t *testing.T) {
	p := swinging(240, 4, 0.1, 10, 0, 15*circular.Degree, still)
	front := trajectory.Placed{Unit: "mm", T: p.T, Across: p.Across, Along: p.Out}
	m, err := motion.Analyze(front, motion.Options{})
	if err != nil {
		t.Fatal(err)
	}
	s := m.Strokes[5]
	if got := s.Skew.Degrees(); math.Abs(got-15) > 0.05 {
		t.Errorf("skew %.3f degrees, want 15", got)
	}
	if !math.IsNaN(float64(s.PathAngle)) || !math.IsNaN(s.HeightEnd) {
		t.Errorf("front view gives path angle %v, height %v", s.PathAngle, s.HeightEnd)
	}
	if c := m.Clear(); c.Clearing != motion.ClearingUnknown || c.Absent == nil {
		t.Errorf("front view gives clearing %v (absent %v)", c.Clearing, c.Absent)
	}
	// In space the axis has both.
	space := trajectory.Placed{Unit: "mm", T: p.T, Across: p.Across, Out: p.Out, Along: make([]float64, len(p.T))}
	for i, x := range p.Across {
		space.Along[i] = -0.3 * x
	}
	m, err = motion.Analyze(space, motion.Options{})
	if err != nil {
		t.Fatal(err)
	}
	s = m.Strokes[5]
	if got, want := s.Skew.Degrees(), math.Atan(-0.3)*180/math.Pi; math.Abs(got-want) > 0.05 {
		t.Errorf("skew %.3f degrees, want %.3f", got, want)
	}
	if got := s.PathAngle.Degrees(); math.Abs(got-15) > 0.05 {
		t.Errorf("path angle %.3f degrees, want 15", got)
	}
}

func TestAnalyzeRelative(t *testing.T) {
	p := swinging(240, 4, 0.1, 10, 0, 15*circular.Degree, still)
	m, err := motion.Analyze(p, motion.Options{Relative: true, RelativeWhy: "a marker was tracked"})
	if err != nil {
		t.Fatal(err)
	}
	c := m.Clear()
	if c.Clearing != motion.ClearingUnknown || c.Absent == nil || c.Absent.Why != "a marker was tracked" {
		t.Errorf("clearing %v, absent %+v", c.Clearing, c.Absent)
	}
	if want := 10 * math.Sin(15*math.Pi/180); math.Abs(c.Rise.Value-want) > 0.05 {
		t.Errorf("rise %.3f, want %.3f", c.Rise.Value, want)
	}
	if m, err = motion.Analyze(p, motion.Options{Relative: true}); err != nil {
		t.Fatal(err)
	}
	if c = m.Clear(); c.Absent == nil || c.Absent.Why == "" {
		t.Errorf("without a reason given: absent %+v", c.Absent)
	}
}

func TestClear(t *testing.T) {
	for _, c := range []struct {
		name      string
		angle     circular.Angle
		curvature float64
		raise     float64
		want      motion.Clearing
	}{
		{"after downstrokes", 30 * circular.Degree, 0, 0, motion.ClearsAfterDownstrokes},
		{"after upstrokes", -30 * circular.Degree, 0, 0, motion.ClearsAfterUpstrokes},
		{"both", 0, 0, 2, motion.ClearsBoth},
		{"neither", 0, 0, -2, motion.ClearsNeither},
	} {
		p := swinging(240, 4, 0.1, 10, c.curvature, c.angle, still)
		for i := range p.Out {
			p.Out[i] += c.raise
		}
		m, err := motion.Analyze(p, motion.Options{})
		if err != nil {
			t.Fatal(err)
		}
		if got := m.Clear(); got.Clearing != c.want {
			t.Errorf("%s: got %v (%+v)", c.name, got.Clearing, got.Absent)
		}
	}
	// On the plane within the frame's own uncertainty: unknown, and said so.
	p := swinging(240, 4, 0.1, 10, 0, 1*circular.Degree, still)
	m, err := motion.Analyze(p, motion.Options{HeightError: 0.2})
	if err != nil {
		t.Fatal(err)
	}
	if got := m.Clear(); got.Clearing != motion.ClearingUnknown || got.Absent == nil {
		t.Errorf("turns 0.09 mm from the plane, known to 0.2 mm: clearing %v, absent %v", got.Clearing, got.Absent)
	}
}

func TestAnalyzeBadInput(t *testing.T) {
	good := swinging(240, 2, 0.1, 10, 0, 0, still)
	with := func(f func(p *trajectory.Placed)) trajectory.Placed {
		p := swinging(240, 2, 0.1, 10, 0, 0, still)
		f(&p)
		return p
	}
	for _, c := range []struct {
		name string
		p    trajectory.Placed
	}{
		{"empty", trajectory.Placed{}},
		{"unequal columns", trajectory.Placed{T: good.T, Across: good.Across[1:], Out: good.Out}},
		{"time stands still", with(func(p *trajectory.Placed) { p.T[7] = p.T[6] })},
		{"time missing", with(func(p *trajectory.Placed) { p.T[7] = math.NaN() })},
		{"infinite", with(func(p *trajectory.Placed) { p.Out[7] = math.Inf(1) })},
		{"all missing", with(func(p *trajectory.Placed) {
			for i := range p.T {
				p.Across[i], p.Out[i] = math.NaN(), math.NaN()
			}
		})},
	} {
		_, err := motion.Analyze(c.p, motion.Options{})
		var de *trajectory.DataError
		if !errors.As(err, &de) || de.Hint == "" {
			t.Errorf("%s: error %v, want a DataError with a hint", c.name, err)
		}
	}
	// No motion is a finding, not an error.
	m, err := motion.Analyze(with(func(p *trajectory.Placed) {
		for i := range p.T {
			p.Across[i], p.Out[i] = 3, 4
		}
	}), motion.Options{})
	if err != nil || len(m.Strokes) != 0 || len(m.Absent) == 0 {
		t.Errorf("constant: %v, %d strokes, absent %v", err, len(m.Strokes), m.Absent)
	}
}

func TestTurnTimes(t *testing.T) {
	nan := math.NaN()
	s := []motion.Stroke{
		{Start: 1, End: 2}, {Start: 2, End: 3, Joined: true},
		{Start: 5, End: 6}, {Start: 6, End: 7, Joined: true},
	}
	want := []float64{1, 2, 3, nan, 5, 6, 7}
	got := motion.TurnTimes(s)
	if len(got) != len(want) {
		t.Fatalf("got %v, want %v", got, want)
	}
	for i := range want {
		if got[i] != want[i] && !(math.IsNaN(got[i]) && math.IsNaN(want[i])) {
			t.Errorf("got %v, want %v", got, want)
		}
	}
}

func TestText(t *testing.T) {
	type both struct {
		D motion.Direction
		C motion.Clearing
	}
	for _, v := range []both{{}, {motion.Down, motion.ClearsAfterDownstrokes}, {motion.Up, motion.ClearsNeither}} {
		b, err := json.Marshal(v)
		if err != nil {
			t.Fatal(err)
		}
		var got both
		if err := json.Unmarshal(b, &got); err != nil {
			t.Fatal(err)
		}
		if d := cmp.Diff(v, got); d != "" {
			t.Errorf("%s (-want +got)\n%s", b, d)
		}
	}
	var v both
	if err := json.Unmarshal([]byte(`{"D":"sideways"}`), &v); err == nil {
		t.Error("no error for an unknown direction")
	}
}
