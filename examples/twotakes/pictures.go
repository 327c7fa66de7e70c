package main

import (
	"fmt"

	"github.com/plectrace/plectrace/examples/internal/notebook"
	"github.com/plectrace/plectrace/motion/figure"
)

// pictures are those of both takes, one beside the other.
func (j *job) pictures(d *notebook.Doc) {
	first, second := j.reviews[0], j.reviews[1]
	if len(first.Motion.Strokes) == 0 || len(second.Motion.Strokes) == 0 {
		return
	}
	s := d.Section("Both takes in pictures")
	j.path(s)
	j.cycle(s)
	if len(first.Jumps)+len(second.Jumps) > 0 {
		return // of a film that changes its pace nothing over time means anything
	}
	if f := distributions(first, second, j.alike()); len(f.Pairs) > 0 {
		s.Heading("Stroke by stroke")
		s.Step(steps.Of(distributions), notebook.Figure{
			Name:    "strokes",
			Of:      f,
			Alt:     "How the strokes of the first take and of the second are distributed, quantity by quantity.",
			Caption: "A dot is a stroke: above those of the first take, below those of the second. A narrow box is an even take.",
		})
	}
	if f := strips(first, second); len(f.Strips[0].Parts)+len(f.Strips[1].Parts) > 0 {
		s.Heading("When the motion holds")
		s.Step(steps.Of(strips), notebook.Figure{
			Name:    "spans",
			Of:      f,
			Alt:     "The settled and the searching spans of both takes, one below the other.",
			Caption: "Settled: one motion holds. Searching: it wanders. Time counts from the beginning of each take.",
		})
	}
	a, b := rates(first, second)
	s.Heading("How fast")
	s.Step(steps.Of(rates), j.figure(0, "rate", a, "The rate over time in %s."), j.figure(1, "rate", b, "The rate over time in %s."))
}

// figure is a picture of one of the two takes; alt names it by "%s".
func (j *job) figure(i int, name string, of figure.Figure, alt string) notebook.Figure {
	return notebook.Figure{Name: fmt.Sprintf("%s-%d", name, i+1), Of: of, Alt: fmt.Sprintf(alt, j.names[i]), Caption: j.nth(i) + ": " + j.side(i) + "."}
}

// nth says which take it is.
func (j *job) nth(i int) string { return [2]string{"First", "Second"}[i] }

// alike reports whether both takes are of one set-up, so that places and angles in
// the picture compare.
func (j *job) alike() bool {
	a, b := j.comparison.First[0].Summary, j.comparison.Second[0].Summary
	return a.Setup != "" && a.Setup == b.Setup && a.View == b.View && a.Unit == b.Unit
}

// path shows both paths along the strings, where the view does.
func (j *job) path(s *notebook.Section) {
	first, second := j.reviews[0], j.reviews[1]
	if !first.Frame.View.HasOut() || !second.Frame.View.HasOut() {
		return
	}
	a, b := paths(first, second)
	const alt = "The path of the tip in %s, seen along the strings, with its axis."
	s.Heading("The paths")
	text := "Seen along the strings: the treble side is right, out of the instrument is up."
	if a.Unit == b.Unit {
		text += " Both are at one scale."
	}
	s.Text(text)
	s.Step(steps.Of(paths), j.figure(0, "path", a, alt), j.figure(1, "path", b, alt))
}

// cycle shows both mean cycles in one picture, where both takes have one and are of
// one set-up.
func (j *job) cycle(s *notebook.Section) {
	f := cycles(j.reviews[0], j.reviews[1])
	if len(f.Mean.Across) == 0 || len(f.Reference.Across) == 0 || !j.alike() {
		return
	}
	s.Heading("The mean motion")
	s.Step(steps.Of(cycles), notebook.Figure{
		Name:    "cycles",
		Of:      f,
		Alt:     "The mean cycle of the second take over that of the first, at one scale.",
		Caption: "The mean cycle of the longest settled span of the second take, over that of the first, which stands as the reference (dashed). Both are at one scale; across the strings the first is moved to where the second is.",
	})
}
