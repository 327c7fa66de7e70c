package main

import (
	"fmt"
	"io"
	"io/fs"
	"math"
	"strings"
	"time"

	"github.com/plectrace/plectrace/examples/internal/takefile"
	"github.com/plectrace/plectrace/motion/progress"
	"github.com/plectrace/plectrace/motion/simulate"
	"github.com/plectrace/plectrace/variability/circular"
	"github.com/plectrace/plectrace/variability/estimate"
)

// The demo is two players of an invented evening class: so many evenings, a week
// apart, so many takes of so many seconds on each.
const demoEvenings, demoTakes, demoSeconds = 10, 3, 8

// demo makes up the list. The exports are made when they are opened.
func (j *job) demo() {
	j.lead = "An invented evening class of adult beginners in a plectrum orchestra. Its takes are made up when the program runs; no real player was measured. Of the second player one export is broken and one take was stopped by pain, to show what becomes of them."
	j.open = openDemo
	j.roster = progress.Roster{Columns: []string{"pace"}}
	first := time.Date(2026, 1, 12, 0, 0, 0, 0, time.UTC)
	add := func(p, e, k int, pace string) {
		t := progress.Take{
			Player: fmt.Sprintf("P%02d", p), Date: first.AddDate(0, 0, 7*e+3*(p-1)), Take: fmt.Sprint(k),
			File: fmt.Sprintf("p%02d-%d-%d%s.csv", p, e+1, k, pace), Setup: "class", StoppedBy: "timer", Comfort: progress.ComfortGood, Extra: []string{pace},
		}
		if p == 2 && e == demoEvenings-1 && k == demoTakes {
			t.StoppedBy, t.Comfort = "pain", progress.ComfortPain
		}
		j.roster.Takes = append(j.roster.Takes, t)
	}
	for p := 1; p <= 2; p++ {
		for e := range demoEvenings {
			for k := range demoTakes {
				add(p, e, k+1, "")
			}
		}
	}
	for k, pace := range []string{"slow", "slow", "slow", "fast", "fast", "fast"} {
		add(1, demoEvenings-1, demoTakes+1+k, pace)
	}
}

// openDemo makes up the file of that name.
func openDemo(name string) (io.ReadCloser, error) {
	var p, e, k int
	if _, err := fmt.Sscanf(name, "p%d-%d-%d", &p, &e, &k); err != nil {
		return nil, fs.ErrNotExist
	}
	settings := strings.HasSuffix(name, ".json")
	if p == 2 && e == 4 && k == 2 && !settings {
		return io.NopCloser(strings.NewReader("time_s,tip_x,tip_y\n0,640,two\n")), nil
	}
	take, err := simulate.Make(demoTake(p, e, k, name))
	if err != nil {
		return nil, err
	}
	return takefile.Made(take, settings)
}

// demoTake is take k of evening e of player p. P01 searches for half of a take at
// first and hardly at last, and gets faster and more even, most of it in the first
// weeks; P02 stays alike.
// Evenings and takes differ in both.
func demoTake(p, e, k int, name string) simulate.Options {
	day := estimate.Stream(uint64(100*p+e), "evening")
	seed := uint64(1000*p + 10*e + k)
	take := estimate.Stream(seed, "take")
	learned := 1 - math.Exp(-float64(e-1)/3)
	if p == 2 {
		learned = 0.3
	}
	o := simulate.Options{
		Seed: seed, Duration: demoSeconds, PathAngle: circular.Angle(16+0.8*day.NormFloat64()+0.6*take.NormFloat64()) * circular.Degree,
		Rate:         6.5 * math.Exp(0.25*learned+0.015*day.NormFloat64()+0.015*take.NormFloat64()),
		Jitter:       0.04 * math.Exp(-0.5*learned+0.1*take.NormFloat64()),
		AngleScatter: circular.Angle(2.2*math.Exp(-0.6*learned+0.1*day.NormFloat64()+0.1*take.NormFloat64())) * circular.Degree,
	}
	settles := max(0.3, 4.5*(1-0.85*learned)+0.4*day.NormFloat64()+0.3*take.NormFloat64())
	o.Plan = []simulate.Stretch{{Start: 0, Search: simulate.Fresh}, {Start: settles}}
	switch {
	case strings.Contains(name, "slow"):
		o.Rate, o.Plan = 4.5*math.Exp(0.02*take.NormFloat64()), nil
	case strings.Contains(name, "fast"):
		o.Rate, o.Plan = 8.5*math.Exp(0.02*take.NormFloat64()), nil
	}
	return o
}
