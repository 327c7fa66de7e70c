package review_test

import (
	"fmt"
	"strings"

	"github.com/plectrace/plectrace/motion/review"
	"github.com/plectrace/plectrace/trajectory"
)

func ExampleParseSetup() {
	s, err := review.ParseSetup(strings.NewReader(`{
		"tip": "pick_tip", "tip_is": "pick", "rate": 240, "view": "end-on", "left_handed": true,
		"marks": {"bass": [212, 640], "treble": [690, 655], "distance_mm": 42}
	}`))
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Println(s.Tip, s.TipIs, s.View, s.LeftHanded, s.Marks.Treble.At, s.Marks.DistanceMM)

	_, err = review.ParseSetup(strings.NewReader("{\n\"tip\": \"pick_tip\",\n\"hand\": \"left\"}"))
	fmt.Println(err)
	// Output:
	// pick_tip pick end-on true [690 655] 42
	// line 3: there is no key "hand"
}

// What the names of the points make safe to assume is assumed, and said.
func ExampleSetup_Guess() {
	s, notes := review.Setup{}.Guess([]string{"PickTip", "wrist", "bass_mark", "treble_mark"}, false)
	fmt.Println(s.Tip, s.Marks.Bass.Point, s.Marks.Treble.Point)
	for _, n := range notes {
		fmt.Println("-", n)
	}
	// Output:
	// PickTip bass_mark treble_mark
	// - The tip is taken to be the point "PickTip".
	// - "PickTip" is taken to be the pick's own tip; if it is a marker above it, say so (tip_is), or heights come out too large.
	// - The bass mark is taken to be the point "bass_mark".
	// - The treble mark is taken to be the point "treble_mark".
	// - The view is taken to be end-on: the camera looks along the strings.
	// - The wrist is taken to be the point "wrist".
}

func ExampleSetup_Starter() {
	s, _ := review.Setup{}.Guess([]string{"tip", "bass", "treble"}, false)
	data, err := s.Starter()
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Printf("%s", data)
	// Output:
	// {
	//   "schema": "plectrace/take/1",
	//   "tip": "tip",
	//   "tip_is": "pick",
	//   "rate": 0,
	//   "slowed_by": 1,
	//   "view": "end-on",
	//   "y_up": false,
	//   "left_handed": false,
	//   "mirrored": false,
	//   "from_neck": false,
	//   "marks": {
	//     "bass": "bass",
	//     "treble": "treble",
	//     "distance_mm": 0
	//   }
	// }
}

func ExampleSetup_JSON() {
	s := review.Setup{Tip: "tip", TipIs: review.TipOfPick, View: trajectory.EndOn}
	s.Marks.Bass, s.Marks.Treble = trajectory.Mark{Point: "bass"}, trajectory.Mark{Point: "treble"}
	data, err := s.JSON()
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Printf("%s", data)
	// Output:
	// {
	//   "schema": "plectrace/take/1",
	//   "tip": "tip",
	//   "tip_is": "pick",
	//   "view": "end-on",
	//   "marks": {
	//     "bass": "bass",
	//     "treble": "treble"
	//   }
	// }
}

// The same film, said in two ways: 240 frames a second, saved to play at 30.
func ExampleSetup_Tracks() {
	for _, s := range []review.Setup{
		{Tip: "tip", Rate: 30, SlowedBy: 8},
		{Tip: "tip", Rate: 240, SlowedBy: 8},
	} {
		o, note := s.Tracks(false) // no time column
		fmt.Println(o.Rate*o.SlowedBy, "frames/s:", note)
	}
	// Output:
	// 240 frames/s: A film of 30 frames/s slowed by 8 is taken to be 240 frames of real time a second.
	// 240 frames/s: 240 frames/s is taken to be the capture rate, which slowed_by 8 does not change.
}

func ExampleSetup_Validate() {
	fmt.Println(review.Setup{}.Validate())
	fmt.Println(review.Setup{Tip: "tip"}.Validate())
	// Output:
	// it is not said which point is the tip; name it (tip)
	// the marks on the string plane are missing; give a bass mark and a treble mark, as tracked points or as picture coordinates (bass, treble)
}

func ExampleSetup_Points() {
	s, _ := review.Setup{}.Guess([]string{"tip", "wrist", "bass", "treble"}, false)
	fmt.Println(s.Points())
	// Output:
	// [tip bass treble wrist]
}
