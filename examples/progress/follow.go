package main

import (
	"errors"
	"fmt"
	"io"
	"slices"
	"time"

	"github.com/plectrace/plectrace/examples/internal/cli"
	"github.com/plectrace/plectrace/examples/internal/measured"
	"github.com/plectrace/plectrace/examples/internal/takefile"
	"github.com/plectrace/plectrace/motion/advice"
	"github.com/plectrace/plectrace/motion/cohort"
	"github.com/plectrace/plectrace/motion/progress"
	"github.com/plectrace/plectrace/motion/review"
	"github.com/plectrace/plectrace/variability/estimate"
)

// taken is a take of the list with what was measured on it.
type taken struct {
	progress.Take
	// pace is "slow", "fast" or "ramp" where a rate was asked for, and otherwise ""
	// or "own".
	pace   string
	record *cohort.Record
	// ramp says whether the take's slow strokes are the motion of its fast ones, nil
	// where its rate does not change enough for the question.
	ramp *progress.SameMotion
}

func (t *taken) own() bool { return t.pace == "" || t.pace == "own" }

// measure reviews the takes. Those that fail are told and left out.
func (j *job) measure(out io.Writer) error {
	takefile.Each(len(j.takes), func(i int) { j.takes[i].measure(j.open, j.setup) })
	failed := 0
	for _, t := range j.takes {
		if t.record.Failure != nil {
			failed++
			fmt.Fprintf(out, "Left out: %s.\n", takefile.Failure(t.record))
		}
	}
	if failed == len(j.takes) {
		return cli.Input(errors.New("no take of the list could be measured"), "correct the files that are named above")
	}
	return nil
}

func (t *taken) measure(open takefile.Opener, setup *review.Setup) {
	k := cohort.Review(t.Take, open, cohort.Options{Setup: setup})
	t.record = k.Record
	if k.Failure != nil {
		return
	}
	t.Summary = k.Review.Summary()
	if same, err := progress.SameMotionInTake(k.Review, progress.SameMotionOptions{}); err == nil && (same.Absent == nil || t.pace == "ramp") {
		t.ramp = &same
	}
}

// player is what the page tells of one player.
type player struct {
	progress.Progress
	// asked are the takes whose rate was asked for: no part of the rest.
	asked int
	// ramp is the latest take in which the rate changes, nil without one, and same
	// holds the slow takes of a day against the fast ones.
	ramp *taken
	same progress.SameMotion
	// latest is the take that the advice is about, nil without one.
	latest *taken
	advice advice.Advice
	// hurt says that pain was noted and no later day as good.
	hurt bool
}

// follow follows each player.
func (j *job) follow() error {
	for _, code := range j.roster.Players() {
		var all, own []progress.Take
		p := player{}
		for _, t := range j.takes {
			if t.Player != code {
				continue
			}
			all = append(all, t.Take)
			if t.own() {
				own = append(own, t.Take)
			} else {
				p.asked++
			}
			if t.Summary != nil && t.own() && !t.Date.IsZero() && (p.latest == nil || !t.Date.Before(p.latest.Date)) {
				p.latest = t
			}
			if t.ramp != nil && (p.ramp == nil || !t.Date.Before(p.ramp.Date)) {
				p.ramp = t
			}
		}
		var err error
		if p.Progress, err = progress.OfPlayer(own, progress.Options{Primary: j.primary}); err != nil {
			return cli.Input(err, "")
		}
		p.Player = code
		p.hurt = hurt(all)
		if p.same, err = progress.SameMotionInTakes(j.paced(code), progress.SameMotionOptions{}); err != nil {
			return cli.Input(err, "")
		}
		j.advise(&p)
		j.players = append(j.players, p)
	}
	return nil
}

// paced returns the takes for the question whether the slow motion is the fast one:
// those of the days on which a slow or a fast take was filmed, or all of them where
// none was asked for.
func (j *job) paced(code string) []progress.Take {
	days := map[string]bool{}
	day := func(t *taken) string { return t.Date.Format(time.DateOnly) }
	for _, t := range j.takes {
		if t.Player == code && (t.pace == "slow" || t.pace == "fast") {
			days[day(t)] = true
		}
	}
	var out []progress.Take
	for _, t := range j.takes {
		if t.Player == code && t.Summary != nil && !t.Date.IsZero() && t.pace != "ramp" && (len(days) == 0 || days[day(t)]) {
			out = append(out, t.Take)
		}
	}
	return out
}

// hurt reports whether pain was noted and no later day was noted as good.
func hurt(takes []progress.Take) bool {
	var last time.Time
	found := false
	for _, t := range takes {
		if t.Comfort == progress.ComfortPain {
			if found = true; t.Date.IsZero() {
				return true // nobody knows what came after it
			}
			if t.Date.After(last) {
				last = t.Date
			}
		}
	}
	return found && !slices.ContainsFunc(takes, func(t progress.Take) bool {
		return t.Comfort == progress.ComfortGood && t.Date.After(last) && t.Date.Format(time.DateOnly) != last.Format(time.DateOnly)
	})
}

// advise says what to work on after the latest take.
func (j *job) advise(p *player) {
	comfort := progress.ComfortUnknown
	if p.latest != nil {
		comfort = p.latest.Comfort
	}
	if p.hurt {
		comfort = progress.ComfortPain
	}
	e := advice.Evidence{Task: j.task, Comfort: comfort, Repeat: &p.Repeats}
	if p.latest != nil {
		e.Take = p.latest.Summary
	}
	p.advice = advice.Default().Advise(e)
}

// outputs are the files of the folder.
func (j *job) outputs() []cli.Output {
	return []cli.Output{
		{Name: "page.html", Write: func(w io.Writer) error { return j.page().HTML(w) }},
		{Name: "progress.csv", Write: j.rows},
		{Name: "trends.csv", Write: j.trends},
	}
}

// rows writes one line for each take and measure, as the program cohort does and
// reads.
func (j *job) rows(out io.Writer) error {
	w, err := cohort.NewRowWriter(out, j.roster.Columns, false)
	if err != nil {
		return err
	}
	for _, t := range j.takes {
		if err := w.Write(t.record); err != nil {
			return err
		}
	}
	return w.Flush()
}

// trends writes one line for each player, measure and group of takes that may be
// compared.
func (j *job) trends(out io.Writer) error {
	w := measured.NewTable(out, "player", "measure", "title", "unit", "setup", "primary", "takes", "days", "first", "last",
		"per_week", "per_week_low", "per_week_high", "change", "change_low", "change_high", "p", "p_adjusted", "smallest_change_one_day", "smallest_change_two_days", "curve", "absent", "why")
	for _, p := range j.players {
		for _, s := range p.Series {
			row := []any{p.Player, s.Name, s.Title, s.Unit, s.Setup, s.Primary, s.Takes, len(s.Days)}
			if s.Absent != nil {
				for range 13 {
					row = append(row, "")
				}
				w.Line(append(row, s.Absent.Code, s.Absent.Why)...)
				continue
			}
			row = append(row, s.Days[0].Value, s.Days[len(s.Days)-1].Value)
			for _, v := range []estimate.Value[float64]{s.PerWeek, s.Change} {
				row = append(row, measured.Cells(v)...)
			}
			r, _ := p.Repeats.Of(s.Name)
			row = append(row, s.Trend.P, s.Adjusted, measured.Cells(r.Smallest(1, 1, false))[0], measured.Cells(r.Smallest(1, 1, true))[0])
			curve := ""
			if s.Curve != nil {
				curve = s.Curve.Verdict.String()
			}
			absent, why := "", ""
			if a := s.Trend.Absent; a != nil {
				absent, why = a.Code, measured.Why(a)
			}
			w.Line(append(row, curve, absent, why)...)
		}
	}
	return w.Flush()
}
