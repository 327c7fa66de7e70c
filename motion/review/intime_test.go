package review_test

import (
	"math"
	"testing"

	"github.com/plectrace/plectrace/motion/contact"
	"github.com/plectrace/plectrace/motion/review"
	"github.com/plectrace/plectrace/motion/simulate"
	"github.com/plectrace/plectrace/tempo"
	"github.com/plectrace/plectrace/variability/circular"
)

// The pace of made takes: one that slows down by 20 % a minute, and one that keeps
// its pulse, whose notes are held against a metronome.
func TestPace(t *testing.T) {
	_, r := mustRun(t, simulate.Options{Seed: 3, Duration: 60, Rate: 10, RateDrift: -0.2, Noise: 0.5, PathAngle: 20 * circular.Degree})
	// RateDrift is over the take, a minute long: log(0.8) a minute about its middle.
	if v := r.Value("rate_drift_percent_per_minute"); !(v.Low <= -20 && -20 <= v.High) || v.High > -5 {
		t.Errorf("20 %% slower over a minute: drift %+v", v)
	}
	if p := r.Pace; len(p.Fastest) != 4 || p.Fastest[2].Strokes != 16 || p.Agreement.Verdict != tempo.RatesAgree {
		t.Errorf("fastest %+v, agreement %+v", p.Fastest, p.Agreement)
	}
	for _, f := range r.Pace.Fastest {
		if !f.Chance.Known() {
			t.Errorf("%d beats: nothing said of chance: %+v", f.Beats, f)
		}
	}

	take, err := simulate.Make(simulate.Options{Seed: 4, Duration: 30, Rate: 10, Pulse: true, Noise: 0.5, PathAngle: 20 * circular.Degree})
	if err != nil {
		t.Fatal(err)
	}
	s := setup(take)
	s.TempoBPM = 150 // 10 sixteenths a second
	click := 1000.0
	s.ClickS = &click
	var onsets []contact.Onset
	for i := range 280 { // 20 ms late, by a clock of their own
		onsets = append(onsets, contact.Onset{Time: 1000.02 + 0.1*float64(i) + 0.003*math.Sin(float64(7*i))})
	}
	r, err = review.Run(&take.Recording, s, review.Options{Onsets: onsets})
	if err != nil {
		t.Fatal(err)
	}
	for _, c := range []struct {
		name         string
		want, within float64
	}{{"grid_offset_s", 0.02, 0.001}, {"grid_drift_percent", 0, 0.05}, {"grid_spread_s", 0.003, 0.001}} {
		if v := r.Value(c.name); !v.Known() || math.Abs(v.Value-c.want) > c.within {
			t.Errorf("%s: %+v, want %g within %g", c.name, v, c.want, c.within)
		}
	}
}

// Without onsets nobody can be late: turns are not notes.
func TestGridWithoutOnsets(t *testing.T) {
	take, err := simulate.Make(simulate.Options{Seed: 4, Duration: 20, Rate: 10, Pulse: true, Noise: 0.5, PathAngle: 20 * circular.Degree})
	if err != nil {
		t.Fatal(err)
	}
	s := setup(take)
	s.TempoBPM = 150
	r, err := review.Run(&take.Recording, s, review.Options{})
	if err != nil {
		t.Fatal(err)
	}
	if v := r.Value("grid_offset_s"); v.Known() || v.Absent == nil {
		t.Errorf("offset %+v", v)
	}
	if v := r.Value("grid_drift_percent"); !(v.Low <= 0 && 0 <= v.High) {
		t.Errorf("drift %+v", v)
	}
}

// The joint scatter of a take that is steady, in tolerances: its angle, timing and
// length scatter by what the simulator was told, the skew by the same angle.
func TestJointScatter(t *testing.T) {
	_, steady := mustRun(t, simulate.Options{Seed: 6, Duration: 30, Rate: 9, Noise: 0.3, PathAngle: 20 * circular.Degree})
	_, wild := mustRun(t, simulate.Options{Seed: 6, Duration: 30, Rate: 9, Noise: 0.3, PathAngle: 20 * circular.Degree,
		Plan: []simulate.Stretch{{Search: simulate.Fresh}}})
	a, b := steady.Value("joint_scatter"), wild.Value("joint_scatter")
	if !a.Known() || !b.Known() || !(a.High < 1 && b.Low > 1 && a.High < b.Low) {
		t.Errorf("steady %+v, searching %+v tolerances", a, b)
	}
}
