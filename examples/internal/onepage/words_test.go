package onepage

import (
	"io"
	"io/fs"
	"math"
	"strings"
	"testing"

	"github.com/plectrace/plectrace/examples/internal/takefile"
	"github.com/plectrace/plectrace/motion"
	"github.com/plectrace/plectrace/motion/cohort"
	"github.com/plectrace/plectrace/motion/progress"
	"github.com/plectrace/plectrace/motion/review"
	"github.com/plectrace/plectrace/motion/simulate"
	"github.com/plectrace/plectrace/tempo"
	"github.com/plectrace/plectrace/trajectory"
	"github.com/plectrace/plectrace/variability"
	"github.com/plectrace/plectrace/variability/circular"
	"github.com/plectrace/plectrace/variability/estimate"
)

// values is a review that holds the measures given, and no others.
func values(v map[string]estimate.Value[float64]) *review.Review {
	r := &review.Review{Frame: &trajectory.Frame{View: trajectory.EndOn}, Motion: &motion.Motion{}}
	for _, m := range review.Measures() {
		got, ok := v[m.Name]
		if !ok {
			got = estimate.Missing[float64]("none", m.Name, "nothing was measured")
		}
		r.Values = append(r.Values, got)
	}
	return r
}

// made is the review of a made take.
func made(t *testing.T, o simulate.Options) *review.Review {
	t.Helper()
	take, err := simulate.Make(o)
	if err != nil {
		t.Fatal(err)
	}
	r, err := takefile.Open(progress.Take{File: "a.csv"}, func(name string) (io.ReadCloser, error) {
		switch name {
		case "a.csv", "a.take.json":
			return takefile.Made(take, name != "a.csv")
		}
		return nil, fs.ErrNotExist
	}, cohort.Options{})
	if err != nil {
		t.Fatal(err)
	}
	return r.Review
}

func known(v, low, high float64, n int) estimate.Value[float64] {
	return estimate.Value[float64]{Value: v, Low: low, High: high, Level: 0.95, N: n}
}

// TestAgreement: two rates that differ are told with what is likely, and what to
// look at.
func TestAgreement(t *testing.T) {
	agree := func(spectral estimate.Value[float64], e tempo.Evidence) string {
		rate := known(8, 7.9, 8.1, 60)
		r := values(map[string]estimate.Value[float64]{"notes_per_second": rate, "spectral_notes_per_second": spectral})
		r.Pace = &review.Pace{Agreement: tempo.Agree(estimate.As[tempo.NotesPerSecond](rate), estimate.As[tempo.NotesPerSecond](spectral), e)}
		return strings.Join(agreement(r), " ")
	}
	for _, c := range []struct {
		spectral float64
		samples  float64 // to a stroke
		want     string
	}{
		{8, 20, ""},
		{8.1, 20, ""},
		{16.2, 20, "shows 16.2 strokes a second. Treat the speed with care. The spectrum shows the stroke and not the cycle"},
		{16.2, 3, "Turns were missed"},
		{3.9, 20, "nothing says which is right: count the strokes of two seconds in the film."},
		{11, 20, "shows 11 strokes a second. Treat"},
	} {
		spectral := known(c.spectral, c.spectral/1.01, c.spectral*1.01, 5)
		if got := agree(spectral, tempo.Evidence{SamplesPerStroke: c.samples}); (got == "") != (c.want == "") || !strings.Contains(got, c.want) {
			t.Errorf("8 and %g: %q", c.spectral, got)
		}
	}
	if got := agree(estimate.Missing[float64]("none", "spectral rate", "nothing was measured"), tempo.Evidence{}); !strings.Contains(got, "nothing was measured") {
		t.Errorf("no spectral rate: %q", got)
	}
}

// TestPathAngleWords: nothing follows from a handful of strokes, nor from an
// interval that holds both ways.
func TestPathAngleWords(t *testing.T) {
	nan := math.NaN()
	for _, c := range []struct {
		angle    estimate.Value[float64]
		want     string
		leaveOut string
	}{
		{known(17, 15, 19, 60), "ends further out", "only"},
		{known(-17, -19, -15, 60), "ends nearer", "only"},
		{known(1, -1, 3, 60), "level with the strings", "ends"},
		{known(88, 84, 92, 60), "can hardly be told apart", "ends"},
		{known(17, nan, nan, 4), "from only 4 strokes.", "ends"},
		{known(17, 15, 19, 5), "from only 5 strokes.", "ends"},
		{known(17, nan, nan, 1), "from only 1 stroke.", "ends"},
	} {
		r := values(map[string]estimate.Value[float64]{"notes_per_second": known(8, 7.9, 8.1, 60), "path_angle_deg": c.angle})
		r.Pace = &review.Pace{Agreement: tempo.Agreement{Verdict: tempo.RatesAgree}}
		var texts []string
		for _, f := range findings(r) {
			texts = append(texts, f.text)
		}
		text := strings.Join(texts, "\n")
		if !strings.Contains(text, c.want) || strings.Contains(text, c.leaveOut) || strings.Contains(text, "NaN") {
			t.Errorf("%+v:\n%s", c.angle, text)
		}
	}
}

// TestInTempo: a rate in the note value of the settings. As many notes of a kind as
// fill a beat of a quarter make its tempo (common practice; MIDI counts beats so).
func TestInTempo(t *testing.T) {
	for note, want := range map[string]string{
		"": "135 BPM in sixteenths", "16": "135 BPM in sixteenths", "8": "270 BPM in eighths", "8t": "180 BPM in eighth triplets",
		"16t": "90 BPM in sixteenth triplets", "16(5:4)": "108 BPM in sixteenth quintuplets",
	} {
		var r review.Review
		if note != "" {
			v, err := tempo.ParseNoteValue(note)
			if err != nil {
				t.Fatal(err)
			}
			r.Setup.TempoNote = &v
		}
		if got := inTempo(&r, 9); got != want {
			t.Errorf("9 strokes a second as %q: %s, want %s", note, got, want)
		}
	}
}

// TestSettlingWords: one motion from start to end is one span.
func TestSettlingWords(t *testing.T) {
	settled, searching := review.Span{Settled: true, End: 2, Strokes: 16}, review.Span{Start: 2, End: 2.1, Strokes: 1}
	for _, c := range []struct {
		name     string
		share    float64
		spans    []review.Span
		switches int
		want     string
	}{
		{"one", 1, []review.Span{settled}, 0, "one motion from start to end"},
		{"three after pauses", 1, []review.Span{settled, settled, settled}, 0, "in all 3 stretches of playing"},
		{"two motions", 1, []review.Span{settled, settled}, 1, "changes from one to another once"},
		{"nearly all", 0.996, []review.Span{settled, searching, settled}, 0, "over 99 % of the playing time, in 2 spans"},
		{"none", 0, []review.Span{searching}, 0, "searching throughout"},
	} {
		r := &review.Review{Spans: c.spans}
		r.Settling.Share = known(c.share, c.share, c.share, 40)
		r.History.Switches = c.switches
		if got := strings.Join(settlingWords(r), " "); !strings.Contains(got, c.want) {
			t.Errorf("%s: %q", c.name, got)
		}
	}
}

// TestMotionWords: a take that drifts is not said to search.
func TestMotionWords(t *testing.T) {
	for _, c := range []struct {
		name     string
		o        simulate.Options
		want     string
		leaveOut string
	}{
		{"drifts", simulate.Options{Seed: 3, Duration: 20, Rate: 8, Noise: 0.3, PathAngle: 20 * circular.Degree, AngleDrift: 10 * circular.Degree}, "change slowly", "searching"},
	} {
		if got := strings.Join(settlingWords(made(t, c.o)), " "); !strings.Contains(got, c.want) || strings.Contains(got, c.leaveOut) {
			t.Errorf("%s: %q", c.name, got)
		}
	}
}

// TestChangeWords: no number without a bound, and no word of the statistics.
func TestChangeWords(t *testing.T) {
	nan := math.NaN()
	for _, c := range []struct {
		ratio estimate.Value[float64]
		want  string
	}{
		{known(0.5, 0.4, 0.6, 60), "is steadier late"},
		{known(2, 1.5, 2.6, 60), "scatters more late"},
		{known(1, 0.5, 2, 60), "could be anything"},
		{known(0.5, nan, nan, 60), "is not known"},
		{estimate.Missing[float64]("too-few", "ratio of spreads", "the take is too short for that: a part of it holds 8 strokes, and a comparison needs 15"), "cannot be said: the take is too short for that"},
	} {
		r := &review.Review{EarlyLate: []review.Change{{Title: "path angle", Change: variability.Change{Ratio: c.ratio}}}}
		got := strings.Join(changes(r), " ")
		if !strings.Contains(got, c.want) || strings.Contains(got, "NaN") || strings.Contains(got, "block") {
			t.Errorf("%+v: %q", c.ratio, got)
		}
	}
}
