package review_test

import (
	"fmt"
	"math"
	"strings"

	"github.com/plectrace/plectrace/motion/contact"
	"github.com/plectrace/plectrace/motion/cycle"
	"github.com/plectrace/plectrace/motion/drive"
	"github.com/plectrace/plectrace/motion/review"
	"github.com/plectrace/plectrace/motion/simulate"
	"github.com/plectrace/plectrace/trajectory"
	"github.com/plectrace/plectrace/variability/circular"
)

// filmed is a take with a card in the picture for a second, a tip that then
// rests on a string, and a marker 8 mm up the pick; at says when it rests.
func filmed(change func(*simulate.Options)) (take *simulate.Take, s review.Setup) {
	o := simulate.Options{
		Seed: 3, Rate: 9, PathAngle: 20 * circular.Degree, Skew: 10 * circular.Degree, Raise: 15 * circular.Degree,
		Distance: 500, Scale: 6, Card: true, TouchFor: 1, MarkerUp: 8, Noise: 0.4,
	}
	if change != nil {
		change(&o)
	}
	take, err := simulate.Make(o)
	if err != nil {
		panic(err)
	}
	at := take.FilmTime(take.Truth.TouchAt)
	s = review.Setup{Tip: "tip", TipIs: review.TipMarker, View: trajectory.EndOn}
	for _, name := range []string{"card_foot_bass", "card_foot_treble", "card_top_treble", "card_top_bass"} {
		s.Card.Corners = append(s.Card.Corners, trajectory.Mark{Point: name})
	}
	s.PicturePX = [2]float64{1920, 1080}
	s.TouchS, s.TouchString = &at, take.Truth.TouchString
	s.StringCount, s.StringSpacingMM, s.CrownRadiusMM = 6, 10, -1
	return take, s
}

// A card tells how the camera looks at the strings, a tip that rests on a string
// gives heights their zero.
func ExampleCapture() {
	take, s := filmed(nil)
	r, err := review.Run(&take.Recording, s, review.Options{})
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Printf("%.1f px a millimetre; raised by %.0f to %.0f degrees\n", r.PerMM(), r.Card.Raise.Low.Degrees(), r.Card.Raise.High.Degrees())
	fmt.Printf("the tracked point sits %.0f mm above the tip\n", r.Touch.Out)
	fmt.Println("clears the strings:", r.Clearing.Clearing)
	fmt.Printf("strokes that reach no string: %.0f %%\n", 100*r.Value("missed_share").Value)
	// Output:
	// 6.0 px a millimetre; raised by 10 to 19 degrees
	// the tracked point sits 8 mm above the tip
	// clears the strings: after downstrokes
	// strokes that reach no string: 1 %
}

// What carries the tip, from landmarks of the arm in three axes.
func ExampleReview_arm() {
	take, err := simulate.Make(simulate.Options{
		Seed: 5, Rate: 8, View: trajectory.Spatial, TrackMarks: true, Arm: true, LandmarkNoise: 0.5,
		Shares: simulate.Shares{Elbow: 0.25, Forearm: 0.15, Wrist: 0.6},
	})
	if err != nil {
		fmt.Println(err)
		return
	}
	s, _ := review.Setup{Tip: "tip", TipIs: review.TipOfPick}.Guess([]string{
		"tip", "bass", "treble", "nut", "shoulder", "elbow", "wrist", "wrist_inner", "wrist_outer", "knuckle_1", "knuckle_2", "pick_base",
	}, true)
	r, err := review.Run(&take.Recording, s, review.Options{})
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Printf("carry of the wrist: %.2f\n", r.Value("carry").Value)
	for _, share := range r.Drive.Shares {
		fmt.Printf("%s: %.0f %%\n", share.Joints[0], 100*math.Abs(share.Value.Value))
	}
	fmt.Println("leading:", r.Drive.Shares[r.Drive.Leading].Joints[0])
	// Output:
	// carry of the wrist: 0.16
	// shoulder: 0 %
	// elbow: 24 %
	// forearm rotation: 15 %
	// wrist: 60 %
	// fingers and grip: 1 %
	// leading: wrist
}

// Which strokes sounded, from the times at which a recording of the sound has
// notes.
func ExampleOptions_onsets() {
	take, s := filmed(func(o *simulate.Options) { o.MissShare = 0.05 })
	var onsets []contact.Onset
	for _, on := range take.Truth.Onsets {
		onsets = append(onsets, contact.Onset{Time: on.T, Level: on.Level})
	}
	r, err := review.Run(&take.Recording, s, review.Options{Onsets: onsets})
	if err != nil {
		fmt.Println(err)
		return
	}
	a := r.Struck.Agreement(r.Contacts)
	fmt.Printf("%.0f %% made no sound; film and sound disagree on %d of %d strokes\n",
		100*r.Value("silent_share").Value, len(a.Ghosted)+len(a.SoundOnly), len(r.Motion.Strokes))
	// Output:
	// 6 % made no sound; film and sound disagree on 0 of 155 strokes
}

// The tutor's motion as a reference for a beginner's take.
func ExampleReview_KeepReference() {
	rec, s := demo("tutor")
	tutor, err := review.Run(rec, s, review.Options{})
	if err != nil {
		fmt.Println(err)
		return
	}
	ref, err := tutor.KeepReference("the tutor's take", cycle.Margins{PathAngle: 8 * circular.Degree})
	if err != nil {
		fmt.Println(err)
		return
	}
	rec, s = demo("beginner-1")
	r, err := review.Run(rec, s, review.Options{Reference: &ref})
	if err != nil {
		fmt.Println(err)
		return
	}
	span := r.Longest()
	for _, c := range span.Distance.Components {
		fmt.Println(c.Name+":", c.Answer)
	}
	fmt.Println("on the whole:", span.Distance.Answer)
	// Output:
	// path angle: cannot say
	// curvature: inside
	// curvature times length: cannot say
	// clearing: inside
	// cycle shape: inside
	// on the whole: cannot say
}

// What a take can show, in a sentence each.
func ExampleReview_Adequacy() {
	take, s := filmed(nil)
	r, err := review.Run(&take.Recording, s, review.Options{})
	if err != nil {
		fmt.Println(err)
		return
	}
	for _, f := range r.Adequacy() {
		if strings.Contains(f.What, "sharp") || strings.Contains(f.What, "missing") {
			fmt.Printf("%s: %s\n", f.What, f.Why)
		}
	}
	// Output:
	// a sharp tip: even with the shutter open for the whole frame it moves no more than 5.9 % of a stroke's length in it, and up to 15 % leave a tip to be tracked
	// missing samples: 6.5 % of the tip's samples are missing or were cut; the longest gap lasts 1.30 s
}

// Which way across and out point in the film, to be held against it.
func ExampleReview_Sides() {
	take, s := filmed(nil)
	r, err := review.Run(&take.Recording, s, review.Options{})
	if err != nil {
		fmt.Println(err)
		return
	}
	across, out := r.Sides(0)
	fmt.Printf("across (%.1f, %.1f), out (%.1f, %.1f); y grows downward\n", across[0], across[1]+0.001, out[0]+0.001, out[1])
	// Output:
	// across (1.0, 0.0), out (0.0, -1.0); y grows downward
}

// Where the motion held longest, and what the arm did there.
func ExampleReview_Longest() {
	rec, s := demo("beginner-1")
	r, err := review.Run(rec, s, review.Options{})
	if err != nil {
		fmt.Println(err)
		return
	}
	if span := r.Longest(); span != nil {
		fmt.Printf("%.1f s, %d strokes, carry of the %s %.2f\n", span.End-span.Start, span.Strokes, drive.Wrist, span.Carry.Value)
	}
	// Output:
	// 2.7 s, 19 strokes, carry of the wrist 0.55
}

func ExampleSetup_FrameOptions() {
	s := review.Setup{View: trajectory.EndOn}
	s.Marks.Bass, s.Marks.Treble = trajectory.Mark{Point: "bass"}, trajectory.Mark{Point: "treble"}
	s.Marks.DistanceMM = 36
	t := []float64{0, 0.01}
	rec := &trajectory.Recording{T: t, Unit: "px", Points: []trajectory.Path{
		{Name: "bass", T: t, X: []float64{100, 100}, Y: []float64{50, 50}},
		{Name: "treble", T: t, X: []float64{460, 460}, Y: []float64{50, 50}},
	}}
	frame, err := trajectory.NewFrame(rec, s.FrameOptions())
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Printf("%s, %.0f px for a millimetre\n", frame.View, frame.UnitsPerMM)
	// Output: end-on, 10 px for a millimetre
}
