package main

import (
	"fmt"
	"math"

	"github.com/plectrace/plectrace/examples/internal/measured"
	"github.com/plectrace/plectrace/examples/internal/notebook"
	"github.com/plectrace/plectrace/motion/review"
	"github.com/plectrace/plectrace/motion/simulate"
	"github.com/plectrace/plectrace/trajectory"
	"github.com/plectrace/plectrace/variability/robust"
)

// made is a take with its files, and with what a review finds in them.
type made struct {
	job
	take             *simulate.Take
	path             trajectory.Placed // where the tip really was
	export, settings []byte
	truth            []byte
	// review is nil where failure says why there is none.
	review  *review.Review
	failure error
	// pairs are what matched returns, checks what held does.
	pairs  []int
	checks []check
}

// compare reviews the take and holds what comes of it against the truth.
func (m *made) compare() {
	if m.review, m.failure = reviewed(m.export, m.settings); m.failure != nil {
		return
	}
	m.pairs = matched(m.take.Truth.Strokes, m.review.Motion.Strokes, m.filmed)
	m.checks = held(m.take, m.review)
}

// filmed is the time at which the review has a moment: that of the film, with what
// the settings say of its slow motion taken out.
func (m *made) filmed(at float64) float64 {
	return m.take.FilmTime(at) / m.take.Options.SlowedBy
}

// counts are how many of the strokes were found, how many were missed, and how many
// were found that nobody made.
func (m *made) counts() (found, missed, extra int) {
	for _, j := range m.pairs {
		if j < 0 {
			missed++
		}
	}
	found = len(m.pairs) - missed
	return found, missed, len(m.review.Motion.Strokes) - found
}

// turnError is the median distance in time, in seconds, of the turns at which
// strokes end, of those that were seen; NaN without any.
func (m *made) turnError() float64 {
	var apart []float64
	for i, j := range m.pairs {
		if j >= 0 && !m.review.Motion.Strokes[j].EndHidden {
			apart = append(apart, math.Abs(m.review.Motion.Strokes[j].End-m.filmed(m.take.Truth.Strokes[i].End)))
		}
	}
	return robust.Median(apart)
}

// settled is what overlap returns; NaN where the times of film and playing are not
// one, or nothing could be said of spans.
func (m *made) settled() float64 {
	if m.take.Options.SlowBy > 1 || m.review.Settling.Absent != nil {
		return math.NaN()
	}
	return overlap(m.take.Truth.Spans, m.review.Spans)
}

// strokesTable tells what became of the strokes and the spans.
func (m *made) strokesTable() notebook.Table {
	found, missed, extra := m.counts()
	t := notebook.Table{Caption: "Strokes and spans, made and found.", Head: []string{"What", "Made", "Found"}, Numeric: []bool{false, true, true}}
	add := func(what, made, found string) { t.Rows = append(t.Rows, []string{what, made, found}) }
	add("Strokes", fmt.Sprint(len(m.pairs)), fmt.Sprint(found))
	add("Strokes that were missed", "", fmt.Sprint(missed))
	add("Strokes that nobody made", "0", fmt.Sprint(extra))
	if ms := 1000 * m.turnError(); ms == ms {
		add("Times of turns lie apart by (median), ms", "", measured.Digits(ms, 2))
	}
	spans := func(settled bool) (n int) {
		for _, s := range m.take.Truth.Spans {
			if s.Settled == settled {
				n++
			}
		}
		return n
	}
	if m.review.Settling.Absent == nil {
		foundSettled := 0
		for _, s := range m.review.Spans {
			if s.Settled {
				foundSettled++
			}
		}
		add("Settled spans", fmt.Sprint(spans(true)), fmt.Sprint(foundSettled))
	}
	if both := m.settled(); both == both {
		add("Settled in both, of the time settled in either", "", measured.Percent(both))
	}
	clearing := m.review.Clearing.Clearing.String()
	if m.review.Clearing.Absent != nil {
		clearing = "not told"
	}
	add("Turns that clear the strings", m.take.Truth.Clearing, clearing)
	return t
}

// inside says whether the truth lies in the interval, "" without an interval.
func (c check) inside() string {
	switch {
	case !c.Found.Known() || !measured.Bounded(c.Found):
		return ""
	case c.Found.Low <= c.Made && c.Made <= c.Found.High:
		return "yes"
	}
	return "no"
}

// decimals are those that the interval bears, and as many more as it takes to see that
// the truth lies outside of it.
func (c check) decimals() int {
	d := measured.Decimals(c.Found)
	if c.inside() == "no" {
		for d < 9 && (measured.Fixed(c.Made, d) == measured.Fixed(c.Found.Low, d) || measured.Fixed(c.Made, d) == measured.Fixed(c.Found.High, d)) {
			d++
		}
	}
	return d
}

// checksTable tells measures beside the truth, and in sentences why those are
// absent that are.
func (m *made) checksTable() (t notebook.Table, absent []string) {
	t = notebook.Table{
		Caption: "What was measured, with its interval at 95 %, and whether that holds what was made. Angles are medians over all strokes.",
		Head:    []string{"Measure", "Made", "Measured", "Holds it"},
		Numeric: []bool{false, true, true, false},
	}
	var reasons measured.Reasons
	for _, c := range m.checks {
		of, _ := measured.Named(c.Measure)
		title := measured.Title(of.Title, m.review.UnitOf(of))
		if !c.Found.Known() {
			reasons.Add(measured.Why(c.Found.Absent), measured.Lower(title))
			continue
		}
		d := c.decimals()
		t.Rows = append(t.Rows, []string{title, measured.Fixed(c.Made, d), measured.At(c.Found, d), c.inside()})
	}
	if a := m.review.Clearing.Absent; a != nil {
		reasons.Add(a.Why, "which turns clear the strings")
	}
	return t, reasons.Sentences()
}
