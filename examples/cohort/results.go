package main

import (
	"math"

	"github.com/plectrace/plectrace/examples/internal/measured"
	"github.com/plectrace/plectrace/motion/cohort"
	"github.com/plectrace/plectrace/variability/estimate"
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
	Predictor            string          `json:"predictor"`
	Outcome              string          `json:"outcome"`
	Primary              bool            `json:"primary"`
	Players              int             `json:"players"`
	Groups               int             `json:"groups"`
	Short                int             `json:"short"`
	Zeros                int             `json:"zeros"`
	Slope                estimated       `json:"slope"`
	Partial              estimated       `json:"partial"`
	Observed             estimated       `json:"observed"`
	Rank                 estimated       `json:"rank"`
	P                    measured.Number `json:"p"`
	Adjusted             measured.Number `json:"p_adjusted"`
	PredictorReliability estimated       `json:"predictor_reliability"`
	BaselineReliability  estimated       `json:"baseline_reliability"`
	LateReliability      estimated       `json:"late_reliability"`
	Margin               measured.Number `json:"margin"`
	Answer               string          `json:"answer"`
	Verdict              string          `json:"verdict"`
}

// estimated is a value with its interval, or null with the reason.
type estimated struct {
	Estimate measured.Number `json:"estimate"`
	Low      measured.Number `json:"low"`
	High     measured.Number `json:"high"`
	Level    measured.Number `json:"level"`
	Why      string          `json:"why,omitempty"`
}

func newEstimated(v estimate.Value[float64]) estimated {
	if !v.Known() {
		none := measured.Number(math.NaN())
		return estimated{none, none, none, none, measured.Why(v.Absent)}
	}
	return estimated{measured.Number(v.Value), measured.Number(v.Low), measured.Number(v.High), measured.Number(v.Level), ""}
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
			Slope: newEstimated(a.Slope), Partial: newEstimated(a.Partial), Observed: newEstimated(a.Observed), Rank: newEstimated(a.Rank),
			P: measured.Number(a.P), Adjusted: measured.Number(a.Adjusted),
			PredictorReliability: newEstimated(a.PredictorReliability), BaselineReliability: newEstimated(a.BaselineReliability), LateReliability: newEstimated(a.LateReliability),
			Margin: measured.Number(a.Margin), Answer: a.Answer.String(), Verdict: verdict(a),
		})
	}
	return r
}
