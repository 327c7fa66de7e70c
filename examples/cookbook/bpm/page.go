package main

import (
	"fmt"
	"io"
	"strconv"
	"strings"

	"github.com/plectrace/plectrace/examples/cookbook/internal/recipe"
	"github.com/plectrace/plectrace/examples/internal/measured"
	"github.com/plectrace/plectrace/examples/internal/notebook"
	"github.com/plectrace/plectrace/tempo"
)

// name is a note value in figures and in words, such as "8. (dotted eighth)".
func name(v tempo.NoteValue) string {
	words := strings.Repeat("dotted ", v.Dots) + v.MusicXML()
	switch {
	case v.Actual == 3 && v.Normal == 2:
		words += " triplet"
	case v.Actual > 0:
		words += fmt.Sprintf(", %d in the time of %d", v.Actual, v.Normal)
	}
	return fmt.Sprintf("%s (%s)", v, words)
}

// sheet is a table of the wall.
type sheet struct {
	title string
	code  notebook.Listing
	table notebook.Table
}

// sheets are the tables that were asked for.
func (a asked) sheets() []sheet {
	var all []sheet
	add := func(title, caption, first string, code notebook.Listing, heads []float64, cells [][]float64, decimals int) {
		t := notebook.Table{Caption: caption, Head: []string{first}, Numeric: []bool{true}}
		for _, v := range a.values {
			t.Head, t.Numeric = append(t.Head, v.String()), append(t.Numeric, true)
		}
		for i, x := range heads {
			row := []string{strconv.FormatFloat(x, 'g', 6, 64)}
			for _, c := range cells[i] {
				row = append(row, measured.Fixed(c, decimals))
			}
			t.Rows = append(t.Rows, row)
		}
		all = append(all, sheet{title, code, t})
	}
	if len(a.tempi) > 0 {
		add("Notes per second", "Notes per second, by tempo and note value.", "BPM", steps.Of(ratesAt), a.tempi, ratesAt(a.tempi, a.beat, a.values), 2)
	}
	if len(a.rates) > 0 {
		add("Beats per minute", "Beats per minute at which notes come at a rate, by note value.", "Notes/s", steps.Of(tempiAt), a.rates, tempiAt(a.rates, a.beat, a.values), 1)
	}
	return all
}

// page shows the tables.
func (a asked) page() *notebook.Doc {
	d := recipe.NewPage("Notes per second and beats per minute", fmt.Sprintf("The metronome counts the note %s.", name(a.beat)))
	var beats []string
	for _, v := range a.values {
		beats = append(beats, fmt.Sprintf("%s: %s to a beat", name(v), strconv.FormatFloat(v.NotesPerBeat(a.beat), 'g', 3, 64)))
	}
	s := d.Section("The notes")
	s.Text("Each number of the tables belongs to the tempo, or the rate, at the head of its line and to the note at the head of its column.")
	s.List(beats...)
	for _, t := range a.sheets() {
		d.Section(t.title).Step(t.code, t.table)
	}
	return recipe.EndPage(d)
}

// words are the tables for a terminal.
func (a asked) words() string {
	var b strings.Builder
	for i, t := range a.sheets() {
		if i > 0 {
			b.WriteByte('\n')
		}
		b.WriteString(t.table.Caption + "\n\n")
		for _, row := range append([][]string{t.table.Head}, t.table.Rows...) {
			for k, c := range row {
				fmt.Fprintf(&b, "%*s", max(8, 2+len(t.table.Head[k])), c)
			}
			b.WriteByte('\n')
		}
	}
	return b.String()
}

// pair is a tempo and the rate of a note value at it.
type pair struct {
	BPM   measured.Number `json:"beats_per_minute"`
	Value string          `json:"note_value"`
	Rate  measured.Number `json:"notes_per_second"`
}

// pairs are all cells of the tables.
func (a asked) pairs() []pair {
	var all []pair
	rates, tempi := ratesAt(a.tempi, a.beat, a.values), tempiAt(a.rates, a.beat, a.values)
	for k, v := range a.values {
		for i, t := range a.tempi {
			all = append(all, pair{measured.Number(t), v.String(), measured.Number(rates[i][k])})
		}
		for i, r := range a.rates {
			all = append(all, pair{measured.Number(tempi[i][k]), v.String(), measured.Number(r)})
		}
	}
	return all
}

func (a asked) csv(w io.Writer) error {
	t := measured.NewTable(w, "beats_per_minute", "note_value", "notes_per_second")
	for _, p := range a.pairs() {
		t.Line(float64(p.BPM), p.Value, float64(p.Rate))
	}
	return t.Flush()
}

// json is the layout of -json.
func (a asked) json() any {
	return struct {
		Schema string `json:"schema"`
		Beat   string `json:"beat"`
		Pairs  []pair `json:"pairs"`
	}{"plectrace/bpm/1", a.beat.String(), a.pairs()}
}
