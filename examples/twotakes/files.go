package main

import (
	"io"
	"math"
	"time"

	"github.com/plectrace/plectrace/examples/internal/cli"
	"github.com/plectrace/plectrace/examples/internal/measured"
	"github.com/plectrace/plectrace/motion/progress"
	"github.com/plectrace/plectrace/motion/review"
	"github.com/plectrace/plectrace/variability/estimate"
)

// Files of the folder.
const (
	pageFile  = "page.html"
	tableFile = "comparison.csv"
	jsonFile  = "comparison.json"
)

// outputNames are all that the folder may hold.
var outputNames = []string{pageFile, tableFile, jsonFile, cli.NotebookName}

// write writes the folder, and returns the names of its files.
func (j *job) write(dir string, f *flags) ([]string, error) {
	d := j.page()
	outputs := []cli.Output{{Name: pageFile, Write: d.HTML}, {Name: tableFile, Write: j.table}, {Name: jsonFile, Write: j.json}}
	if f.Notebook {
		outputs = append(outputs, cli.Output{Name: cli.NotebookName, Write: d.Jupyter})
	}
	files, err := cli.Files(outputs)
	if err != nil {
		return nil, err
	}
	return cli.Names(outputs), cli.WriteFolder(dir, files, f.Force, outputNames...)
}

// scaleNames are the scales as files have them.
var scaleNames = map[review.Scale]string{review.Difference: "difference", review.Ratio: "ratio", review.Share: "share", review.Axis: "axis"}

// table writes one line for each measure. Changes are on the measure's scale: of a
// ratio the natural logarithm of the factor. verdict allows for the number of measures
// looked at, verdict_alone is that of the measure by itself.
func (j *job) table(out io.Writer) error {
	w := measured.NewTable(out, "measure", "title", "unit", "scale", "primary", "first", "first_low", "first_high", "second", "second_low", "second_high",
		"change", "change_low", "change_high", "player_low", "player_high", "smallest_change", "p", "p_adjusted", "verdict", "verdict_alone", "margin", "margin_answer", "absent", "why")
	for _, ch := range j.comparison.Changes {
		absent, why, verdict, alone := "", "", ch.Beyond.String(), ch.Alone.String()
		if a := ch.Change.Absent; a != nil {
			absent, why, verdict, alone = a.Code, a.Why, "", ""
		}
		margin, answer := math.NaN(), ""
		if ch.Margin > 0 {
			margin, answer = ch.Margin, ch.Answer.String()
		}
		row := []any{ch.Name, ch.Title, ch.Unit, scaleNames[ch.Scale], ch.Primary}
		for _, v := range []estimate.Value[float64]{ch.First, ch.Second, ch.Change} {
			row = append(row, measured.Cells(v)...)
		}
		row = append(row, measured.Cells(ch.Player)[1:]...) // its value is the change
		w.Line(append(row, measured.Cells(ch.Smallest)[0], ch.P, ch.Adjusted, verdict, alone, margin, answer, absent, why)...)
	}
	return w.Flush()
}

// schema is that of comparison.json. Keys are only ever added.
const schema = "plectrace/comparison/1"

// value is a quantity with the code of its absence, where it has one.
type value struct {
	measured.Quantity
	Absent *estimate.Absence `json:"absent,omitempty"`
}

func valueOf(v estimate.Value[float64]) value { return value{measured.QuantityOf(v), v.Absent} }

type side struct {
	File    string   `json:"file"`
	Player  string   `json:"player,omitempty"`
	Date    string   `json:"date,omitempty"`
	Take    string   `json:"take,omitempty"`
	Setup   string   `json:"setup,omitempty"`
	View    string   `json:"view"`
	Unit    string   `json:"length_unit"`
	Seconds float64  `json:"seconds"`
	Strokes int      `json:"strokes"`
	Flags   []string `json:"flags,omitempty"`
	Comfort string   `json:"comfort,omitempty"`
	Version string   `json:"version"`
	Options string   `json:"options"`
}

func sideOf(file string, t progress.Take) side {
	s := t.Summary
	out := side{File: file, Player: t.Player, Take: t.Take, Setup: s.Setup, View: s.View.String(), Unit: s.Unit, Seconds: math.Round(1000*s.Seconds) / 1000,
		Strokes: s.Strokes, Flags: s.Flags, Comfort: t.Comfort.String(), Version: s.Version, Options: s.Digest}
	if !t.Date.IsZero() {
		out.Date = t.Date.Format(time.DateOnly)
	}
	return out
}

type change struct {
	Measure  string          `json:"measure"`
	Title    string          `json:"title"`
	Unit     string          `json:"unit"`
	Scale    string          `json:"scale"`
	Primary  bool            `json:"primary"`
	First    value           `json:"first"`
	Second   value           `json:"second"`
	Change   value           `json:"change"`
	Player   value           `json:"player_change"`
	Smallest value           `json:"smallest_change"`
	P        measured.Number `json:"p"`
	Adjusted measured.Number `json:"p_adjusted"`
	Verdict  string          `json:"verdict"`
	Margin   float64         `json:"margin,omitempty"`
	Answer   string          `json:"margin_answer,omitempty"`
	Text     string          `json:"text"`
}

// results are what comparison.json holds, and what -json prints.
type results struct {
	Schema      string   `json:"schema"`
	First       side     `json:"first"`
	Second      side     `json:"second"`
	Days        bool     `json:"two_days"`
	RepeatTakes int      `json:"repeat_takes"`
	RepeatDays  int      `json:"repeat_days"`
	Warnings    []string `json:"warnings"`
	Notes       []string `json:"notes"`
	Compared    int      `json:"compared"`
	Changes     []change `json:"changes"`
}

// results gathers what was found.
func (j *job) results() results {
	c := j.comparison
	out := results{Schema: schema, First: sideOf(j.names[0], c.First[0]), Second: sideOf(j.names[1], c.Second[0]), Days: c.Days,
		Warnings: append([]string{}, c.Warnings...), Notes: c.Notes, Compared: c.Compared}
	if r := j.repeated; r != nil {
		out.RepeatTakes, out.RepeatDays = r.Takes, r.Days
	}
	for _, ch := range c.Changes {
		m := change{Measure: ch.Name, Title: ch.Title, Unit: ch.Unit, Scale: scaleNames[ch.Scale], Primary: ch.Primary,
			First: valueOf(ch.First), Second: valueOf(ch.Second), Change: valueOf(ch.Change), Player: valueOf(ch.Player), Smallest: valueOf(ch.Smallest),
			P: measured.Number(ch.P), Adjusted: measured.Number(ch.Adjusted), Verdict: ch.Beyond.String(), Text: ch.Text}
		if ch.Margin > 0 {
			m.Margin, m.Answer = ch.Margin, ch.Answer.String()
		}
		out.Changes = append(out.Changes, m)
	}
	return out
}

// json writes the comparison.
func (j *job) json(w io.Writer) error { return cli.WriteJSON(w, j.results()) }
