package progress

import (
	"fmt"
	"strings"
)

// painNotes lists the takes at which the player felt pain, with what to do: it
// comes first in every result.
func painNotes(takes []Take) []string {
	var labels []string
	for _, t := range takes {
		if t.Comfort == ComfortPain {
			labels = append(labels, t.Label())
		}
	}
	if len(labels) == 0 {
		return nil
	}
	return []string{fmt.Sprintf("Pain was noted at %s. Stop, rest, and see a clinician if it stays or comes back. Nothing here is medical advice.", strings.Join(labels, "; "))}
}
