package main

import (
	"github.com/plectrace/plectrace/examples/internal/cli"
	"github.com/plectrace/plectrace/examples/internal/measured"
)

// results is what -json prints: what was made, and what a review finds of it.
type results struct {
	Schema string   `json:"schema"`
	Takes  []result `json:"takes"`
}

type result struct {
	Name         string          `json:"name"`
	Seed         uint64          `json:"seed"`
	Seconds      measured.Number `json:"seconds"`
	FrameRate    measured.Number `json:"frames_per_second"`
	View         string          `json:"view"`
	Strokes      int             `json:"strokes"`
	RateNPS      measured.Number `json:"rate_nps"`
	SettledNPS   measured.Number `json:"settled_rate_nps"`
	SettledShare measured.Number `json:"settled_share"`
	PathAngle    measured.Number `json:"path_angle_deg"`
	Clearing     string          `json:"clearing"`
	// Review is null where NotReviewed says why.
	Review      *outcome `json:"review"`
	NotReviewed string   `json:"not_reviewed,omitempty"`
}

// outcome holds a review against the truth.
type outcome struct {
	Found     int             `json:"strokes_found"`
	Missed    int             `json:"strokes_missed"`
	Extra     int             `json:"strokes_not_made"`
	TurnError measured.Number `json:"turn_error_s"`
	Overlap   measured.Number `json:"settled_overlap"`
	Clearing  string          `json:"clearing"`
	Questions []string        `json:"questions"`
	Measures  []quantity      `json:"measures"`
}

// quantity is a measure beside what was made.
type quantity struct {
	Measure string          `json:"measure"`
	Made    measured.Number `json:"made"`
	measured.Quantity
}

func newResults(all []*made) results {
	r := results{Schema: "plectrace/simulate/1"}
	for _, m := range all {
		r.Takes = append(r.Takes, newResult(m))
	}
	return r
}

func newResult(m *made) result {
	o, tr := m.take.Options, m.take.Truth
	r := result{
		Name: m.name, Seed: o.Seed, Seconds: measured.Number(o.Duration), FrameRate: measured.Number(o.FrameRate), View: o.View.String(),
		Strokes: len(tr.Strokes), RateNPS: measured.Number(tr.Rate), SettledNPS: measured.Number(tr.SettledRate), SettledShare: measured.Number(tr.SettledShare),
		PathAngle: measured.Number(tr.PathAngle.Degrees()), Clearing: tr.Clearing,
	}
	if m.failure != nil {
		r.NotReviewed = cli.Input(m.failure, "").Error()
		return r
	}
	v := &outcome{
		TurnError: measured.Number(m.turnError()), Overlap: measured.Number(m.settled()),
		Clearing: m.review.Clearing.Clearing.String(), Questions: append([]string{}, m.review.Questions...),
	}
	v.Found, v.Missed, v.Extra = m.counts()
	for _, c := range m.checks {
		v.Measures = append(v.Measures, quantity{c.Measure, measured.Number(c.Made), measured.QuantityOf(c.Found)})
	}
	r.Review = v
	return r
}
