package live_test

import (
	"fmt"
	"math"
	"slices"
	"testing"

	"github.com/plectrace/plectrace/motion"
	"github.com/plectrace/plectrace/motion/live"
	"github.com/plectrace/plectrace/motion/simulate"
	"github.com/plectrace/plectrace/trajectory"
	"github.com/plectrace/plectrace/variability/circular"
)

// kind is a kind of take that finals are held to.
type kind struct {
	name string
	o    simulate.Options
}

func kinds() []kind {
	deg := circular.Degree
	ks := []kind{
		{"steady", simulate.Options{}},
		{"strings and rests", simulate.Options{ChangeEvery: 2, Pauses: []simulate.Pause{{At: 5, For: 0.8}, {At: 11, For: 1.5, Tremor: 0.2}}}},
		{"hidden turns", simulate.Options{HideDown: 0.9, DropOuts: 0.02}},
		{"searching", simulate.Options{Plan: []simulate.Stretch{{Search: simulate.Fresh}, {Start: 8}}}},
		{"tiny strokes", simulate.Options{Plan: []simulate.Stretch{{Search: simulate.TinyStrokes}, {Start: 8}}}},
		{"wandering", simulate.Options{Plan: []simulate.Stretch{{Search: simulate.Wander}, {Start: 8}}}},
		{"swaying, marks lost", simulate.Options{TrackMarks: true, Sway: 30, SwayAngle: 3 * deg, MarkDropOuts: 0.01}},
		{"outliers and fills", simulate.Options{DropOuts: 0.02, Outliers: 0.004, StraightFills: true, FrozenFills: true}},
		{"tracker jumps", simulate.Options{Jumps: 3}},
		{"jittered time", simulate.Options{TimeJitter: 0.0005}},
		{"minimum jerk", simulate.Options{Profile: simulate.MinimumJerk, DownShare: 0.48}},
		{"front", simulate.Options{View: trajectory.Front, Skew: 8 * deg}},
		{"3-d", simulate.Options{View: trajectory.Spatial, Skew: 8 * deg, TrackMarks: true}},
	}
	for _, p := range simulate.Presets() {
		ks = append(ks, kind{p.Name, p.Options})
	}
	return ks
}

// setup is the frame of a take.
func setup(take *simulate.Take) trajectory.FrameOptions {
	o := take.Options
	axes := 2
	if o.View == trajectory.Spatial {
		axes = 3
	}
	f := trajectory.FrameOptions{View: o.View, Orientation: o.Orientation, DistanceMM: take.Truth.MarkDistance}
	if o.View == trajectory.ViewUnknown {
		f.View = trajectory.EndOn
	}
	if o.TrackMarks {
		f.Marks = trajectory.Marks{Bass: trajectory.Mark{Point: "bass"}, Treble: trajectory.Mark{Point: "treble"}}
		if axes == 3 {
			f.Marks.Nut = []trajectory.Mark{{Point: "nut"}}
		}
		return f
	}
	f.Marks = trajectory.Marks{Bass: trajectory.Mark{At: take.Truth.Bass[:axes]}, Treble: trajectory.Mark{At: take.Truth.Treble[:axes]}}
	if axes == 3 {
		f.Marks.Nut = []trajectory.Mark{{At: take.Truth.Nut[:axes]}}
	}
	return f
}

// options are those of a tracker for a take.
func options(take *simulate.Take) live.Options {
	o := live.Options{Frame: setup(take), Unit: take.Recording.Unit}
	if take.Options.Confidence {
		o.MinConfidence = trajectory.DefaultMinConfidence
	}
	return o
}

// samples are those of a take as a camera would bring them.
func samples(take *simulate.Take) []live.Sample {
	rec := &take.Recording
	tip, _ := rec.Point("tip")
	var marks []trajectory.Path
	if take.Options.TrackMarks {
		for _, name := range []string{"bass", "treble", "nut"} {
			if p, ok := rec.Point(name); ok {
				marks = append(marks, p)
			}
		}
	}
	at := func(p trajectory.Path, i int) [3]float64 {
		q := [3]float64{p.X[i], p.Y[i], 0}
		if p.Z != nil {
			q[2] = p.Z[i]
		}
		return q
	}
	out := make([]live.Sample, len(rec.T))
	for i := range out {
		out[i] = live.Sample{T: rec.T[i], Tip: at(tip, i)}
		if tip.Confidence != nil {
			out[i].Confidence = tip.Confidence[i]
		}
		for _, p := range marks {
			out[i].Marks = append(out[i].Marks, at(p, i))
		}
	}
	return out
}

// offline is the take as a review takes it.
func offline(take *simulate.Take) (*motion.Motion, error) {
	f, err := trajectory.NewFrame(&take.Recording, setup(take))
	if err != nil {
		return nil, err
	}
	tip, _ := take.Recording.Point("tip")
	if tip, _, err = trajectory.Clean(trajectory.Path{}, tip, trajectory.CleanOptions{}); err != nil {
		return nil, err
	}
	p, err := f.Place(trajectory.Placed{}, tip)
	if err != nil {
		return nil, err
	}
	return motion.Analyze(p, motion.Options{AxisError: f.AxisError, FrameNoise: f.Noise, AxisNoise: f.AxisNoise})
}

// followed is what a tracker tells of a take.
func followed(t testing.TB, take *simulate.Take) (*live.Tracker, []live.Event) {
	t.Helper()
	tr, err := live.New(options(take))
	if err != nil {
		t.Fatal(err)
	}
	events, err := tr.PushAll(nil, samples(take))
	if err != nil {
		t.Fatal(err)
	}
	return tr, tr.Flush(events)
}

// match is how the finals of a take compare with the offline strokes.
type match struct {
	offline, missing, extra int
	turns, angles           []float64 // ms, degrees
	early                   []float64 // of provisional: delay in strokes after the turn
	offset                  []float64 // of provisional turns, ms
	behind                  []float64 // of finals, s
	unconfirmed             int       // finals without a provisional stroke
	withdrawn               int
}

func (m *match) add(o match) {
	m.offline, m.missing, m.extra = m.offline+o.offline, m.missing+o.missing, m.extra+o.extra
	m.turns, m.angles = append(m.turns, o.turns...), append(m.angles, o.angles...)
	m.early, m.offset, m.behind = append(m.early, o.early...), append(m.offset, o.offset...), append(m.behind, o.behind...)
	m.unconfirmed, m.withdrawn = m.unconfirmed+o.unconfirmed, m.withdrawn+o.withdrawn
}

// within is the share of x up to limit.
func within(x []float64, limit float64) float64 {
	n := 0
	for _, v := range x {
		if v <= limit {
			n++
		}
	}
	return float64(n) / float64(len(x))
}

func quantile(x []float64, p float64) float64 {
	if len(x) == 0 {
		return math.NaN()
	}
	slices.Sort(x)
	return x[int(p*float64(len(x)-1))]
}

func (m *match) String() string {
	return fmt.Sprintf("%5d strokes, %d missing, %d extra; turns median %.3f, 99 %% %.2f, within 1 ms %.4f; angles 99 %% %.3f, within 0.5 %.4f; provisional after %.2f/%.2f strokes, within half a one %.3f, off %.1f/%.1f ms, unconfirmed %d, withdrawn %d; final after %.2f/%.2f s",
		m.offline, m.missing, m.extra, quantile(m.turns, 0.5), quantile(m.turns, 0.99), within(m.turns, 1), quantile(m.angles, 0.99), within(m.angles, 0.5),
		quantile(m.early, 0.5), quantile(m.early, 0.95), within(m.early, 0.5), quantile(m.offset, 0.5), quantile(m.offset, 0.9), m.unconfirmed, m.withdrawn,
		quantile(m.behind, 0.5), quantile(m.behind, 0.95))
}

// compare holds what a tracker told of a take to the offline strokes.
func compare(want []motion.Stroke, events []live.Event) match {
	var got []live.Event
	early := map[int]live.Event{}
	m := match{offline: len(want)}
	for _, e := range events {
		switch e.Kind {
		case live.Final:
			got = append(got, e)
		case live.Provisional:
			early[e.Number] = e
			if !e.Stroke.EndHidden { // otherwise when the tip is seen again
				m.early = append(m.early, (e.At-e.T)/e.Stroke.Duration())
			}
		case live.Withdrawn:
			m.withdrawn++
		}
	}
	used := make([]bool, len(got))
	for _, w := range want {
		best := -1
		for k, g := range got {
			if !used[k] && g.Stroke.Direction == w.Direction && math.Abs(g.Stroke.Middle()-w.Middle()) < 0.35*w.Duration() {
				best = k
				break
			}
		}
		if best < 0 {
			m.missing++
			continue
		}
		used[best] = true
		g := got[best]
		m.behind = append(m.behind, g.At-g.T)
		if !w.TurnHidden() && !g.Stroke.TurnHidden() {
			m.turns = append(m.turns, 1000*math.Abs(g.Stroke.Start-w.Start), 1000*math.Abs(g.Stroke.End-w.End))
		}
		if d := math.Abs((g.Stroke.PathAngle - w.PathAngle).Axial().Degrees()); d == d {
			m.angles = append(m.angles, d)
		} else if d := math.Abs((g.Stroke.Skew - w.Skew).Axial().Degrees()); d == d {
			m.angles = append(m.angles, d)
		}
		if e, ok := early[g.Confirms]; ok {
			m.offset = append(m.offset, 1000*math.Abs(e.Stroke.End-w.End))
		} else {
			m.unconfirmed++
		}
	}
	for _, u := range used {
		if !u {
			m.extra++
		}
	}
	return m
}

// TestFinalsOfKinds holds final strokes to those of an analysis of the whole take,
// and provisional ones to half a stroke after their turn, one kind of trouble at a
// time at 240 frames/s. What the limits leave room for is said in the package's
// comment.
func TestFinalsOfKinds(t *testing.T) {
	for _, k := range kinds() {
		t.Run(k.name, func(t *testing.T) {
			noises := []float64{0.3, 0.8, 3}
			if testing.Short() {
				noises = noises[1:2]
			}
			for _, noise := range noises {
				var all match
				for i, rate := range []float64{5.5, 8, 11, 14.5} {
					o := k.o
					if o.Seed == 0 {
						o.Seed, o.FrameRate, o.Rate, o.Noise = uint64(i+1), 240, rate, noise
						if o.View == trajectory.Spatial {
							o.Noise /= 12
						}
						o.PathAngle, o.Roll = 17*circular.Degree, 20*circular.Degree
					} else if i > 0 || noise != 0.8 {
						continue // a preset as it is
					}
					if testing.Short() && (i+int(noise))%4 != 0 {
						continue
					}
					take, err := simulate.Make(o)
					if err != nil {
						t.Fatal(err)
					}
					want, err := offline(take)
					if err != nil {
						t.Fatal(err)
					}
					_, events := followed(t, take)
					all.add(compare(want.Strokes, events))
				}
				if all.offline == 0 {
					continue
				}
				t.Logf("%.1f px: %v", noise, &all)
				turns := 0.985
				switch {
				case k.name == "beginner-1":
					turns = 0.93 // few strokes, and most of them unlike each other
				case noise > 0.8 && k.o.HideDown > 0:
					turns = 0.8 // a window of noise looked like a profile
				case noise > 0.8:
					turns = 0.96
				}
				all.hold(t, noise, turns)
			}
		})
	}
}

// hold fails the test where finals are not those of the whole take, or provisional
// strokes come late. The shares were set after measuring, below the least of all
// kinds (with -v: 0.997 of turns up to 0.8 px and 0.974 at 3 px, 0.947 and 0.904 of
// the kinds with shares of their own; 1.2 s of delay): they
// keep what was reached. No theory gives them, since what differs is what the whole
// take knows and its pieces do not. That a provisional stroke comes within half a
// stroke is what it is for.
func (m *match) hold(t *testing.T, noise, turns float64) {
	t.Helper()
	// One stroke in 150, in a gap or at the first sample.
	if off := m.missing + m.extra; off > max(1, m.offline/150) {
		t.Errorf("%.1f px: %d missing and %d extra of %d strokes", noise, m.missing, m.extra, m.offline)
	}
	// At 3 px a turn is known to a millisecond or two by itself.
	angles := 0.985
	if noise > 0.8 {
		angles = 0.94
	}
	early := 0.97
	if noise > 0.8 {
		early = 0.93
	}
	if testing.Short() {
		// Of one take in four: single slow takes lie at 0.89.
		turns, angles, early = turns-0.12, angles-0.05, early-0.05
	}
	if got := within(m.turns, 1); got < turns {
		t.Errorf("%.1f px: %.4f of turns within 1 ms, want %.2f", noise, got, turns)
	}
	if got := within(m.angles, 0.5); got < angles {
		t.Errorf("%.1f px: %.4f of angles within 0.5 degrees, want %.3f", noise, got, angles)
	}
	if got := quantile(m.early, 0.5); got > 0.3 {
		t.Errorf("%.1f px: provisional strokes come after %.2f strokes in the median", noise, got)
	}
	if got := within(m.early, 0.5); got < early {
		t.Errorf("%.1f px: %.3f of provisional strokes come within half a stroke", noise, got)
	}
	if got := quantile(m.behind, 0.5); got > 2 {
		t.Errorf("%.1f px: final strokes come after %.2f s in the median", noise, got)
	}
}
