package review_test

import (
	"fmt"
	"math"
	"slices"
	"strings"
	"testing"

	"github.com/plectrace/plectrace/motion/contact"
	"github.com/plectrace/plectrace/motion/cycle"
	"github.com/plectrace/plectrace/motion/review"
	"github.com/plectrace/plectrace/motion/simulate"
	"github.com/plectrace/plectrace/tempo"
	"github.com/plectrace/plectrace/trajectory"
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

// A player who is a few per cent off the tempo is told so, and nothing is asked of
// the film; one whose time fits no film is a question.
func TestOffTheTempo(t *testing.T) {
	take, err := simulate.Make(simulate.Options{Seed: 4, Duration: 20, Rate: 10, Noise: 0.5, PathAngle: 20 * circular.Degree})
	if err != nil {
		t.Fatal(err)
	}
	for _, c := range []struct {
		bpm       tempo.BPM
		questions int
	}{{159, 0}, {141, 0}, {190, 1}} { // 10 strokes a second are 150
		s := setup(take)
		s.TempoBPM = float64(c.bpm)
		r, err := review.Run(&take.Recording, s, review.Options{})
		if err != nil {
			t.Fatal(err)
		}
		noted := slices.ContainsFunc(r.Notes, func(n string) bool { return strings.Contains(n, "than the tempo") })
		if len(r.Questions) != c.questions || noted == (c.questions > 0) {
			t.Errorf("%v BPM: questions %q, notes %q", c.bpm, r.Questions, r.Notes)
		}
	}
}

// A take held against its own motion is within its margins nearly throughout, and
// one of another path angle never.
func TestReferenceShare(t *testing.T) {
	o := simulate.Options{Seed: 8, Duration: 12, Rate: 9, Noise: 0.3, PathAngle: 20 * circular.Degree}
	run := func(o simulate.Options, ref *cycle.Reference) *review.Review {
		t.Helper()
		take, err := simulate.Make(o)
		if err != nil {
			t.Fatal(err)
		}
		s := setup(take)
		s.SetupName = "desk"
		r, err := review.Run(&take.Recording, s, review.Options{Reference: ref})
		if err != nil {
			t.Fatal(err)
		}
		return r
	}
	ref, err := run(o, nil).KeepReference("its own", cycle.Margins{})
	if err != nil {
		t.Fatal(err)
	}
	for _, c := range []struct {
		angle     circular.Angle
		low, high float64
	}{{20 * circular.Degree, 0.95, 1}, {40 * circular.Degree, 0, 0}} {
		o.PathAngle, o.Seed = c.angle, 9
		if v := run(o, &ref).Value("reference_share"); !v.Known() || v.Value < c.low || v.Value > c.high {
			t.Errorf("%.0f degrees: %+v, want %g to %g", c.angle.Degrees(), v, c.low, c.high)
		}
	}
}

// Of another set-up the path angle of an end-on picture is known less well.
func ExampleAnySetup() {
	angle := 20 * circular.Degree
	ref := cycle.Reference{View: trajectory.EndOn, Setup: "desk", PathAngle: &angle, Errors: cycle.Errors{PathAngle: 0.5 * circular.Degree}}
	fmt.Printf("%.1f degrees, %.0f in another set-up\n", ref.Errors.PathAngle.Degrees(), review.AnySetup(ref).Errors.PathAngle.Degrees())
	// Output: 0.5 degrees, 14 in another set-up
}
