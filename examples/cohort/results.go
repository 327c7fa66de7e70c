package main

import (
	"github.com/plectrace/plectrace/examples/internal/measured"
	"github.com/plectrace/plectrace/motion/cohort"
)

// results is what -json prints: the answers of a study, and what they rest on.
type results struct {
	Schema     string    `json:"schema"`
	Title      string    `json:"title,omitempty"`
	Plan       string    `json:"plan"` // its digest
	Players    int       `json:"players"`
	Flow       []step    `json:"flow"`
	Exclusions []leftOut `json:"exclusions"`
	Answers    []answer  `json:"answers"`
	Notes      []string  `json:"notes"`
}

type step struct {
	Rule string `json:"rule"`
	Why  string `json:"why"`
	Out  int    `json:"out"`
	Left int    `json:"left"`
}

type leftOut struct {
	Player    string `json:"player"`
	File      string `json:"file"`
	Rule      string `json:"rule"`
	Value     string `json:"value"`
	Threshold string `json:"threshold"`
}

type answer struct {
	Predictor            string            `json:"predictor"`
	Outcome              string            `json:"outcome"`
	Primary              bool              `json:"primary"`
	Players              int               `json:"players"`
	Groups               int               `json:"groups"`
	Short                int               `json:"short"`
	Zeros                int               `json:"zeros"`
	Slope                measured.Quantity `json:"slope"`
	Partial              measured.Quantity `json:"partial"`
	Observed             measured.Quantity `json:"observed"`
	Rank                 measured.Quantity `json:"rank"`
	P                    measured.Number   `json:"p"`
	Adjusted             measured.Number   `json:"p_adjusted"`
	PredictorReliability measured.Quantity `json:"predictor_reliability"`
	BaselineReliability  measured.Quantity `json:"baseline_reliability"`
	LateReliability      measured.Quantity `json:"late_reliability"`
	Margin               measured.Number   `json:"margin"`
	Answer               string            `json:"answer"`
	Verdict              string            `json:"verdict"`
}

func newResults(s *cohort.Study, associations []cohort.Association) results {
	plan := s.Plan()
	r := results{
		Schema: "plectrace/study/1", Title: plan.Title, Plan: plan.Digest(), Players: s.Players(),
		Exclusions: []leftOut{}, Notes: append([]string{}, s.Notes()...),
	}
	for _, f := range s.Flow() {
		r.Flow = append(r.Flow, step{f.Rule, f.Why, f.Out, f.Left})
	}
	for _, e := range s.Exclusions() {
		r.Exclusions = append(r.Exclusions, leftOut{e.Take.Player, e.Take.File, e.Rule, e.Value, e.Threshold})
	}
	for _, a := range associations {
		r.Answers = append(r.Answers, answer{
			Predictor: a.Predictor, Outcome: a.Outcome, Primary: a.Primary, Players: a.Players, Groups: a.Groups, Short: a.Short, Zeros: a.Zeros,
			Slope: measured.QuantityOf(a.Slope), Partial: measured.QuantityOf(a.Partial), Observed: measured.QuantityOf(a.Observed), Rank: measured.QuantityOf(a.Rank),
			P: measured.Number(a.P), Adjusted: measured.Number(a.Adjusted),
			PredictorReliability: measured.QuantityOf(a.PredictorReliability), BaselineReliability: measured.QuantityOf(a.BaselineReliability), LateReliability: measured.QuantityOf(a.LateReliability),
			Margin: measured.Number(a.Margin), Answer: a.Answer.String(), Verdict: verdict(a),
		})
	}
	return r
}
