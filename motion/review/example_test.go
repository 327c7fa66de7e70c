package review_test

import (
	"bytes"
	"encoding/json"
	"fmt"
	"os"
	"strings"

	"github.com/plectrace/plectrace/motion/review"
	"github.com/plectrace/plectrace/motion/simulate"
	"github.com/plectrace/plectrace/testdata"
	"github.com/plectrace/plectrace/trajectory"
	"github.com/plectrace/plectrace/trajectory/tracks"
	"github.com/plectrace/plectrace/variability/circular"
)

// One take, from the tracker's export and its settings file to its findings.
func Example() {
	settings, err := os.ReadFile("../../testdata/takes/tutor.take.json")
	if err != nil {
		fmt.Println(err)
		return
	}
	setup, err := review.ParseSetup(bytes.NewReader(settings))
	if err != nil {
		fmt.Println(err)
		return
	}
	options, _ := setup.Tracks(true) // the export has a time column
	rec, err := tracks.ReadFile("../../testdata/takes/tutor.csv", options)
	if err != nil {
		fmt.Println(err)
		return
	}
	r, err := review.Run(rec, setup, review.Options{})
	if err != nil {
		fmt.Println(err)
		return
	}
	rate, angle, settled := r.Value("notes_per_second"), r.Value("path_angle_deg"), r.Value("settled_share")
	fmt.Printf("%.1f notes/s (%.1f to %.1f)\n", rate.Value, rate.Low, rate.High)
	fmt.Printf("path angle %.1f degrees (%.1f to %.1f)\n", angle.Value, angle.Low, angle.High)
	fmt.Println("clears the strings:", r.Clearing.Clearing)
	fmt.Printf("settled for %.0f %% of the time\n", 100*settled.Value)
	// Output:
	// 11.0 notes/s (10.9 to 11.1)
	// path angle 21.5 degrees (9.0 to 35.6)
	// clears the strings: after downstrokes
	// settled for 95 % of the time
}

// demo is a demo take with its settings, read.
func demo(name string) (*trajectory.Recording, review.Setup) {
	export, settings, err := testdata.Take(name)
	if err != nil {
		panic(err)
	}
	setup, err := review.ParseSetup(bytes.NewReader(settings))
	if err != nil {
		panic(err)
	}
	o, _ := setup.Tracks(true)
	rec, err := tracks.Read(bytes.NewReader(export), o)
	if err != nil {
		panic(err)
	}
	return rec, setup
}

// What the take does not show is absent, with the reason.
func ExampleRun() {
	rec, setup := demo("beginner-1")
	r, err := review.Run(rec, setup, review.Options{})
	if err != nil {
		fmt.Println(err)
		return
	}
	for _, s := range r.Spans {
		if s.Settled {
			fmt.Printf("%s from %.0f to %.0f s, %.1f notes/s\n", s.Kind(), s.Start, s.End, float64(s.Rate.Value))
		}
	}
	if v := r.Value("skew_deg"); !v.Known() {
		fmt.Println("no skew:", v.Absent.Why)
	}
	// Output:
	// settled from 3 to 5 s, 7.0 notes/s
	// settled from 8 to 9 s, 7.0 notes/s
	// settled from 9 to 11 s, 7.1 notes/s
	// settled from 15 to 16 s, 6.9 notes/s
	// settled from 16 to 19 s, 7.0 notes/s
	// no skew: this view does not show travel along the strings
}

// An error names what is not there and what is.
func ExampleRun_error() {
	rec, setup := demo("tutor")
	setup.Tip = "thumb"
	_, err := review.Run(rec, setup, review.Options{})
	fmt.Println(err)
	// Output:
	// point "thumb": there is no such point; the export holds tip, wrist
}

// What a film of 60 frames/s shows of a player at 9 strokes/s.
func ExampleCheck() {
	take, err := simulate.Make(simulate.Options{Seed: 1, Rate: 9, FrameRate: 60, PathAngle: 20 * circular.Degree, TrackMarks: true})
	if err != nil {
		fmt.Println(err)
		return
	}
	s, _ := review.Setup{}.Guess([]string{"tip", "bass", "treble"}, false)
	findings, err := review.Check(&take.Recording, s, review.Options{})
	if err != nil {
		fmt.Println(err)
		return
	}
	for _, f := range findings {
		if f.Aside {
			fmt.Println("also ", f.What)
			continue
		}
		fmt.Printf("%-5v %s\n", f.Can, f.What)
	}
	// Output:
	// true  rate alone, from the spectrum
	// true  strokes, rate and timing
	// false path angle
	// false curvature
	// false heights and clearing
	// false skew
	// false lengths in millimetres
	// true  settled and searching spans
	// also  a sharp tip
	// false carry
	// false drive
	// false strings reached, follow-through and depth
	// false edge angle
	// also  missing samples
}

// The table of measures and the values of a review go side by side.
func ExampleMeasures() {
	rec, setup := demo("tutor")
	r, err := review.Run(rec, setup, review.Options{})
	if err != nil {
		fmt.Println(err)
		return
	}
	for i, m := range review.Measures() {
		if v := r.Values[i]; v.Known() && m.Better == review.Less {
			fmt.Printf("%.1g %s  %s\n", v.Value, r.UnitOf(m), m.Title)
		}
	}
	// Output:
	// 1 degrees  Path angle: scatter from stroke to stroke, noise removed
	// 0.3 mm  Stroke length: scatter from stroke to stroke, noise removed
	// 0.002 s  Stroke duration: scatter from stroke to stroke, noise removed
	// 0.2 mm  Scatter of the turns after downstrokes, across the strings
	// 0.2 mm  Scatter of the turns after upstrokes, across the strings
	// 0.2 mm  Unevenness: how far single cycles lie off the mean cycle, noise removed
	// 0.03   Unevenness as a share of the stroke length
	// 0.005   Strokes that reach no string, as a share
	// 0.2 mm  Scatter of the travel past the string, downstrokes
	// 0.3 mm  Scatter of the travel past the string, upstrokes
	// 0.02   Stroke duration: scatter as a share of the duration
	// 0.04   Stroke length: scatter as a share of the length
	// 0.009 s  Scatter of the notes about an even grid
	// 1 s  Length of a searching span, median
	// 3 1/min  How often a settled motion is left, a minute of playing
	// 0.6 tolerances  Scatter of angle, timing, length and height together, in tolerances
}

func ExampleReview_Value() {
	rec, setup := demo("tutor")
	r, err := review.Run(rec, setup, review.Options{})
	if err != nil {
		fmt.Println(err)
		return
	}
	for _, name := range []string{"length", "skew_deg", "swing"} {
		if v := r.Value(name); v.Known() {
			fmt.Printf("%s: %.1f %s\n", name, v.Value, r.Unit)
		} else {
			fmt.Printf("%s: %s\n", name, v.Absent.Why)
		}
	}
	// Output:
	// length: 7.5 mm
	// skew_deg: this view does not show travel along the strings
	// swing: there is no such measure
}

func ExampleReview_SettledStrokes() {
	rec, setup := demo("tutor")
	r, err := review.Run(rec, setup, review.Options{})
	if err != nil {
		fmt.Println(err)
		return
	}
	settled := 0
	for _, in := range r.SettledStrokes() {
		if in {
			settled++
		}
	}
	fmt.Printf("%d %% of the strokes lie in settled spans\n", 100*settled/len(r.Motion.Strokes))
	// Output:
	// 95 % of the strokes lie in settled spans
}

func ExampleReview_WriteStrokes() {
	rec, setup := demo("tutor")
	r, err := review.Run(rec, setup, review.Options{})
	if err != nil {
		fmt.Println(err)
		return
	}
	var b bytes.Buffer
	if err := r.WriteStrokes(&b); err != nil {
		fmt.Println(err)
		return
	}
	rows := strings.Split(b.String(), "\n")
	columns, second := strings.Split(rows[0], ","), strings.Split(rows[2], ",")
	fmt.Println(len(columns), "columns, such as")
	for i, c := range columns {
		switch c {
		case "stroke", "direction", "skew_deg", "turn_hidden":
			fmt.Printf("%s=%q\n", c, second[i])
		}
	}
	// Output:
	// 31 columns, such as
	// stroke="2"
	// direction="down"
	// skew_deg=""
	// turn_hidden="false"
}

func ExampleReview_WriteSpans() {
	rec, setup := demo("tutor")
	r, err := review.Run(rec, setup, review.Options{})
	if err != nil {
		fmt.Println(err)
		return
	}
	var b bytes.Buffer
	if err := r.WriteSpans(&b); err != nil {
		fmt.Println(err)
		return
	}
	for _, row := range strings.Split(strings.TrimSpace(b.String()), "\n") {
		kind, _, _ := strings.Cut(row, ",")
		fmt.Println(kind)
	}
	// Output:
	// kind
	// settled
	// searching
	// settled
}

func ExampleReview_WriteJSON() {
	rec, setup := demo("tutor")
	r, err := review.Run(rec, setup, review.Options{})
	if err != nil {
		fmt.Println(err)
		return
	}
	var b bytes.Buffer
	if err := r.WriteJSON(&b); err != nil {
		fmt.Println(err)
		return
	}
	var read struct {
		Schema, Unit, Clearing string
		Rate                   map[string]struct{ Value, Low, High *float64 }
		Missing                []struct{ What, Why string }
	}
	if err := json.Unmarshal(b.Bytes(), &read); err != nil {
		fmt.Println(err)
		return
	}
	fmt.Println(read.Schema, read.Unit, read.Clearing)
	fmt.Printf("%.1f notes/s\n", *read.Rate["notes_per_second"].Value)
	for _, m := range read.Missing[:2] {
		fmt.Printf("no %s: %s\n", m.What, m.Why)
	}
	// Output:
	// plectrace/review/1 mm after downstrokes
	// 11.0 notes/s
	// no skew: this view does not show travel along the strings
	// no drive from shoulder: no landmark at the elbow
}
