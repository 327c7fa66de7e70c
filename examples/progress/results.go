package main

import (
	"io"
	"time"

	"github.com/plectrace/plectrace/examples/internal/cli"
	"github.com/plectrace/plectrace/examples/internal/measured"
	"github.com/plectrace/plectrace/motion/advice"
	"github.com/plectrace/plectrace/motion/progress"
	"github.com/plectrace/plectrace/motion/review"
	"github.com/plectrace/plectrace/variability/estimate"
)

// schema is that of progress.json. Keys are only ever added.
const schema = "plectrace/progress/1"

// results are what progress.json holds, and what -json prints.
type results struct {
	Schema  string         `json:"schema"`
	Takes   int            `json:"takes"`
	LeftOut []leftOut      `json:"left_out"`
	Notes   []string       `json:"notes"`
	Players []playerResult `json:"players"`
}

type leftOut struct {
	File string `json:"file"`
	Why  string `json:"why"`
}

type playerResult struct {
	Player string `json:"player"`
	// Stop comes first: pain was noted, and no later day as good.
	Stop    []string      `json:"stop,omitempty"`
	Takes   int           `json:"takes"`
	Asked   int           `json:"takes_at_a_pace_asked_for"`
	Days    int           `json:"days"`
	First   string        `json:"first,omitempty"`
	Last    string        `json:"last,omitempty"`
	Pain    []string      `json:"pain_noted"`
	Notes   []string      `json:"notes"`
	LeftOut []string      `json:"left_out"`
	Holds   string        `json:"holds,omitempty"`
	Work    []string      `json:"work,omitempty"`
	Weeks   []weekResult  `json:"weeks"`
	Orders  []orderResult `json:"orders"`
	// SameMotion is over takes of a day, Ramp within the latest take whose rate
	// changes.
	SameMotion *sameResult    `json:"same_motion"`
	Ramp       *sameResult    `json:"same_motion_in_take,omitempty"`
	Series     []seriesResult `json:"series"`
}

type weekResult struct {
	Monday       string            `json:"monday"`
	Takes        int               `json:"takes"`
	Days         int               `json:"days"`
	Pain         int               `json:"pain_noted"`
	Minutes      measured.Number   `json:"minutes"`
	SettledShare measured.Quantity `json:"settled_share"`
	SettledRate  measured.Quantity `json:"settled_notes_per_second"`
	Longest      measured.Number   `json:"longest_settled_s"`
}

type orderResult struct {
	Rate     string            `json:"rate"`
	Scatter  string            `json:"scatter"`
	Order    string            `json:"order"`
	Ahead    measured.Quantity `json:"rate_ahead_days"`
	Sentence string            `json:"sentence"`
}

type sameResult struct {
	Slow     measured.Number `json:"slow_notes_per_second"`
	Fast     measured.Number `json:"fast_notes_per_second"`
	Answer   string          `json:"answer"`
	Sentence string          `json:"sentence"`
}

// seriesResult is a measure over days. Its changes are in its unit, or, where
// Relative, shares of the value.
type seriesResult struct {
	Measure  string             `json:"measure"`
	Title    string             `json:"title"`
	Unit     string             `json:"unit"`
	Relative bool               `json:"relative"`
	Setup    string             `json:"setup,omitempty"`
	Primary  bool               `json:"primary"`
	Takes    int                `json:"takes"`
	Days     []dayResult        `json:"days"`
	PerWeek  measured.Quantity  `json:"per_week"`
	Change   measured.Quantity  `json:"change"`
	P        measured.Number    `json:"p"`
	Adjusted measured.Number    `json:"p_adjusted"`
	Curve    string             `json:"curve,omitempty"`
	Level    *measured.Quantity `json:"level"` // null without a curve
	Text     string             `json:"text"`
	Absent   *estimate.Absence  `json:"absent,omitempty"`
}

type dayResult struct {
	Date  string          `json:"date"`
	Value measured.Number `json:"value"`
	Takes int             `json:"takes"`
}

// results gathers what was found.
func (j *job) results() results {
	out := results{Schema: schema, Takes: len(j.takes), LeftOut: []leftOut{}, Notes: append([]string{}, j.roster.Notes...)}
	for _, t := range j.takes {
		if f := t.record.Failure; f != nil {
			out.LeftOut = append(out.LeftOut, leftOut{t.File, f.Why})
		}
	}
	for i := range j.players {
		out.Players = append(out.Players, resultOf(&j.players[i]))
	}
	return out
}

func resultOf(p *player) playerResult {
	out := playerResult{
		Player: p.Player, Stop: p.advice.Stop, Takes: p.Takes, Asked: p.asked, Days: p.Days, First: dateOf(p.First), Last: dateOf(p.Last),
		Pain: []string{}, Notes: append([]string{}, p.Notes...), LeftOut: append([]string{}, p.LeftOut...), Work: texts(p.advice.Work),
		Weeks: []weekResult{}, Orders: []orderResult{}, Series: []seriesResult{},
		SameMotion: sameOf(&p.same),
	}
	if p.ramp != nil {
		out.Ramp = sameOf(p.ramp.ramp)
	}
	if h := p.advice.Holds; h != nil {
		out.Holds = h.Text
	}
	for _, d := range p.pain {
		out.Pain = append(out.Pain, dateOf(d))
	}
	for _, w := range p.Weeks {
		out.Weeks = append(out.Weeks, weekResult{dateOf(w.Monday), w.Takes, w.Days, w.Pain, measured.Number(w.Minutes),
			measured.QuantityOf(w.SettledShare), measured.QuantityOf(w.SettledRate), measured.Number(w.Longest)})
	}
	for _, o := range p.Orders {
		out.Orders = append(out.Orders, orderResult{o.Rate, o.Scatter, o.Order.String(), measured.QuantityOf(o.Ahead), o.Sentence})
	}
	for _, s := range p.Series {
		out.Series = append(out.Series, seriesOf(s))
	}
	return out
}

func sameOf(s *progress.SameMotion) *sameResult {
	return &sameResult{measured.Number(s.Slow), measured.Number(s.Fast), s.Answer.String(), s.Sentence}
}

func seriesOf(s progress.Series) seriesResult {
	out := seriesResult{
		Measure: s.Name, Title: s.Title, Unit: s.Unit, Relative: s.Scale == review.Ratio, Setup: s.Setup, Primary: s.Primary, Takes: s.Takes, Days: []dayResult{},
		PerWeek: measured.QuantityOf(s.PerWeek), Change: measured.QuantityOf(s.Change), P: measured.Number(s.Trend.P), Adjusted: measured.Number(s.Adjusted),
		Text: s.Text, Absent: s.Trend.Absent,
	}
	for _, d := range s.Days {
		out.Days = append(out.Days, dayResult{dateOf(d.Date), measured.Number(d.Value), d.Takes})
	}
	if s.Curve != nil {
		level := measured.QuantityOf(s.Curve.Plateau)
		out.Curve, out.Level = s.Curve.Verdict.String(), &level
	}
	return out
}

func texts(items []advice.Item) []string {
	var out []string
	for _, w := range items {
		out = append(out, w.Text)
	}
	return out
}

// dateOf is a day, "" where it is not known.
func dateOf(t time.Time) string {
	if t.IsZero() {
		return ""
	}
	return t.Format(time.DateOnly)
}

// json writes the results.
func (j *job) json(w io.Writer) error {
	return cli.WriteJSON(w, j.results())
}
