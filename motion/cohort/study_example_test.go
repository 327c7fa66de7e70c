package cohort_test

import (
	"fmt"
	"strings"

	"github.com/plectrace/plectrace/motion/cohort"
)

// What a program writes of a study: the plan in force, what there is to note, and the
// tables of answers.
func ExampleStudy_WriteAssociations() {
	study, err := cohort.NewStudy(cohort.Plan{
		Primary: cohort.Question{Predictor: "duration_scatter_share", Outcome: "settled_share"},
		Windows: cohort.Windows{Early: 2, Baseline: 2, Late: 2},
	}, nil, nil)
	if err != nil {
		fmt.Println(err)
		return
	}
	for _, take := range invented() {
		study.Add(take)
	}
	plan, err := study.Plan().JSON()
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Println(strings.Contains(string(plan), `"min_strokes": 24`), study.Notes())

	var answers, groups strings.Builder
	if err := study.WriteAssociations(&answers, study.Associations()); err != nil {
		fmt.Println(err)
	}
	if err := study.WriteGroups(&groups, study.Groups()); err != nil {
		fmt.Println(err)
	}
	for _, table := range []string{answers.String(), groups.String()} {
		header, _, _ := strings.Cut(table, "\n")
		fmt.Println(strings.Join(strings.Split(header, ",")[:4], " "))
	}
	// Output:
	// true []
	// predictor outcome kind what
	// measure players takes zeros
}
