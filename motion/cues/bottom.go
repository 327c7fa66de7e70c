package cues

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"strings"

	"github.com/plectrace/plectrace/motion"
	"github.com/plectrace/plectrace/motion/review"
	"github.com/plectrace/plectrace/tempo"
	"github.com/plectrace/plectrace/trajectory"
)

// piece is what a caption of the bottom line tells of.
type piece struct {
	id         string
	start, end float64 // of the film
	head       string  // what is always said
	parts      []string
}

// bottom makes the captions at the bottom, one at a time.
func (m *maker) bottom() {
	var all []piece
	switch {
	case !m.paced():
		all = m.jumps()
	case m.shows(Spans) && m.r.Settling.Absent == nil:
		all = m.spans()
	default:
		if m.shows(Spans) {
			m.why("Settled and searching spans are not known", m.r.Settling.Absent)
		}
		if m.shows(Rates) {
			all = m.whole()
		}
	}
	if m.shows(Pauses) && m.paced() {
		all = append(all, m.pauses()...)
	}
	slices.SortStableFunc(all, func(a, b piece) int { return cmp.Compare(a.start, b.start) })
	var short []string
	for i, p := range all {
		limit := math.Inf(1)
		if i+1 < len(all) {
			limit = all[i+1].start
		}
		end := min(max(p.end, p.start+m.least), limit)
		if end-p.start < m.least-1e-9 {
			short = append(short, fmt.Sprintf("%s at %.1f s", p.head, p.start))
			continue
		}
		m.cues = append(m.cues, Cue{ID: p.id, Start: p.start, End: end, Line: -1, Text: fill(p.head, p.parts, int(readable*(end-p.start)))})
	}
	if len(short) > 0 {
		m.note("Too short to be read, and not shown: %s.", strings.Join(short, ", "))
	}
}

// add appends a piece, unless it lies before the film.
func (m *maker) add(all []piece, start, end float64, p piece) []piece {
	var ok bool
	if p.start, p.end, ok = m.within(start, end); ok {
		all = append(all, p)
	}
	return all
}

// jumps says where the film's pace changes.
func (m *maker) jumps() (all []piece) {
	m.note("The pace of the film changes within the take: no spans, pauses and rates are shown.")
	for i, j := range m.r.Jumps {
		all = m.add(all, j.At, j.At+5/m.o.SlowedBy, piece{
			id: fmt.Sprintf("pace-%d", i+1), head: "the film's pace seems to change here", parts: []string{"no rates and no spans are known"},
		})
	}
	return all
}

// spans tells of the settled and searching spans.
func (m *maker) spans() (all []piece) {
	settled := 0
	for i, s := range m.r.Spans {
		p := piece{id: fmt.Sprintf("span-%d", i+1), head: "searching"}
		if s.Settled {
			settled++
			p.head = fmt.Sprintf("settled %d", settled)
		}
		if s.Rate.Known() && m.shows(Rates) {
			p.parts = m.rate(s.Rate.Value)
		}
		lasts := "%.1f s"
		switch {
		case s.Cut:
			lasts = "%.1f s seen"
		case s.Settled:
			lasts = "held %.1f s"
		}
		p.parts = append(p.parts, fmt.Sprintf(lasts, s.End-s.Start), count(s.Strokes, "stroke", "strokes"))
		if angle := m.angle(s); angle != "" {
			p.parts = append(p.parts, angle)
		}
		all = m.add(all, s.Start, s.End, p)
	}
	return all
}

// angle is the angle of a span, as far as the view gives one.
func (m *maker) angle(s review.Span) string {
	a := s.Angle()
	if !a.Known() {
		return ""
	}
	name := "path angle"
	if m.r.Frame.View == trajectory.Oblique {
		name = "picture angle"
	}
	return fmt.Sprintf("%s %d°", name, int(math.Round(a.Value.Degrees())))
}

// rate is a rate in notes per second and in BPM.
func (m *maker) rate(v tempo.NotesPerSecond) []string {
	note := tempo.Sixteenth
	if n := m.r.Setup.TempoNote; n != nil {
		note = *n
	}
	return []string{
		fmt.Sprintf("%.1f notes/s", float64(v)),
		fmt.Sprintf("%.0f BPM (%s)", float64(v.BPM(note)), noteName(note)),
	}
}

// noteName is how players write a note value in the plural, shorter than its Plural so
// that tempo and rate fit on a line; where there is no such word, as settings do.
func noteName(v tempo.NoteValue) string {
	switch s := v.String(); s {
	case "4":
		return "quarters"
	case "8", "16", "64":
		return s + "ths"
	case "32":
		return "32nds"
	default:
		return s
	}
}

// whole tells the rate of the take, wherever it is played.
func (m *maker) whole() (all []piece) {
	v := m.r.Value("notes_per_second")
	if !v.Known() {
		m.why("The rate is not known", v.Absent)
		return nil
	}
	parts := m.rate(tempo.NotesPerSecond(v.Value))
	strokes := m.r.Motion.Strokes
	first := 0
	for i := range strokes {
		last := i+1 == len(strokes)
		if !last && !m.rests(strokes[i].End, strokes[i+1].Start) {
			continue
		}
		all = m.add(all, strokes[first].Start, strokes[i].End, piece{id: fmt.Sprintf("rate-%d", first+1), head: "whole take", parts: parts})
		first = i + 1
	}
	return all
}

// rests reports whether a pause lies between two moments.
func (m *maker) rests(from, to float64) bool {
	return slices.ContainsFunc(m.r.Motion.Pauses, func(p motion.Pause) bool { return p.Start < to && p.End > from })
}

// pauses tells of the rests of the hand.
func (m *maker) pauses() (all []piece) {
	for i, p := range m.r.Motion.Pauses {
		all = m.add(all, p.Start, p.End, piece{
			id: fmt.Sprintf("pause-%d", i+1), head: "pause", parts: []string{fmt.Sprintf("%.1f s", p.End-p.Start)},
		})
	}
	return all
}
