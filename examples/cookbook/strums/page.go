package main

import (
	"fmt"
	"io"
	"slices"
	"strings"

	"github.com/plectrace/plectrace/examples/cookbook/internal/recipe"
	"github.com/plectrace/plectrace/examples/internal/measured"
	"github.com/plectrace/plectrace/examples/internal/notebook"
	"github.com/plectrace/plectrace/motion"
)

// count is how many strums go that way, by the program.
func (f *found) count(way motion.Direction) int {
	n := 0
	for _, d := range f.ways {
		if d == way {
			n++
		}
	}
	return n
}

// agree is how many directions are those of the list, of how many that it says.
func (f *found) agree() (same, said int) {
	for i, d := range f.said {
		if d != motion.DirectionUnknown {
			said++
			if d == f.ways[i] {
				same++
			}
		}
	}
	return same, said
}

// answers tell what was found.
func (f *found) answers() []string {
	list := []string{fmt.Sprintf("%s: %s and %s.", measured.Count(len(f.ways), "strum"), measured.Count(f.count(motion.Down), "downstroke"), measured.Count(f.count(motion.Up), "upstroke"))}
	if f.invented {
		list = append(list, "The hand is a beginner's in an invented evening class, sampled 19 times a second. No real player was measured.")
	}
	if n := f.count(motion.DirectionUnknown); n > 0 {
		list = append(list, fmt.Sprintf("Of %s the way cannot be told: the hand rests then, or was not measured.", measured.Count(n, "strum")))
	}
	if same, said := f.agree(); said > 0 {
		list = append(list, fmt.Sprintf("%d of %d directions are those of the list (%.1f %%).", same, said, 100*float64(same)/float64(said)))
	}
	return list
}

func (f *found) words() string { return strings.Join(f.answers(), "\n") + "\n" }

// shown is how many strums the page shows.
const shown = 12

func (f *found) page() *notebook.Doc {
	d := recipe.NewPage("Which way the hand was going", fmt.Sprintf("Channel %s, times %s", f.names[0], f.names[1]))
	d.Section("The strums").Step(steps.Of(channelPath, strokes, directions), notebook.List{Items: f.answers()})
	n := min(shown, len(f.times))
	t := notebook.Table{Caption: fmt.Sprintf("The first %d strums; directions.csv holds all.", n), Head: []string{"Time, s", "Direction"}, Numeric: []bool{true, false}}
	if _, said := f.agree(); said > 0 {
		t.Head = append(t.Head, "By the list")
	}
	for i := range n {
		row := []string{fmt.Sprintf("%.3f", f.times[i]), told(f.ways[i], "not known"), told(f.said[i], "not said")}
		t.Rows = append(t.Rows, row[:len(t.Head)])
	}
	s := d.Section("On the channel")
	from := slices.Min(f.times)
	to := max(slices.Sorted(slices.Values(f.times))[n-1], from+1) + 0.5
	s.Step(steps.Of(drawn), notebook.Figure{
		Name: "strums", Of: drawn(f.path, f.times, f.ways, from-0.5, to),
		Alt:     "The channel over time as a line, with the downstrokes and the upstrokes marked on it.",
		Caption: "The first strums on the channel, by the program.",
	})
	s.Table(t)
	return recipe.EndPage(d)
}

// told is a direction in a table.
func told(d motion.Direction, none string) string {
	if d == motion.DirectionUnknown {
		return none
	}
	return d.String()
}

// csv writes the directions, with those of the list where it says any.
func (f *found) csv(w io.Writer) error {
	_, said := f.agree()
	head := []string{"time_s", "direction"}
	if said > 0 {
		head = append(head, "said")
	}
	t := measured.NewTable(w, head...)
	for i, at := range f.times {
		cells := []any{fmt.Sprintf("%.4f", at), told(f.ways[i], ""), told(f.said[i], "")}
		t.Line(cells[:len(head)]...)
	}
	return t.Flush()
}

// strum is one in JSON.
type strum struct {
	Time      float64 `json:"time_s"`
	Direction string  `json:"direction"`
	Said      string  `json:"said,omitempty"`
}

// json is the layout of -json.
func (f *found) json() any {
	var all []strum
	for i, at := range f.times {
		all = append(all, strum{at, told(f.ways[i], ""), told(f.said[i], "")})
	}
	same, said := f.agree()
	return struct {
		Schema string  `json:"schema"`
		Strums []strum `json:"strums"`
		Agree  int     `json:"agree"`
		Said   int     `json:"said"`
	}{"plectrace/strums/1", all, same, said}
}
