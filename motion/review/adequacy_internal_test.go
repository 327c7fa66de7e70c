package review

import (
	"fmt"
	"math"
	"math/rand/v2"
	"strings"
	"testing"

	"github.com/plectrace/plectrace/motion"
	"github.com/plectrace/plectrace/motion/simulate"
	"github.com/plectrace/plectrace/tempo"
	"github.com/plectrace/plectrace/trajectory"
	"github.com/plectrace/plectrace/variability/circular"
	"github.com/plectrace/plectrace/variability/robust"
)

// made reviews a simulated take, after change has been at its recording.
func made(t testing.TB, o simulate.Options, change func(*simulate.Take)) *Review {
	t.Helper()
	take, err := simulate.Make(o)
	if err != nil {
		t.Fatal(err)
	}
	if change != nil {
		change(take)
	}
	s := Setup{Tip: "tip", TipIs: TipOfPick, View: take.Options.View, Orientation: take.Options.Orientation}
	s.Marks.DistanceMM = take.Truth.MarkDistance
	s.Marks.Bass, s.Marks.Treble = trajectory.Mark{At: take.Truth.Bass[:2]}, trajectory.Mark{At: take.Truth.Treble[:2]}
	if o.TrackMarks {
		s.Marks.Bass, s.Marks.Treble = trajectory.Mark{Point: "bass"}, trajectory.Mark{Point: "treble"}
	}
	r, err := Run(&take.Recording, s, Options{})
	if err != nil {
		t.Fatal(err)
	}
	return r
}

// percent is the first number before a per cent sign in a sentence.
func percent(why string) float64 {
	words := strings.Fields(why)
	for i, w := range words {
		if w == "%" {
			var v float64
			if _, err := fmt.Sscan(words[i-1], &v); err == nil {
				return v
			}
		}
	}
	return math.NaN()
}

// about returns the finding of that name.
func about(fs []Finding, what string) (Finding, bool) {
	for _, f := range fs {
		if f.What == what {
			return f, true
		}
	}
	return Finding{}, false
}

// TestPlanAndTake: what a plan allows is what the take then shows, with the same
// sentence where nothing had to be measured.
func TestPlanAndTake(t *testing.T) {
	if testing.Short() {
		t.Skip("many takes, or long ones")
	}
	for _, view := range []trajectory.View{trajectory.EndOn, trajectory.Front, trajectory.Oblique} {
		for _, hz := range []float64{30, 60, 120, 240} {
			for _, rate := range []float64{2.7, 5.7, 11} {
				for _, scale := range []float64{0.5, 3, 12} {
					o := simulate.Options{Seed: 7, View: view, FrameRate: hz, Rate: rate, Scale: scale, Noise: 0.5, PathAngle: 15 * circular.Degree, Skew: 10 * circular.Degree}
					r := made(t, o, nil)
					after := r.Adequacy()
					before, err := Plan{
						View: view, FrameRate: hz, NotesPerSecond: tempo.NotesPerSecond(rate), PixelsPerMM: scale,
						TipIs: TipOfPick, MarkDistanceMM: r.Setup.Marks.DistanceMM,
					}.Allows()
					if err != nil {
						t.Fatal(err)
					}
					name := fmt.Sprintf("%v, %g frames/s, %g strokes/s, %g px/mm", view, hz, rate, scale)
					if n := hz / rate; n < 4.2 {
						continue // within what scatters of the limits
					}
					for _, f := range after {
						b, ok := about(before, f.What)
						if !ok {
							switch f.What {
							case "missing samples", "filled samples", "where samples are lost", "lost strokes":
								continue
							}
							t.Errorf("%s: the plan says nothing of %s: %s", name, f.What, f.Why)
							continue
						}
						if scale == 0.5 && (f.What == "a sharp tip" || f.What == "settled and searching spans" || f.What == "rate alone, from the spectrum") {
							continue // noise of a tenth of a stroke is in these
						}
						if share := math.Pi / 2 * rate / hz; f.What == "a sharp tip" && math.Abs(share/mostBlur-1) < 0.05 {
							continue
						}
						if b.Can != f.Can || b.Aside != f.Aside {
							t.Errorf("%s: %s\nplanned %v: %s\nfound   %v: %s", name, f.What, b.Can, b.Why, f.Can, f.Why)
						}
					}
				}
			}
		}
	}
}

// TestPlannedNoise: the noise of single strokes that a plan states is the scatter
// that strokes have which are all alike, to 10 %.
func TestPlannedNoise(t *testing.T) {
	if testing.Short() {
		t.Skip("many takes, or long ones")
	}
	for _, c := range []struct{ hz, rate, noise, length float64 }{
		{60, 3, 0.5, 10}, {60, 5.7, 2, 8}, {120, 5.3, 1, 14}, {120, 12, 0.5, 10}, {240, 12, 0.3, 6}, {240, 5, 3, 10},
	} {
		var angle, length, duration []float64
		for seed := range uint64(4) {
			r := made(t, simulate.Options{
				Seed: seed, FrameRate: c.hz, Rate: c.rate, Noise: c.noise, Length: c.length, Duration: 60, PathAngle: 15 * circular.Degree,
				AngleScatter: -1, LengthScatter: -1, Jitter: -1, SkewScatter: -1, Decimals: -1,
			}, nil)
			known := func(f func(motion.Stroke) float64) (out []float64) {
				for _, v := range r.centred(f) {
					if v == v {
						out = append(out, v)
					}
				}
				return out
			}
			angle = append(angle, known(func(s motion.Stroke) float64 { return s.PathAngle.Degrees() })...)
			length = append(length, known(func(s motion.Stroke) float64 { return s.Length })...)
			duration = append(duration, known(motion.Stroke.Duration)...)
		}
		p, err := Plan{View: trajectory.EndOn, FrameRate: c.hz, NotesPerSecond: tempo.NotesPerSecond(c.rate), PixelsPerMM: 12, Noise: c.noise, StrokeLengthMM: c.length}.filled()
		if err != nil {
			t.Fatal(err)
		}
		want := p.noise()
		for _, q := range []struct {
			what      string
			got, want float64
		}{
			{"angle", robust.Scale(angle), want.Angle.Degrees()},
			{"length", robust.Scale(length) / c.length, want.Length},
			{"duration", robust.Scale(duration) * c.rate, want.Duration},
		} {
			if !(math.Abs(math.Log(q.got/q.want)) < 0.1) {
				t.Errorf("%+v: the %s scatters by %.3g, the plan says %.3g", c, q.what, q.got, q.want)
			}
		}
	}
}

// TestBlurShortens: over an exposure in which the tip moves by the share b of a
// stroke at most, the mean position has 1 - sin(b)/b less travel (the mean of a
// cosine over a window, exact).
func TestBlurShortens(t *testing.T) {
	long := func(exposure float64) (float64, *Review) {
		r := made(t, simulate.Options{Seed: 2, FrameRate: 60, Rate: 7, Exposure: exposure, Noise: -1, Jitter: -1, LengthScatter: -1, AngleScatter: -1, SkewScatter: -1, Decimals: -1}, nil)
		return r.Value("length").Value, r
	}
	sharp, r := long(0)
	for _, exposure := range []float64{1. / 240, 1. / 120, 1. / 60} {
		b := math.Pi / 2 * 7 * exposure
		blurred, r := long(exposure)
		if got, want := 1-blurred/sharp, 1-math.Sin(b)/b; math.Abs(got-want) > 0.0015 {
			t.Errorf("exposed for %.4f s: %.4f of the length is lost, want %.4f", exposure, got, want)
		}
		r.Setup.ExposureS = exposure
		f, _ := about(r.Adequacy(), "a sharp tip")
		if f.Can != (b <= mostBlur) || !(math.Abs(percent(f.Why)-100*b) < 1) {
			t.Errorf("exposed for %.4f s: %v, %s; the share is %.3f", exposure, f.Can, f.Why, b)
		}
	}
	if f, _ := about(r.Adequacy(), "a sharp tip"); !f.Aside || !strings.Contains(f.Why, "would move 18 %") || !strings.Contains(f.Why, "1/73 s") {
		t.Errorf("exposure not given: %+v", f)
	}
}

// TestFilledSamples: what the tracker drew itself is counted.
func TestFilledSamples(t *testing.T) {
	for _, o := range []simulate.Options{
		{Seed: 5, DropOuts: 0.06, StraightFills: true},
		{Seed: 5, DropOuts: 0.06, FrozenFills: true},
	} {
		f, ok := about(made(t, o, nil).Adequacy(), "filled samples")
		if got := percent(f.Why); !ok || !f.Aside || !(math.Abs(got-6) < 2.5) {
			t.Errorf("6 %% filled: %v, %s", ok, f.Why)
		}
	}
	fs := made(t, simulate.Options{Seed: 5, TrackMarks: true, MarkDropOuts: 0.04}, nil).Adequacy()
	f, ok := about(fs, "filled marks")
	if got := percent(f.Why); !ok || !(math.Abs(got-4) < 1.5) {
		t.Errorf("4 %% of the marks missing: %v, %s", ok, f.Why)
	}
	if f, ok := about(fs, "filled samples"); ok {
		t.Errorf("nothing filled: %s", f.Why)
	}
}

// TestLostFast: samples lost in the fast half of a take are told from samples
// lost anywhere, and those lost in the middle of strokes from those at turns.
func TestLostFast(t *testing.T) {
	o := simulate.Options{Seed: 6, Duration: 40, Rate: 9, Plan: []simulate.Stretch{
		{Start: 0, RateBy: 0.7}, {Start: 10, RateBy: 1.3}, {Start: 20, RateBy: 0.7}, {Start: 30, RateBy: 1.3},
	}}
	hide := func(share func(s simulate.Stroke) float64, from, to float64) func(*simulate.Take) {
		return func(take *simulate.Take) {
			rng := rand.New(rand.NewPCG(1, 1))
			p := &take.Recording.Points[0]
			i := 0
			for _, s := range take.Truth.Strokes {
				d := s.End - s.Start
				if rng.Float64() >= share(s) {
					continue
				}
				for ; i < len(p.T) && p.T[i] < s.Start+from*d; i++ {
				}
				for ; i < len(p.T) && p.T[i] < s.Start+to*d; i++ {
					p.X[i], p.Y[i] = math.NaN(), math.NaN()
				}
			}
		}
	}
	fast := func(s simulate.Stroke) bool { return s.End-s.Start < 1.0/9 }
	for _, c := range []struct {
		name       string
		change     func(*simulate.Take)
		what, want string
	}{
		{"turns of fast strokes", hide(func(s simulate.Stroke) float64 {
			if fast(s) {
				return 0.2
			}
			return 0.03
		}, 0.8, 1.2), "lost strokes", "fast strokes are lost more often"},
		{"turns of slow strokes", hide(func(s simulate.Stroke) float64 {
			if fast(s) {
				return 0.03
			}
			return 0.2
		}, 0.8, 1.2), "lost strokes", "slow strokes are lost more often"},
		{"turns of any", hide(func(simulate.Stroke) float64 { return 0.12 }, 0.8, 1.2), "lost strokes", "about as often"},
		{"turns of any: where", hide(func(simulate.Stroke) float64 { return 0.12 }, 0.8, 1.2), "where samples are lost", "the turns lose more"},
		{"the middle of any", hide(func(simulate.Stroke) float64 { return 0.3 }, 0.35, 0.65), "where samples are lost", "the fast middle of strokes loses more"},
		{"nothing", nil, "lost strokes", ""},
		{"nothing: where", nil, "where samples are lost", ""},
	} {
		f, ok := about(made(t, o, c.change).Adequacy(), c.what)
		if ok != (c.want != "") || !strings.Contains(f.Why, c.want) {
			t.Errorf("%s: %q, want %q", c.name, f.Why, c.want)
		}
	}
}

// TestLostByChance: where speed has no part in what is lost, it is said to have
// one in about one take in twenty, also when losses come in runs; where it has a
// large part, it is said so.
func TestLostByChance(t *testing.T) {
	const takes = 600
	for _, c := range []struct {
		name            string
		slow, fast, run float64 // shares lost, and mean length of a run
		low, high       float64 // of takes in which fast or slow are said to be lost more
	}{
		{"one by one", 0.08, 0.08, 1, 0, 0.08},
		{"in runs", 0.08, 0.08, 3, 0, 0.08},
		{"fast ones", 0.02, 0.14, 1, 0.9, 1},
		{"fast ones, in runs", 0.03, 0.25, 2, 0.8, 1},
	} {
		said := 0
		for seed := range uint64(takes) {
			rng := rand.New(rand.NewPCG(seed, 77))
			var strokes []motion.Stroke
			at, left := 0.0, 0
			for i := range 300 {
				d, share := 0.12, c.slow
				if (i/50)%2 == 1 {
					d, share = 0.07, c.fast
				}
				d *= math.Exp(0.04 * rng.NormFloat64())
				if left == 0 && rng.Float64() < share/c.run {
					left = 1
					for c.run > 1 && rng.Float64() < 1-1/c.run {
						left++
					}
				}
				s := motion.Stroke{Start: at, End: at + d, Joined: i > 0, EndHidden: left > 0}
				left = max(0, left-1)
				strokes = append(strokes, s)
				at += d
			}
			for _, f := range lostStrokes(strokes) {
				if strings.Contains(f.Why, "more often:") {
					said++
				}
			}
		}
		share := float64(said) / float64(takes)
		t.Logf("%s: said in %.3f", c.name, share)
		if share < c.low || share > c.high {
			t.Errorf("%s: said in %.3f of takes, want %.2f to %.2f", c.name, share, c.low, c.high)
		}
	}
	if fs := lostStrokes(nil); fs != nil {
		t.Errorf("no strokes: %v", fs)
	}
	if fs := lostParts(nil, nil, nil); fs != nil {
		t.Errorf("no strokes: %v", fs)
	}
}
