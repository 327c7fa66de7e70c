package review_test

import (
	"fmt"
	"slices"
	"testing"

	"github.com/google/go-cmp/cmp"
	"github.com/google/go-cmp/cmp/cmpopts"

	"github.com/plectrace/plectrace/motion/cycle"
	"github.com/plectrace/plectrace/motion/review"
	"github.com/plectrace/plectrace/motion/simulate"
	"github.com/plectrace/plectrace/variability/circular"
	"github.com/plectrace/plectrace/variability/settling"
)

// A summary holds what the review says, and nothing of its samples.
func TestSummary(t *testing.T) {
	_, r := mustRun(t, simulate.Options{Duration: 10, Seed: 4})
	s := r.Summary()
	if len(s.Values) != len(review.Measures()) {
		t.Fatalf("%d values for %d measures", len(s.Values), len(review.Measures()))
	}
	for i, m := range review.Measures() {
		if d := cmp.Diff(r.Value(m.Name), s.Value(m.Name), cmpopts.EquateNaNs()); d != "" {
			t.Errorf("%s (-want +got):\n%s", m.Name, d)
		}
		if s.Values[i].Known() == (s.Values[i].Absent != nil) {
			t.Errorf("%s: known %v, absent %v", m.Name, s.Values[i].Known(), s.Values[i].Absent)
		}
	}
	if s.Strokes != len(r.Motion.Strokes) || s.Seconds < 8 || s.Seconds > 10 {
		t.Errorf("%d strokes in %.2f s", s.Strokes, s.Seconds)
	}
	if s.Motion == nil || s.Motion.Cycles == 0 {
		t.Errorf("no mean cycle of a settled span: %+v", s.Motion)
	}
	if s.Version == "" || len(s.Digest) != 12 {
		t.Errorf("version %q, digest %q", s.Version, s.Digest)
	}
	if !slices.IsSorted(s.Flags) {
		t.Errorf("flags %q are not in order", s.Flags)
	}
	if v := s.Value("no such measure"); v.Known() || v.Absent == nil {
		t.Errorf("an unknown measure gives %v", v)
	}
}

// Takes of other data reviewed alike have one digest; other options have others.
func TestDigest(t *testing.T) {
	_, a := mustRun(t, simulate.Options{Duration: 8, Seed: 5})
	_, b := mustRun(t, simulate.Options{Duration: 8, Seed: 6, Rate: 7})
	if a.Summary().Digest != b.Summary().Digest {
		t.Error("two takes reviewed alike have different digests")
	}
	seen := map[string]int{}
	for i, o := range []review.Options{
		{}, {Seed: 1},
		{Settling: settling.Options{Tolerances: settling.Tolerances{Angle: 2 * circular.Degree}}},
		{Reference: &cycle.Reference{Note: "tutor"}},
	} {
		if j, ok := seen[o.Digest()]; ok {
			t.Errorf("options %d and %d have one digest", i, j)
		}
		seen[o.Digest()] = i
	}
}

// What is told for one take and kept for comparing it with others.
func ExampleReview_Summary() {
	take, err := simulate.Make(simulate.Options{Seed: 1, Duration: 10, Rate: 9})
	if err != nil {
		fmt.Println(err)
		return
	}
	r, err := review.Run(&take.Recording, setup(take), review.Options{})
	if err != nil {
		fmt.Println(err)
		return
	}
	s := r.Summary() // small: the samples can be let go
	rate := s.Value("notes_per_second")
	fmt.Printf("%d strokes in %.1f s, %.1f a second, flags %q\n", s.Strokes, s.Seconds, rate.Value, s.Flags)
	// Output:
	// 89 strokes in 9.9 s, 9.0 a second, flags []
}

// Measures say how two of their values are held against each other.
func ExampleMeasure() {
	for _, m := range review.Measures()[:5] {
		fmt.Printf("%-26s ratio %-5v any view %v\n", m.Name, m.Scale == review.Ratio, m.Alike == review.AnyView)
	}
	// Output:
	// notes_per_second           ratio true  any view true
	// settled_notes_per_second   ratio true  any view true
	// spectral_notes_per_second  ratio true  any view true
	// settled_share              ratio false any view true
	// path_angle_deg             ratio false any view false
}
