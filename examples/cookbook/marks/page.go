package main

import (
	"fmt"
	"io"
	"slices"
	"strings"

	"github.com/plectrace/plectrace/examples/cookbook/internal/recipe"
	"github.com/plectrace/plectrace/examples/internal/measured"
	"github.com/plectrace/plectrace/examples/internal/notebook"
	"github.com/plectrace/plectrace/motion/figure"
	"github.com/plectrace/plectrace/motion/progress"
)

// found is how far the viewers of a take agree.
type found struct {
	take     string
	invented bool
	t        []float64
	viewers  []viewer
	pairs    []pair
}

// pair is two viewers.
type pair struct {
	first, second viewer
	progress.Agreement
	differ []difference
}

func (p pair) title() string { return measured.Upper(p.first.name) + " and " + p.second.name }

// apart reports whether they used no kind in common.
func (p pair) apart() bool {
	return !slices.ContainsFunc(p.first.marks, func(a progress.Mark) bool {
		return slices.ContainsFunc(p.second.marks, func(b progress.Mark) bool { return strings.EqualFold(a.Kind, b.Kind) })
	})
}

// answers say how far the two agree.
func (p pair) answers() []string {
	switch {
	case !p.Agreed.Known():
		return []string{"It cannot be said: " + measured.Why(p.Agreed.Absent) + "."}
	case p.apart():
		return []string{"It cannot be said: they use no kind in common. The program says settled and searching."}
	}
	var list []string
	say := func(format string, args ...any) { list = append(list, fmt.Sprintf(format, args...)) }
	say("Both judged %.1f s and say the same for %s of it; %.0f %% would be chance.", p.Judged, measured.Share(p.Agreed), 100*p.Chance)
	if p.OnlyFirst+p.OnlySecond > 0.05 {
		say("%.1f s were judged by one of them alone and do not count.", p.OnlyFirst+p.OnlySecond)
	}
	if p.Kappa.Known() {
		say("Kappa, agreement beyond chance, 1 where it is full: %s.", measured.Value(p.Kappa))
	} else {
		say("Kappa cannot be had: %s.", measured.Why(p.Kappa.Absent))
	}
	if p.NoInterval != "" {
		say("How far that may be off is not known: %s.", p.NoInterval)
	}
	for i, kind := range p.Kinds {
		say("%s: both say it for %.0f %% of the time for which either does.", measured.Upper(kind), 100*p.Overlap[i])
	}
	if p.StartsApart.Known() {
		say("%s match; their beginnings lie %.1f s apart.", measured.Count(p.Matched, "span"), p.StartsApart.Value)
	}
	return append(list, p.look()...)
}

// look tells where to look.
func (p pair) look() []string {
	var list []string
	for _, d := range p.differ {
		list = append(list, fmt.Sprintf("Look at %.1f to %.1f s: %s says %s, %s says %s.", d.Start, d.End, p.first.name, d.First, p.second.name, d.Second))
	}
	return list
}

// facts tell what the program says of the take.
func (f *found) facts() []string {
	n := map[string]int{}
	for _, m := range f.viewers[0].marks {
		n[m.Kind]++
	}
	list := []string{fmt.Sprintf("The program finds %s and %s.", measured.Count(n["settled"], "settled span"), measured.Count(n["searching"], "searching span"))}
	if f.invented {
		list = append(list, "The take is the first of a beginner in an invented evening class, and its two viewers are invented. No real player was measured.")
	}
	return list
}

func (f *found) words() string {
	var b strings.Builder
	b.WriteString(f.take + ":\n" + strings.Join(f.facts(), "\n") + "\n")
	for _, p := range f.pairs {
		b.WriteString("\n" + p.title() + ":\n")
		for _, line := range p.answers() {
			b.WriteString("- " + line + "\n")
		}
	}
	return b.String()
}

func (f *found) page() *notebook.Doc {
	d := recipe.NewPage("What viewers say of a take", f.take)
	s := d.Section("The take")
	s.Step(steps.Of(ofProgram, read), notebook.List{Items: f.facts()})
	var strips []figure.Strip
	for _, v := range f.viewers {
		strips = append(strips, strip(v.name, v.marks))
	}
	s.Step(steps.Of(strip, drawn), notebook.Figure{
		Name: "viewers", Of: drawn(f.t[0], f.t[len(f.t)-1], strips),
		Alt:     "What each viewer says the take is, stretch by stretch, as strips over time.",
		Caption: "A strip for each viewer. What is left blank was not judged.",
	})
	if len(f.pairs) == 0 {
		return recipe.EndPage(d)
	}
	s = d.Section("How far they agree")
	t := notebook.Table{
		Caption: "Of the time that both judged. Kappa is agreement beyond that of chance, 1 where it is full.",
		Head:    []string{"Who", "Judged, s", "Same", "By chance", "Kappa"}, Numeric: []bool{false, true, true, true, true},
	}
	var look, why, bare []string
	for _, p := range f.pairs {
		if p.Agreed.Known() && p.Kappa.Known() && !p.apart() {
			t.Rows = append(t.Rows, []string{p.title(), fmt.Sprintf("%.1f", p.Judged), measured.Share(p.Agreed), fmt.Sprintf("%.0f %%", 100*p.Chance), measured.Value(p.Kappa)})
			look = append(look, p.look()...)
			if p.NoInterval != "" {
				bare = []string{"How far that may be off is not known: " + p.NoInterval + "."}
			}
		} else {
			why = append(why, p.title()+":")
			why = append(why, p.answers()...)
		}
	}
	s.Step(steps.Of(agree), t)
	s.Text(append(bare, why...)...)
	s = d.Section("Where they differ")
	if look == nil {
		look = []string{"Nowhere for half a second or more."}
	}
	s.Step(steps.Of(differences), notebook.List{Items: look})
	return recipe.EndPage(d)
}

// spans writes the program's spans as marks.
func (f *found) spans(w io.Writer) error { return progress.WriteMarks(w, f.viewers[0].marks) }

// csv writes how far each two agree.
func (f *found) csv(w io.Writer) error {
	t := measured.NewTable(w, "first", "second", "judged_s", "agreed", "agreed_low", "agreed_high", "chance", "kappa", "kappa_low", "kappa_high")
	for _, p := range f.pairs {
		cells := append([]any{p.first.name, p.second.name, p.Judged}, measured.Cells(p.Agreed)...)
		t.Line(append(append(cells, p.Chance), measured.Cells(p.Kappa)...)...)
	}
	return t.Flush()
}

// agreement is a pair in JSON.
type agreement struct {
	First       string            `json:"first"`
	Second      string            `json:"second"`
	Judged      measured.Number   `json:"judged_s"`
	Agreed      measured.Quantity `json:"agreed"`
	Chance      measured.Number   `json:"chance"`
	Kappa       measured.Quantity `json:"kappa"`
	Differences []difference      `json:"differences"`
}

// json is the layout of -json.
func (f *found) json() any {
	type span struct {
		Kind  string          `json:"kind"`
		Start measured.Number `json:"start_s"`
		End   measured.Number `json:"end_s"`
	}
	out := struct {
		Schema string      `json:"schema"`
		Take   string      `json:"take"`
		Spans  []span      `json:"spans"`
		Pairs  []agreement `json:"pairs"`
	}{Schema: "plectrace/marks/1", Take: f.take, Pairs: []agreement{}}
	for _, m := range f.viewers[0].marks {
		out.Spans = append(out.Spans, span{m.Kind, measured.Number(m.Start), measured.Number(m.End)})
	}
	for _, p := range f.pairs {
		out.Pairs = append(out.Pairs, agreement{
			p.first.name, p.second.name, measured.Number(p.Judged), measured.QuantityOf(p.Agreed), measured.Number(p.Chance), measured.QuantityOf(p.Kappa), append([]difference{}, p.differ...),
		})
	}
	return out
}
