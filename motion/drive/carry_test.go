package drive_test

import (
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"github.com/google/go-cmp/cmp"
	"github.com/google/go-cmp/cmp/cmpopts"

	"github.com/plectrace/plectrace/motion"
	"github.com/plectrace/plectrace/motion/drive"
	"github.com/plectrace/plectrace/trajectory"
)

// TestCarryShapes: known carry and lag, whatever the frame, the shape of the
// stroke, its asymmetry and the drift of the hand.
func TestCarryShapes(t *testing.T) {
	const fps, hz = 100, 4
	for _, c := range []struct {
		name               string
		carry, lag, second float64
		drift              float64
		hide               float64
	}{
		{name: "arm", carry: 1},
		{name: "against", carry: -0.2},
		{name: "lag", carry: 0.5, lag: 0.5},
		{name: "second harmonic", carry: 0.4, second: 0.3},
		{name: "drift", carry: 0.4, drift: 30},
		{name: "hidden third of every stroke", carry: 0.4, second: 0.3, hide: 0.3},
	} {
		n := 1000
		tip := trajectory.Path{Name: "tip", T: make([]float64, n), X: make([]float64, n), Y: make([]float64, n)}
		hand := trajectory.Path{Name: "hand", T: tip.T, X: make([]float64, n), Y: make([]float64, n)}
		placed := trajectory.Placed{T: tip.T, Across: tip.X, Out: tip.Y, Unit: "px"}
		for i := range n {
			at := float64(i) / fps
			phi := 2 * math.Pi * hz * at
			tip.T[i] = at
			slow := c.drift * math.Sin(0.8*at)
			tip.X[i] = 50*math.Cos(phi) + slow
			tip.Y[i] = 20*math.Cos(phi) + 3*math.Cos(2*phi)
			amp := 50 * c.carry / math.Cos(c.lag)
			hand.X[i] = 300 + amp*math.Cos(phi-c.lag) + amp*c.second*math.Cos(2*phi+1) + slow
			hand.Y[i] = 200 + 0.4*amp*math.Cos(phi-c.lag)
			if math.Mod(float64(i)*hz/fps, 1) < c.hide {
				hand.X[i], hand.Y[i] = math.NaN(), math.NaN()
			}
		}
		m, err := motion.Analyze(placed, motion.Options{})
		if err != nil {
			t.Fatal(err)
		}
		got, err := drive.CarryOf(hand, tip, m.Strokes)
		if err != nil {
			t.Fatal(err)
		}
		if v := got.Value; v.Absent != nil || math.Abs(v.Value-c.carry) > 0.01 || v.Low > c.carry || v.High < c.carry {
			t.Errorf("%s: carry %+v, want %g", c.name, v, c.carry)
		}
		lag := c.lag
		if c.carry < 0 {
			lag = math.Pi // it goes the other way
		}
		if v := float64(got.Lag.Value); got.Lag.Absent != nil || math.Abs(math.Remainder(v-lag, 2*math.Pi)) > 0.03 {
			t.Errorf("%s: lag %+v, want %g", c.name, got.Lag, lag)
		}
		if !(got.Coherence > 0.98) {
			t.Errorf("%s: coherence %.3f", c.name, got.Coherence)
		}
	}
}

// TestNoLag: a hand point that may be still has no lag, whatever its noise says.
func TestNoLag(t *testing.T) {
	k := plain(map[drive.Joint]float64{drive.AtWrist: 1}, nil)
	s := k.strokes()
	for seed := range uint64(20) {
		rng := rand.New(rand.NewPCG(seed, 3))
		still := k.points[drive.Wrist]
		still.Across, still.Along, still.Out = slices.Clone(still.Across), slices.Clone(still.Along), slices.Clone(still.Out)
		for i := range still.T {
			for _, x := range [][]float64{still.Across, still.Along, still.Out} {
				x[i] = 50 + 0.05*rng.NormFloat64()
			}
		}
		c, err := drive.CarryOf(still, k.points[drive.Tip], s)
		if err != nil {
			t.Fatal(err)
		}
		if v := c.Value; !(v.Low <= 0 && v.High >= 0) || c.Lag.Absent == nil || c.Lag.Absent.Code != "hardly_carried" {
			t.Errorf("a point that is still: carry %+v, lag %+v", v, c.Lag)
		}
	}
}

// TestCarries: those of an analysis are those of CarryOf, also where landmarks
// are hidden at different times.
func TestCarries(t *testing.T) {
	k := plain(map[drive.Joint]float64{drive.AtElbow: 0.5, drive.AtWrist: 0.5}, func(p *playing) {
		p.gaps, p.hide, p.hidden = 0.1, 0.3, []drive.Landmark{drive.Wrist, drive.Knuckle(1)}
	})
	s := k.strokes()
	d := analyze(t, k.points, s, drive.Options{})
	if len(d.Carries) != len(k.points)-1 {
		t.Errorf("%d carries of %d points and the tip", len(d.Carries), len(k.points)-1)
	}
	for l, p := range k.points {
		if l == drive.Tip {
			continue
		}
		want, err := drive.CarryOf(p, k.points[drive.Tip], s)
		if err != nil {
			t.Fatal(err)
		}
		got := d.Carries[l]
		if !want.Value.Known() || len(want.Strokes) == 0 {
			t.Errorf("%v: %+v", l, want.Value)
		}
		if diff := cmp.Diff(want, got, cmpopts.IgnoreUnexported(drive.StrokeCarry{}), cmpopts.EquateNaNs()); diff != "" {
			t.Errorf("%v (-CarryOf +Analyze)\n%s", l, diff)
		}
		if a, b := want.Between(2, 6), got.Between(2, 6); a != b {
			t.Errorf("%v between 2 and 6 s: %+v, want %+v", l, b, a)
		}
	}
}

func BenchmarkCarryOf(b *testing.B) {
	k := plain(map[drive.Joint]float64{drive.AtElbow: 0.5, drive.AtWrist: 0.5}, func(p *playing) { p.seconds = 60 })
	s := k.strokes()
	b.ReportAllocs()
	for b.Loop() {
		if _, err := drive.CarryOf(k.points[drive.Wrist], k.points[drive.Tip], s); err != nil {
			b.Fatal(err)
		}
	}
}
