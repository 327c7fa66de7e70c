package review_test

import (
	"fmt"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"

	"github.com/plectrace/plectrace/motion/review"
)

// TestParseSetupOver: settings over others, key by key; what is empty is not said, and zero is
// an answer where the settings can tell it from nothing.
func TestParseSetupOver(t *testing.T) {
	for _, c := range []struct{ name, below, above, want string }{
		{"keys of both", `{"tip": "a", "rate": 240}`, `{"unit": "mm"}`, `{"tip": "a", "rate": 240, "unit": "mm"}`},
		{"one key of both", `{"tip": "a", "rate": 240}`, `{"rate": 120}`, `{"tip": "a", "rate": 120}`},
		{"within marks", `{"marks": {"bass": "b", "treble": [1, 2], "distance_mm": 42}}`, `{"marks": {"treble": "t"}}`, `{"marks": {"bass": "b", "treble": "t", "distance_mm": 42}}`},
		{"a list for a list", `{"marks": {"nut": ["a", "b"]}}`, `{"marks": {"nut": ["c"]}}`, `{"marks": {"nut": ["c"]}}`},
		{"within landmarks", `{"landmarks": {"wrist": "w", "elbow": "e"}}`, `{"landmarks": {"wrist": "v"}}`, `{"landmarks": {"wrist": "v", "elbow": "e"}}`},
		{"left empty", `{"tip": "a", "tip_is": "pick", "rate": 240, "view": "front", "marks": {"bass": "b", "distance_mm": 42}}`,
			`{"tip": "", "tip_is": "", "rate": 0, "view": "", "marks": {"bass": null, "distance_mm": 0}}`,
			`{"tip": "a", "tip_is": "pick", "rate": 240, "view": "front", "marks": {"bass": "b", "distance_mm": 42}}`},
		{"false", `{"y_up": true, "mirrored": true}`, `{"y_up": false}`, `{"mirrored": true}`},
		{"false within", `{"card": {"corners": ["a", "b", "c", "d"], "short_edge": true}}`, `{"card": {"short_edge": false}}`, `{"card": {"corners": ["a", "b", "c", "d"]}}`},
		{"true within", `{"card": {"corners": ["a", "b", "c", "d"]}}`, `{"card": {"short_edge": true}}`, `{"card": {"corners": ["a", "b", "c", "d"], "short_edge": true}}`},
		{"zero", `{"raise_deg": 12, "touch_s": 3}`, `{"raise_deg": 0}`, `{"raise_deg": 0, "touch_s": 3}`},
		{"nothing", `{"tip": "a", "tempo_bpm": 120, "tempo_note": "8"}`, `{}`, `{"tip": "a", "tempo_bpm": 120, "tempo_note": "8"}`},
		{"over nothing", `{}`, `{"tip": "a", "pick_points": ["b", "c"]}`, `{"tip": "a", "pick_points": ["b", "c"]}`},
	} {
		parse := func(text string) review.Setup {
			s, err := review.ParseSetup(strings.NewReader(text))
			if err != nil {
				t.Fatalf("%s: %v", c.name, err)
			}
			return s
		}
		got, err := review.ParseSetupOver(parse(c.below), strings.NewReader(c.above))
		if err != nil {
			t.Errorf("%s: %v", c.name, err)
		}
		if d := cmp.Diff(parse(c.want), got); d != "" {
			t.Errorf("%s (-want +got)\n%s", c.name, d)
		}
	}
	if _, err := review.ParseSetupOver(review.Setup{}, strings.NewReader("{\n\"tipp\": 1}")); err == nil || !strings.Contains(err.Error(), "line 2") {
		t.Errorf("a key that there is not: %v", err)
	}
}

func ExampleParseSetupOver() {
	folder, err := review.ParseSetup(strings.NewReader(`{"rate": 240, "tip": "tip", "marks": {"bass": "b", "treble": "t", "distance_mm": 36}}`))
	if err != nil {
		fmt.Println(err)
	}
	take, err := review.ParseSetupOver(folder, strings.NewReader(`{"rate": 120, "marks": {"distance_mm": 0}}`))
	fmt.Println(take.Rate, take.Tip, take.Marks.DistanceMM, err)
	// Output: 120 tip 36 <nil>
}
