package cohort_test

import (
	"bytes"
	"reflect"
	"strings"
	"testing"

	"github.com/plectrace/plectrace/motion/cohort"
)

// FuzzParsePlan: a plan is an error of one line, or comes back as it was when it is
// written.
func FuzzParsePlan(f *testing.F) {
	for _, s := range []string{
		`{}`, `{"title": "class", "primary": {"predictor": "path_angle_deg", "outcome": "settled_share"}, "level": 0.9}`,
		`{"primary": {"predictor": "weeks", "outcome": "notes_per_second"}, "cluster": "class", "margin": 0.2}`,
		`{"exploratory": [{"predictor": "length", "outcome": "carry"}], "windows": {}, "exclusions": {}}`,
		`{"level": 1}`, `{"margin": -1}`, `{"level": 1e-400}`,
	} {
		f.Add([]byte(s))
	}
	f.Fuzz(func(t *testing.T, text []byte) {
		p, err := cohort.ParsePlan(bytes.NewReader(text))
		if err != nil {
			if s := err.Error(); s == "" || strings.ContainsAny(s, "\n\x1b\x00") {
				t.Errorf("error %q", s)
			}
			return
		}
		written, err := p.JSON()
		if err != nil {
			t.Fatalf("read but not written: %v", err)
		}
		again, err := cohort.ParsePlan(bytes.NewReader(written))
		if err != nil || again.Digest() != p.Digest() {
			t.Errorf("comes back as %+v (%v), want %+v", again, err, p)
		}
		if d := p.WithDefaults(); !reflect.DeepEqual(d.WithDefaults(), d) {
			t.Error("what is filled in is filled in again")
		}
	})
}
