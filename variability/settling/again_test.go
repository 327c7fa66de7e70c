package settling_test

import (
	"math"
	"testing"

	"github.com/plectrace/plectrace/variability/circular"
	"github.com/plectrace/plectrace/variability/settling"
)

// TestOneMeasurement: six seconds that are settled between as many on either side
// that search in one measurement alone, drawn afresh, are found; and a take that
// searches so throughout stays without a span.
func TestOneMeasurement(t *testing.T) {
	const takes, rate = 40, 8.0
	narrow := [3]float64{0.4, 0.4, 0.4}
	for f, what := range []string{"angle", "duration", "length"} {
		hit, held, never := 0, 0, 0
		for k := range takes {
			for _, throughout := range []bool{false, true} {
				rng := seeded("one measurement "+what, k)
				var ss []settling.Stroke
				settled := 0.0
				for at := 0.0; at < 18; {
					x := narrow
					for i := range x {
						x[i] *= rng.NormFloat64()
					}
					if search := throughout || at < 6 || at >= 12; search {
						x[f] = 2.2 * rng.NormFloat64()
					}
					s := settling.Stroke{
						Start: at, Down: len(ss)%2 == 0, Angle: circular.Angle(0.3 + tolerance[0]*x[0]),
						Duration: math.Exp(tolerance[1]*x[1]) / rate, Length: 10 * math.Exp(tolerance[2]*x[2]),
					}
					s.End = at + s.Duration
					if at >= 6 && at < 12 {
						settled += s.Duration
					}
					at = s.End
					ss = append(ss, s)
				}
				r := settling.Find(ss, settling.Options{})
				if throughout {
					if count(r) > 0 {
						never++
					}
					continue
				}
				both, found := 0.0, 0.0
				for i, in := range r.Labels {
					if in {
						found += ss[i].End - ss[i].Start
						if ss[i].Start >= 6 && ss[i].Start < 12 {
							both += ss[i].End - ss[i].Start
						}
					}
				}
				if both > 0.8*(found+settled-both) {
					hit++
				}
				if share := settled / ss[len(ss)-1].End; r.Share.Low <= share && share <= r.Share.High {
					held++
				}
			}
		}
		t.Logf("%s: found in %d of %d takes, the share held in %d; a span where there is none in %d", what, hit, takes, held, never)
		if hit < takes*85/100 || held < takes*75/100 || never > takes*5/100 {
			t.Errorf("%s: found in %d of %d takes, the share held in %d; a span where there is none in %d", what, hit, takes, held, never)
		}
	}
}

// TestShareCover holds how often the interval of Share holds the truth, in takes
// whose spans begin and end by chance, with and without changes of string. True is a
// settled span of a second or more.
func TestShareCover(t *testing.T) {
	n := takes(t, 100)
	for _, c := range []struct {
		phi, odd, want float64
	}{{0, 0, 0.95}, {0.3, 0, 0.94}, {0.6, 0, 0.95}, {0.9, 0, 0.95}, {0, 0.3, 0.95}, {0.3, 0.3, 0.93}, {0.6, 0.3, 0.95}, {0.9, 0.3, 0.94}} {
		var share cover
		width := 0.0
		for k := range n {
			rng := seeded(seedOf("share"), k)
			p := usual(rng)
			p.phi, p.odd = c.phi, c.odd
			d := p.draw(rng)
			r := settling.Find(d.strokes, settling.Options{})
			if r.Absent != nil {
				continue
			}
			settled, all := 0.0, 0.0
			for _, s := range d.spans {
				all += s.End - s.Start
				if s.Settled && s.End-s.Start >= 1 {
					settled += s.End - s.Start
				}
			}
			share.add(r.Share, settled/all)
			width += (r.Share.High - r.Share.Low) / float64(n)
		}
		t.Logf("memory %.1f, %2.0f changes a minute: %v; %.2f wide", c.phi, 60*c.odd, share, width)
		share.holds(t, "share", n, c.want)
	}
}
