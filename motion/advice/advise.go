package advice

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"gonum.org/v1/gonum/stat/distuv"

	"github.com/plectrace/plectrace/motion/progress"
	"github.com/plectrace/plectrace/motion/review"
	"github.com/plectrace/plectrace/variability/estimate"
)

// Evidence is what advice rests on.
type Evidence struct {
	Take *review.Summary
	Task Task
	// Comfort is how the player felt; pain leaves no other advice.
	Comfort progress.Comfort
	// Repeat says how far the player's takes of a day differ by themselves, nil
	// where that is not known.
	Repeat *progress.Repeats
}

// Item is one thing that holds, or one to work on.
type Item struct {
	Key, Topic string
	Text       string
	// Source says where the thresholds come from.
	Source string
	// OneTake says that only this take bears it: how far the player's takes
	// differ by themselves is not known for its measures.
	OneTake bool
}

// Unsaid is a rule that could not be judged, and why.
type Unsaid struct{ Key, Why string }

// Advice is what to tell a player after a take.
type Advice struct {
	// Stop replaces everything else when it is not empty.
	Stop []string
	// Holds is one thing that holds, to be told first; nil where nothing can be
	// said to.
	Holds *Item
	// Work are at most two things to work on, the more important first.
	Work []Item
	// Notes are for the reader, such as why there is nothing to work on.
	Notes []string
	// Unsaid are the rules that could not be judged.
	Unsaid []Unsaid
}

const (
	// most is how many things to work on there are at most.
	most = 2
	// level of the intervals between takes.
	level = 0.95
)

// Advise returns what to tell the player. It never fails: without a take, or with
// a question about the film open, the notes say what is to be done first.
func (t Table) Advise(e Evidence) Advice {
	if e.Comfort == progress.ComfortPain {
		return Advice{Stop: progress.StopRest()}
	}
	var a Advice
	if e.Comfort == progress.ComfortTired {
		a.Notes = append(a.Notes, "Rest before the next take.")
	}
	switch {
	case e.Take == nil:
		a.Notes = append(a.Notes, "There is no review of a take.")
		return a
	case slices.Contains(e.Take.Flags, "question"):
		a.Notes = append(a.Notes, "A question about the film is open: answer it first, since all that follows rests on it.")
		return a
	}
	topics, judged := map[string]bool{}, false
	for _, r := range t.Rules {
		if r.Task != TaskUnknown && r.Task != e.Task {
			if e.Task == TaskUnknown {
				a.Unsaid = append(a.Unsaid, Unsaid{r.Key, "it is not said what was to be played (one string, or changing strings)"})
			}
			continue
		}
		if have, need := e.Take.Seconds, r.MinSeconds; have < need {
			a.Unsaid = append(a.Unsaid, Unsaid{r.Key, fmt.Sprintf("the take lasts %.0f s, and this needs %.0f s", have, need)})
			continue
		}
		work := e.judge(r.Work)
		holds := e.judge(r.Holds)
		judged = judged || len(r.Work) > 0 && work.answer != unknown || len(r.Holds) > 0 && holds.answer != unknown
		switch {
		case work.answer == yes && !topics[r.Topic] && len(a.Work) < most:
			topics[r.Topic] = true
			a.Work = append(a.Work, e.item(r, r.Say, work))
		case holds.answer == yes && a.Holds == nil:
			item := e.item(r, r.Praise, holds)
			a.Holds = &item
		case work.answer == unknown:
			a.Unsaid = append(a.Unsaid, Unsaid{r.Key, work.why})
		case holds.answer == unknown && len(r.Work) == 0:
			a.Unsaid = append(a.Unsaid, Unsaid{r.Key, holds.why})
		}
	}
	if !judged {
		a.Notes = append(a.Notes, "What holds and what to work on cannot be said of this take.")
		return a
	}
	if a.Holds == nil {
		a.Notes = append(a.Notes, "Of nothing that is looked at can be said with certainty that it holds yet.")
	}
	if len(a.Work) == 0 {
		a.Notes = append(a.Notes, "Nothing that is looked at stands out enough to work on.")
	}
	return a
}

type answer int

const (
	no answer = iota
	yes
	unknown
)

// judgement is what the numbers say of some conditions together.
type judgement struct {
	answer  answer
	why     string // of unknown
	oneTake bool
}

// judge answers yes when every condition is true of the whole interval, unknown
// when one cannot be judged, and no otherwise.
func (e Evidence) judge(conditions []Condition) judgement {
	if len(conditions) == 0 {
		return judgement{answer: no}
	}
	j := judgement{answer: yes}
	for _, c := range conditions {
		m, v := measured(e.Take, c.Measure)
		unit := strings.ReplaceAll(m.Unit, "unit", e.Take.Unit)
		switch {
		case !v.Known():
			why := "it was not measured"
			if v.Absent != nil {
				why = v.Absent.Why
			}
			return judgement{answer: unknown, why: why}
		case c.Unit != "" && c.Unit != unit:
			return judgement{answer: unknown, why: fmt.Sprintf("it takes %s, and the take is in %s", c.Unit, unit)}
		case math.IsNaN(v.Low) || math.IsNaN(v.High):
			return judgement{answer: unknown, why: "there are too few strokes for an interval"}
		}
		low, high, repeats := e.reach(m, v)
		j.oneTake = j.oneTake || !repeats
		if c.Above != nil && low <= *c.Above || c.Below != nil && high >= *c.Below {
			j.answer = no
		}
	}
	return j
}

// reach is the interval of a measure, widened by how far takes of the player
// differ by themselves where that is known.
func (e Evidence) reach(m review.Measure, v estimate.Value[float64]) (low, high float64, repeats bool) {
	if e.Repeat == nil {
		return v.Low, v.High, false
	}
	r, _ := e.Repeat.Of(m.Name)
	if !r.Within.Known() {
		return v.Low, v.High, false
	}
	apart := distuv.StudentsT{Sigma: 1, Nu: float64(r.WithinDF)}.Quantile((1+level)/2) * r.Within.Value
	if m.Scale != review.Ratio {
		return v.Value - math.Hypot(v.Value-v.Low, apart), v.Value + math.Hypot(v.High-v.Value, apart), true
	}
	if v.Value <= 0 { // less than the noise: known by its upper bound alone
		return 0, v.High * math.Exp(apart), true
	}
	// A lower bound of zero stays there: its logarithm is without end.
	low = v.Value * math.Exp(-math.Hypot(math.Log(v.Value/max(v.Low, 0)), apart))
	high = v.Value * math.Exp(math.Hypot(math.Log(v.High/v.Value), apart))
	return low, high, true
}

func (e Evidence) item(r Rule, text string, j judgement) Item {
	text = placeholder.ReplaceAllStringFunc(text, func(p string) string {
		return inWords(e.Take, strings.Trim(p, "{}"))
	})
	return Item{Key: r.Key, Topic: r.Topic, Text: text, Source: r.Source, OneTake: j.oneTake}
}

func measured(s *review.Summary, name string) (review.Measure, estimate.Value[float64]) {
	for i, m := range review.Measures() {
		if m.Name == name && i < len(s.Values) {
			return m, s.Values[i]
		}
	}
	return review.Measure{}, s.Value(name)
}

// inWords is a measure's value with its unit, to as many digits as its interval
// bears: one beyond the first that differs within it. Parts of a whole and of a
// mean are told in per cent.
func inWords(s *review.Summary, name string) string {
	m, v := measured(s, name)
	unit := strings.ReplaceAll(m.Unit, "unit", s.Unit)
	x, half := v.Value, (v.High-v.Low)/2
	if unit == "" && (m.Scale == review.Share || m.Scale == review.Ratio) {
		x, half, unit = 100*x, 100*half, "%"
	}
	decimals := 0
	if half > 0 {
		decimals = min(3, max(0, -int(math.Floor(math.Log10(2*half)))))
	}
	text := fmt.Sprintf("%.*f", decimals, x)
	if strings.Trim(text, "-0.") == "" {
		text = strings.TrimPrefix(text, "-")
	}
	return strings.TrimSpace(text + " " + unit)
}
