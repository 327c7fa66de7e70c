package motion_test

import (
	"fmt"
	"math"
	"testing"

	"github.com/plectrace/plectrace/motion"
	"github.com/plectrace/plectrace/trajectory"
	"github.com/plectrace/plectrace/variability/estimate"
)

// channel is one channel of a sensor on a hand, as across: three strokes a
// second about a mean, from 0 to 4 s, then a hand that sinks by 0.02 a sample
// and rises again, which is no stroke.
func channel() trajectory.Placed {
	p := trajectory.Placed{Unit: "m/s2"}
	x := 0.0
	for i := range 120 {
		t := float64(i) / 20
		if t <= 4 {
			x = -3 * math.Cos(3*math.Pi*t)
		} else if t < 5 {
			x += 0.02
		} else {
			x -= 0.02
		}
		p.T, p.Across, p.Along = append(p.T, t), append(p.Across, x), append(p.Along, 0)
	}
	return p
}

func TestDirectionAt(t *testing.T) {
	p := channel()
	m, err := motion.Analyze(p, motion.Options{})
	if err != nil {
		t.Fatal(err)
	}
	p.Across = append([]float64(nil), p.Across...)
	p.Across[104], p.Across[105], p.Across[106] = math.NaN(), math.NaN(), math.NaN()
	for _, c := range []struct {
		at   float64
		want motion.Direction
	}{
		{0.17, motion.Down}, {0.5, motion.Up}, {0.6, motion.Up}, {0.71, motion.Down}, // strokes turn at thirds of a second
		{4.5, motion.Down}, {5.6, motion.Up}, // no strokes, a slow drift
		{5.25, motion.DirectionUnknown}, // a gap
		{-1, motion.DirectionUnknown}, {9, motion.DirectionUnknown}, {math.NaN(), motion.DirectionUnknown},
	} {
		if got := m.DirectionAt(p, c.at); got != c.want {
			t.Errorf("at %g s: %q, want %q", c.at, got, c.want)
		}
	}
}

// The direction of strums whose times are known from their sound.
func ExampleMotion_DirectionAt() {
	p := channel()
	m, err := motion.Analyze(p, motion.Options{})
	if err != nil {
		fmt.Println(err)
		return
	}
	for _, strum := range []float64{0.17, 0.5, 4.5} {
		fmt.Println(strum, m.DirectionAt(p, strum))
	}
	// Output:
	// 0.17 down
	// 0.5 up
	// 4.5 down
}

// Evidence whose heights have been widened since it was taken says no more which
// turns clear the strings.
func ExampleClearingEvidence_Judge() {
	height := func(low, high float64) estimate.Value[float64] {
		return estimate.Value[float64]{Value: (low + high) / 2, Low: low, High: high, Level: 0.95, N: 40}
	}
	e := motion.ClearingEvidence{AfterDown: height(0.2, 0.8), AfterUp: height(-1.9, -1.1)}
	fmt.Println("clears:", e.Judge("mm").Clearing)
	e.AfterDown = height(-0.3, 1.3)
	fmt.Println(e.Judge("mm").Absent.Why)
	// Output:
	// clears: after downstrokes
	// the turns after downstrokes lie 0.5 mm above the string (-0.3 to 1.3), too near to tell the side
}
