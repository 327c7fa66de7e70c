package review_test

import (
	"fmt"
	"strings"
	"testing"

	"github.com/plectrace/plectrace/motion/review"
	"github.com/plectrace/plectrace/motion/simulate"
	"github.com/plectrace/plectrace/testdata"
	"github.com/plectrace/plectrace/trajectory"
	"github.com/plectrace/plectrace/trajectory/tracks"
	"github.com/plectrace/plectrace/variability/circular"
)

// TestObliqueAngle: an oblique view has an angle in the picture, which is not the
// path's, and says so; an end-on one has both.
func TestObliqueAngle(t *testing.T) {
	for _, view := range []trajectory.View{trajectory.EndOn, trajectory.Oblique, trajectory.Front} {
		_, r := mustRun(t, simulate.Options{View: view, PathAngle: 20 * circular.Degree, Duration: 12, Rate: 9})
		path, picture := r.Value("path_angle_deg"), r.Value("picture_angle_deg")
		if path.Known() != (view == trajectory.EndOn) || picture.Known() != (view != trajectory.Front) {
			t.Errorf("%v: path angle %+v, picture angle %+v", view, path, picture)
		}
		if got := r.Angle(); got.Known() != (view != trajectory.Front) || view == trajectory.Oblique && got.Value != picture.Value {
			t.Errorf("%v: the angle is %+v", view, got)
		}
		want := map[trajectory.View]string{trajectory.EndOn: "path_angle_deg", trajectory.Oblique: "picture_angle_deg", trajectory.Front: "skew_deg"}[view]
		if len(r.EarlyLate) == 0 || r.EarlyLate[0].Name != want {
			t.Errorf("%v: early against late there is %+v, want %s", view, r.EarlyLate, want)
		}
		if view == trajectory.Oblique {
			if path.Absent.Code != "view" || !strings.Contains(path.Absent.Why, "picture_angle_deg") {
				t.Errorf("the reason is %+v", path.Absent)
			}
			if s := r.Longest(); s == nil || s.PathAngle.Known() || s.Angle() != s.PictureAngle {
				t.Errorf("the longest span: %+v", s)
			}
		}
	}
}

func ExampleReview_Angle() {
	export, settings, err := testdata.Take("tutor")
	if err != nil {
		fmt.Println(err)
		return
	}
	setup, err := review.ParseSetup(strings.NewReader(string(settings)))
	if err != nil {
		fmt.Println(err)
		return
	}
	o, _ := setup.Tracks(true)
	rec, err := tracks.Read(strings.NewReader(string(export)), o)
	if err != nil {
		fmt.Println(err)
		return
	}
	r, err := review.Run(rec, setup, review.Options{})
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Printf("%.0f degrees, the longest span %.0f\n", r.Angle().Value, r.Longest().Angle().Value.Degrees())
	// Output: 22 degrees, the longest span 22
}
