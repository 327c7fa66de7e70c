package advice_test

import (
	"fmt"
	"math"
	"slices"
	"strings"
	"testing"
	"time"

	"github.com/plectrace/plectrace/motion/advice"
	"github.com/plectrace/plectrace/motion/progress"
	"github.com/plectrace/plectrace/motion/review"
	"github.com/plectrace/plectrace/variability/estimate"
)

// summary is one with the given measures, value, low and high each; all others
// are absent.
func summary(values map[string][3]float64) *review.Summary {
	s := &review.Summary{Unit: "mm", Setup: "desk", Digest: "0"}
	for _, m := range review.Measures() {
		x, ok := values[m.Name]
		if !ok {
			s.Values = append(s.Values, estimate.Missing[float64]("none", m.Title, "it was not tracked"))
			continue
		}
		s.Values = append(s.Values, estimate.Value[float64]{Value: x[0], Low: x[1], High: x[2], Level: 0.95, N: 100})
	}
	return s
}

func keys(items []advice.Item) (k []string) {
	for _, i := range items {
		k = append(k, i.Key)
	}
	return k
}

func TestAdvise(t *testing.T) {
	nan := math.NaN()
	for _, c := range []struct {
		name   string
		values map[string][3]float64
		task   advice.Task
		work   []string
		holds  string
	}{
		{"nothing measured", nil, advice.OneString, nil, ""},
		{"misses beyond the threshold", map[string][3]float64{"missed_share": {.12, .08, .17}}, advice.OneString, []string{"missed strings"}, ""},
		{"misses, interval over the threshold", map[string][3]float64{"missed_share": {.08, .03, .17}}, advice.OneString, nil, ""},
		{"misses, no interval", map[string][3]float64{"missed_share": {.3, nan, nan}}, advice.OneString, nil, ""},
		{"a path among the strings, one string", map[string][3]float64{"height_after_down": {-2, -3, -1}, "height_after_up": {-2, -3, -1}}, advice.OneString, nil, ""},
		{"the same, changing strings", map[string][3]float64{"height_after_down": {-2, -3, -1}, "height_after_up": {-2, -3, -1}}, advice.ChangingStrings, []string{"no turn clears"}, ""},
		{"the same, task not said", map[string][3]float64{"height_after_down": {-2, -3, -1}, "height_after_up": {-2, -3, -1}}, advice.TaskUnknown, nil, ""},
		{"one turn clears", map[string][3]float64{"height_after_down": {2, 1, 3}, "height_after_up": {-2, -3, -1}}, advice.ChangingStrings, nil, "clears after downstrokes"},
		{"one thing holds, one does not", map[string][3]float64{"missed_share": {.01, 0, .015}, "duration_scatter_share": {.22, .19, .25}, "settled_share": {.5, .4, .6}, "moving_share": {0, 0, .05}}, advice.OneString, []string{"rough timing"}, "missed strings"},
		{"three things, two are told", map[string][3]float64{"missed_share": {.12, .08, .17}, "duration_scatter_share": {.22, .19, .25}, "settled_share": {.5, .4, .6}, "moving_share": {0, 0, .05}, "attack_spread_db": {9, 8, 10}}, advice.OneString, []string{"missed strings", "rough timing"}, ""},
		{"settled comes first of what holds", map[string][3]float64{"missed_share": {.01, 0, .015}, "settled_share": {.9, .8, .95}}, advice.OneString, nil, "settled"},
		{"drifting is not searching", map[string][3]float64{"settled_share": {.1, .05, .2}, "moving_share": {.8, .75, .85}}, advice.OneString, nil, ""},
		{"searching", map[string][3]float64{"settled_share": {.1, .05, .2}, "moving_share": {0, 0, .05}}, advice.OneString, []string{"searching"}, ""},
		{"two settled motions scatter", map[string][3]float64{"path_angle_scatter_deg": {9, 8, 10}, "settled_share": {.98, .9, 1}}, advice.OneString, nil, "settled"},
		{"two of one topic are one", map[string][3]float64{"follow_through_share_down": {.9, .8, 1}, "follow_through_share_up": {.9, .8, 1}, "attack_spread_db": {9, 8, 10}}, advice.OneString, []string{"far past after downstrokes", "uneven attack"}, ""},
	} {
		a := advice.Default().Advise(advice.Evidence{Take: summary(c.values), Task: c.task})
		if got := keys(a.Work); !slices.Equal(got, c.work) {
			t.Errorf("%s: work on %q, want %q", c.name, got, c.work)
		}
		holds := ""
		if a.Holds != nil {
			holds = a.Holds.Key
		}
		if holds != c.holds {
			t.Errorf("%s: %q holds, want %q", c.name, holds, c.holds)
		}
		for _, i := range a.Work {
			if strings.ContainsAny(i.Text, "{}") || i.Source == "" || !i.OneTake {
				t.Errorf("%s: item %+v", c.name, i)
			}
		}
		if a.Stop != nil {
			t.Errorf("%s: stop %q", c.name, a.Stop)
		}
	}
}

// What cannot be judged is listed with its reason, not taken to hold.
func TestUnsaid(t *testing.T) {
	a := advice.Default().Advise(advice.Evidence{Take: summary(nil)})
	why := map[string]string{}
	for _, u := range a.Unsaid {
		why[u.Key] = u.Why
	}
	for _, r := range advice.Default().Rules {
		if why[r.Key] == "" {
			t.Errorf("%s: not judged, and no reason", r.Key)
		}
	}
	if want := []string{"What holds and what to work on cannot be said of this take."}; !slices.Equal(a.Notes, want) {
		t.Errorf("nothing judged: %q", a.Notes)
	}
	a = advice.Default().Advise(advice.Evidence{Take: summary(map[string][3]float64{"missed_share": {.03, .02, .04}})})
	if got := strings.Join(a.Notes, " "); len(a.Notes) != 2 || !strings.Contains(got, "stands out enough") {
		t.Errorf("one rule judged, with nothing to say: %q", a.Notes)
	}
}

// A threshold that has a unit is not held against values in another.
func TestUnits(t *testing.T) {
	table, err := advice.Parse(strings.NewReader(`{"schema": "plectrace/advice/1", "rules": [{"key": "far", "topic": "travel", "source": "our class",
		"work": [{"measure": "follow_through_down", "above": 5, "unit": "mm"}], "say": "{follow_through_down}"}]}`))
	if err != nil {
		t.Fatal(err)
	}
	s := summary(map[string][3]float64{"follow_through_down": {60, 50, 70}})
	s.Unit = "px"
	a := table.Advise(advice.Evidence{Take: s})
	if len(a.Work) != 0 || len(a.Unsaid) != 1 || !strings.Contains(a.Unsaid[0].Why, "px") {
		t.Errorf("pixels are held against millimetres: %+v", a)
	}
	s.Unit = "mm"
	if a := table.Advise(advice.Evidence{Take: s}); len(a.Work) != 1 {
		t.Errorf("%+v", a)
	}
}

// Pain leaves nothing else, whatever the numbers say.
func TestPain(t *testing.T) {
	bad := summary(map[string][3]float64{"missed_share": {.5, .4, .6}, "settled_share": {.9, .8, .95}})
	a := advice.Default().Advise(advice.Evidence{Take: bad, Comfort: progress.ComfortPain})
	if len(a.Stop) == 0 || a.Work != nil || a.Holds != nil || a.Notes != nil || a.Unsaid != nil {
		t.Errorf("%+v", a)
	}
	all := strings.ToLower(strings.Join(a.Stop, " "))
	for _, w := range []string{"stop", "rest", "clinician", "numbness", "tingling", "not", "medical advice"} {
		if !strings.Contains(all, w) {
			t.Errorf("%q is not said: %s", w, all)
		}
	}
	a = advice.Default().Advise(advice.Evidence{Take: bad, Comfort: progress.ComfortTired})
	if len(a.Notes) == 0 || !strings.Contains(a.Notes[0], "Rest") {
		t.Errorf("tired: %q", a.Notes)
	}
}

// While a question about the film is open nothing is said of the motion.
func TestOpenQuestion(t *testing.T) {
	s := summary(map[string][3]float64{"missed_share": {.5, .4, .6}})
	s.Flags = []string{"px", "question"}
	a := advice.Default().Advise(advice.Evidence{Take: s, Task: advice.OneString})
	if a.Work != nil || a.Holds != nil || len(a.Notes) != 1 {
		t.Errorf("%+v", a)
	}
}

// repeats are those of three takes of a day with the given values of one measure.
func repeats(t *testing.T, measure string, values ...float64) *progress.Repeats {
	t.Helper()
	var takes []progress.Take
	for i, v := range values {
		settled := 0.5 + 0.001*float64(i)
		takes = append(takes, progress.Take{Player: "P01", Date: time.Date(2026, 3, 2, 19, i, 0, 0, time.UTC), Take: fmt.Sprint(i),
			Summary: summary(map[string][3]float64{"settled_share": {settled, settled, settled}, "moving_share": {0.01 * settled, 0.01 * settled, 0.01 * settled}, measure: {v, v, v}})})
	}
	r, err := progress.Repeatability(takes, progress.RepeatOptions{})
	if err != nil {
		t.Fatal(err)
	}
	return &r
}

// A player whose takes differ much by themselves is told less. By hand: the
// logarithms of .18, .22 and .27 have a standard deviation of .203, and Student's
// quantile for 2 degrees of freedom is 4.303, so that .22 reaches down to
// .22 exp(-√(.147² + .872²)) = .091, below the threshold of .16. Those of .219,
// .22 and .221 have one of .0046, and .22 reaches down to .189.
func TestRepeats(t *testing.T) {
	take := summary(map[string][3]float64{"duration_scatter_share": {.22, .19, .25}, "settled_share": {.5, .4, .6}, "moving_share": {0, 0, .05}})
	for _, c := range []struct {
		takes []float64
		work  int
	}{{[]float64{.18, .22, .27}, 0}, {[]float64{.219, .22, .221}, 1}} {
		a := advice.Default().Advise(advice.Evidence{Take: take, Task: advice.OneString, Repeat: repeats(t, "duration_scatter_share", c.takes...)})
		if len(a.Work) != c.work {
			t.Fatalf("takes of %v: %d things to work on, want %d", c.takes, len(a.Work), c.work)
		}
		for _, w := range a.Work {
			if w.OneTake {
				t.Errorf("takes of %v: %q is said to rest on one take", c.takes, w.Key)
			}
		}
	}
	// Repeats of another measure tell nothing of this one.
	a := advice.Default().Advise(advice.Evidence{Take: take, Task: advice.OneString, Repeat: repeats(t, "attack_spread_db", 3, 4, 5)})
	if len(a.Work) != 1 || !a.Work[0].OneTake {
		t.Errorf("%+v", a.Work)
	}
}

// No text asks for more speed or names a rate to reach, and none claims a cause.
func TestTexts(t *testing.T) {
	for _, r := range advice.Default().Rules {
		for _, text := range []string{r.Say, r.Praise} {
			low := strings.ToLower(text)
			for _, never := range []string{"faster", "speed up", "as fast", "quick", "because", "wrong", "bad", "fault", "notes_per_second", "bpm"} {
				if strings.Contains(low, never) {
					t.Errorf("%s: %q says %q", r.Key, text, never)
				}
			}
		}
	}
}

func ExampleTable_Advise() {
	take := summary(map[string][3]float64{ // of a beginner in an invented evening class
		"missed_share":           {0.12, 0.08, 0.17},
		"path_angle_scatter_deg": {2.4, 2.0, 2.9},
	})
	a := advice.Default().Advise(advice.Evidence{Take: take, Task: advice.OneString})
	fmt.Println("Holds:", a.Holds.Text)
	for _, w := range a.Work {
		fmt.Println("Work on:", w.Text)
		fmt.Println("  threshold:", w.Source)
	}
	// Output:
	// Holds: The path is the same from stroke to stroke: its angle scatters by 2.4 degrees.
	// Work on: Some strokes pass over the string: 12 % of them. Play a few strokes at a rate at which every one meets the string, and watch where the tip goes.
	//   threshold: common practice: a tutor hears one stroke in twenty that is missing
}

// Slowing down is told of a minute and more: in less, a step from one rate to
// another looks like it.
func TestMinSeconds(t *testing.T) {
	s := summary(map[string][3]float64{"rate_drift_percent_per_minute": {-30, -40, -20}})
	for _, c := range []struct {
		seconds float64
		work    int
	}{{20, 0}, {59, 0}, {60, 1}, {90, 1}} {
		s.Seconds = c.seconds
		a := advice.Default().Advise(advice.Evidence{Take: s, Task: advice.OneString})
		unsaid := slices.ContainsFunc(a.Unsaid, func(u advice.Unsaid) bool { return u.Key == "slows down" && strings.Contains(u.Why, "this needs 60 s") })
		if len(a.Work) != c.work || unsaid == (c.work == 1) {
			t.Errorf("%g s: work on %q, unsaid %v", c.seconds, keys(a.Work), a.Unsaid)
		}
	}
}

// A text has no digits that the interval does not bear.
func TestDigits(t *testing.T) {
	table, err := advice.Parse(strings.NewReader(`{"schema": "plectrace/advice/1", "rules": [{"key": "loud", "topic": "attack", "source": "our class",
		"work": [{"measure": "attack_spread_db", "above": 5}], "say": "{attack_spread_db} of spread"}]}`))
	if err != nil {
		t.Fatal(err)
	}
	for _, c := range []struct {
		low, value, high float64
		want             string
	}{{56, 64, 72, "64 dB of"}, {6.1, 6.4, 6.7, "6.4 dB of"}, {6.31, 6.44, 6.49, "6.4 dB of"}, {6.434, 6.438, 6.442, "6.438 dB of"}, {5.4, 12.4, 40, "12 dB of"}} {
		s := summary(map[string][3]float64{"attack_spread_db": {c.value, c.low, c.high}})
		a := table.Advise(advice.Evidence{Take: s})
		if len(a.Work) != 1 || !strings.Contains(a.Work[0].Text, c.want) {
			t.Errorf("%g (%g to %g): %+v, want %q", c.value, c.low, c.high, a.Work, c.want)
		}
	}
}
