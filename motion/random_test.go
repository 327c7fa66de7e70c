package motion_test

import (
	"math"
	"math/rand/v2"
	"testing"

	"github.com/plectrace/plectrace/motion"
	"github.com/plectrace/plectrace/trajectory"
)

// TestAnalyzeAnything gives Analyze short paths of every sort: noise, swings
// with gaps, jumps, stillness. It must not panic, and what it finds must be
// strokes: in order, of some duration, alternating where they join.
func TestAnalyzeAnything(t *testing.T) {
	takes := 4000
	if testing.Short() {
		takes = 500
	}
	rng := rand.New(rand.NewPCG(8, 8))
	for i := range takes {
		n := 16 + rng.IntN(200)
		p := trajectory.Placed{T: make([]float64, n), Across: make([]float64, n), Out: make([]float64, n)}
		if rng.IntN(3) == 0 {
			p.Along = make([]float64, n)
		}
		hz := math.Exp(rng.Float64() * 7)
		period, noise, drift := 2+rng.Float64()*60, math.Exp(rng.Float64()*6-5), rng.NormFloat64()*rng.Float64()
		for j := range p.T {
			p.T[j] = (float64(j) + 0.3*rng.Float64()) / hz
			w := 5*math.Sin(2*math.Pi*float64(j)/period) + drift*float64(j)/10
			p.Across[j], p.Out[j] = w+noise*rng.NormFloat64(), 0.3*w+noise*rng.NormFloat64()
			if p.Along != nil {
				p.Along[j] = noise * rng.NormFloat64()
			}
		}
		for range rng.IntN(8) {
			from := rng.IntN(n)
			for j := from; j < min(n, from+1+rng.IntN(30)); j++ {
				switch rng.IntN(3) {
				case 0:
					p.Across[j], p.Out[j] = 0, 0
				default:
					p.Across[j], p.Out[j] = math.NaN(), math.NaN()
					if p.Along != nil {
						p.Along[j] = math.NaN()
					}
				}
			}
		}
		m, err := motion.Analyze(p, motion.Options{})
		if err != nil {
			continue
		}
		for k, s := range m.Strokes {
			bad := !(s.End > s.Start) || s.Direction == motion.DirectionUnknown || s.Length <= 0 || s.Seen.Length <= 0 ||
				k > 0 && s.Start < m.Strokes[k-1].End-1e-9 || k > 0 && s.Joined && s.Direction == m.Strokes[k-1].Direction ||
				s.PathAngle.Degrees() > 90 || s.PathAngle.Degrees() <= -90
			if bad {
				t.Fatalf("take %d: stroke %d is %+v", i, k, s)
			}
		}
		m.Clear()
		m.TurnScatter(motion.Down)
		motion.TurnTimes(m.Strokes)
	}
}
