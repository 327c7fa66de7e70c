package cohort_test

import (
	"math/rand/v2"
	"strings"
	"testing"

	"github.com/plectrace/plectrace/motion/cohort"
)

// answers are the tables of a study of these takes.
func answers(t *testing.T, takes []*cohort.Record) string {
	t.Helper()
	study, err := cohort.NewStudy(cohort.Plan{
		Primary: cohort.Question{Predictor: "duration_scatter_share", Outcome: "settled_share"},
		Windows: cohort.Windows{Early: 2, Baseline: 2, Late: 2},
	}, nil, nil)
	if err != nil {
		t.Fatal(err)
	}
	for _, take := range takes {
		study.Add(take)
	}
	var out strings.Builder
	if err := study.WriteAssociations(&out, study.Associations()); err != nil {
		t.Fatal(err)
	}
	if err := study.WriteGroups(&out, study.Groups()); err != nil {
		t.Fatal(err)
	}
	if strings.Count(out.String(), "\n") < 4 {
		t.Fatalf("hardly any answer: %s", out.String())
	}
	return out.String()
}

// TestOrderOfTheList: the order in which takes and players stand in a list changes
// nothing, to the last digit.
func TestOrderOfTheList(t *testing.T) {
	takes := invented()
	want := answers(t, takes)
	for seed := range uint64(3) {
		rand.New(rand.NewPCG(seed, 3)).Shuffle(len(takes), func(i, j int) { takes[i], takes[j] = takes[j], takes[i] })
		if got := answers(t, takes); got != want {
			t.Errorf("shuffled:\n%s\nwant\n%s", got, want)
		}
	}
}

// TestOtherNames: what players are called changes no number, also where it changes
// their alphabetical order.
func TestOtherNames(t *testing.T) {
	want := answers(t, invented())
	takes := invented()
	for _, take := range takes {
		name := []rune(take.Player)
		take.Player = "Z" + string(name[2]) + string(name[1])
		take.File = take.Player + take.File[3:]
	}
	if got := answers(t, takes); got != want {
		t.Errorf("other names:\n%s\nwant\n%s", got, want)
	}
}
