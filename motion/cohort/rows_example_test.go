package cohort_test

import (
	"bytes"
	"fmt"
	"io"
	"os"
	"strings"

	"github.com/plectrace/plectrace/motion/cohort"
)

// Rows that were written on several machines are read back, take by take, into one
// study.
func ExampleRowReader() {
	var rows bytes.Buffer
	w, err := cohort.NewRowWriter(&rows, nil, false)
	if err != nil {
		fmt.Println(err)
		return
	}
	for _, take := range invented() {
		if err := w.Write(take); err != nil {
			fmt.Println(err)
			return
		}
	}
	if err := w.Flush(); err != nil {
		fmt.Println(err)
		return
	}
	in, err := cohort.NewRowReader(&rows, "rows.csv")
	if err != nil {
		fmt.Println(err)
		return
	}
	study, err := cohort.NewStudy(cohort.Plan{}, in.Columns, nil)
	if err != nil {
		fmt.Println(err)
		return
	}
	takes := 0
	for {
		take, err := in.Read()
		if err == io.EOF {
			break
		}
		if err != nil {
			fmt.Println(err)
			return
		}
		study.Add(take)
		takes++
	}
	fmt.Println(takes, "takes of", study.Players(), "players")
	// Output: 360 takes of 60 players
}

// The rules of the plan, with one of one's own before them.
func ExampleExclusions_Rules() {
	first := cohort.Rule{
		Name: "first evening", Why: "the first evening is left out, on which the camera was new to all",
		Test: func(r *cohort.Record) (bool, string, string) {
			date := r.Date.Format("2006-01-02")
			return date == "2026-01-07", date, "a later evening"
		},
	}
	rules := append([]cohort.Rule{first}, cohort.Exclusions{MinStrokes: 50}.Rules()...)
	study, err := cohort.NewStudy(cohort.Plan{}, nil, rules)
	if err != nil {
		fmt.Println(err)
		return
	}
	for _, take := range invented()[:3] {
		fmt.Println(take.File, study.Add(take))
	}
	// Output:
	// p01-1.csv false
	// p01-2.csv true
	// p01-3.csv true
}

func ExampleParsePlan() {
	_, err := cohort.ParsePlan(strings.NewReader(`{"primary": {"predictor": "path_angle_deg", "outcome": "settled_share"}}`))
	fmt.Println(err)
	// Output: path_angle_deg is the angle of a line, which has no more and less: ask about its scatter
}

func ExampleDefaultQuestions() {
	for _, q := range cohort.DefaultQuestions() {
		fmt.Println(q.Predictor, "->", q.Outcome)
	}
	// Output:
	// duration_scatter_share -> settled_share
	// path_angle_scatter_deg -> settled_share
	// duration_scatter_share -> settled_notes_per_second
	// path_angle_scatter_deg -> settled_notes_per_second
}

func ExampleStudy_WriteExclusions() {
	study, err := cohort.NewStudy(cohort.Plan{}, nil, nil)
	if err != nil {
		fmt.Println(err)
		return
	}
	take := invented()[0]
	take.Strokes = 12
	study.Add(take)
	if err := study.WriteExclusions(os.Stdout); err != nil {
		fmt.Println(err)
	}
	// Output:
	// player,date,session,take,file,rule,value,threshold
	// P01,2026-01-07,,,p01-1.csv,strokes,12,at least 24
}
