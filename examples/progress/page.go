package main

import (
	_ "embed"
	"fmt"
	"slices"
	"strings"

	"github.com/plectrace/plectrace/examples/internal/measured"
	"github.com/plectrace/plectrace/examples/internal/notebook"
	"github.com/plectrace/plectrace/examples/internal/takefile"
	"github.com/plectrace/plectrace/motion/progress"
)

//go:embed steps.go
var steps notebook.Source

// page is the progress of the players for a teacher.
func (j *job) page() *notebook.Doc {
	d := notebook.New("Progress over days and weeks")
	d.Lead = fmt.Sprintf("%s, %s", measured.Count(len(j.players), "player"), measured.Count(len(j.takes), "take"))
	if hurt := j.hurt(); len(hurt) > 0 {
		d.Section("Players first").Caution("Pain was noted: "+strings.Join(hurt, ", "), progress.StopRest()...)
	}
	if j.lead != "" {
		d.Section("What this is").Text(j.lead)
	}
	j.leftOut(d)
	shown := map[string]bool{}
	for i := range j.players {
		c := chapter{Section: d.Section(j.players[i].Player), player: &j.players[i], number: i + 1, shown: shown}
		c.write(j)
	}
	d.Section("How to read this").List(
		"A day is one observation, however many takes it has: its takes are put together first.",
		"An interval holds the true value in 95 of 100 such cases. \"Cannot be said\" means that these takes do not tell, and not that nothing changed.",
		"Takes whose rate was asked for (slow, fast, ramp) serve the question of the slow motion alone: what a player was asked to do is no trend.",
		"progress.csv has one measurement of one take a line, trends.csv one measure of one player, progress.json all of it for programs, with more digits. The program cohort reads progress.csv with -from-rows.",
		"Nothing here tells why a measure changed.",
	)
	d.Care("Warm up, keep fast playing short, and take breaks.")
	return d
}

// untilWell is for a player with pain: no sentence below is a reason to play.
const untilWell = "What follows is for the record. Where it says to film further, that waits until the player is well."

// hurt are the players who noted pain and no good day since.
func (j *job) hurt() []string {
	var codes []string
	for _, p := range j.players {
		if p.hurt {
			codes = append(codes, p.Player)
		}
	}
	return codes
}

func (j *job) leftOut(d *notebook.Doc) {
	var items []string
	for _, t := range j.takes {
		if t.record.Failure != nil {
			items = append(items, takefile.Failure(t.record)+".")
		}
	}
	for _, p := range j.players {
		for _, text := range p.LeftOut {
			if !strings.HasSuffix(text, ": it is not reviewed") { // told with its reason
				items = append(items, text+".")
			}
		}
	}
	if len(items)+len(j.roster.Notes) > 0 {
		s := d.Section("Takes left out, and notes on the list")
		s.List(slices.Concat(items, j.roster.Notes)...)
	}
}
