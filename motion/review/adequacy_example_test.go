package review_test

import (
	"fmt"

	"github.com/plectrace/plectrace/motion/drive"
	"github.com/plectrace/plectrace/motion/review"
	"github.com/plectrace/plectrace/trajectory"
)

// Before the lesson: a phone at 60 frames a second, ten pixels a millimetre, a
// player of about ten strokes a second, and the wrist tracked too.
func ExamplePlan_Allows() {
	level := 0.0
	findings, err := review.Plan{
		View: trajectory.EndOn, FrameRate: 60, PixelsPerMM: 10, NotesPerSecond: 10,
		TipIs: review.TipOfPick, MarkDistanceMM: 52, RaiseDeg: &level, Landmarks: []drive.Landmark{drive.Wrist},
	}.Allows()
	if err != nil {
		fmt.Println(err)
		return
	}
	for _, f := range findings {
		if !f.Aside {
			fmt.Printf("%-5v %s: %s\n", f.Can, f.What, f.Why)
		}
	}
	// Output:
	// true  rate alone, from the spectrum: 6 samples per stroke at 60 samples/s, 2.2 are needed; possible up to 27.3 strokes/s
	// true  strokes, rate and timing: 6 samples per stroke at 60 samples/s, 4 are needed; possible up to 15 strokes/s
	// false path angle: 6 samples per stroke at 60 samples/s, 8 are needed; possible up to 7.5 strokes/s, or film at 80 frames/s or more
	// false curvature: 6 samples per stroke at 60 samples/s, 15 are needed; possible up to 4 strokes/s, or film at 150 frames/s or more
	// false heights and clearing: 6 samples per stroke at 60 samples/s, 15 are needed; possible up to 4 strokes/s, or film at 150 frames/s or more
	// false skew: this view does not see travel along the strings; one front-on take of the same player gives it
	// true  lengths in millimetres: the marks lie 52 mm apart
	// true  settled and searching spans: the noise is well below the tolerances
	// true  the size of the picture: a stroke of 10 mm is 100 px long, and 15 px or more are needed for single strokes and settled spans
	// true  carry: 6 samples per stroke at 60 samples/s, 4 are needed; possible up to 15 strokes/s
	// false strings reached, follow-through and depth: the number of the strings and where they lie are not given
	// false edge angle: two points on the pick's flat would have to be tracked (pick_points)
}
