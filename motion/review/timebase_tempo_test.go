package review_test

import (
	"math"
	"strings"
	"testing"

	"github.com/plectrace/plectrace/motion/review"
	"github.com/plectrace/plectrace/tempo"
	"github.com/plectrace/plectrace/variability/estimate"
)

// about is a rate known to a share.
func about(rate, share float64) estimate.Value[tempo.NotesPerSecond] {
	v := tempo.NotesPerSecond(rate)
	return estimate.Value[tempo.NotesPerSecond]{Value: v, Low: v * tempo.NotesPerSecond(1-share), High: v * tempo.NotesPerSecond(1+share), Level: 0.95, N: 50}
}

func TestTimeBaseQuestions(t *testing.T) {
	nan := tempo.NotesPerSecond(math.NaN())
	for _, c := range []struct {
		name     string
		rate     estimate.Value[tempo.NotesPerSecond]
		hz, by   float64
		contains []string // none: nothing is asked
	}{
		{"240 saved as 30", about(11./8, 0.02), 30, 0, []string{"1.4 strokes a second", "30 frames a second", "4 times slower than life, 5.5", "8 times, 11", "slowed_by"}},
		{"120 saved as 30", about(11./4, 0.02), 30, 0, []string{"4 times slower than life, 11", "8 times, 22"}},
		{"120 saved as 24", about(3.5, 0.02), 23.976, 0, []string{"24 frames", "4 times slower than life, 14", "8 times, 28, faster than anybody plays"}},
		{"without an interval", estimate.Value[tempo.NotesPerSecond]{Value: 1.2, Low: nan, High: nan, N: 2}, 25, 0, []string{"4.8", "9.6"}},
		{"answered: life", about(1.4, 0.02), 30, 1, nil},
		{"answered: 8 times", about(1.4, 0.02), 30, 8, nil},
		{"slow practice", about(4, 0.02), 30, 0, nil},
		{"fast film", about(1.4, 0.02), 60, 0, nil},
		{"few frames", about(1.4, 0.02), 15, 0, nil},
		{"too fast", about(88, 0.02), 240, 0, []string{"88 strokes a second: nobody plays that fast"}},
		{"too fast, slowed", about(40, 0.02), 240, 8, []string{"slowed_by must be left out"}},
		{"no rate", estimate.Missing[tempo.NotesPerSecond]("x", "rate", "none"), 30, 0, nil},
		{"zero value", estimate.Value[tempo.NotesPerSecond]{}, 0, 0, nil},
	} {
		got := review.TimeBase{Rate: c.rate, FrameRate: c.hz, SlowedBy: c.by}.Questions()
		if len(got) > 1 || (len(got) == 1) != (c.contains != nil) {
			t.Errorf("%s: %q", c.name, got)
			continue
		}
		for _, s := range c.contains {
			if !strings.Contains(got[0], s) {
				t.Errorf("%s: %q lacks %q", c.name, got[0], s)
			}
		}
	}
}

func TestTimeBaseTempo(t *testing.T) {
	nan := tempo.NotesPerSecond(math.NaN())
	point := estimate.Value[tempo.NotesPerSecond]{Value: 11, Low: nan, High: nan, N: 2}
	for _, c := range []struct {
		name            string
		rate            estimate.Value[tempo.NotesPerSecond]
		by              float64
		times, slowedBy float64
		contains        string
	}{
		// Sixteenths at 165 BPM are 11 notes a second (arithmetic).
		{"agrees", about(11.05, 0.005), 0, 1, 1, "agrees with the tempo: 11.05 strokes a second (10.99 to 11.11) against 11 strokes a second of 16 notes at 165 BPM, 0.5 % off"},
		{"agrees without an interval", point, 0, 1, 1, "agrees"},
		{"agrees once divided", about(11.05, 0.005), 8, 1, 8, "agrees"},
		{"240 as 30", about(11./8, 0.01), 0, 8, 8, "plays 8 times slower than life: 1.375 strokes"},
		{"240 as 25", about(11./9.6, 0.005), 0, 9.6, 9.6, "Set slowed_by to 9.6"},
		{"240 as 24", about(11./10, 0.005), 0, 10, 10, "Set slowed_by to 10"},
		{"120 as 30, or quarters", about(11./4, 0.01), 0, 4, 4, "plays 4 times slower than life, unless one stroke was played to every 4 such notes"},
		{"60 as 30, or eighths", about(11./2, 0.01), 0, 2, 2, "unless one stroke was played to every 2 such notes"},
		{"960 as 30", about(11./32, 0.01), 0, 32, 32, "32 times slower"},
		{"half of it said", about(11./2, 0.01), 4, 2, 8, "plays 8 times slower than life"},
		{"divided for nothing", about(88, 0.01), 8, 0.125, 1, "plays as in life"},
		{"divided by too much", about(22, 0.01), 8, 0.5, 4, "plays 4 times slower than life, not 8 times"},
		{"rate of the film for that of the camera", about(44, 0.01), 0, 0.25, 0.25, "runs 4 times faster than life"},
		{"triplets", about(33, 0.01), 0, 0, 0, "fits the tempo if 3 strokes were played to each such note"},
		{"every third", about(11./3, 0.01), 0, 0, 0, "fits the tempo if one stroke was played to every 3 such notes"},
		{"six per cent slower", about(11*0.94, 0.01), 0, 0, 0, "The take is 6 % slower than the tempo"},
		{"eight per cent faster", about(11*1.08, 0.01), 0, 0, 0, "The take is 8 % faster than the tempo"},
		{"nothing", about(7.9, 0.01), 0, 0, 0, "does not fit the tempo"},
		{"3 % off", about(11.33, 0.005), 0, 0, 0, "3 % faster than the tempo"},
		{"3 % off, known to 2 %", about(11.33, 0.02), 0, 1, 1, "agrees"},
		{"not known", about(9, 0.4), 0, 0, 0, "not known well enough"},
		{"absent", estimate.Missing[tempo.NotesPerSecond]("few", "rate", "there are no strokes"), 0, 0, 0, "is not checked against 11 strokes a second of 16 notes at 165 BPM: there are no strokes"},
	} {
		f, err := review.TimeBase{Rate: c.rate, SlowedBy: c.by}.Tempo(165, tempo.Sixteenth)
		if err != nil {
			t.Fatal(err)
		}
		if f.Times != c.times || f.SlowedBy != c.slowedBy || !strings.Contains(f.Text, c.contains) {
			t.Errorf("%s: times %v, slowed_by %v, %q; want %v, %v, %q", c.name, f.Times, f.SlowedBy, f.Text, c.times, c.slowedBy, c.contains)
		}
		if f.Known != 11 || c.rate.Known() && math.Abs(f.Ratio.Value-float64(c.rate.Value)/11) > 1e-12 {
			t.Errorf("%s: known %v, ratio %v", c.name, f.Known, f.Ratio.Value)
		}
	}
	for _, bpm := range []tempo.BPM{0, -60, tempo.BPM(math.NaN()), tempo.BPM(math.Inf(1))} {
		if _, err := (review.TimeBase{Rate: about(11, 0.01)}).Tempo(bpm, tempo.Sixteenth); err == nil {
			t.Errorf("%v BPM is taken", float64(bpm))
		}
	}
	if _, err := (review.TimeBase{}).Tempo(120, tempo.NoteValue{Halvings: 99}); err == nil {
		t.Error("a note value that is none is taken")
	}
}
