package progress

import (
	"fmt"
	"strings"

	"github.com/plectrace/plectrace/motion/review"
	"github.com/plectrace/plectrace/trajectory"
	"github.com/plectrace/plectrace/variability/estimate"
)

// setupOf returns the name of a take's set-up, "" where nobody named it.
func setupOf(t Take) string {
	if t.Summary.Setup != "" {
		return t.Summary.Setup
	}
	return t.Setup
}

// hasSummary is an error unless a take has all measures.
func hasSummary(t Take) error {
	switch {
	case t.Summary == nil:
		return fmt.Errorf("progress: %s is not reviewed: set Take.Summary from its review", t.Label())
	case len(t.Summary.Values) != len(review.Measures()):
		return fmt.Errorf("progress: the summary of %s has %d measures where there are %d: review it again with this version",
			t.Label(), len(t.Summary.Values), len(review.Measures()))
	}
	return nil
}

// unlike says why a measure of two takes cannot be compared, or nil. A take is
// unlike itself where no other could be like it.
func unlike(m review.Measure, a, b Take, allowOptions bool) *estimate.Absence {
	no := func(code, format string, args ...any) *estimate.Absence {
		return &estimate.Absence{Code: code, What: m.Title, Why: fmt.Sprintf(format, args...)}
	}
	x, y := a.Summary, b.Summary
	if x.Digest != y.Digest && !allowOptions {
		return no("options", "the takes were reviewed with different options (%s and %s): review them alike", orNone(x.Digest), orNone(y.Digest))
	}
	if strings.Contains(m.Unit, "unit") && x.Unit != y.Unit {
		return no("unit", "one take is in %s and the other in %s: calibrate both", x.Unit, y.Unit)
	}
	if m.Alike == review.AnyView {
		return nil
	}
	if x.View != y.View {
		return no("view", "one take was filmed %s and the other %s: film both alike", viewText(x.View), viewText(y.View))
	}
	if m.Alike == review.SameView && x.View != trajectory.ViewUnknown && x.View != trajectory.Oblique && x.Unit == "mm" && y.Unit == "mm" {
		return nil
	}
	switch sx, sy := setupOf(a), setupOf(b); {
	case sx == "" || sy == "":
		return no("setup", "it needs one set-up of camera, marks and tracked points, and that of %s has no name: if nothing was moved, name the setup of both takes alike", firstOf(sx == "", a, b).Label())
	case sx != sy:
		return no("setup", "it needs one set-up of camera, marks and tracked points, and the takes are of two, %q and %q: film both in one", sx, sy)
	}
	return nil
}

func firstOf(first bool, a, b Take) Take {
	if first {
		return a
	}
	return b
}

func orNone(s string) string {
	if s == "" {
		return "not said"
	}
	return s
}

func viewText(v trajectory.View) string {
	if v == trajectory.ViewUnknown {
		return "in a view that is not said"
	}
	return v.String()
}
