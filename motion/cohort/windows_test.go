package cohort

import (
	"fmt"
	"math"
	"strings"
	"testing"
	"time"

	"github.com/google/go-cmp/cmp"
	"github.com/google/go-cmp/cmp/cmpopts"
)

// TestWindows: windows are disjoint, in order of time, and of whole days.
func TestWindows(t *testing.T) {
	v := func(d int) map[string]float64 {
		return map[string]float64{"duration_scatter": math.Exp(float64(d)), "settled_share": float64(d) / 100}
	}
	s, err := NewStudy(Plan{Cluster: "class", Windows: Windows{Early: 2, Baseline: 1, Late: 2}}, []string{"Class"}, nil)
	if err != nil {
		t.Fatal(err)
	}
	add := func(r *Record, class string) {
		r.Extra = []string{class}
		if !s.Add(r) {
			t.Fatalf("%s is left out", r.File)
		}
	}
	for _, d := range []int{9, 3, 1, 7, 5, 8} { // the list need not be in order
		add(record("P01", d, v(d)), "mo")
	}
	twice := record("P01", 3, map[string]float64{"duration_scatter": math.Exp(5), "settled_share": 0.07})
	twice.File, twice.Content = "again.csv", "again"
	add(twice, "mo")
	zero := record("P01", 4, map[string]float64{"duration_scatter": 0, "settled_share": 0.5})
	add(zero, "mo")
	add(record("P01", 6, map[string]float64{"settled_share": 0.5}), "mo")
	add(record("P02", 1, v(1)), "th")
	predictor, _ := measure("duration_scatter")
	outcome, _ := measure("settled_share")
	list, short, zeros := s.subjects(predictor, outcome)
	if short != 1 || zeros != 1 || len(list) != 1 {
		t.Fatalf("%d players, %d short, %d zeros", len(list), short, zeros)
	}
	near := cmpopts.EquateApprox(0, 5e-6) // six digits
	got := list[0]
	if !cmp.Equal(got.early, []float64{1, 4}, near) || !cmp.Equal(got.baseline, []float64{0.05}, near) || !cmp.Equal(got.late, []float64{0.08, 0.09}, near) || got.group != "mo" {
		t.Errorf("windows %+v", got)
	}
	seen, err := s.Observations(Question{"duration_scatter", "settled_share"})
	if err != nil || len(seen) != 1 || !cmp.Equal(seen[0], Observation{"P01", 2.5, 0.05, 0.085}, near) {
		t.Errorf("observations %+v, %v", seen, err)
	}
	for _, q := range []Question{{"duration", "settled_share"}, {"duration_scatter", "talent"}} {
		if _, err := s.Observations(q); err == nil {
			t.Errorf("%v: no error", q)
		}
	}
	s.plan.Windows = Windows{Unit: "take", Early: 2, Baseline: 2, Late: 3}
	list, _, _ = s.subjects(predictor, outcome)
	if got := list[0]; !cmp.Equal(got.early, []float64{1, 3}, near) || !cmp.Equal(got.baseline, []float64{0.07, 0.05}, near) {
		t.Errorf("windows of takes %+v", got)
	}
	if a := s.ask(Question{"duration_scatter", "settled_share"}); a.Slope.Known() || a.Slope.Absent.Code != "too few" || !strings.Contains(a.Slope.Absent.Why, "groups") {
		t.Errorf("one player: %+v", a.Slope)
	}
}

// TestUndated: a take without a date is neither early nor late, and is noted.
func TestUndated(t *testing.T) {
	predictor, _ := measure("duration_scatter_share")
	outcome, _ := measure("settled_share")
	for _, c := range []struct {
		name, unit  string
		dated       int // of 3 takes
		late, notes int
	}{
		{"days, all dated", "day", 3, 3, 0},
		{"days, one without", "day", 2, 2, 1},
		{"takes, one without", "take", 2, 2, 1},
		{"days, none dated", "day", 0, 0, 1},
		{"takes, none dated", "take", 0, 3, 0}, // by the order of the list
	} {
		s, err := NewStudy(Plan{Windows: Windows{Unit: c.unit, Early: 1, Baseline: 1, Late: 1}}, nil, nil)
		if err != nil {
			t.Fatal(err)
		}
		for i := range 3 {
			r := record("P01", i+1, map[string]float64{"duration_scatter_share": 0.1, "settled_share": 0.1 * float64(i+1)})
			if i >= c.dated {
				r.Date = time.Time{}
			}
			s.Add(r)
		}
		if got := len(s.players[0].inOrder(c.unit)); got != c.late || len(s.Notes()) != c.notes {
			t.Errorf("%s: %d takes in order, want %d; notes %q", c.name, got, c.late, s.Notes())
		}
		list, short, _ := s.subjects(predictor, outcome)
		if (c.late == 3) != (len(list) == 1 && list[0].late[0] == 0.3) || (c.late < 3) != (short == 1) {
			t.Errorf("%s: %+v, %d short", c.name, list, short)
		}
	}
}

// TestOneClock: takes of one evening by the clock of the place are of one day,
// though midnight passes elsewhere.
func TestOneClock(t *testing.T) {
	s, err := NewStudy(Plan{Windows: Windows{Early: 1, Baseline: 1, Late: 1}}, nil, nil)
	if err != nil {
		t.Fatal(err)
	}
	zone := time.FixedZone("", -5*3600)
	for i, at := range []time.Time{
		time.Date(2026, 1, 1, 21, 0, 0, 0, zone), time.Date(2026, 1, 1, 22, 0, 0, 0, time.UTC), // 22:00 of two places
		time.Date(2026, 1, 2, 21, 0, 0, 0, zone), time.Date(2026, 1, 3, 21, 0, 0, 0, zone),
	} {
		r := record("P01", i+1, map[string]float64{"duration_scatter_share": 0.1, "settled_share": []float64{0.1, 0.3, 0.5, 0.7}[i]})
		r.Date = at
		s.Add(r)
	}
	predictor, _ := measure("settled_share")
	outcome, _ := measure("settled_share")
	list, _, _ := s.subjects(predictor, outcome)
	if len(list) != 1 || !cmp.Equal([]float64{list[0].early[0], list[0].baseline[0], list[0].late[0]}, []float64{0.2, 0.5, 0.7}, cmpopts.EquateApprox(0, 1e-12)) {
		t.Errorf("windows %+v", list)
	}
}

// TestTorn: players in two groups are named, and none is dropped without a word.
func TestTorn(t *testing.T) {
	s, err := NewStudy(Plan{Cluster: "class"}, []string{"class"}, nil)
	if err != nil {
		t.Fatal(err)
	}
	for p := range 25 {
		for d, class := range []string{"mo", "th"} {
			r := record(fmt.Sprint("P", p), d+1, nil)
			r.Extra = []string{class}
			s.Add(r)
		}
	}
	notes := s.Notes()
	if len(notes) != mostTorn+1 || !strings.Contains(notes[0], `stands in "mo" and in "th"`) || !strings.Contains(notes[mostTorn], "5 further takes") {
		t.Errorf("notes %q", notes)
	}
}
