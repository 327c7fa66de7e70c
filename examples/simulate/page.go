package main

import (
	_ "embed"
	"fmt"
	"strings"

	"github.com/plectrace/plectrace/examples/internal/cli"
	"github.com/plectrace/plectrace/examples/internal/measured"
	"github.com/plectrace/plectrace/examples/internal/notebook"
	"github.com/plectrace/plectrace/motion/figure"
	"github.com/plectrace/plectrace/motion/figure/take"
	"github.com/plectrace/plectrace/trajectory"
)

//go:embed steps.go
var steps notebook.Source

// page shows what was made, and what a review finds of it.
func page(all []*made) *notebook.Doc {
	d := notebook.New("A take whose truth is known")
	if len(all) > 1 {
		d.Title = "Takes whose truth is known"
	}
	var names []string
	for _, m := range all {
		names = append(names, m.name)
	}
	d.Lead = measured.Join(names)
	d.Section("What this is").Text(
		"Nobody played this. The program made up every stroke, and then what a camera and a tracker would have left of it. A review is given the export and the settings, and nothing of the truth: where it differs from the truth it errs, and here one can see by how much.",
	)
	for i, m := range all {
		p := chapter{Doc: d, made: m, first: i == 0, several: len(all) > 1, suffix: ""}
		if i > 0 {
			p.suffix = fmt.Sprintf("-%d", i+1)
		}
		p.write()
	}
	d.Section("What the files are").List(files(all)...)
	d.Care("These takes hurt nobody; real ones may.")
	return d
}

// chapter is the part of the page on one take.
type chapter struct {
	*notebook.Doc
	*made
	// first says that the code is to be shown, several that others follow.
	first, several bool
	suffix         string // of the names of figures
}

// section begins a section.
func (c *chapter) section(title string) *notebook.Section {
	if c.several {
		title = c.name + ": " + measured.Lower(title)
	}
	return c.Section(title)
}

// step adds what came of code, and the code where it has not been shown.
func (c *chapter) step(s *notebook.Section, code notebook.Listing, results ...notebook.Block) {
	if c.first {
		s.Step(code, results...)
	} else {
		s.Add(results...)
	}
}

func (c *chapter) figure(name string, of figure.Figure, alt, caption string) notebook.Figure {
	return notebook.Figure{Name: name + c.suffix, Of: of, Alt: alt, Caption: caption}
}

func (c *chapter) write() {
	truth := c.take.Truth
	asked := c.section("What was asked for")
	asked.Code(command(c.asked))
	c.step(asked, steps.Of(filmed), notebook.Text(c.describe()))

	motion := c.section("What the tip did")
	c.step(motion, steps.Of(played, faultless, pathFigure),
		c.figure("path", pathFigure(c.path, truth), fmt.Sprintf("The path of the tip as made, at a path angle of %.1f degrees, with the strings", truth.PathAngle.Degrees()),
			"The path as it was made, looking down the strings, with the axis of the strokes."))
	c.step(motion, steps.Of(strokesFigure, rateFigure),
		c.figure("strokes", strokesFigure(c.path, truth), "The tip across the strings over the take, in settled and searching strokes as made", "The strokes as they were made."),
		c.figure("rate", rateFigure(truth), "Notes per second over the take as made", "The rate as it was made: two strokes over their time."))

	c.found(c.section("What a review finds"))
}

// command is a call of the program with these flags, broken into lines.
func command(flags string) string {
	line := "go run ./examples/simulate"
	var b strings.Builder
	for flag := range strings.SplitSeq(flags, " -") {
		flag = strings.TrimPrefix(flag, "-")
		if len(line)+len(flag) > 72 {
			b.WriteString(line + " \\\n")
			line = "   "
		}
		line += " -" + flag
	}
	return b.String() + line
}

// describe says what was made.
func (c *chapter) describe() string {
	o, tr := c.take.Options, c.take.Truth
	text := fmt.Sprintf("Made were %s in %.3g s", measured.Count(len(tr.Strokes), "stroke"), o.Duration)
	if len(tr.Strokes) > 0 {
		text += fmt.Sprintf(", %.2f notes per second", tr.Rate)
	}
	if tr.SettledShare > 0 {
		text += fmt.Sprintf(", %.0f %% of their time settled, at %.2f notes per second", 100*tr.SettledShare, tr.SettledRate)
	}
	if len(tr.Strokes) > 0 {
		text += fmt.Sprintf(". The path angle is %.1f degrees; turns that clear the strings: %s", tr.PathAngle.Degrees(), tr.Clearing)
	}
	text += fmt.Sprintf(". The film is of %.4g frames a second, the view is %s.", o.FrameRate, o.View)
	if n := len(tr.Faults); n > 0 {
		text += fmt.Sprintf(" The tracker has %s.", measured.Count(n, "fault"))
	}
	return text
}

// found is the part on the review.
func (c *chapter) found(s *notebook.Section) {
	if c.failure != nil {
		s.Text(fmt.Sprintf("This take cannot be reviewed: %s.", cli.Input(c.failure, "")))
		return
	}
	if len(c.review.Questions) > 0 {
		s.Caution("Settle this before you believe the rest", c.review.Questions...)
	}
	c.step(s, steps.Of(reviewed),
		c.figure("strokes-found", take.Strokes(c.review), "The tip across the strings over the take, in settled and searching strokes as a review finds them",
			"The strokes and spans as a review finds them, in what the tracker left. Hold it against the strokes as they were made."))
	if overlap := c.settled(); overlap == overlap {
		c.step(s, steps.Of(spansFigure),
			c.figure("spans", spansFigure(c.take.Truth.Spans, c.review), "Two strips over the time of the take: the spans as made, and as found", "The spans as they were made, above those that a review finds."))
	}
	c.step(s, steps.Of(matched, overlap), c.strokesTable())
	t, absent := c.checksTable()
	var results []notebook.Block
	if len(t.Rows) > 0 {
		results = append(results, t)
	}
	if len(absent) > 0 {
		results = append(results, notebook.List{Items: absent})
	}
	c.step(s, steps.Of(held), results...)
	s.Text(c.worth()...)
	if v := c.review.Value("path_angle_deg"); c.take.Options.View == trajectory.EndOn && !c.take.Options.Card && v.Known() {
		s.Text("Nobody told the review how far the camera is raised over the strings, and that turns the path in the picture: the interval of the path angle has to allow for it. A card at the strings (-card with -distance 600 -scale 9) tells, and makes the interval narrower.")
	}
}

// worth says what is to be learned from the table, nothing without intervals.
func (c *chapter) worth() []string {
	yes, all := 0, 0
	for _, check := range c.checks {
		switch check.inside() {
		case "yes":
			yes++
			all++
		case "no":
			all++
		}
	}
	if all == 0 {
		return nil
	}
	return []string{fmt.Sprintf("%d of %s hold the truth. An interval at 95 %% may miss it one time in twenty; change -seed for another take of the same kind and count again. More noise (-noise), fewer frames (-frames) or a shorter take (-seconds) make intervals wider, and where a number could no longer be defended the review says so in its place.",
		yes, measured.Count(all, "interval"))}
}

// files says what was written.
func files(all []*made) []string {
	name := "NAME"
	if len(all) == 1 {
		name = all[0].name
	}
	return []string{
		name + ".csv is the export, as a tracker would write it; " + name + ".take.json are the settings that go with it. Open the export with the program onetake.",
		name + ".truth.json has every stroke, turn and span as it was made.",
	}
}
