package main

import (
	"fmt"
	"io"
	"strings"

	"github.com/plectrace/plectrace/examples/cookbook/internal/recipe"
	"github.com/plectrace/plectrace/examples/internal/measured"
	"github.com/plectrace/plectrace/examples/internal/notebook"
	"github.com/plectrace/plectrace/variability"
	"github.com/plectrace/plectrace/variability/estimate"
)

// quantity is a row of the table.
type quantity struct {
	key, title string
	of         estimate.Value[float64]
}

func (f *found) quantities() []quantity {
	c := f.change
	return []quantity{
		{"difference", "Mean, late less early", c.Difference},
		{"difference_drawn", fmt.Sprintf("The same, drawn again in blocks of %d", f.block), f.drawn},
		{"difference_trimmed", "Mean without the outer fifths, late less early", c.Trimmed},
		{"effect_size", "Difference in units of the scatter (Hedges' g)", c.G},
		{"dominance", "Late above early less below, of all pairs (Cliff's delta)", c.Delta},
		{"scatter_ratio", "Scatter, late by early", c.Ratio},
		{"scatter_ratio_robust", "Scatter without wild values, late by early", c.RobustRatio},
	}
}

// part names a window.
func (f *found) part(w variability.Window) string {
	unit := "line %.0f to %.0f"
	if f.timed {
		unit = "%.1f to %.1f s"
	}
	return fmt.Sprintf(unit, w.From, w.To) + ", " + measured.Count(w.N, map[bool]string{false: "value", true: "cycle"}[f.alternate])
}

// answers tell in sentences what was found.
func (f *found) answers() []string {
	c := f.change
	list := []string{fmt.Sprintf("Early is %s; late is %s.", f.part(c.Early), f.part(c.Late))}
	if f.invented {
		list = append(list, "The take is invented: no real player was measured.")
	}
	if !c.Difference.Known() {
		return append(list, "The parts cannot be compared: "+measured.Why(c.Difference.Absent)+".")
	}
	d := measured.Decimals(c.Difference) + 1
	list = append(list, fmt.Sprintf("The mean goes from %s to %s, by %s.", measured.Fixed(c.Early.Mean, d), measured.Fixed(c.Late.Mean, d), measured.SignedAt(c.Difference, d, "")))
	if c.Ratio.Known() {
		list = append(list, fmt.Sprintf("The scatter goes from %s to %s: %s times as much.", measured.Digits(c.Early.SD, 3), measured.Digits(c.Late.SD, 3), measured.Value(c.Ratio)))
	}
	if c.Warning != "" {
		list = append(list, "Take care: "+c.Warning)
	}
	return append(list, "In brackets are intervals at 95 %. They say what these two parts tell; another take may differ by more.")
}

func (f *found) words() string {
	return f.column + " of " + f.file + ":\n" + strings.Join(f.answers(), "\n") + "\n"
}

// page shows both parts.
func (f *found) page() *notebook.Doc {
	d := recipe.NewPage("Early against late", fmt.Sprintf("Column %s of %s", f.column, f.file))
	s := d.Section("The answer")
	t := notebook.Table{Caption: "What differs, with intervals at 95 %.", Head: []string{"What", "Estimate", "Interval"}, Numeric: []bool{false, true, true}}
	var reasons measured.Reasons
	for _, q := range f.quantities() {
		if !q.of.Known() {
			if f.change.Difference.Known() { // else the answer says it
				reasons.Add(measured.Why(q.of.Absent), measured.Lower(q.title))
			}
			continue
		}
		n := measured.Decimals(q.of)
		t.Rows = append(t.Rows, []string{q.title, measured.Fixed(q.of.Value, n), measured.Range(q.of, n)})
	}
	listing := steps.Of(compare)
	if f.alternate {
		listing = steps.Of(cycles, compare)
	}
	s.Step(listing, notebook.List{Items: f.answers()})
	if len(t.Rows) > 0 {
		s.Step(steps.Of(within, drawn, meanOf), t)
		s.Text("The two intervals of the mean are two roads to one thing. That from blocks comes out too narrow where the parts are short and neighbours much alike: go by the first.")
	}
	s.List(reasons.Sentences()...)
	s = d.Section("The values")
	s.Step(steps.Of(beside), notebook.Figure{
		Name: "early-late", Of: beside(f.column, f.early, f.late),
		Alt:     "The values of the early and of the late part, each as dots with a box.",
		Caption: "Each dot is a line of the table, or the mean of two that alternate; the box holds the middle half, the line in it is the median.",
	})
	return recipe.EndPage(d)
}

func (f *found) csv(w io.Writer) error {
	t := measured.NewTable(w, "what", "estimate", "low", "high", "why")
	for _, q := range f.quantities() {
		why := ""
		if !q.of.Known() {
			why = measured.Why(q.of.Absent)
		}
		t.Line(append(append([]any{q.key}, measured.Cells(q.of)...), why)...)
	}
	return t.Flush()
}

// window is a part in JSON.
type window struct {
	From measured.Number `json:"from"`
	To   measured.Number `json:"to"`
	N    int             `json:"n"`
	Mean measured.Number `json:"mean"`
	SD   measured.Number `json:"sd"`
}

func newWindow(w variability.Window) window {
	return window{measured.Number(w.From), measured.Number(w.To), w.N, measured.Number(w.Mean), measured.Number(w.SD)}
}

// json is the layout of -json.
func (f *found) json() any {
	all := map[string]measured.Quantity{}
	for _, q := range f.quantities() {
		all[q.key] = measured.QuantityOf(q.of)
	}
	return struct {
		Schema     string                       `json:"schema"`
		File       string                       `json:"file"`
		Column     string                       `json:"column"`
		Early      window                       `json:"early"`
		Late       window                       `json:"late"`
		Quantities map[string]measured.Quantity `json:"quantities"`
		Block      int                          `json:"block"`
		Warning    string                       `json:"warning"`
	}{"plectrace/earlylate/1", f.file, f.column, newWindow(f.change.Early), newWindow(f.change.Late), all, f.block, f.change.Warning}
}
