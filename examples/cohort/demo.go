package main

import (
	"context"
	"fmt"
	"io"
	"io/fs"
	"math"
	"strings"
	"time"

	"github.com/plectrace/plectrace/examples/internal/cli"
	"github.com/plectrace/plectrace/examples/internal/takefile"
	"github.com/plectrace/plectrace/motion/cohort"
	"github.com/plectrace/plectrace/motion/progress"
	"github.com/plectrace/plectrace/motion/simulate"
	"github.com/plectrace/plectrace/variability/circular"
	"github.com/plectrace/plectrace/variability/estimate"
)

// The demo is an invented evening class of a plectrum orchestra: so many players,
// filmed on so many evenings, a week apart, for so many seconds.
const demoPlayers, demoEvenings, demoSeconds = 30, 6, 6

const demoLead = "An invented evening class of adult beginners in a plectrum orchestra. Its takes are made up when the program runs; no real player was measured. One export is broken and one take was stopped by pain, to show what becomes of them."

// demoPlan is the plan of the demo.
const demoPlan = `{
  "title": "An invented evening class",
  "primary": {"predictor": "duration_scatter_share", "outcome": "notes_per_second"},
  "exploratory": [
    {"predictor": "path_angle_scatter_deg", "outcome": "notes_per_second"},
    {"predictor": "duration_scatter_share", "outcome": "length"}
  ],
  "margin": 0.3
}`

// demo makes up a study and runs it.
func demo(ctx context.Context, f flags, plan cohort.Plan, out io.Writer) error {
	fmt.Fprintln(f.Words(out), "Demo: an invented evening class of a plectrum orchestra. No real player was measured.")
	if f.plan == "" {
		var err error
		if plan, err = readPlan(demoPlan); err != nil {
			return err
		}
	}
	return demoJob(f, plan).run(ctx, out)
}

func demoJob(f flags, plan cohort.Plan) *job {
	roster := demoRoster()
	if f.by == "" && plan.Cluster == "" {
		f.by = "class"
	}
	return &job{f: f, roster: roster, open: openDemo, plan: plan, lead: demoLead,
		extra: []cli.Output{{Name: demoList, Write: func(w io.Writer) error { return progress.WriteRoster(w, roster) }}}}
}

func demoRoster() progress.Roster {
	r := progress.Roster{Columns: []string{"class"}}
	first := time.Date(2026, 1, 12, 0, 0, 0, 0, time.UTC)
	for p := range demoPlayers {
		class := [...]string{"monday", "thursday"}[p%2]
		for e := range demoEvenings {
			t := progress.Take{
				Player: fmt.Sprintf("P%02d", p+1), Date: first.AddDate(0, 0, 7*e+3*(p%2)), Take: "1",
				File: fmt.Sprintf("p%02d-%d.csv", p+1, e+1), Setup: "class", StoppedBy: "timer", Comfort: progress.ComfortGood, Extra: []string{class},
			}
			if p == 3 && e == 2 {
				t.StoppedBy, t.Comfort = "pain", progress.ComfortPain
			}
			r.Takes = append(r.Takes, t)
		}
	}
	return r
}

// openDemo makes up the file of that name.
func openDemo(name string) (io.ReadCloser, error) {
	var p, e int
	if _, err := fmt.Sscanf(name, "p%d-%d", &p, &e); err != nil {
		return nil, fs.ErrNotExist
	}
	settings := strings.HasSuffix(name, ".json")
	if p == 8 && e == 5 && !settings {
		return io.NopCloser(strings.NewReader("time_s,tip_x,tip_y\n0,640,two\n")), nil
	}
	take, err := simulate.Make(demoTake(p, e))
	if err != nil {
		return nil, err
	}
	return takefile.Made(take, settings)
}

// demoTake is take e of player p: players who keep worse time at first gain less
// rate over the weeks, each with evenings of their own.
func demoTake(p, e int) simulate.Options {
	of := estimate.Stream(uint64(p), "player")
	uneven, start, rest := of.NormFloat64(), of.NormFloat64(), of.NormFloat64()
	day := estimate.Stream(uint64(100*p+e), "evening")
	week := float64(e-1) / (demoEvenings - 1)
	rate := 6.5 * math.Exp(0.12*start+week*(0.15-0.1*uneven+0.04*rest)+0.02*day.NormFloat64())
	return simulate.Options{
		Seed: uint64(100*p + e), Duration: demoSeconds, Rate: rate, PathAngle: circular.Angle(0.2),
		Jitter: 0.05 * math.Exp(0.4*uneven+0.1*day.NormFloat64()), AngleScatter: circular.Angle(0.04 * math.Exp(0.3*rest)),
	}
}
