package take_test

import (
	"bytes"
	"fmt"
	"math"
	"strings"
	"testing"

	"github.com/plectrace/plectrace/motion/cycle"
	"github.com/plectrace/plectrace/motion/figure"
	"github.com/plectrace/plectrace/motion/figure/take"
	"github.com/plectrace/plectrace/motion/review"
	"github.com/plectrace/plectrace/motion/simulate"
	"github.com/plectrace/plectrace/trajectory"
	"github.com/plectrace/plectrace/variability/circular"
	"github.com/plectrace/plectrace/variability/estimate"
)

// all draws every figure of a review, by name.
func all(r *review.Review) map[string]figure.Figure {
	return map[string]figure.Figure{
		"film": take.Film(r), "path": take.Path(r), "cycle": take.Cycle(r), "turns": take.Turns(r),
		"strokes": take.Strokes(r), "rate": take.Rate(r), "angle": take.Angle(r), "carry": take.Carry(r),
		"drive": take.Drive(r), "shares": take.Shares(r), "spans": take.Spans(r), "early-late": take.EarlyLate(r),
	}
}

// run reviews a simulated take with its marks as settings; change may alter these.
func run(t *testing.T, o simulate.Options, change func(*review.Setup, *review.Options)) (*simulate.Take, *review.Review) {
	t.Helper()
	made, err := simulate.Make(o)
	if err != nil {
		t.Fatal(err)
	}
	names := make([]string, len(made.Recording.Points))
	for i, p := range made.Recording.Points {
		names[i] = p.Name
	}
	s := review.Setup{Tip: "tip", TipIs: review.TipOfPick, View: made.Options.View, Orientation: made.Options.Orientation}
	s.Marks.DistanceMM = made.Truth.MarkDistance
	if !o.TrackMarks {
		s.Marks.Bass, s.Marks.Treble = trajectory.Mark{At: made.Truth.Bass[:2]}, trajectory.Mark{At: made.Truth.Treble[:2]}
	}
	s, _ = s.Guess(names, true)
	ro := review.Options{}
	if change != nil {
		change(&s, &ro)
	}
	r, err := review.Run(&made.Recording, s, ro)
	if err != nil {
		t.Fatal(err)
	}
	return made, r
}

// TestEveryView draws all figures of takes of every view and with every kind of
// lack: what the view gives is drawn, what it does not says so, and nothing else.
func TestEveryView(t *testing.T) {
	axis := 20 * circular.Degree
	for _, c := range []struct {
		name   string
		o      simulate.Options
		change func(*review.Setup, *review.Options)
		empty  string // the figures that have nothing to show
	}{
		{"end-on", simulate.Options{Seed: 1, Duration: 10, PathAngle: axis, Wrist: true, Carry: 0.4}, nil, ""},
		{"front", simulate.Options{Seed: 1, Duration: 10, View: trajectory.Front, TrackMarks: true}, nil, "path angle carry drive shares"},
		{"3-D arm", simulate.Options{Seed: 5, Rate: 8, View: trajectory.Spatial, TrackMarks: true, Arm: true, LandmarkNoise: 0.5}, nil, ""},
		{"oblique", simulate.Options{Seed: 1, Duration: 10, PathAngle: axis, View: trajectory.Oblique}, nil, "carry drive shares"},
		{"a marker above the tip", simulate.Options{Seed: 1, Duration: 10, PathAngle: axis}, func(s *review.Setup, _ *review.Options) {
			s.TipIs = review.TipMarker
		}, "carry drive shares"},
		{"marks of no known distance", simulate.Options{Seed: 1, Duration: 10, PathAngle: axis}, func(s *review.Setup, _ *review.Options) {
			s.Marks.DistanceMM = 0
		}, "carry drive shares"},
		{"searching", simulate.Options{Seed: 3, Duration: 12, PathAngle: axis, Plan: []simulate.Stretch{{Search: simulate.Fresh}}}, nil, "cycle carry drive shares"},
		{"too few samples", simulate.Options{Seed: 2, Rate: 13, FrameRate: 30, Pulse: true, PathAngle: axis}, nil,
			"cycle turns strokes rate angle carry drive shares spans early-late"},
		{"changed pace", simulate.Options{Seed: 2, Duration: 20, Rate: 6, PathAngle: axis, SlowAt: 8, SlowUntil: 12, SlowBy: 4, FrameRate: 480}, nil,
			"rate carry drive shares spans early-late"},
	} {
		t.Run(c.name, func(t *testing.T) {
			_, r := run(t, c.o, c.change)
			empty := strings.Fields(c.empty)
			for name, f := range all(r) {
				for _, width := range []int{343, 800} {
					svg := figure.SVG(f, figure.Options{Width: width})
					want := false
					for _, e := range empty {
						want = want || e == name
					}
					if got := bytes.Contains(svg, []byte("Nothing to show: ")); got != want {
						t.Errorf("%s: nothing to show is %t, want %t", name, got, want)
					}
				}
			}
			if f := take.Strokes(r); f.Unjudged != (r.SettledStrokes() == nil) {
				t.Errorf("strokes: unjudged is %t", f.Unjudged)
			}
		})
	}
}

// TestFilm holds the signs of the picture against what was filmed: however the
// film is turned, the first downstroke goes toward the treble side, along the
// arrow, and the treble mark lies there.
func TestFilm(t *testing.T) {
	for i := range 8 {
		o := simulate.Options{Seed: 3, Duration: 6, Rate: 8, PathAngle: 15 * circular.Degree, Roll: circular.Angle(40*i) * circular.Degree}
		o.Orientation = trajectory.Orientation{YUp: i&1 > 0, LeftHanded: i&2 > 0, Mirrored: i&4 > 0}
		made, r := run(t, o, nil)
		f := take.Film(r)
		if f.YUp != o.Orientation.YUp {
			t.Errorf("%+v: y up is %t", o.Orientation, f.YUp)
		}
		treble, out := f.Arrows[0], f.Arrows[1]
		if dot := treble.X*out.X + treble.Y*out.Y; math.Abs(dot) > 1e-6 {
			t.Errorf("%+v: the arrows are not square to each other", o.Orientation)
		}
		bass, high := made.Truth.Bass, made.Truth.Treble
		if along := treble.X*(high[0]-bass[0]) + treble.Y*(high[1]-bass[1]); !(along > 0) {
			t.Errorf("%+v: the arrow to the treble side points away from the treble mark", o.Orientation)
		}
		down := figure.Point{X: f.DownTo.X - f.DownFrom.X, Y: f.DownTo.Y - f.DownFrom.Y}
		across, rise := down.X*treble.X+down.Y*treble.Y, down.X*out.X+down.Y*out.Y
		if got := math.Atan2(rise, across) * 180 / math.Pi; math.Abs(got-15) > 6 { // one stroke scatters by 1.5 degrees
			t.Errorf("%+v: the first downstroke goes at %.1f degrees, want 15", o.Orientation, got)
		}
		if got := math.Hypot(down.X, down.Y) / f.PerMM; math.Abs(got-10) > 2 {
			t.Errorf("%+v: the first downstroke is %.1f mm long, want 10", o.Orientation, got)
		}
	}
}

// TestCycle holds the mean cycle against how the take was made, and a reference
// kept from the take itself against its own mean cycle.
func TestCycle(t *testing.T) {
	o := simulate.Options{Seed: 6, Duration: 15, PathAngle: 18 * circular.Degree, Length: 9, DownShare: 0.45, Curvature: 0.02}
	_, first := run(t, o, nil)
	ref, err := first.KeepReference("its own", cycle.Margins{})
	if err != nil {
		t.Fatal(err)
	}
	_, r := run(t, o, func(_ *review.Setup, ro *review.Options) { ro.Reference = &ref })
	f := take.Cycle(r)
	n := len(f.Mean.Across)
	dx, dy := f.Mean.Across[f.Mean.Down]-f.Mean.Across[0], f.Mean.Second[f.Mean.Down]-f.Mean.Second[0]
	if angle := math.Atan2(dy, dx) * 180 / math.Pi; math.Abs(angle-18) > 1 {
		t.Errorf("the turns lie at %.2f degrees, made at 18", angle)
	}
	if length := math.Hypot(dx, dy); math.Abs(length-9) > 0.2 {
		t.Errorf("the turns lie %.2f mm apart, made 9", length)
	}
	if share := float64(f.Mean.Down) / float64(n); math.Abs(share-0.45) > 0.02 {
		t.Errorf("the downstroke takes %.3f of the places, made 0.45", share)
	}
	if len(f.Reference.Across) != n {
		t.Fatalf("the reference has %d places, the mean cycle %d", len(f.Reference.Across), n)
	}
	for i := range n {
		if d := math.Hypot(f.Reference.Across[i]-f.Mean.Across[i], f.Reference.Second[i]-f.Mean.Second[i]); d > 1e-9 {
			t.Errorf("place %d: the reference kept from the take lies %g mm off its mean cycle", i, d)
		}
		if got, want := f.Reference.HalfAcross[i], 0.05*9; math.Abs(got-want) > 0.02 {
			t.Errorf("place %d: the margin is %.3f mm, want %.3f", i, got, want)
		}
	}
	// A downstroke of nearly the whole cycle leaves the upstroke no place.
	share := &r.Longest().Cycle.DownShare
	was := *share
	share.Value = 0.999
	if f := take.Cycle(r); f.Mean.Down != n {
		t.Errorf("a downstroke of the whole cycle has %d of %d places", f.Mean.Down, n)
	}
	*share = estimate.Missing[float64]("hidden", "share of the downstroke", "it was not seen")
	if f := take.Cycle(r); len(f.Mean.Across) != n || f.Mean.Down != 0 || len(f.Reference.Across) != 0 {
		t.Errorf("without the second turn: %d places, %d of the reference", len(f.Mean.Across), len(f.Reference.Across))
	}
	*share = was
	ref.Shape.Out = nil
	if f := take.Cycle(r); len(f.Reference.Across) != 0 {
		t.Error("a reference without out is drawn in the plane of out")
	}
}

// TestDrive holds the shares against how the arm was made to move.
func TestDrive(t *testing.T) {
	made, r := run(t, simulate.Options{
		Seed: 5, Rate: 8, View: trajectory.Spatial, TrackMarks: true, Arm: true, LandmarkNoise: -1,
		Shares: simulate.Shares{Elbow: 0.25, Forearm: 0.15, Wrist: 0.6},
	}, nil)
	want := map[string]float64{"elbow": 0.25, "forearm rotation": 0.15, "wrist": 0.6}
	f := take.Drive(r)
	if len(f.T) != len(r.Drive.Strokes) || len(f.T) < 100 {
		t.Errorf("%d strokes", len(f.T))
	}
	found := 0
	for _, s := range f.Shares {
		w, ok := want[s.Name]
		if !ok {
			continue
		}
		found++
		if math.Abs(s.Value.Value-w) > 0.04 {
			t.Errorf("%s: %.3f, made %.3f", s.Name, s.Value.Value, w)
		}
		if len(s.Strokes) != len(f.T) {
			t.Errorf("%s: %d strokes of %d", s.Name, len(s.Strokes), len(f.T))
		}
	}
	if found != len(want) {
		t.Errorf("%d of the shares %v: %+v", found, want, made.Options.Shares)
	}
}

// TestRate holds the columns of the rate against how the take was made.
func TestRate(t *testing.T) {
	_, r := run(t, simulate.Options{Seed: 4, Duration: 15, Rate: 11, PathAngle: 20 * circular.Degree}, nil)
	f := take.Rate(r)
	if math.Abs(f.Typical-11) > 0.2 {
		t.Errorf("the take has %.2f notes per second, made 11", f.Typical)
	}
	held, n := 0, 0
	for i, y := range f.Curve.Y {
		if y == y && f.Curve.Low[i] == f.Curve.Low[i] {
			n++
			if f.Curve.Low[i] <= 11 && 11 <= f.Curve.High[i] {
				held++
			}
		}
	}
	if n < 100 || held < 8*n/10 {
		t.Errorf("the band holds 11 at %d of %d moments", held, n)
	}
}

// TestSpans holds the numbers in the strip against the order of the spans of the
// review, which is that of spans.csv.
func TestSpans(t *testing.T) {
	f := take.Spans(beginner)
	parts := f.Strips[0].Parts
	if len(parts) != len(beginner.Spans) || !f.Strips[0].Numbered {
		t.Fatalf("%d parts, %d spans", len(parts), len(beginner.Spans))
	}
	var file bytes.Buffer
	if err := beginner.WriteSpans(&file); err != nil {
		t.Fatal(err)
	}
	lines := strings.Split(strings.TrimSpace(file.String()), "\n")[1:]
	for i, p := range parts {
		if want := fmt.Sprintf("%s,%.6f,%.6f,", p.Kind, p.Start, p.End); !strings.HasPrefix(lines[i], want) {
			t.Errorf("part %d is %s, line %d of spans.csv %s", i+1, want, i+1, lines[i])
		}
	}
}
