package main

import (
	"fmt"
	"slices"
	"strings"
	"time"

	"github.com/plectrace/plectrace/examples/internal/measured"
	"github.com/plectrace/plectrace/motion/progress"
)

// side names a take.
func (j *job) side(i int) string {
	t := []progress.Take{j.comparison.First[0], j.comparison.Second[0]}[i]
	if t.Date.IsZero() {
		return j.names[i]
	}
	return j.names[i] + " of " + t.Date.Format(time.DateOnly)
}

func (j *job) pain() bool {
	return slices.ContainsFunc(j.takes, func(t progress.Take) bool { return t.Comfort == progress.ComfortPain })
}

// warnings are what to know first, without what the caution on pain says.
func (j *job) warnings() []string {
	return slices.DeleteFunc(slices.Clone(j.comparison.Warnings), func(w string) bool { return slices.Contains(progress.StopRest(), w) })
}

// asked returns the changes that were named beforehand, or have a margin.
func (j *job) asked() []progress.Change {
	return slices.DeleteFunc(slices.Clone(j.comparison.Changes), func(ch progress.Change) bool { return !ch.Primary && ch.Margin == 0 })
}

// group is a verdict, with how a reader is told of it.
type group struct {
	title, caption string
	named          bool // its measures are worth naming in a summary
	of             func(progress.Change) bool
}

// verdicts are the groups of measures in the order in which they are told.
var verdicts = []group{
	{"More than takes of this player differ by themselves", "Each change is more than such takes show by themselves.", true,
		func(ch progress.Change) bool { return ch.Beyond == progress.BeyondRepeats }},
	{"More than takes of one day differ", "The two takes are of two days, and by how much days differ is not known: give repeats of three days or more to tell.", true,
		func(ch progress.Change) bool { return ch.Beyond == progress.BeyondDay }},
	{"Perhaps chance", "By itself each is more than takes of this player differ; among so many measures some are. Look at them again in further takes.", true,
		func(ch progress.Change) bool {
			return ch.Beyond == progress.BeyondNothing && ch.Alone > progress.BeyondNothing
		}},
	{"Within what takes of this player differ by themselves", "Each change is less than the least that counts, or the strokes of the takes scatter by more. That is no proof that nothing changed.", false,
		func(ch progress.Change) bool {
			return ch.Beyond == progress.BeyondNothing && ch.Alone == progress.BeyondNothing
		}},
	{"These two takes differ", "Whether the player does cannot be said: nobody plays two takes alike, and by how much this player's takes differ anyhow is not known.", true,
		func(ch progress.Change) bool { return ch.Beyond == progress.BeyondUnknown && apart(ch.Change) }},
	{"Not told apart", "The strokes of the two takes scatter by more than the change. That is no proof that nothing changed.", false,
		func(ch progress.Change) bool {
			return ch.Beyond == progress.BeyondUnknown && !apart(ch.Change) && ch.Change.Level > 0
		}},
	{"Too short to tell", "At least one take is too short for an interval.", false,
		func(ch progress.Change) bool { return ch.Beyond == progress.BeyondUnknown && !(ch.Change.Level > 0) }},
}

// in returns the changes of a group.
func (g group) in(c progress.Comparison) []progress.Change {
	var out []progress.Change
	for _, ch := range c.Changes {
		if ch.Change.Absent == nil && g.of(ch) {
			out = append(out, ch)
		}
	}
	return out
}

// summary is the comparison in a few lines.
func (j *job) summary() []string {
	var lines []string
	if j.pain() {
		lines = append(lines, "Pain was noted. "+strings.Join(progress.StopRest(), " "))
	}
	if j.lead != "" {
		lines = append(lines, "Demo: "+j.lead)
	}
	lines = append(lines, fmt.Sprintf("First %s, then %s.", j.side(0), j.side(1)))
	for _, text := range slices.Concat(j.warnings(), j.comparison.Notes) {
		lines = append(lines, "- "+text)
	}
	for _, ch := range j.asked() {
		lines = append(lines, "- "+ch.Text)
	}
	for _, g := range verdicts {
		var names []string
		for _, ch := range g.in(j.comparison) {
			names = append(names, ch.Name)
		}
		switch {
		case len(names) > 0 && g.named:
			lines = append(lines, fmt.Sprintf("- %s (%d): %s.", g.title, len(names), strings.Join(names, ", ")))
		case len(names) > 0:
			lines = append(lines, fmt.Sprintf("- %s: %s, see the page.", g.title, measured.Count(len(names), "measure")))
		}
	}
	return lines
}
