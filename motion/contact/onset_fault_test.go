package contact_test

import (
	"testing"

	"github.com/plectrace/plectrace/motion"
	"github.com/plectrace/plectrace/motion/contact"
	"github.com/plectrace/plectrace/motion/simulate"
	"github.com/plectrace/plectrace/trajectory"
)

// TestSilentInFaultyFilm holds that notes are not called silent because the film
// is at fault: with a fifth of the samples lost, and filled by the tracker with
// straight lines or repeated values, the share of silent strokes stays that of
// the truth.
func TestSilentInFaultyFilm(t *testing.T) {
	takes := 20
	if testing.Short() {
		takes = 10
	}
	for _, c := range []struct {
		name             string
		straight, frozen bool
		view             trajectory.View
	}{
		{name: "lost"},
		{name: "straight lines", straight: true},
		{name: "repeated values", frozen: true},
		{name: "both", straight: true, frozen: true},
		{name: "repeated values, from the front", frozen: true, view: trajectory.Front},
	} {
		var held covered
		var excess float64
		var strokes, silent, wrong, sounds, unknown int
		for seed := range takes {
			rng := stream("contact/faulty film", seed)
			hz := []float64{60, 120, 240}[seed%3]
			o := simulate.Options{
				Seed: rng.Uint64(), Rate: 4 + 5*rng.Float64()*hz/120, PathAngle: 0.3, MissShare: 0.08 * rng.Float64(), View: c.view,
				FrameRate: hz, DropOuts: 0.2, StraightFills: c.straight, FrozenFills: c.frozen, OnsetJitter: 0.003, Duration: 30,
			}
			if o.Rate > 12 {
				o.Rate = 12
			}
			take, err := simulate.Make(o)
			if err != nil {
				t.Fatal(err)
			}
			p := placed(t, take)
			m, err := motion.Analyze(p, motion.Options{HeightError: 0.02})
			if err != nil {
				t.Fatal(err)
			}
			cs, err := contact.Find(m, p, contact.Strings{Number: 6, SpacingMM: 10, CrownRadiusMM: -1}, contact.Options{})
			if err != nil {
				t.Fatal(err)
			}
			var on []contact.Onset
			for _, k := range take.Truth.Onsets {
				on = append(on, contact.Onset{Time: k.T, Level: k.Level})
			}
			match, err := contact.MatchOnsets(m.Strokes, cs, on, contact.MatchOptions{FindOffset: true})
			if err != nil || match.Absent != nil {
				t.Fatalf("%s, take %d: %+v, %v", c.name, seed, match.Absent, err)
			}
			n := len(take.Truth.Strokes)
			mid, missed := make([]float64, n), 0.0
			for i, s := range take.Truth.Strokes {
				mid[i] = (s.Start + s.End) / 2
				if !s.Reached {
					missed++
				}
			}
			missed /= float64(n)
			v := match.Silent()
			held.add(v.Low <= missed && missed <= v.High)
			excess += (v.Value - missed) / float64(takes)
			for i, k := range pair(m.Strokes, mid) {
				if k < 0 {
					continue
				}
				strokes++
				reached := take.Truth.Strokes[k].Reached
				switch match.Struck[i] {
				case contact.No:
					silent++
					if reached {
						wrong++
					}
				case contact.Yes:
					if !reached {
						sounds++
					}
				default:
					unknown++
				}
			}
		}
		t.Logf("%-32s share too great by %+.4f, held in %d of %d takes; of %d strokes %d silent, %d of them wrongly; %d wrongly sound, %d unknown",
			c.name, excess, held.in, held.all, strokes, silent, wrong, sounds, unknown)
		if excess > 0.005 || excess < -0.01 || held.in < held.all-1 || wrong > strokes/500 || sounds > strokes/500 || unknown > strokes/50 {
			t.Errorf("%s: share too great by %.4f, held in %d of %d; %d wrongly silent, %d wrongly sounding, %d unknown of %d",
				c.name, excess, held.in, held.all, wrong, sounds, unknown, strokes)
		}
	}
}
