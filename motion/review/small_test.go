package review_test

import (
	"bytes"
	"math"
	"slices"
	"strings"
	"testing"

	"github.com/plectrace/plectrace/motion"
	"github.com/plectrace/plectrace/motion/review"
	"github.com/plectrace/plectrace/motion/simulate"
	"github.com/plectrace/plectrace/trajectory"
	"github.com/plectrace/plectrace/variability/circular"
)

// TestAbsentInSpans: what a span does not have is an empty field.
func TestAbsentInSpans(t *testing.T) {
	r := review.Review{Spans: []review.Span{{Settled: true, Start: 1, End: 2, Strokes: 3}}}
	var b bytes.Buffer
	if err := r.WriteSpans(&b); err != nil {
		t.Fatal(err)
	}
	if got, want := b.String(), "kind,start_s,end_s,strokes,rate_nps,path_angle_deg,path_angle_low_deg,path_angle_high_deg,picture_angle_deg,carry,unevenness,reference\nsettled,1.000000,2.000000,3,,,,,,,,\n"; got != want {
		t.Errorf("%q, want %q", got, want)
	}
}

// TestHandful: a handful of strokes has centres without intervals, and no
// scatter.
func TestHandful(t *testing.T) {
	_, r := mustRun(t, simulate.Options{Seed: 4, Duration: 0.65, Rate: 8, PathAngle: 20 * circular.Degree})
	n := len(r.Motion.Strokes)
	if n == 0 || n > 5 {
		t.Fatalf("%d strokes in 0.65 s at 8 a second", n)
	}
	if v := r.Value("path_angle_deg"); !v.Known() || v.N > n || !math.IsNaN(v.Low) || !math.IsNaN(v.High) {
		t.Errorf("path angle of %d strokes: %+v", n, v)
	}
	for _, name := range []string{"path_angle_scatter_deg", "length_scatter", "duration_scatter"} {
		if v := r.Value(name); v.Known() || !strings.Contains(v.Absent.Why, "needs 8 of each") {
			t.Errorf("%s of %d strokes: %+v", name, n, v)
		}
	}
}

// TestValuesCountStrokes: N of a path angle is a number of strokes, also where
// each two are averaged.
func TestValuesCountStrokes(t *testing.T) {
	_, r := mustRun(t, simulate.Options{Seed: 4, Duration: 6, Rate: 8, PathAngle: 20 * circular.Degree})
	if v, n := r.Value("path_angle_deg"), len(r.Motion.Strokes); v.N > n || v.N < n-4 {
		t.Errorf("path angle from %d of %d strokes", v.N, n)
	}
	for _, m := range review.Measures() {
		if !slices.Contains([]string{"stroke", "cycle", "turn", "span", "part"}, m.Of) {
			t.Errorf("%s counts %q", m.Name, m.Of)
		}
	}
}

// TestEarlyLateNoise: the comparison of scatter takes off the measured noise of
// each quantity.
func TestEarlyLateNoise(t *testing.T) {
	_, r := mustRun(t, simulate.Options{Seed: 4, Duration: 20, Rate: 8, PathAngle: 20 * circular.Degree, Noise: 1,
		Jitter: 0.02, LengthScatter: 0.05, AngleScatter: 2 * circular.Degree})
	at := len(r.Motion.Strokes) / 2
	for i, noise := range []func(motion.StrokeNoise) float64{
		func(n motion.StrokeNoise) float64 { return n.Angle.Degrees() },
		func(n motion.StrokeNoise) float64 { return n.Duration / math.Sqrt2 },
		func(n motion.StrokeNoise) float64 { return n.Length },
	} {
		c := r.EarlyLate[i]
		// One stroke's noise is within a factor of two of the median.
		if got, one := c.Options.Noise, noise(r.Motion.Strokes[at].Noise); !(got > one/2 && got < 2*one) {
			t.Errorf("%s: noise %v, that of a stroke is %v", c.Title, got, one)
		}
		if !c.Ratio.Known() {
			t.Errorf("%s: no ratio: %+v", c.Title, c.Ratio.Absent)
		}
	}
}

// TestHiddenTurns: where most strokes have no angle, the reason is not the
// length of the take.
func TestHiddenTurns(t *testing.T) {
	_, r := mustRun(t, simulate.Options{Seed: 4, Duration: 20, Rate: 8, PathAngle: 20 * circular.Degree, HideDown: 0.6})
	if r.Loss.Hidden < len(r.Motion.Strokes)/2 {
		t.Fatalf("%d of %d strokes have a hidden turn", r.Loss.Hidden, len(r.Motion.Strokes))
	}
	c := r.EarlyLate[0]
	if a := c.Ratio.Absent; a == nil || !strings.Contains(a.Why, "have one") {
		t.Errorf("%s: %+v", c.Title, c.Ratio)
	}
}

// TestTimeNotes: a rate that nobody plays, and one of a film that plays slower
// than life, are noted.
func TestTimeNotes(t *testing.T) {
	for _, c := range []struct {
		name        string
		times, slow float64
		want        string
	}{
		{"as it was", 1, 0, ""},
		{"too fast", 0.25, 8, "nobody plays that fast"},
		{"film of 30", 8, 0, "slower than life"},
		{"film of 30, said", 8, 2, ""},
	} {
		take, err := simulate.Make(simulate.Options{Seed: 4, Duration: 10, Rate: 8, PathAngle: 20 * circular.Degree})
		if err != nil {
			t.Fatal(err)
		}
		rec := take.Recording
		rec.Points = slices.Clone(rec.Points)
		for i := range rec.Points {
			p := &rec.Points[i]
			p.T = slices.Clone(p.T)
			for j := range p.T {
				p.T[j] *= c.times
			}
		}
		s := setup(take)
		s.SlowedBy = c.slow
		r, err := review.Run(&rec, s, review.Options{})
		if err != nil {
			t.Fatal(err)
		}
		notes := strings.Join(r.Questions, " ")
		if said := strings.Contains(notes, "nobody") || strings.Contains(notes, "slower than life"); said != (c.want != "") || !strings.Contains(notes, c.want) {
			t.Errorf("%s: questions %q", c.name, r.Questions)
		}
	}
}

// TestCheckSays: in words that fit the view and the unit of the export.
func TestCheckSays(t *testing.T) {
	for _, c := range []struct {
		name     string
		o        simulate.Options
		unit     string
		what     string
		why      string
		leaveOut string
	}{
		{"front", simulate.Options{View: trajectory.Front, Skew: 10 * circular.Degree}, "", "the skew of single strokes", "noise alone", "path angle of single"},
		{"end-on", simulate.Options{}, "", "the path angle of single strokes", "noise alone", "the skew of single"},
		{"metres", simulate.Options{}, "m", "lengths in millimetres", "the export is in metres", ""},
		{"pixels", simulate.Options{}, "", "lengths in millimetres", "units of the export are a millimetre", ""},
		{"share lost", simulate.Options{DropOuts: 0.3}, "", "missing samples", "% of the tip's samples are missing", "the take as a whole"},
	} {
		c.o.Seed, c.o.Duration, c.o.Rate, c.o.PathAngle = 4, 6, 8, 20*circular.Degree
		take, err := simulate.Make(c.o)
		if err != nil {
			t.Fatal(err)
		}
		s := setup(take)
		if c.unit != "" {
			take.Recording.Unit, s.Marks.DistanceMM = c.unit, 0
		}
		fs, err := review.Check(&take.Recording, s, review.Options{})
		if err != nil {
			t.Fatal(err)
		}
		found := false
		for _, f := range fs {
			found = found || f.What == c.what && strings.Contains(f.Why, c.why) && f.Aside == (c.what == "missing samples")
			if c.leaveOut != "" && strings.Contains(f.What, c.leaveOut) {
				t.Errorf("%s: it says %q", c.name, f.What)
			}
		}
		if !found {
			t.Errorf("%s: %+v", c.name, fs)
		}
	}
}

// TestTempoAnswers: a tempo that is known takes the place of the question
// whether the film plays slower than life.
func TestTempoAnswers(t *testing.T) {
	take, err := simulate.Make(simulate.Options{Seed: 4, Duration: 10, Rate: 8, PathAngle: 20 * circular.Degree, SlowedBy: 8})
	if err != nil {
		t.Fatal(err)
	}
	for _, c := range []struct {
		bpm  float64
		want string
	}{{0, "does the film play in slow motion"}, {120, "Set slowed_by to 8"}} {
		s := setup(take)
		s.SlowedBy, s.TempoBPM = 0, c.bpm // 8 sixteenths a second are 120 BPM
		r, err := review.Run(&take.Recording, s, review.Options{})
		if err != nil {
			t.Fatal(err)
		}
		if len(r.Questions) != 1 || !strings.Contains(r.Questions[0], c.want) {
			t.Errorf("%g BPM: questions %q", c.bpm, r.Questions)
		}
	}
}

// TestPaceLeavesNoTimes: where the film goes over to slow motion within the
// take, nothing that has to do with time is stated, and what has not still is.
func TestPaceLeavesNoTimes(t *testing.T) {
	take, err := simulate.Make(simulate.Options{Seed: 2, Duration: 20, Rate: 6, PathAngle: 20 * circular.Degree, SlowAt: 8, SlowUntil: 12, SlowBy: 4, FrameRate: 480})
	if err != nil {
		t.Fatal(err)
	}
	r, err := review.Run(&take.Recording, setup(take), review.Options{})
	if err != nil {
		t.Fatal(err)
	}
	if len(r.Jumps) == 0 || len(r.Questions) == 0 {
		t.Fatalf("jumps %v, questions %q", r.Jumps, r.Questions)
	}
	if r.Pace != nil || r.Joint != nil || r.History.Absent == nil || r.Exploring.Absent == nil || len(r.History.Holds) > 0 {
		t.Errorf("something is told of a time that is not that of life: %+v, %+v", r.History, r.Exploring)
	}
	for _, name := range []string{"notes_per_second", "spectral_notes_per_second", "settled_share", "duration_scatter", "peak_speed"} {
		if v := r.Value(name); v.Known() || !strings.Contains(v.Absent.Why, "pace of the film") {
			t.Errorf("%s: %+v", name, v)
		}
	}
	if v := r.Value("picture_angle_deg"); !v.Known() {
		t.Errorf("the angle is absent: %s", v.Absent.Why)
	}
	for _, f := range r.Adequacy() {
		if f.What == "rate alone, from the spectrum" && f.Can {
			t.Errorf("a rate is shown: %s", f.Why)
		}
	}
}
