package settling

import (
	"encoding/json"
	"math"
	"os"
	"testing"
)

// TestSurvival compares with R's survival package, see
// testdata/reference/settling_survival.R. The figures have 15 digits.
func TestSurvival(t *testing.T) {
	b, err := os.ReadFile("../../testdata/reference/settling_survival.json")
	if err != nil {
		t.Fatal(err)
	}
	var ref struct {
		Sets []struct {
			Name              string
			Length, Ended     []float64
			At, Share         []float64
			Median, Low, High *float64
		}
	}
	if err := json.Unmarshal(b, &ref); err != nil {
		t.Fatal(err)
	}
	for _, s := range ref.Sets {
		t.Run(s.Name, func(t *testing.T) {
			ls := make([]lifetime, len(s.Length))
			for i := range ls {
				ls[i] = lifetime{s.Length[i], s.Ended[i] == 0}
			}
			got := kaplanMeier(ls)
			if len(got.at) != len(s.At) {
				t.Fatalf("ends at %v, want %v", got.at, s.At)
			}
			for i := range s.At {
				if got.at[i] != s.At[i] || !near(got.share[i], s.Share[i]) {
					t.Errorf("S(%v) = %v, want S(%v) = %v", got.at[i], got.share[i], s.At[i], s.Share[i])
				}
			}
			v := medianLength("length", ls)
			if s.Median == nil {
				if v.Known() || v.Absent.Code != "cut-off" {
					t.Errorf("median %+v, want none", v)
				}
				return
			}
			if v.Value != *s.Median || v.N != len(ls) {
				t.Errorf("median %+v, want %v", v, *s.Median)
			}
			if s.Low == nil || s.High == nil {
				if v.Level != 0 || !math.IsNaN(v.Low) || !math.IsNaN(v.High) {
					t.Errorf("interval %+v where R leaves a side open", v)
				}
			} else if v.Low != *s.Low || v.High != *s.High || v.Level != 0.95 {
				t.Errorf("interval %+v, want %v to %v", v, *s.Low, *s.High)
			}
		})
	}
}

func TestSurvivalEdges(t *testing.T) {
	if v := medianLength("length", nil); v.Known() || v.Absent.Code != "none" {
		t.Errorf("nothing: %+v", v)
	}
	if v := medianLength("length", []lifetime{{3, false}}); v.Value != 3 || v.Level != 0 || v.N != 1 {
		t.Errorf("one: %+v", v)
	}
	if v := medianLength("length", []lifetime{{3, true}}); v.Known() {
		t.Errorf("one cut off: %+v", v)
	}
	// Five that end bear no interval (David & Nagaraja 2003, 7.1), six do.
	five := []lifetime{{1, false}, {2, false}, {3, false}, {4, false}, {5, false}}
	if v := medianLength("length", five); v.Value != 3 || v.Level != 0 {
		t.Errorf("five: %+v", v)
	}
}
