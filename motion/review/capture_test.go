package review_test

import (
	"math"
	"strings"
	"testing"

	"github.com/plectrace/plectrace/motion"
	"github.com/plectrace/plectrace/motion/drive"
	"github.com/plectrace/plectrace/motion/review"
	"github.com/plectrace/plectrace/motion/simulate"
	"github.com/plectrace/plectrace/tempo"
	"github.com/plectrace/plectrace/trajectory"
)

// TestCardFollowsMarks: where marks are tracked beside a card, the camera may
// sway after the card is gone.
func TestCardFollowsMarks(t *testing.T) {
	for seed := range uint64(5) {
		take, s := filmed(func(o *simulate.Options) { o.Seed, o.TrackMarks, o.Sway = 10+seed, true, 20 })
		s.Marks = setup(take).Marks
		s.StringSpacingMM = 0
		r, err := review.Run(&take.Recording, s, review.Options{})
		if err != nil {
			t.Fatal(err)
		}
		missed := 0
		down := 0.0
		n := 0.0
		for _, st := range take.Truth.Strokes {
			if !st.Reached {
				missed++
			}
			if st.Down {
				down += st.HeightEnd
				n++
			}
		}
		share := float64(missed) / float64(len(take.Truth.Strokes))
		if v := r.Value("missed_share"); !(v.Low <= share+0.01 && share <= v.High) || v.High-v.Low > 0.15 {
			t.Errorf("take %d: %.0f %% of the strokes missed, found %.0f (%.0f to %.0f)", seed, 100*share, 100*v.Value, 100*v.Low, 100*v.High)
		}
		if v := r.Value("height_after_down"); !(v.Low <= down/n && down/n <= v.High) {
			t.Errorf("take %d: height after downstrokes %.2f, found %.2f (%.2f to %.2f)", seed, down/n, v.Value, v.Low, v.High)
		}
		if !r.Frame.Follows {
			t.Error("the frame does not follow the marks")
		}
	}
}

// TestFailedTouch: a touch that is asked for and is none leaves no heights,
// whatever the tip is said to be, and says so first.
func TestFailedTouch(t *testing.T) {
	take, s := filmed(nil)
	at := 7.3 // amid the playing
	s.TouchS, s.TipIs = &at, review.TipOfPick
	r, err := review.Run(&take.Recording, s, review.Options{})
	if err != nil {
		t.Fatal(err)
	}
	if r.Clearing.Clearing != motion.ClearingUnknown || r.Value("height_after_down").Known() {
		t.Errorf("clearing %v, height %v", r.Clearing.Clearing, r.Value("height_after_down"))
	}
	if len(r.Questions) != 1 || !strings.Contains(r.Questions[0], "7.30 s") || !strings.Contains(r.Questions[0], "rests on the string") {
		t.Errorf("questions %q", r.Questions)
	}
}

// TestCaptureRefused: settings that cannot be, each with the key to change.
func TestCaptureRefused(t *testing.T) {
	num := func(x float64) *float64 { return &x }
	note := tempo.Eighth
	for _, c := range []struct {
		name   string
		change func(*review.Setup)
		want   []string
	}{
		{"three corners", func(s *review.Setup) { s.Card.Corners = s.Card.Corners[:3] }, []string{"3 corners", "(card)"}},
		{"card and raise", func(s *review.Setup) { s.RaiseDeg = num(5) }, []string{"raise_deg", "card"}},
		{"card from the front", func(s *review.Setup) { s.View = trajectory.Front }, []string{"front", "end-on"}},
		{"raise of a roof", func(s *review.Setup) {
			s.Card, s.RaiseDeg = review.SetupCard{}, num(80)
			s.Marks.Bass, s.Marks.Treble = trajectory.Mark{At: []float64{800, 500}}, trajectory.Mark{At: []float64{1100, 500}}
		}, []string{"raise_deg is 80", "45"}},
		{"skew of a nut", func(s *review.Setup) { s.SkewDeg = num(math.NaN()) }, []string{"skew_deg", "60"}},
		{"touch of no string", func(s *review.Setup) { s.TouchString = 0 }, []string{"touch_string"}},
		{"touch of a string too many", func(s *review.Setup) { s.TouchString = 9 }, []string{"touch_string is 9 of 6"}},
		{"string touched at no time", func(s *review.Setup) { s.TouchS = nil }, []string{"touch_s"}},
		{"touch before the film", func(s *review.Setup) { s.TouchS = num(-1) }, []string{"touch_s is -1"}},
		{"string played too many", func(s *review.Setup) { s.StringPlayed = 7 }, []string{"string_played is 7 of 6"}},
		{"no strings", func(s *review.Setup) { s.StringCount = -1 }, []string{"string_count is -1"}},
		{"a crown like a bottle", func(s *review.Setup) { s.CrownRadiusMM = 20 }, []string{"crown_radius_mm is 20"}},
		{"exposure in ms", func(s *review.Setup) { s.ExposureS = 4 }, []string{"exposed for 4 s", "exposure_s"}},
		{"exposure below none", func(s *review.Setup) { s.ExposureS = -1 }, []string{"exposure_s is -1"}},
		{"note without tempo", func(s *review.Setup) { s.TempoNote = &note }, []string{"tempo_note", "tempo_bpm", "beats"}},
		{"one point on the pick", func(s *review.Setup) { s.PickPoints = []string{"tip"} }, []string{"pick_points names 1"}},
		{"one point twice", func(s *review.Setup) { s.PickPoints = []string{"tip", "tip"} }, []string{"pick_points", "twice"}},
		{"the tip as wrist", func(s *review.Setup) { s.Landmarks = map[drive.Landmark]string{drive.Wrist: "tip"} }, []string{"wrist", `"tip"`}},
		{"a wrist that is an elbow", func(s *review.Setup) { s.Landmarks = map[drive.Landmark]string{drive.Wrist: "w", drive.Elbow: "w"} }, []string{`"w" twice`, "elbow"}},
		{"another tip", func(s *review.Setup) { s.Landmarks = map[drive.Landmark]string{drive.Tip: "w"} }, []string{`"w"`, `"tip"`}},
		{"an endless slide", func(s *review.Setup) { s.LandmarkErrorMM = math.Inf(1) }, []string{"landmark_error_mm is +Inf"}},
		{"a landmark that is not there", func(s *review.Setup) { s.Landmarks = map[drive.Landmark]string{drive.Wrist: "w"} }, []string{`"w"`, "no such point"}},
	} {
		take, s := filmed(nil)
		c.change(&s)
		_, err := review.Run(&take.Recording, s, review.Options{})
		if err == nil {
			t.Errorf("%s: no error", c.name)
			continue
		}
		for _, want := range c.want {
			if !strings.Contains(err.Error(), want) || strings.Contains(err.Error(), "\n") {
				t.Errorf("%s: error %q leaves out %q", c.name, err, want)
			}
		}
	}
}
