package cohort_test

import (
	"fmt"
	"io"
	"io/fs"
	"math"
	"os"
	"strings"
	"time"

	"github.com/plectrace/plectrace/motion/cohort"
	"github.com/plectrace/plectrace/motion/progress"
	"github.com/plectrace/plectrace/motion/review"
	"github.com/plectrace/plectrace/variability/estimate"
)

// invented makes up what two measures of 60 players on 6 evenings might be:
// players whose strokes scatter more in time gain less.
func invented() []*cohort.Record {
	rng := estimate.Stream(7, "invented")
	var takes []*cohort.Record
	for p := range 60 {
		uneven, start, rest := rng.NormFloat64(), rng.NormFloat64(), rng.NormFloat64()
		for d := range 6 {
			value := func(name string, x float64) cohort.Row {
				return cohort.Row{Measure: name, Value: estimate.Value[float64]{Value: x, Low: math.NaN(), High: math.NaN(), N: 100}}
			}
			week := float64(d) / 5
			takes = append(takes, &cohort.Record{
				Take: progress.Take{Player: fmt.Sprintf("P%02d", p+1), Date: time.Date(2026, 1, 7+7*d, 0, 0, 0, 0, time.UTC), File: fmt.Sprintf("p%02d-%d.csv", p+1, d+1)},
				View: "end-on", Unit: "mm", Strokes: 150, PerStroke: 26, SampleHz: 240,
				Rows: []cohort.Row{
					value("duration_scatter_share", 0.08*math.Exp(0.4*uneven+0.1*rng.NormFloat64())),
					value("settled_share", 0.4+0.1*start+week*(0.25-0.1*uneven+0.08*rest)+0.03*rng.NormFloat64()),
				},
			})
		}
	}
	return takes
}

func ExampleStudy_Associations() {
	plan, err := cohort.ParsePlan(strings.NewReader(`{
		"primary": {"predictor": "duration_scatter_share", "outcome": "settled_share"},
		"windows": {"early": 2, "baseline": 2, "late": 2}
	}`))
	if err != nil {
		fmt.Println(err)
		return
	}
	study, err := cohort.NewStudy(plan, nil, nil)
	if err != nil {
		fmt.Println(err)
		return
	}
	for _, take := range invented() {
		study.Add(take)
	}
	for _, a := range study.Associations() {
		fmt.Printf("%d players: settled share changes by %.2f (%.2f to %.2f) for twice the scatter\n", a.Players, a.Slope.Value, a.Slope.Low, a.Slope.High)
		fmt.Printf("partial correlation %.1f, as measured %.1f\n", a.Partial.Value, a.Observed.Value)
		fmt.Printf("reliability of the predictor %.2f\n", a.PredictorReliability.Value)
	}
	// Output:
	// 60 players: settled share changes by -0.04 (-0.06 to -0.02) for twice the scatter
	// partial correlation -0.6, as measured -0.5
	// reliability of the predictor 0.99
}

func ExampleStudy_Groups() {
	study, err := cohort.NewStudy(cohort.Plan{}, nil, nil)
	if err != nil {
		fmt.Println(err)
		return
	}
	for _, take := range invented() {
		study.Add(take)
	}
	for _, g := range study.Groups() {
		if g.Centre.Known() {
			fmt.Printf("%s: %d players, median %.2g (%.2g to %.2g), ICC %.1f\n", g.Measure, g.Players, g.Centre.Value, g.Centre.Low, g.Centre.High, g.ICC.Value)
		}
	}
	// Output:
	// settled_share: 60 players, median 0.51 (0.48 to 0.56), ICC 0.4
	// duration_scatter_share: 60 players, median 0.086 (0.077 to 0.096), ICC 1.0
}

func ExampleStudy_Flow() {
	study, err := cohort.NewStudy(cohort.Plan{Exclusions: cohort.Exclusions{MinStrokes: 50}}, nil, nil)
	if err != nil {
		fmt.Println(err)
		return
	}
	takes := invented()[:5]
	takes[1].Strokes = 31
	takes[3].Comfort = progress.ComfortPain
	for _, take := range takes {
		study.Add(take)
	}
	for _, step := range study.Flow() {
		if step.Rule == "" || step.Out > 0 {
			fmt.Printf("%s: %d out, %d left\n", step.Why, step.Out, step.Left)
		}
	}
	for _, e := range study.Exclusions() {
		fmt.Println(e.Take.File, e.Rule, e.Value, e.Threshold)
	}
	// Output:
	// takes in the list: 0 out, 5 left
	// too few strokes: 1 out, 4 left
	// the player felt pain, or pain ended the take: 1 out, 3 left
	// p01-2.csv strokes 31 at least 50
	// p01-4.csv pain pain no pain
}

func ExampleMeasure() {
	open := func(name string) (io.ReadCloser, error) {
		if name == "a.csv" {
			return io.NopCloser(strings.NewReader("time_s,tip_x,tip_y\n0,640,655\n0.004,641,lost\n")), nil
		}
		return nil, fs.ErrNotExist
	}
	take := cohort.Measure(progress.Take{Player: "P01", File: "a.csv"}, open, cohort.Options{})
	fmt.Println(take.Failure.Code)
	fmt.Println(take.Failure.Why)
	// Output:
	// broken
	// there is no settings file a.take.json: write one, or name one for the takes that have none
}

func ExampleRowWriter() {
	rows, err := cohort.NewRowWriter(os.Stdout, nil, true)
	if err != nil {
		fmt.Println(err)
		return
	}
	take := invented()[0]
	take.Rows = []cohort.Row{{Measure: "carry", Value: estimate.Missing[float64]("no landmark", "carry", "no point of the arm was tracked")}}
	if err := rows.Write(take); err != nil {
		fmt.Println(err)
	}
	if err := rows.Flush(); err != nil {
		fmt.Println(err)
	}
	// Output:
	// P01,2026-01-07,,,p01-1.csv,,,,,end-on,carry,,,,,,,,no landmark,no point of the arm was tracked,0,150,0,240,26,mm,,,
}

func ExampleWriteCodebook() {
	var b strings.Builder
	if err := cohort.WriteCodebook(&b); err != nil {
		fmt.Println(err)
	}
	lines := strings.Split(b.String(), "\n")
	fmt.Println(lines[0])
	fmt.Println(lines[4])
	fmt.Println(len(lines)-2 == len(review.Measures()))
	// Output:
	// measure,title,unit,n_counts,better,scale,compares_within
	// settled_share,Share of the playing time that is settled,,stroke,more,share,any view
	// true
}

func ExamplePlan_Digest() {
	plan := cohort.Plan{Primary: cohort.Question{Predictor: "duration_scatter_share", Outcome: "settled_share"}}
	later := plan
	later.Windows.Late = 3
	fmt.Println(plan.Digest() == plan.WithDefaults().Digest(), plan.Digest() == later.Digest())
	// Output: true false
}

func ExampleStudy_Observations() {
	study, err := cohort.NewStudy(cohort.Plan{Windows: cohort.Windows{Early: 1, Baseline: 1, Late: 1}}, nil, nil)
	if err != nil {
		fmt.Println(err)
		return
	}
	known := func(name string, x float64) cohort.Row {
		return cohort.Row{Measure: name, Value: estimate.Value[float64]{Value: x, Low: math.NaN(), High: math.NaN(), N: 1}}
	}
	for evening, share := range []float64{0.2, 0.3, 0.5} {
		study.Add(&cohort.Record{
			Take:    progress.Take{Player: "P01", File: fmt.Sprintf("p01-%d.csv", evening+1), Date: time.Date(2026, 1, 5+7*evening, 19, 0, 0, 0, time.UTC)},
			Seconds: 20, Strokes: 150, SampleHz: 240, PerStroke: 30, Content: fmt.Sprint(evening),
			Rows: []cohort.Row{known("settled_share", share), known("duration_scatter_share", 0.1)},
		})
	}
	seen, err := study.Observations(cohort.Question{Predictor: "duration_scatter_share", Outcome: "settled_share"})
	if err != nil {
		fmt.Println(err)
		return
	}
	for _, o := range seen {
		fmt.Printf("%s: scatter %.2f early, settled %.2f at first and %.2f late\n", o.Player, math.Exp(o.Early), o.Baseline, o.Late)
	}
	// Output: P01: scatter 0.10 early, settled 0.30 at first and 0.50 late
}
