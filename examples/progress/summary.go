package main

import (
	"fmt"
	"strings"

	"github.com/plectrace/plectrace/examples/internal/measured"
	"github.com/plectrace/plectrace/motion/progress"
)

// summary is the progress of the players in a few lines each.
func (j *job) summary() []string {
	var lines []string
	if hurt := j.hurt(); len(hurt) > 0 {
		lines = append(lines, "Pain was noted ("+strings.Join(hurt, ", ")+"). "+strings.Join(progress.StopRest(), " ")+" "+untilWell)
	}
	if j.lead != "" {
		lines = append(lines, "Demo: "+j.lead)
	}
	for i := range j.players {
		p := &j.players[i]
		lines = append(lines, "", fmt.Sprintf("%s: %s on %s", p.Player, measured.Count(p.Takes, "take"), measured.Count(p.Days, "day")))
		for _, n := range p.Notes {
			lines = append(lines, "- "+n)
		}
		for _, name := range j.primary {
			for _, x := range p.Of(name) {
				lines = append(lines, "- "+x.Text)
			}
		}
		if p.hurt {
			continue
		}
		if p.ramp != nil {
			lines = append(lines, "- "+p.ramp.ramp.Sentence)
		}
		lines = append(lines, "- "+p.same.Sentence)
		if h := p.advice.Holds; h != nil {
			lines = append(lines, "- It holds: "+h.Text)
		}
		for _, w := range p.advice.Work {
			lines = append(lines, "- To work on: "+w.Text)
		}
	}
	return lines
}
