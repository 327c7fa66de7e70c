package onepage

import (
	"strings"
	"testing"

	"github.com/plectrace/plectrace/examples/internal/notebook"
	"github.com/plectrace/plectrace/motion/review"
	"github.com/plectrace/plectrace/tempo"
	"github.com/plectrace/plectrace/variability"
	"github.com/plectrace/plectrace/variability/estimate"
)

// TestDriftWords: a change of speed is told where the whole range bears it.
func TestDriftWords(t *testing.T) {
	short := estimate.Missing[float64]("too-short", "drift", "fewer than 48 strokes follow each other: take a longer stretch of playing")
	for _, c := range []struct {
		name         string
		minute, over estimate.Value[float64]
		want         string
	}{
		{"slower", known(-12, -18, -6, 90), known(-0.6, -0.9, -0.3, 90), "The take slows down: from start to end -0.60 (-0.90 to -0.30) strokes a second, which in a minute would be -12 % (-18 to -6)."},
		{"quicker", known(12, 6, 18, 90), known(0.6, 0.3, 0.9, 90), "The take gets quicker: from start to end +0.60 (+0.30 to +0.90)"},
		{"open", known(12, -6, 30, 90), known(0.6, -0.3, 1.5, 90), "slows down or gets quicker cannot be said"},
		{"no range", alone(12, 90), alone(0.6, 90), "How far that may be off is not known."},
		{"short", short, short, "cannot be said: fewer than 48 strokes"},
	} {
		wantText(t, c.name, driftWords(tempo.Drift{PerMinute: c.minute, Over: estimate.As[tempo.NotesPerSecond](c.over)}), c.want)
	}
}

// TestSwingWords: down against up, with what the camera allows.
func TestSwingWords(t *testing.T) {
	for _, c := range []struct {
		name string
		w    tempo.Swing
		want string
	}{
		{"shorter", tempo.Swing{Ratio: known(0.9, 0.85, 0.95, 90), Uneven: true, Floor: 1.02}, "Downstrokes take 90 % (85 to 95) of the time of upstrokes. They are the shorter ones. The camera's frames alone can make a difference of 2 %"},
		{"longer", tempo.Swing{Ratio: known(1.1, 1.05, 1.2, 90), Uneven: true}, "They are the longer ones."},
		{"alike", tempo.Swing{Ratio: known(1, 0.97, 1.03, 90)}, "As far as can be told they are alike."},
		{"no range", tempo.Swing{Ratio: alone(1, 20)}, "How far that may be off is not known."},
		{"few", tempo.Swing{Ratio: estimate.Missing[float64]("too-short", "swing", "too few strokes")}, "cannot be said: too few strokes."},
	} {
		wantText(t, c.name, swingWords(c.w), c.want)
	}
}

// TestRepairWords: where turns are missed or found twice, a few places of many.
func TestRepairWords(t *testing.T) {
	wantText(t, "none", repairWords(tempo.Curve{}), "No turn seems to be missed, or found twice.")
	var c tempo.Curve
	for i := range 12 {
		c.Repairs = append(c.Repairs, tempo.Repair{At: float64(i), Kind: "missed"})
	}
	c.Repairs = append(c.Repairs, tempo.Repair{At: 3.21, Kind: "extra"}, tempo.Repair{At: 3.24, Kind: "extra"})
	wantText(t, "many", repairWords(c), "seem to be missed at 0.0, 1.0, 2.0, 3.0, 4.0, 5.0, 6.0 and 7.0 s and further on, 12 in all: look at", "found twice, or a stroke falters, at 3.2 s: look at")
}

// TestGridWords: notes against the metronome, early and late where clocks allow.
func TestGridWords(t *testing.T) {
	none := estimate.Missing[float64]("no-click", "offset", "no click was given")
	click := 0.5
	for _, c := range []struct {
		name  string
		g     tempo.Grid
		click *float64
		want  string
	}{
		{"late", tempo.Grid{Drift: known(0.1, -0.2, 0.4, 90), Offset: known(0.012, 0.008, 0.016, 90), Spread: known(0.01, 0.008, 0.012, 90)}, &click,
			"Against the metronome at 120 BPM (the start of every downstroke): as quick as it, as far as can be told (+0.10 % (-0.20 to +0.40)); after the click by 12 (8 to 16) ms; scattered about it by 10.0 (8.0 to 12.0) ms."},
		{"early", tempo.Grid{Drift: known(-5, -7, -3, 90), Offset: known(-0.012, -0.016, -0.008, 90), Spread: none}, &click, "slower than it, by 5.0 (3.0 to 7.0) %; ahead of the click by 12 (8 to 16) ms."},
		{"no click", tempo.Grid{Drift: known(5, 3, 7, 90), Offset: none, Spread: none}, nil, "quicker than it, by 5.0 (3.0 to 7.0) %."},
		{"slips", tempo.Grid{Drift: known(5, 3, 7, 90), Offset: none, Spread: none}, &click, "early or late cannot be said, as no click was given."},
		{"off", tempo.Grid{Drift: none}, nil, "it cannot be said, as no click was given."},
	} {
		c.g.Options.BPM = 120
		r := &review.Review{Pace: &review.Pace{Grid: c.g}}
		r.Setup.ClickS = c.click
		wantText(t, c.name, gridWords(r), c.want)
	}
	if got := gridWords(&review.Review{Pace: &review.Pace{}}); got != nil {
		t.Errorf("no metronome: %q", got)
	}
}

// TestFastest: no quickest stretch without what luck gives.
func TestFastest(t *testing.T) {
	nps := estimate.As[tempo.NotesPerSecond, float64]
	luck := nps(known(9, 8.5, 9.6, 299))
	var s notebook.Section
	fastest(&s, []tempo.Fastest{
		{Beats: 1, Strokes: 4, Rate: nps(alone(10, 4)), Chance: luck, Beyond: true},
		{Beats: 2, Strokes: 8, Rate: nps(alone(9.1, 8)), Chance: luck},
		{Beats: 4, Strokes: 16, Rate: nps(alone(8.8, 16)), Chance: estimate.Missing[tempo.NotesPerSecond]("too-short", "chance", "fewer than 48 strokes follow each other")},
		{Beats: 8, Strokes: 32, Rate: estimate.Missing[tempo.NotesPerSecond]("too-short", "rate", "fewer than 48 strokes follow each other"), Chance: luck},
	})
	if len(s.Blocks) != 2 {
		t.Fatalf("%d blocks: %v", len(s.Blocks), s.Blocks)
	}
	table := s.Blocks[0].(notebook.Table)
	var rows []string
	for _, r := range table.Rows {
		rows = append(rows, strings.Join(r, "|"))
	}
	if got, want := strings.Join(rows, "\n"), "1 beat|10.0|9.0 (8.5 to 9.6)|yes\n2 beats|9.1|9.0 (8.5 to 9.6)|no"; got != want {
		t.Errorf("rows\n%s\nwant\n%s", got, want)
	}
	if !strings.Contains(table.Caption, "4 strokes each") {
		t.Error(table.Caption)
	}
	wantText(t, "left out", []string{string(s.Blocks[1].(notebook.Text))}, "The quickest stretch of 4 and 8 beats is left out: fewer than 48 strokes follow each other.")
}

// TestEarlyLateWords: warnings once, wild strokes named, and moves of the middle.
func TestEarlyLateWords(t *testing.T) {
	const straddles = "The early part holds a change of span at 3.3 s."
	change := func(ratio, robust, trimmed estimate.Value[float64]) review.Change {
		c := variability.Change{Ratio: ratio, RobustRatio: robust, Trimmed: trimmed, Warning: straddles, Tail: 1}
		return review.Change{Title: "stroke duration", Unit: "s", Change: c}
	}
	less, open := known(0.5, 0.4, 0.6, 60), known(0.7, 0.4, 1.2, 60)
	r := &review.Review{EarlyLate: []review.Change{change(less, less, known(0.01, 0.008, 0.012, 60)), change(less, open, known(0, -0.1, 0.1, 60))}}
	got := changes(r)
	wantText(t, "changes", got, "steadier late in the take: its scatter is 50 % of the early one (40 % to 60 %).", "That may be a few wild strokes", "The middle of the stroke duration moves by +10.0 ms (+8.0 to +12.0) from early to late.")
	if text := strings.Join(got, " "); strings.Count(text, "wild strokes") != 1 || strings.Count(text, "moves by") != 1 {
		t.Errorf("%q", text)
	}
	if w := warnings(r); len(w) != 1 || w[0] != straddles {
		t.Errorf("warnings %q", w)
	}
	wantText(t, "parts", []string{parts(r)}, "The last 1.0 s are left out")
}
