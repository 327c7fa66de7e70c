package onepage

import (
	"math"
	"strings"
	"testing"

	"github.com/plectrace/plectrace/examples/internal/clitest"
	"github.com/plectrace/plectrace/motion/review"
	"github.com/plectrace/plectrace/trajectory"
	"github.com/plectrace/plectrace/variability/estimate"
	"github.com/plectrace/plectrace/variability/settling"
)

// wantText checks that words are in a text, and that no number is a broken one.
func wantText(t *testing.T, name string, got []string, want ...string) {
	t.Helper()
	text := strings.Join(got, " ")
	for _, w := range want {
		if !strings.Contains(text, w) {
			t.Errorf("%s: %q leaves out %q", name, text, w)
		}
	}
	if strings.Contains(text, "NaN") || strings.Contains(text, "%!") {
		t.Errorf("%s: %q", name, text)
	}
	clitest.WantPlain(t, name, text)
}

func alone(x float64, n int) estimate.Value[float64] {
	return estimate.Value[float64]{Value: x, Low: math.NaN(), High: math.NaN(), N: n}
}

func hold(seconds float64, again int, from settling.Likeness) settling.Hold {
	return settling.Hold{
		Stretch: settling.Stretch{Seconds: seconds, Strokes: int(8 * seconds), CutEnd: seconds > 9},
		Again:   again, FromLast: from,
		Onset: settling.Onset{Strokes: estimate.Missing[float64]("few", "strokes to take hold", "too few")},
	}
}

// TestLengthWords: how long spans last, and "at least" where an end was not seen.
func TestLengthWords(t *testing.T) {
	holds := []settling.Hold{hold(3, -1, settling.Likeness{}), hold(12, -1, settling.Likeness{})}
	cut := estimate.Missing[float64]("cut-off", "median", "too many are cut off")
	for _, c := range []struct {
		name string
		of   settling.Length
		want string
	}{
		{"with a range", settling.Length{Seconds: known(4, 3, 6, 9), Whole: 9}, "A motion usually holds for 4.0 (3.0 to 6.0) s: half of the settled spans are longer."},
		{"few", settling.Length{Seconds: alone(4.04, 2), Whole: 1, CutOff: 1, LeftOut: 3}, "usually holds for 4.0 s, by only 2 settled spans. Those whose end was not seen (1) count as at least so long. Those that were going on already when the take, or a part of it, began (3) are left out."},
		{"cut off", settling.Length{Seconds: cut}, "How long a motion usually holds cannot be told: of 2 settled spans too few were seen from start to end. The longest lasts at least 12.0 s."},
	} {
		wantText(t, c.name, lengthWords(settling.History{Holds: holds, HoldLength: c.of}), c.want)
	}
	if got := lengthWords(settling.History{}); got != nil {
		t.Errorf("no spans: %q", got)
	}
}

// TestComingAndGoing: how often a motion is left and found again, and the end.
func TestComingAndGoing(t *testing.T) {
	holds := make([]settling.Hold, 4)
	for _, c := range []struct {
		name string
		h    settling.History
		want string
	}{
		{"left and found", settling.History{Holds: holds, Leaves: 2, Returns: 1, LeavesPerMinute: known(9, 2, 28, 2), EndsSettled: true, LastHold: settling.Rank{Rank: 1, Best: 1, Worst: 1, Of: 4}},
			"is left for searching twice, which is 9 (2 to 28) a minute of playing. After that the player settles again once. The take ends settled; the last settled span is the longest of 4."},
		{"left for good", settling.History{Holds: holds[:1], Leaves: 1, LastHold: settling.Rank{Rank: 1, Best: 1, Worst: 1, Of: 1}},
			"searching once. After that the player is not seen to settle again. The take ends searching."},
		{"straight over", settling.History{Holds: holds, Switches: 3, EndsSettled: true, LastHold: settling.Rank{Rank: 2, Best: 1, Worst: 3, Of: 4}},
			"Straight from one settled span to another, with no searching between, it goes 3 times. The take ends settled; the last settled span is the 2nd longest of 4 as far as was seen; as not all were seen whole, it may be anything from the longest to the 3rd longest."},
	} {
		wantText(t, c.name, comingAndGoing(c.h), c.want)
	}
	if got := comingAndGoing(settling.History{}); got != nil {
		t.Errorf("nothing: %q", got)
	}
}

func TestNth(t *testing.T) {
	for n, want := range map[int]string{1: "the longest", 2: "the 2nd longest", 3: "the 3rd longest", 4: "the 4th longest", 11: "the 11th longest", 22: "the 22nd longest", 30: "the shortest"} {
		if got := nth(n, 30); got != want {
			t.Errorf("%d: %q", n, got)
		}
	}
}

// TestHoldWords: how abruptly a motion takes hold, or why that is not told.
func TestHoldWords(t *testing.T) {
	with := func(vs ...estimate.Value[float64]) settling.History {
		h := settling.History{OnsetMedian: settling.Onset{Strokes: known(2, 1, 4, len(vs))}}
		for _, v := range vs {
			h.Holds = append(h.Holds, settling.Hold{Onset: settling.Onset{Strokes: v}})
		}
		return h
	}
	few, none := estimate.Missing[float64]("few", "onset", "too few"), estimate.Missing[float64]("no-searching", "onset", "none before")
	five := known(1, 0, 3, 9)
	for _, c := range []struct {
		name string
		h    settling.History
		want string
	}{
		{"told", with(known(0, 0, 7.8, 9), few, known(1, 0, 4, 9)), "holding: 0 (0 to 8) in settled span 1, 1 (0 to 4) in settled span 3. 0 is from one stroke to the next."},
		{"many", with(five, five, five, five, five), "usually 2 (1 to 4), by 5 settled spans."},
		{"few strokes", with(few, none), "could not be told: the strokes are too few or too uneven."},
		{"no searching", with(none), "could not be told: no searching comes right before a settled span."},
	} {
		wantText(t, c.name, holdWords(c.h), c.want)
	}
}

// TestSameWords: whether a motion comes back, in units that a player knows.
func TestSameWords(t *testing.T) {
	apart := func(of string, d estimate.Value[float64]) settling.Likeness {
		return settling.Likeness{Of: of, Down: true, Distance: d, Verdict: settling.AnotherMotion}
	}
	r := &review.Review{Frame: &trajectory.Frame{View: trajectory.EndOn}}
	r.Settling = settling.Find(nil, settling.Options{})
	r.History.Holds = []settling.Hold{
		hold(2, -1, settling.Likeness{}), hold(2, 0, settling.Likeness{Verdict: settling.SameMotion}),
		hold(2, -1, apart("angle", known(2, 1.5, 2.5, 20))), hold(2, -1, settling.Likeness{Verdict: settling.MotionUnsure}),
		hold(2, -1, apart("length", known(3, 2, 4, 20))),
	}
	wantText(t, "several", sameWords(r),
		"Settled spans after the first: 1 with a motion that was there before, 2 with another motion than the span before and 1 of which it cannot be said (too few strokes, or just about that far apart). The table below says which.",
		"Settled span 3 is another motion than 2: most of all the path angle of its downstrokes differs, by 7.0 (5.2 to 8.8) degrees.",
		"Settled span 5 is another motion than 4: most of all the length of its downstrokes differs, by 36 (24 to 48) %.")
	for i, want := range []string{"", "as 1", "not as 2", "cannot say", "not as 4"} {
		if got := asWhich(r.History.Holds, i); got != want {
			t.Errorf("span %d: %q, want %q", i+1, got, want)
		}
	}
	r.History.Holds = r.History.Holds[:1]
	if got := sameWords(r); got != nil {
		t.Errorf("one span: %q", got)
	}
}

// TestTrendWords: no trend from fewer than five spans, and none from chance.
func TestTrendWords(t *testing.T) {
	trend := func(slope, p float64, n int) settling.Trend {
		return settling.Trend{Slope: alone(slope, n), P: alone(p, n), N: n}
	}
	few := func(n int) settling.Trend {
		return settling.Trend{P: estimate.Missing[float64]("too-few-spans", "test", "too few"), N: n}
	}
	for _, c := range []struct {
		name         string
		hold, search settling.Trend
		want         []string
		leaveOut     string
	}{
		{"few", few(4), few(1), []string{"cannot be told: it takes 5 of a kind that are seen whole, and here are 4 settled and 1 searching."}, "chance"},
		{"found", trend(0.5, 0.01, 7), trend(-0.2, 0.02, 6), []string{"The settled spans get longer (+0.5 s from one to the next, in the middle of 7): so steady a change is rare", "The searching spans get shorter (-0.2 s"}, "cannot"},
		{"chance", trend(0.5, 0.3, 7), few(2), []string{"The settled spans get neither longer nor shorter for certain", "here are 2 searching."}, "rare"},
		{"pauses", few(6), few(0), []string{"Whether the settled spans get longer or shorter over the take cannot be told: a pause parts every two of them."}, "6 settled"},
	} {
		h := settling.History{Holds: make([]settling.Hold, 8), Searches: make([]settling.Stretch, 7), HoldTrend: c.hold, SearchTrend: c.search}
		got := trendWords(h)
		wantText(t, c.name, got, c.want...)
		if strings.Contains(strings.Join(got, " "), c.leaveOut) {
			t.Errorf("%s: %q", c.name, got)
		}
	}
}

// TestSearchWords: what the searching tries, or that it cannot be said.
func TestSearchWords(t *testing.T) {
	r := &review.Review{Frame: &trajectory.Frame{View: trajectory.EndOn}, Unit: "mm"}
	r.Settling = settling.Find(nil, settling.Options{})
	x := &r.Exploring
	x.Strokes = 90
	x.Options.Columns = []settling.Column{{Name: "height", Tolerance: 0.5}}
	feature := func(name string, share estimate.Value[float64], d settling.Draws) settling.Explored {
		return settling.Explored{Name: name, Share: share, Scatter: known(2, 1, 3, 90), Draws: d}
	}
	x.Features = []settling.Explored{
		feature("angle", known(0.7, 0.6, 0.8, 90), settling.Wander), feature("duration", known(0.2, 0.1, 0.4, 90), settling.Fresh),
		feature("length", known(0.06, 0.02, 0.3, 90), settling.DrawsUnsure), feature("height", known(0.04, 0.01, 0.09, 90), settling.DrawsUnsure),
	}
	x.Draws = settling.Wander
	wantText(t, "one thing", triedMost(r), "The searching varies the direction (path angle) most: that is 70 % (60 to 80) of what varies.")
	wantText(t, "wander", draws(r), "the strokes wander: each moves on from the last stroke of its direction.", "By itself, timing is tried anew")
	for i, want := range []string{"7.0 (3.5 to 10.5) degrees", "16 (8 to 24) %", "24 (12 to 36) %", "1.0 (0.5 to 1.5) mm"} {
		if got := scatterOf(r, x.Features[i]); got != want {
			t.Errorf("%s: %q, want %q", x.Features[i].Name, got, want)
		}
	}
	x.Features[0].Share = known(0.5, 0.3, 0.7, 90)
	x.Draws = settling.DrawsUnsure
	wantText(t, "no one thing", triedMost(r), "No one thing makes up most", "The largest part is direction (path angle), 50 % (30 to 70)", "Hardly any of it is height at the turn.")
	wantText(t, "unsure", draws(r), "cannot be said from 90 searching strokes", "By itself, direction (path angle) moves on")
	x.Draws = settling.Fresh
	wantText(t, "fresh", draws(r), "each stroke is a new try")
	x.Draws, x.Features = 0, nil
	x.Memory = estimate.Missing[float64]("noise", "memory", "the noise of the measurement accounts for all the scatter")
	wantText(t, "not judged", draws(r), "cannot be said: the noise of the measurement")
	wantText(t, "nothing", triedMost(r), "cannot be said")
}
