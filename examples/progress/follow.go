package main

import (
	"fmt"
	"io"
	"slices"
	"sync/atomic"
	"time"

	"github.com/plectrace/plectrace/examples/internal/cli"
	"github.com/plectrace/plectrace/examples/internal/takefile"
	"github.com/plectrace/plectrace/motion/advice"
	"github.com/plectrace/plectrace/motion/cohort"
	"github.com/plectrace/plectrace/motion/progress"
	"github.com/plectrace/plectrace/motion/review"
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
func (j *job) measure(m *cli.Meter, out io.Writer) error {
	defer m.End()
	var done atomic.Int32
	takefile.Each(len(j.takes), func(i int) {
		j.takes[i].measure(j.open, cohort.Options{Setup: j.setup})
		m.Count(int(done.Add(1)), len(j.takes))
	})
	m.End()
	var failures []string
	for _, t := range j.takes {
		if t.record.Failure != nil {
			failures = append(failures, takefile.Failure(t.record))
			fmt.Fprintf(out, "Left out: %s.\n", failures[len(failures)-1])
		}
	}
	if len(failures) == len(j.takes) {
		return cli.Input(fmt.Errorf("no take of the list could be measured, the first because of %s", failures[0]), "correct the files")
	}
	return nil
}

func (t *taken) measure(open takefile.Opener, o cohort.Options) {
	var r cohort.Reviewed
	t.Take, r = measure(t.Take, open, o)
	t.record = r.Record
	if r.Failure != nil {
		return
	}
	if same, err := progress.SameMotionInTake(r.Review, progress.SameMotionOptions{}); err == nil && (same.Absent == nil || t.pace == "ramp") {
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
	// hurt says that pain was noted and no later day as good, pain on which days.
	hurt bool
	pain []time.Time
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
			if t.Comfort == progress.ComfortPain && !t.Date.IsZero() {
				p.pain = append(p.pain, t.Date)
			}
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
		if p.Progress, err = follow(own, j.primary); err != nil {
			return cli.Input(err, "")
		}
		p.Player = code
		p.hurt = hurt(all)
		if p.same, err = slowAgainstFast(j.paced(code)); err != nil {
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
	var latest *review.Summary
	if p.latest != nil {
		latest = p.latest.Summary
	}
	p.advice = counsel(latest, j.task, comfort, p.Repeats)
}
