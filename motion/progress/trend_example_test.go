package progress_test

import (
	"fmt"
	"math"
	"time"

	"github.com/plectrace/plectrace/motion/progress"
	"github.com/plectrace/plectrace/motion/review"
	"github.com/plectrace/plectrace/motion/simulate"
	"github.com/plectrace/plectrace/trajectory"
	"github.com/plectrace/plectrace/variability/circular"
	"github.com/plectrace/plectrace/variability/estimate"
)

// summary is what a review of a take would leave; here of a few measures.
func summary(values map[string]float64) *review.Summary {
	s := &review.Summary{Setup: "bench", View: trajectory.EndOn, Unit: "mm", Seconds: 30}
	for _, m := range review.Measures() {
		v := estimate.Missing[float64]("none", m.Title, "not measured")
		if x, ok := values[m.Name]; ok {
			v = estimate.Value[float64]{Value: x, N: 200}
		}
		s.Values = append(s.Values, v)
	}
	return s
}

// Eight evenings, three takes on each.
func ExampleOfPlayer() {
	var takes []progress.Take
	for week := range 8 {
		for take := range 3 {
			wobble := 1 + 0.01*float64((5*week+3*take)%7-3)
			takes = append(takes, progress.Take{
				Player: "P01", Date: time.Date(2024, 3, 5+7*week, 19, take, 0, 0, time.UTC),
				Summary: summary(map[string]float64{
					"notes_per_second": 6 * math.Pow(1.03, float64(week)) * wobble,
					"settled_share":    0.3 + 0.05*float64(week)*wobble,
				}),
			})
		}
	}
	p, err := progress.OfPlayer(takes, progress.Options{Primary: []string{"settled_share"}})
	if err != nil {
		fmt.Println(err)
		return
	}
	for _, name := range []string{"settled_share", "notes_per_second"} {
		s := p.Of(name)[0]
		fmt.Printf("%s: %.3f a week (%.3f to %.3f), p %.2g, adjusted %.2g\n", s.Title, s.PerWeek.Value, s.PerWeek.Low, s.PerWeek.High, s.Trend.P, s.Adjusted)
	}
	fmt.Println(p.Of("settled_share")[0].Text)
	w := p.Weeks[0]
	fmt.Printf("week of %s: %d takes, %.1f minutes, %.2f settled\n", w.Monday.Format(time.DateOnly), w.Takes, w.Minutes, w.SettledShare.Value)
	fmt.Println(p.Orders[0].Order)
	// Output:
	// Share of the playing time that is settled: 0.050 a week (0.049 to 0.051), p 5e-05, adjusted 5e-05
	// Strokes per second, over the take: 0.030 a week (0.025 to 0.033), p 5e-05, adjusted 5e-05
	// Share of the playing time that is settled: 30 % on the first of 8 days and 65 % on the last. It rises by 5.00 percentage points a week (4.92 to 5.07). It is the way practice aims at.
	// week of 2024-03-04: 3 takes, 1.5 minutes, 0.30 settled
	// cannot say
}

// A take that gets faster from 5 to 10 strokes a second while its path stays as
// it is.
func ExampleSameMotionInTake() {
	take, err := simulate.Make(simulate.Options{Seed: 5, Duration: 24, Rate: 5, RateDrift: 1, PathAngle: 12 * circular.Degree})
	if err != nil {
		fmt.Println(err)
		return
	}
	s := review.Setup{Tip: "tip", TipIs: review.TipOfPick, View: trajectory.EndOn}
	s.Marks.DistanceMM = take.Truth.MarkDistance
	s.Marks.Bass, s.Marks.Treble = trajectory.Mark{At: take.Truth.Bass[:2]}, trajectory.Mark{At: take.Truth.Treble[:2]}
	r, err := review.Run(&take.Recording, s, review.Options{})
	if err != nil {
		fmt.Println(err)
		return
	}
	same, err := progress.SameMotionInTake(r, progress.SameMotionOptions{})
	if err != nil {
		fmt.Println(err)
		return
	}
	for _, c := range same.Components {
		fmt.Printf("%s: %s\n", c.Name, c.Answer)
	}
	fmt.Println(same.Answer)
	// Output:
	// path angle: inside
	// stroke length: cannot say
	// cycle shape: inside
	// inside
}

// Six takes of one evening, two at each of three rates.
func ExampleSameMotionInTakes() {
	var takes []progress.Take
	for i, rate := range []float64{5, 5, 7, 7, 10, 10} {
		takes = append(takes, progress.Take{
			Player: "P01", Date: time.Date(2024, 3, 5, 19, i, 0, 0, time.UTC),
			Summary: summary(map[string]float64{"notes_per_second": rate, "picture_angle_deg": []float64{12, 12.6, 13.5, 14.1, 19.2, 18.4}[i]}),
		})
	}
	s, err := progress.SameMotionInTakes(takes, progress.SameMotionOptions{})
	if err != nil {
		fmt.Println(err)
		return
	}
	c, _ := s.Component("path angle")
	fmt.Printf("%.1f degrees (%.1f to %.1f)\n", c.Difference.Value, c.Difference.Low, c.Difference.High)
	fmt.Println(s.Sentence)
	// Output:
	// 6.5 degrees (3.6 to 9.4)
	// The motion is not the same at 5 and at 10 strokes a second: path angle differs by more than its margin.
}
