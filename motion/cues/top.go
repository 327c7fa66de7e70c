package cues

import (
	"fmt"
	"math"
	"strings"
	"unicode/utf8"

	"github.com/plectrace/plectrace/motion/contact"
)

// event is what a stroke is captioned for.
type event struct {
	kind       Kind
	stroke     int     // counted from 1
	start, end float64 // of the film
}

// top makes the captions at the top: the string played on the first line, the
// strokes on the next.
func (m *maker) top() {
	line := 0
	if m.shows(Strings) && m.strings() {
		line = 1
	}
	groups := m.groups(m.events())
	for i, g := range groups {
		end := m.until(g)
		if i+1 < len(groups) && groups[i+1][0].start < end+between {
			end = groups[i+1][0].start
		}
		m.cues = append(m.cues, Cue{ID: fmt.Sprintf("strokes-%d", g[0].stroke), Start: g[0].start, End: end, Line: line, Text: strokesText(g)})
	}
}

// events lists what strokes are captioned for, in order.
func (m *maker) events() (all []event) {
	r := m.r
	reached := r.Value("missed_share")
	if m.shows(Misses) {
		m.why("Whether strokes miss the strings is not known", reached.Absent)
	}
	if m.shows(Silent) && r.Struck != nil {
		m.why("Whether strokes sound is not known", r.Struck.Absent)
	}
	heard := 0 // strokes that miss by the film and sound all the same
	for i := range r.Motion.Strokes {
		s := &r.Motion.Strokes[i]
		sound := contact.Unknown
		if r.Struck != nil {
			sound = r.Struck.Struck[i]
		}
		misses := reached.Known() && r.Contacts.Strokes[i].Reached == contact.No
		if misses && sound == contact.Yes && m.shows(Misses) {
			heard++
			misses = false
		}
		var kinds []Kind
		switch {
		case misses && m.shows(Misses):
			kinds = append(kinds, Misses)
		case sound == contact.No && m.shows(Silent):
			kinds = append(kinds, Silent)
		}
		if s.TurnHidden() && m.shows(Hidden) {
			kinds = append(kinds, Hidden)
		}
		if len(kinds) == 0 {
			continue
		}
		start, end, ok := m.within(s.Start, s.End)
		if !ok {
			continue
		}
		for _, k := range kinds {
			all = append(all, event{kind: k, stroke: i + 1, start: start, end: end})
		}
	}
	if heard > 0 {
		m.note("%s to miss by the film, but by the list of onsets a note sounds then: not shown as missing.", count(heard, "stroke seems", "strokes seem"))
	}
	return all
}

// until is when the caption of a group may go: it has been read, and the last of
// the strokes is over.
func (m *maker) until(g []event) float64 {
	toRead := float64(utf8.RuneCountInString(strokesText(g))) / readable
	return max(g[len(g)-1].end, g[0].start+max(m.least, toRead))
}

// groups puts events together that would otherwise follow each other faster than
// captions may.
func (m *maker) groups(all []event) (groups [][]event) {
	for _, e := range all {
		if n := len(groups); n > 0 {
			g := groups[n-1]
			start := g[0].start
			same := e.stroke == g[len(g)-1].stroke
			if same || e.start < m.until(g)+between && (e.end-start <= longest || e.start-start < m.least) {
				groups[n-1] = append(g, e)
				continue
			}
		}
		groups = append(groups, []event{e})
	}
	return groups
}

// strokesText tells of a group of strokes, a line for each kind.
func strokesText(g []event) string {
	of := map[Kind][]int{}
	for _, e := range g {
		of[e.kind] = append(of[e.kind], e.stroke)
	}
	var lines, counts []string
	for _, k := range []struct {
		kind           Kind
		one, many, few string
	}{
		{Misses, "stroke %d misses the strings", "%d strokes miss", "%d miss"},
		{Silent, "stroke %d does not sound", "%d strokes do not sound", "%d do not sound"},
		{Hidden, "stroke %d has a turn out of sight", "%d strokes have a turn out of sight", "%d have a turn out of sight"},
	} {
		ns := of[k.kind]
		switch n := len(ns); n {
		case 0:
			continue
		case 1:
			lines = append(lines, fmt.Sprintf(k.one, ns[0]))
		default:
			line := fmt.Sprintf(k.many, n)
			if with := line + ": " + numbers(ns); utf8.RuneCountInString(with) <= lineLength {
				line = with
			}
			lines = append(lines, line)
		}
		counts = append(counts, fmt.Sprintf(k.few, len(ns)))
	}
	if len(lines) <= lineCount {
		return strings.Join(lines, "\n")
	}
	return fill("strokes", counts, math.MaxInt)
}

// strings tells which string is played, where that changes in the take, and
// reports whether it does.
func (m *maker) strings() bool {
	r := m.r
	if r.Contacts == nil || r.Setup.StringPlayed > 0 {
		return false
	}
	type stretch struct{ string, first, last int }
	var runs, long []stretch
	for i, s := range r.Contacts.Strokes {
		switch n := len(runs); {
		case s.Played == 0:
		case n > 0 && runs[n-1].string == s.Played:
			runs[n-1].last = i
		default:
			runs = append(runs, stretch{s.Played, i, i})
		}
	}
	strokes := r.Motion.Strokes
	short := 0
	for _, run := range runs {
		switch n := len(long); {
		case (strokes[run.last].End-strokes[run.first].Start)*m.o.SlowedBy < m.least:
			short++
		case n > 0 && long[n-1].string == run.string:
			long[n-1].last = run.last
		default:
			long = append(long, run)
		}
	}
	for _, run := range long {
		if len(long) < 2 {
			break // one string throughout
		}
		switch start, end, ok := m.within(strokes[run.first].Start, strokes[run.last].End); {
		case ok && end-start < m.least-1e-9: // cut at the film's start
			short++
		case ok:
			m.cues = append(m.cues, Cue{ID: fmt.Sprintf("string-%d", run.first+1), Start: start, End: end, Text: fmt.Sprintf("string %d", run.string)})
		}
	}
	if short > 0 {
		m.note("Too short to be read, and not shown: %s on one string.", count(short, "stretch of playing", "stretches of playing"))
	}
	return len(long) > 1
}
