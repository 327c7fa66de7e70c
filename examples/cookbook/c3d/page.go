package main

import (
	"fmt"
	"slices"
	"strings"

	"github.com/plectrace/plectrace/examples/cookbook/internal/recipe"
	"github.com/plectrace/plectrace/examples/internal/measured"
	"github.com/plectrace/plectrace/examples/internal/notebook"
	"github.com/plectrace/plectrace/trajectory/tracks"
)

// others are what the file holds besides positions, by the names of their columns
// without the axis.
func (f *file) others() []string {
	names := []string{}
	for _, c := range f.layout.Columns {
		name := strings.TrimSuffix(strings.TrimSuffix(strings.TrimSuffix(c.Name, ".x"), ".y"), ".z")
		if c.Role == tracks.RoleOther && !slices.Contains(names, name) {
			names = append(names, name)
		}
	}
	return names
}

// facts tell what the file holds.
func (f *file) facts() []string {
	t := f.rec.T
	unit := f.rec.Unit
	if unit == "" {
		unit = "a unit that the file does not name"
	}
	list := []string{
		fmt.Sprintf("%s of %s in %s, %s a second, from %.3f to %.3f s.",
			measured.Upper(measured.Count(len(t), "frame")), measured.Count(len(f.rec.Points), "point"), unit, measured.Digits(f.layout.Rate, 4), t[0], t[len(t)-1]),
	}
	if f.invented {
		list = append(list, "The file is invented, and comes with the program: no real player was measured.")
	}
	if names := f.others(); len(names) > 0 {
		list = append(list, "No position, and left out: "+measured.Join(names)+".")
	}
	return list
}

// point is a row of the table.
type point struct {
	Name    string          `json:"name"`
	Missing int             `json:"samples_missing"`
	Share   measured.Number `json:"share_missing"`
	Gaps    int             `json:"gaps"`
	Longest measured.Number `json:"longest_gap_s"`
	At      measured.Number `json:"longest_gap_at_s"`
}

func (f *file) points() []point {
	var all []point
	for _, p := range f.rec.Points {
		g := p.Gaps()
		all = append(all, point{p.Name, g.Missing, measured.Number(g.Share()), g.Count, measured.Number(g.Longest), measured.Number(g.LongestStart)})
	}
	return all
}

// longest tells the longest gap of a point.
func (p point) longest() string {
	if p.Gaps == 0 {
		return "none"
	}
	return fmt.Sprintf("%s s from %.3f s", measured.Digits(float64(p.Longest), 2), float64(p.At))
}

func (f *file) words() string {
	var b strings.Builder
	b.WriteString(f.name + ":\n" + strings.Join(f.facts(), "\n") + "\n")
	for _, p := range f.points() {
		fmt.Fprintf(&b, "  %s: ", p.Name)
		if p.Gaps == 0 {
			b.WriteString("seen throughout\n")
			continue
		}
		fmt.Fprintf(&b, "%s in %s, the longest %s\n", measured.Percent(float64(p.Share))+" missing", measured.Count(p.Gaps, "gap"), p.longest())
	}
	return b.String()
}

// shown is how many points the figure shows.
const shown = 10

func (f *file) page() *notebook.Doc {
	d := recipe.NewPage("What a C3D file holds", f.name)
	d.Section("The file").Step(steps.Of(look, read), notebook.List{Items: f.facts()})
	t := notebook.Table{Caption: "The points, and where they were not seen.", Head: []string{"Point", "Missing", "Gaps", "Longest gap"}, Numeric: []bool{false, true, true, false}}
	for _, p := range f.points() {
		t.Rows = append(t.Rows, []string{p.Name, measured.Percent(float64(p.Share)), fmt.Sprint(p.Gaps), p.longest()})
	}
	s := d.Section("The points")
	s.Table(t)
	n := min(shown, len(f.rec.Points))
	caption := "A strip for each point, filled while it was seen."
	if n < len(f.rec.Points) {
		caption = fmt.Sprintf("A strip for each of the first %d points, filled while it was seen.", n)
	}
	s.Step(steps.Of(seen, gaps), notebook.Figure{Name: "gaps", Of: gaps(f.rec, n), Alt: "When each point was seen, as strips over time.", Caption: caption})
	s = d.Section("As text")
	s.Text("points.csv holds a column of times in seconds and three for each point.")
	s.Step(steps.Of(write), notebook.Code(f.sample()))
	return recipe.EndPage(d)
}

// sample is the beginning of the table.
func (f *file) sample() string {
	var b strings.Builder
	if err := write(&b, f.rec); err != nil {
		return err.Error()
	}
	lines := strings.SplitN(b.String(), "\n", 5)
	return strings.Join(lines[:min(4, len(lines))], "\n")
}

// json is the layout of -json.
func (f *file) json() any {
	t := f.rec.T
	return struct {
		Schema string          `json:"schema"`
		File   string          `json:"file"`
		Rate   measured.Number `json:"frames_per_second"`
		Frames int             `json:"frames"`
		From   measured.Number `json:"from_s"`
		To     measured.Number `json:"to_s"`
		Unit   string          `json:"unit"`
		Points []point         `json:"points"`
		Others []string        `json:"no_positions"`
	}{"plectrace/c3d/1", f.name, measured.Number(f.layout.Rate), len(t), measured.Number(t[0]), measured.Number(t[len(t)-1]), f.rec.Unit, f.points(), f.others()}
}
