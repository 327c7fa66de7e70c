package settling_test

import (
	"flag"
	"fmt"
	"math"
	"testing"

	"github.com/plectrace/plectrace/variability/estimate"
	"github.com/plectrace/plectrace/variability/settling"
)

// calibrate is the number of takes behind each figure; 0 means a quick number.
var calibrate = flag.Int("calibrate", 0, "takes for each figure of the calibration")

// tuning moves the seeds away from those of the figures that are reported.
var tuning = flag.Bool("tuning", false, "draw the takes that settings are tuned to")

func takes(t *testing.T, quick int) int {
	t.Helper()
	if testing.Short() {
		t.Skip("slow")
	}
	if *calibrate > 0 {
		return *calibrate
	}
	return quick
}

// cover counts how often intervals hold the truth.
// below and above are the intervals that lie there.
type cover struct{ in, below, above, all, absent int }

func (c *cover) add(v estimate.Value[float64], truth float64) {
	switch {
	case !v.Known() || v.Level == 0:
		c.absent++
		return
	case v.High < truth:
		c.below++
	case v.Low > truth:
		c.above++
	default:
		c.in++
	}
	c.all++
}

func (c cover) String() string {
	return fmt.Sprintf("%.3f of %d (%d below, %d above), none in %d", float64(c.in)/float64(c.all), c.all, c.below, c.above, c.absent)
}

// holds fails the test if the intervals of n takes hold the truth less often
// than want, the figure of many takes, by more than 3.5 standard errors of a
// share of n: what an interval of one take does, its others are likely to do.
func (c cover) holds(t *testing.T, what string, n int, want float64) {
	t.Helper()
	least := want - 3.5*math.Sqrt(want*(1-want)/float64(n))
	if got := float64(c.in) / float64(c.all); !(got >= least) {
		t.Errorf("%s: %v, want %.3f", what, c, least)
	}
}

// rarely fails the test if more than want of n, the figure of many takes, did.
func rarely(t *testing.T, what string, did, n int, want float64) {
	t.Helper()
	if most := want + 3.5*math.Sqrt(want*(1-want)/float64(n)); float64(did) > most*float64(n) {
		t.Errorf("%s: %d of %d, want %.3f", what, did, n, most)
	}
}

func seedOf(name string) string {
	if *tuning {
		return "tuning " + name
	}
	return "held out " + name
}

func TestExploreCover(t *testing.T) {
	n := takes(t, 100)
	for _, find := range []bool{false, true} {
		for _, phi := range []float64{0, 0.3, 0.6, 0.9} {
			name := fmt.Sprintf("phi %.1f, found %v", phi, find)
			t.Run(name, func(t *testing.T) {
				var scatter, ratio, share, memory, pooled cover
				verdicts, pool := [4]int{}, [4]int{}
				bias := 0.0
				for k := range n {
					rng := seeded(seedOf("explore "+name), k)
					p := usual(rng)
					p.phi = phi
					d := p.draw(rng)
					r := d.known()
					if find {
						r = settling.Find(d.strokes, settling.Options{})
					}
					e := settling.Explore(d.strokes, r, settling.ExploreOptions{})
					if e.Absent != nil {
						continue
					}
					sum := 0.0
					for _, w := range p.wide {
						sum += w * w
					}
					for f, x := range e.Features {
						scatter.add(x.Scatter, p.wide[f])
						ratio.add(x.Ratio, p.wide[f]/p.narrow[f])
						share.add(x.Share, p.wide[f]*p.wide[f]/sum)
						memory.add(x.Memory, phi*phi)
						verdicts[x.Draws]++
						bias += (x.Memory.Value - phi*phi) / 3
					}
					pooled.add(e.Memory, phi*phi)
					pool[e.Draws]++
				}
				t.Logf("scatter %v; ratio %v; share %v", scatter, ratio, share)
				scatter.holds(t, "scatter", n, 0.945)
				ratio.holds(t, "ratio", n, 0.945)
				share.holds(t, "share", n, 0.945)
				memory.holds(t, "memory", n, 0.935)
				pooled.holds(t, "memory of all", n, map[bool]float64{false: 0.935, true: 0.905}[find && phi > 0.7])
				if phi < 0.5 { // a memory of 0.09 is none, one of 0.81 is
					rarely(t, "wander", pool[settling.Wander], n, 0.01)
				} else if phi > 0.7 {
					rarely(t, "fresh", pool[settling.Fresh], n, 0.01)
				}
				t.Logf("memory %v bias %.3f verdicts %v; pooled %v %v", memory, bias/float64(n), verdicts, pooled, pool)
			})
		}
	}
}

// TestHistoryCover: takes that go on and on under one law, so that nothing
// trends.
func TestHistoryCover(t *testing.T) {
	n := takes(t, 60)
	for _, find := range []bool{false, true} {
		for _, phi := range []float64{0, 0.3, 0.6, 0.9} {
			name := fmt.Sprintf("phi %.1f, found %v", phi, find)
			t.Run(name, func(t *testing.T) {
				var hold, search, thirds, leaves cover
				rejected, tests, few := [2]int{}, [2]int{}, [2]int{}
				bias := 0.0
				for k := range n {
					rng := seeded(seedOf("history "+name), k)
					p := usual(rng)
					p.phi, p.seconds = phi, uniform(rng, 20, 120)
					d := p.draw(rng)
					r := d.known()
					if find {
						r = settling.Find(d.strokes, settling.Options{})
					}
					h := settling.HistoryOf(d.strokes, r, settling.HistoryOptions{})
					hold.add(h.HoldLength.Seconds, p.hold)
					search.add(h.SearchLength.Seconds, p.search)
					if v := h.HoldLength.Seconds; v.Known() {
						bias += math.Log(v.Value/p.hold) / float64(n)
					}
					leaves.add(h.LeavesPerMinute, 60/(1+(p.hold-1)/math.Ln2+0.6+(p.search-0.6)/math.Ln2))
					for i, v := range []settling.Trend{h.HoldTrend, h.SearchTrend} {
						if !v.P.Known() {
							few[i]++
							continue
						}
						tests[i]++
						if v.P.Value <= 0.05 {
							rejected[i]++
						}
					}
					if !find {
						continue
					}
					for _, third := range h.Thirds {
						in, all := 0.0, 0.0
						for i, s := range d.strokes {
							part := max(0, min(s.End, third.End)-max(s.Start, third.Start))
							all += part
							if d.settled[i] {
								in += part
							}
						}
						thirds.add(third.Share, in/all)
					}
				}
				t.Logf("hold %v bias %.3f; search %v; leaves %v; thirds %v", hold, bias, search, leaves, thirds)
				hold.holds(t, "hold", hold.all, 0.92)
				search.holds(t, "search", search.all, 0.93)
				leaves.holds(t, "leaves", n, 0.93)
				if find {
					thirds.holds(t, "thirds", n, map[bool]float64{false: 0.945, true: 0.87}[phi > 0.7])
				}
				for i := range rejected {
					rarely(t, "trend", rejected[i], tests[i], 0.05)
				}
				t.Logf("trend of holds rejected in %.3f of %d (%d too few), of searches in %.3f of %d (%d)",
					float64(rejected[0])/float64(tests[0]), tests[0], few[0], float64(rejected[1])/float64(tests[1]), tests[1], few[1])
			})
		}
	}
}

func TestOnsetCover(t *testing.T) {
	n := takes(t, 15)
	for _, find := range []bool{false, true} {
		for _, phi := range []float64{0, 0.6, 0.9} {
			for _, fall := range []float64{0, 2, 5, 10} {
				name := fmt.Sprintf("phi %.1f, fall %v, found %v", phi, fall, find)
				t.Run(name, func(t *testing.T) {
					var onset cover
					sum, told := 0.0, 0
					for k := range n {
						rng := seeded(seedOf("onset "+name), k)
						p := usual(rng)
						p.phi, p.fall = phi, fall
						p.rate = uniform(rng, 7, 14)
						d := p.draw(rng)
						r := d.known()
						if find {
							r = settling.Find(d.strokes, settling.Options{})
						}
						h := settling.HistoryOf(d.strokes, r, settling.HistoryOptions{})
						for _, x := range h.Holds {
							if find && !beginsNear(&d, x.First, int(fall)) {
								continue
							}
							onset.add(x.Onset.Strokes, fall)
							if x.Onset.Strokes.Known() {
								sum += x.Onset.Strokes.Value
								told++
							}
						}
					}
					onset.holds(t, "onset", n, map[bool]float64{false: 0.95, true: 0.86}[fall > 9])
					t.Logf("%v; mean %.2f", onset, sum/float64(told))
				})
			}
		}
	}
}

// beginsNear reports whether a true hold begins up to slack+5 strokes before
// or 5 after stroke i.
func beginsNear(d *drawn, i, slack int) bool {
	for _, s := range d.spans {
		if s.Settled && i >= s.First-5 && i <= s.First+slack+5 {
			return true
		}
	}
	return false
}

// TestLikenessCover: two holds of one motion, of two that are just the margin
// apart, and of two that are further.
func TestLikenessCover(t *testing.T) {
	n := takes(t, 60)
	for _, apart := range []float64{0, 0.5, 1, 2} {
		for _, phi := range []float64{0, 0.3, 0.6} {
			name := fmt.Sprintf("apart %.1f, settled phi %.1f", apart, phi)
			t.Run(name, func(t *testing.T) {
				var distance cover
				var verdicts [4]int
				for k := range n {
					rng := seeded(seedOf("likeness "+name), k)
					p := usual(rng)
					p.centres, p.settledPhi = 0, phi
					p.steady, p.seconds = true, 30
					d := p.draw(rng)
					// Every other hold is moved in one measurement.
					f, h := rng.IntN(3), 0
					for _, s := range d.spans {
						if !s.Settled {
							continue
						}
						h++
						for i := s.First; i <= s.Last && h%2 == 0; i++ {
							x := &d.strokes[i]
							switch f {
							case 0:
								x.Angle += degrees(3.5 * apart)
							case 1:
								x.Duration *= math.Exp(0.08 * apart)
							case 2:
								x.Length *= math.Exp(0.12 * apart)
							}
						}
					}
					hist := settling.HistoryOf(d.strokes, d.known(), settling.HistoryOptions{})
					for j, x := range hist.Holds {
						if j == 0 || x.Strokes < 10 || hist.Holds[j-1].Strokes < 10 {
							continue
						}
						distance.add(x.FromLast.Distance, apart)
						verdicts[x.FromLast.Verdict]++
					}
				}
				distance.holds(t, "distance", n, map[bool]float64{false: 0.93, true: 0.90}[phi > 0.5])
				if apart >= 1 {
					rarely(t, "same", verdicts[settling.SameMotion], distance.all, 0.03)
				}
				if apart <= 1 {
					rarely(t, "another", verdicts[settling.AnotherMotion], distance.all, 0.03)
				}
				t.Logf("distance %v; verdicts %v", distance, verdicts)
			})
		}
	}
}

// TestFound: true settled spans that settled time overlaps by half or more, by
// length, and takes that never settle.
func TestFound(t *testing.T) {
	n := takes(t, 60)
	for _, odd := range []float64{0, 0.3, 0.6} {
		for _, phi := range []float64{0, 0.3, 0.6, 0.9} {
			name := fmt.Sprintf("phi %.1f, changes of string %.1f", phi, odd)
			t.Run(name, func(t *testing.T) {
				var found, all [4]int
				wrong, none := 0, 0
				every, some, settle := 0, 0, 0
				for k := range n {
					rng := seeded(seedOf("found "+name), k)
					p := usual(rng)
					p.phi, p.odd = phi, odd
					d := p.draw(rng)
					r := settling.Find(d.strokes, settling.Options{})
					if r.Absent != nil {
						continue
					}
					there, got := 0, 0
					for _, s := range d.spans {
						if !s.Settled || s.End-s.Start < 1 {
							continue
						}
						in := 0.0
						for i := s.First; i <= s.Last; i++ {
							if r.Labels[i] {
								in += d.strokes[i].End - d.strokes[i].Start
							}
						}
						b := 2
						if l := s.End - s.Start; l < 1.5 {
							b = 0
						} else if l < 2 {
							b = 1
						}
						there++
						if in >= (s.End-s.Start)/2 {
							got++
						}
						for _, b := range []int{b, 3} {
							all[b]++
							if in >= (s.End-s.Start)/2 {
								found[b]++
							}
						}
					}
					if there > 0 {
						settle++
						if got > 0 {
							some++
						}
						if got == there {
							every++
						}
					}
					p.hold = 0
					for f := range p.drift {
						p.drift[f] = uniform(rng, -2, 2)
					}
					r = settling.Find(p.draw(rng).strokes, settling.Options{})
					none++
					if count(r) > 0 {
						wrong++
					}
				}
				share := func(b int) float64 { return float64(found[b]) / float64(all[b]) }
				rarely(t, "never settles, but found", wrong, none, 0.05)
				rarely(t, "no span found", settle-some, settle, 0.02)
				rarely(t, "spans not found", all[3]-found[3], all[3], 0.065)
				t.Logf("takes: one found in %.3f, every one in %.3f of %d", float64(some)/float64(settle), float64(every)/float64(settle), settle)
				t.Logf("found %.3f of %d: 1 to 1.5 s %.3f of %d, to 2 s %.3f of %d, longer %.3f; none in %.3f of %d that never settle",
					share(3), all[3], share(0), all[0], share(1), all[1], share(2), float64(none-wrong)/float64(none), none)
			})
		}
	}
}
