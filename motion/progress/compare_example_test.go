package progress_test

import (
	"fmt"
	"os"
	"strings"
	"time"

	"github.com/plectrace/plectrace/motion/progress"
	"github.com/plectrace/plectrace/motion/review"
	"github.com/plectrace/plectrace/motion/simulate"
	"github.com/plectrace/plectrace/trajectory"
	"github.com/plectrace/plectrace/variability/circular"
	"github.com/plectrace/plectrace/variability/estimate"
)

// made returns a made take of P01 on a day of March, of that path angle in
// degrees, reviewed.
func made(day int, seed uint64, angle float64) progress.Take {
	take, err := simulate.Make(simulate.Options{Seed: seed, Duration: 10, PathAngle: circular.Angle(angle) * circular.Degree})
	if err != nil {
		panic(err)
	}
	s := review.Setup{SetupName: "desk", Tip: "tip", TipIs: review.TipOfPick, View: take.Options.View, Orientation: take.Options.Orientation}
	s.Marks.DistanceMM = take.Truth.MarkDistance
	s.Marks.Bass, s.Marks.Treble = trajectory.Mark{At: take.Truth.Bass[:2]}, trajectory.Mark{At: take.Truth.Treble[:2]}
	r, err := review.Run(&take.Recording, s, review.Options{})
	if err != nil {
		panic(err)
	}
	return progress.Take{Player: "P01", Date: time.Date(2024, 3, day, 0, 0, 0, 0, time.UTC), Take: fmt.Sprint(seed), Summary: r.Summary()}
}

// Three takes on each of four days tell by how much P01's takes differ by
// themselves; two weeks later the path is steeper.
func ExampleCompare() {
	var repeats []progress.Take
	for i, angle := range []float64{19, 20, 20.5, 21, 21.5, 20, 19.5, 20.5, 19, 20, 20.5, 21} {
		repeats = append(repeats, made(1+i/3, uint64(10+i), angle))
	}
	r, err := progress.Repeatability(repeats, progress.RepeatOptions{})
	if err != nil {
		fmt.Println(err)
		return
	}
	before, after := made(5, 1, 20), made(19, 2, 28)
	c, err := progress.Compare(before, after, progress.CompareOptions{Repeats: &r, Primary: []string{"picture_angle_deg"}})
	if err != nil {
		fmt.Println(err)
		return
	}
	angle, _ := c.Of("picture_angle_deg")
	fmt.Printf("%.0f then %.0f degrees: %v\n", angle.First.Value, angle.Second.Value, angle.Beyond)

	// Without repeats the two takes differ, and nothing is known of the player.
	c, _ = progress.Compare(before, after, progress.CompareOptions{})
	angle, _ = c.Of("picture_angle_deg")
	fmt.Printf("without repeats: %v\n", angle.Beyond)
	fmt.Println(c.Notes[1])
	// Output:
	// 20 then 28 degrees: beyond
	// without repeats: cannot say
	// Two takes are two observations: that they differ does not say that the player does. Film three takes on a day, and give them as repeats.
}

// Three takes on a day to each side bear smaller changes, and may show that there
// is none to speak of. Those of both days together are the repeats.
func ExampleCompareDays() {
	before := []progress.Take{made(5, 1, 20), made(5, 2, 20.5), made(5, 3, 19.5)}
	after := []progress.Take{made(5, 4, 20), made(5, 5, 20), made(5, 6, 20.5)}
	r, err := progress.Repeatability([]progress.Take{made(4, 7, 20), made(4, 8, 20.5), made(4, 9, 20), made(3, 10, 19.5), made(3, 11, 20), made(3, 12, 20)}, progress.RepeatOptions{})
	if err != nil {
		fmt.Println(err)
		return
	}
	c, err := progress.CompareDays(before, after, progress.CompareOptions{Repeats: &r, Margins: map[string]float64{"picture_angle_deg": 2}})
	if err != nil {
		fmt.Println(err)
		return
	}
	angle, _ := c.Of("picture_angle_deg")
	fmt.Printf("%v, %v the margin of %g degrees\n", angle.Beyond, angle.Answer, angle.Margin)
	// Output:
	// within, inside the margin of 2 degrees
}

func ExampleRepeatability() {
	var takes []progress.Take
	for i, angle := range []float64{19, 20, 20.5, 21, 21.5, 20} {
		takes = append(takes, made(1+i/3, uint64(10+i), angle))
	}
	r, err := progress.Repeatability(takes, progress.RepeatOptions{})
	if err != nil {
		fmt.Println(err)
		return
	}
	angle, _ := r.Of("picture_angle_deg")
	fmt.Printf("takes of a day: %.1f degrees, %d degrees of freedom\n", angle.Within.Value, angle.WithinDF)
	fmt.Printf("smallest change of one take: %.1f degrees, of means of three: %.1f\n",
		angle.Smallest(1, 1, false).Value, angle.Smallest(3, 3, false).Value)
	fmt.Println("between days:", angle.Between.Absent.Why)
	// Output:
	// takes of a day: 0.9 degrees, 4 degrees of freedom
	// smallest change of one take: 3.6 degrees, of means of three: 2.1
	// between days: 2 days with takes that may be compared; this needs 3: film on a further day, in the same set-up
}

// How few repeats make small changes invisible: three takes of one day, and three on
// each of five days.
func ExampleRepeat_Smallest() {
	for _, days := range []int{1, 5} {
		var takes []progress.Take
		for i := range 3 * days {
			takes = append(takes, progress.Take{Player: "P01", Date: time.Date(2024, 3, 4+i/3, 19, i, 0, 0, time.UTC),
				Summary: summary(map[string]float64{"rise": 1 + 0.1*float64(i%3) + 0.05*float64(i/3*3%5)})})
		}
		r, err := progress.Repeatability(takes, progress.RepeatOptions{})
		if err != nil {
			fmt.Println(err)
			return
		}
		rise, _ := r.Of("rise")
		fmt.Printf("%d x 3 takes: %.2f mm on one day", days, rise.Smallest(1, 1, false).Value)
		if other := rise.Smallest(1, 1, true); other.Known() {
			fmt.Printf(", %.2f mm from day to day", other.Value)
		}
		fmt.Println()
	}
	// Output:
	// 1 x 3 takes: 0.61 mm on one day
	// 5 x 3 takes: 0.32 mm on one day, 0.35 mm from day to day
}

func ExampleStopRest() {
	for _, line := range progress.StopRest() {
		fmt.Println(line)
	}
	// Output:
	// Stop playing now. Pain, numbness or tingling is a reason to stop, whatever the numbers say.
	// Rest, and do not play on through it.
	// See a clinician if it stays or comes back. Nothing here is medical advice.
}

func ExampleEquivalence() {
	change := estimate.Value[float64]{Value: 0.4, Low: -0.9, High: 1.7, Level: 0.90, N: 6}
	fmt.Println(progress.Equivalence(change, 2))
	fmt.Println(progress.Equivalence(change, 1)) // no proof of a difference is none of sameness
	// Output:
	// inside
	// cannot say
}

const marksOfV01 = `# what viewer V01 says of take 3
kind,start_s,end_s
searching,0,4.5
settled,4.5,11
searching,11,13
settled,13,20
`

const marksOfV02 = `kind,start_s,end_s
searching,0,5
settled,5,11.5
searching,11.5,12.5
settled,12.5,18
`

func ExampleAgree() {
	a, err := progress.ReadMarks(strings.NewReader(marksOfV01), "v01.csv")
	if err != nil {
		fmt.Println(err)
		return
	}
	b, err := progress.ReadMarks(strings.NewReader(marksOfV02), "v02.csv")
	if err != nil {
		fmt.Println(err)
		return
	}
	g, err := progress.Agree(a, b)
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Printf("both judged %.0f s and agree on %.0f %% of it, kappa %.2f\n", g.Judged, 100*g.Agreed.Value, g.Kappa.Value)
	fmt.Printf("the first alone judged %.0f s\n", g.OnlyFirst)
	fmt.Printf("beginnings lie %.1f s apart\n", g.StartsApart.Value)
	// Output:
	// both judged 18 s and agree on 92 % of it, kappa 0.82
	// the first alone judged 2 s
	// beginnings lie 0.5 s apart
}

// Several takes, each viewed by two: the interval is by whole takes.
func ExampleAgreeTakes() {
	var first, second [][]progress.Mark
	for i := range 8 {
		turn := 4 + 0.25*float64(i%4)
		first = append(first, []progress.Mark{{Kind: "searching", Start: 0, End: 4.5}, {Kind: "settled", Start: 4.5, End: 12}})
		second = append(second, []progress.Mark{{Kind: "searching", Start: 0, End: turn}, {Kind: "settled", Start: turn, End: 12}})
	}
	g, err := progress.AgreeTakes(first, second)
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Printf("kappa %.2f (%.2f to %.2f) from %d takes\n", g.Kappa.Value, g.Kappa.Low, g.Kappa.High, g.Kappa.N)
	// Output:
	// kappa 0.96 (0.91 to 0.98) from 8 takes
}

func ExampleReadMarks() {
	marks, err := progress.ReadMarks(strings.NewReader(marksOfV01), "v01.csv")
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Println(len(marks), "marks, the first", marks[0].Kind)
	_, err = progress.ReadMarks(strings.NewReader("kind,start_s,end_s\nsettled,0:12,20\n"), "v03.csv")
	fmt.Println(err)
	// Output:
	// 4 marks, the first searching
	// progress: v03.csv, line 2, column 2 (start_s): "0:12": this is not a time in seconds; write seconds with a decimal point, such as 72.5 for 1:12.5
}

func ExampleWriteMarks() {
	err := progress.WriteMarks(os.Stdout, []progress.Mark{{Kind: "settled", Start: 4.5, End: 11}, {Kind: "searching", Start: 0, End: 4.5}})
	if err != nil {
		fmt.Println(err)
	}
	// Output:
	// kind,start_s,end_s
	// searching,0,4.5
	// settled,4.5,11
}

// The program's spans of a steady take against a viewer's marks.
func ExampleSpanMarks() {
	take, err := simulate.Make(simulate.Options{Seed: 3, Duration: 12, Plan: []simulate.Stretch{{Start: 0, Search: simulate.Fresh}, {Start: 5}}})
	if err != nil {
		fmt.Println(err)
		return
	}
	s := review.Setup{Tip: "tip", TipIs: review.TipOfPick, View: take.Options.View, Orientation: take.Options.Orientation}
	s.Marks.Bass, s.Marks.Treble = trajectory.Mark{At: take.Truth.Bass[:2]}, trajectory.Mark{At: take.Truth.Treble[:2]}
	r, err := review.Run(&take.Recording, s, review.Options{})
	if err != nil {
		fmt.Println(err)
		return
	}
	program, err := progress.SpanMarks(r)
	if err != nil {
		fmt.Println(err)
		return
	}
	g, err := progress.Agree([]progress.Mark{{Kind: "searching", Start: 0, End: 5.5}, {Kind: "settled", Start: 5.5, End: 12}}, program)
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Printf("agreed for %.0f %% of the time\n", 100*g.Agreed.Value)
	fmt.Println("no interval:", g.NoInterval)
	// Output:
	// agreed for 96 % of the time
	// no interval: one viewer has 2 spans in this take, and an interval needs 20: let both view 6 takes or more
}
