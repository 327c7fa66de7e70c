package main

import (
	"fmt"
	"slices"
	"strings"

	"github.com/plectrace/plectrace/examples/cookbook/internal/recipe"
	"github.com/plectrace/plectrace/examples/internal/measured"
	"github.com/plectrace/plectrace/examples/internal/notebook"
	"github.com/plectrace/plectrace/trajectory"
	"github.com/plectrace/plectrace/variability/robust"
)

// made is a recording before and after.
type made struct {
	settings
	invented      bool
	before, after *trajectory.Recording
	bridged       []trajectory.Edit
}

// point tells what became of a point.
type point struct {
	Name    string          `json:"name"`
	Seen    int             `json:"samples_seen"`
	Bridged int             `json:"gaps_bridged"`
	Filled  int             `json:"samples_bridged"`
	Empty   int             `json:"gaps_left_empty"`
	Missing int             `json:"samples_left_empty"`
	Longest measured.Number `json:"longest_left_empty_s"`
}

func (m *made) points() []point {
	var all []point
	for i, p := range m.before.Points {
		g, left := p.Gaps(), m.after.Points[i].Gaps()
		q := point{Name: p.Name, Seen: g.Samples - g.Missing, Empty: left.Count, Missing: left.Missing, Longest: measured.Number(left.Longest)}
		for _, e := range m.bridged {
			if e.Point == p.Name {
				q.Bridged++
				q.Filled += e.Samples()
			}
		}
		all = append(all, q)
	}
	return all
}

// rate is the samples per second made.
func (m *made) rate() float64 {
	t := m.after.T
	return float64(len(t)-1) / (t[len(t)-1] - t[0])
}

// span is how far apart the samples of the export are: least, usual and most, in ms.
func (m *made) span() (least, usual, most float64) {
	var ms []float64
	for i := 1; i < len(m.before.T); i++ {
		ms = append(ms, 1000*(m.before.T[i]-m.before.T[i-1]))
	}
	return slices.Min(ms), robust.Median(ms), slices.Max(ms)
}

// summary tells what was made of what.
func (m *made) summary() []string {
	least, usual, most := m.span()
	text := fmt.Sprintf("%s, %.2f to %.2f ms apart and %.2f as a rule, become %d that are %.2f ms apart: %s a second.",
		measured.Count(len(m.before.T), "sample"), least, most, usual, len(m.after.T), 1000/m.rate(), measured.Digits(m.rate(), 4))
	list := []string{text}
	if m.invented {
		list = append([]string{"The take is invented: no real player was measured."}, list...)
	}
	if slices.ContainsFunc(m.before.Points, func(p trajectory.Path) bool { return p.Confidence != nil }) {
		list = append(list, "Confidences are left out: those of bridged samples are not known.")
	}
	return list
}

func (m *made) words() string {
	var b strings.Builder
	for _, line := range m.summary() {
		b.WriteString(line + "\n")
	}
	for _, p := range m.points() {
		fmt.Fprintf(&b, "%s: %s (%s) bridged, %s (%s) left empty", p.Name, measured.Count(p.Bridged, "gap"), measured.Count(p.Filled, "sample"), measured.Count(p.Empty, "gap"), measured.Count(p.Missing, "sample"))
		if p.Empty > 0 {
			fmt.Fprintf(&b, ", the longest of %s s", measured.Digits(float64(p.Longest), 2))
		}
		b.WriteString(".\n")
	}
	return b.String()
}

// page shows the first point before and after.
func (m *made) page() *notebook.Doc {
	d := recipe.NewPage("A recording on even times", fmt.Sprintf("Made of %s", m.before.Source))
	s := d.Section("What was made")
	s.Step(steps.Of(read, evenly, write), m.table())
	s.List(m.summary()...)
	s.Text("A gap that is bridged holds the curve through its neighbours. One that is left empty holds nothing: what was not seen there, nobody knows.")
	s = d.Section("The point " + m.before.Points[0].Name)
	p, q, _ := m.stretch(1000)
	s.Step(steps.Of(between, apart, spacing), notebook.Figure{
		Name: "spacing", Of: spacing(p, q),
		Alt:     "Times from each seen sample to the one before: scattered as recorded, on one level where even.",
		Caption: "Each mark is a sample: how long after the one before that was seen. Those far up come after a gap.",
	})
	p, q, caption := m.stretch(40)
	s.Step(steps.Of(closely), notebook.Figure{
		Name: "closely", Of: closely(p, q, m.before.Unit),
		Alt: "A stretch of the path, sample by sample, as recorded and on even times.", Caption: caption,
	})
	return recipe.EndPage(d)
}

// stretch is about so many samples of the first point, before and after, about its
// longest gap.
func (m *made) stretch(samples float64) (before, after trajectory.Path, caption string) {
	before, after = m.before.Points[0], m.after.Points[0]
	at, caption := after.T[0], "The beginning of the path: no gap is left in it."
	if g := after.Gaps(); g.Missing > 0 {
		at = g.LongestStart + g.Longest/2
		caption = fmt.Sprintf("The path about %.1f s, where its longest gap stays.", at)
	}
	half := samples / 2 / m.rate()
	from := max(after.T[0], at-half)
	return between(before, from, from+2*half), between(after, from, from+2*half), caption
}

func (m *made) table() notebook.Table {
	t := notebook.Table{
		Caption: "Samples seen, and gaps; in brackets the samples on even times that lie in them.",
		Head:    []string{"Point", "Seen", "Bridged", "Left empty"},
		Numeric: []bool{false, true, true, true},
	}
	for _, p := range m.points() {
		t.Rows = append(t.Rows, []string{p.Name, fmt.Sprint(p.Seen), fmt.Sprintf("%d (%d)", p.Bridged, p.Filled), fmt.Sprintf("%d (%d)", p.Empty, p.Missing)})
	}
	return t
}

// json is the layout of -json.
func (m *made) json() any {
	least, usual, most := m.span()
	return struct {
		Schema string             `json:"schema"`
		File   string             `json:"file"`
		Before int                `json:"samples_before"`
		After  int                `json:"samples_after"`
		Rate   measured.Number    `json:"samples_per_second"`
		Apart  [3]measured.Number `json:"apart_before_ms"`
		Points []point            `json:"points"`
	}{
		"plectrace/resample/1", m.before.Source, len(m.before.T), len(m.after.T), measured.Number(m.rate()),
		[3]measured.Number{measured.Number(least), measured.Number(usual), measured.Number(most)}, m.points(),
	}
}
