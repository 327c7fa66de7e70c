package onepage

import (
	"bytes"
	"strings"
	"testing"

	"github.com/plectrace/plectrace/motion/simulate"
	"github.com/plectrace/plectrace/trajectory"
	"github.com/plectrace/plectrace/variability/circular"
)

// TestObliqueNames: what an oblique view shows is called a picture angle wherever its
// number stands, and a path angle nowhere.
func TestObliqueNames(t *testing.T) {
	for view, named := range map[trajectory.View][2]string{
		trajectory.EndOn:   {"path angle", "picture angle"},
		trajectory.Oblique: {"picture angle", "path angle"},
	} {
		r := made(t, simulate.Options{Seed: 2, View: view, PathAngle: 20 * circular.Degree, Duration: 12, Rate: 9})
		var page, details bytes.Buffer
		if err := Page(r, About{Name: "a.csv"}).HTML(&page); err != nil {
			t.Fatal(err)
		}
		if err := Details(r, About{Name: "a.csv"}).HTML(&details); err != nil {
			t.Fatal(err)
		}
		for _, c := range []struct{ in, text string }{
			{page.String(), "ngle of every stroke; a band"}, {page.String(), "ngle of every stroke over time."}, {details.String(), "ngle in degrees."},
		} {
			at := strings.Index(c.in, c.text)
			if at < 0 {
				t.Fatalf("%v: %q is not there", view, c.text)
			}
			name := strings.ToLower(c.in[max(0, at-20) : at+len("ngle")])
			if !strings.HasSuffix(name, named[0]) || strings.HasSuffix(name, named[1]) {
				t.Errorf("%v: %q is of %q, want %s", view, c.text, name, named[0])
			}
		}
		if strings.Contains(page.String(), "The path as seen along the strings") == (view == trajectory.Oblique) {
			t.Errorf("%v: the path is said to be seen from elsewhere", view)
		}
		if b := BriefOf(r); strings.HasSuffix(b.Angle, " in the picture") != (view == trajectory.Oblique) {
			t.Errorf("%v: in a list the angle is %q", view, b.Angle)
		}
	}
}
