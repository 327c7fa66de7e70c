package motion_test

import (
	"math"
	"math/rand/v2"
	"testing"

	"github.com/plectrace/plectrace/motion"
	"github.com/plectrace/plectrace/trajectory"
)

// alternating is a take of strokes whose down- and upstrokes differ in time and in
// how they run from turn to turn. It is not made by package simulate: other
// profiles, tracker noise with a memory, rounding to half pixels, a rate that
// drifts, timing that varies within strokes.
type alternating struct {
	path  trajectory.Placed
	turns []float64 // s
	down  []bool    // the stroke from that turn on
}

// way returns the share of the way gone at the share u of a stroke's time, for a
// speed that need not be scaled.
func way(speed func(u float64) float64) func(u float64) float64 {
	const n = 1000
	sum := make([]float64, n+1)
	for i := range n {
		sum[i+1] = sum[i] + speed((float64(i)+0.5)/n)
	}
	return func(u float64) float64 {
		i := min(max(int(u*n), 0), n-1)
		return (sum[i] + (u*n-float64(i))*(sum[i+1]-sum[i])) / sum[n]
	}
}

// speeds are profiles of speed over a stroke, drawn anew for each direction.
var speeds = []struct {
	name string
	draw func(between func(a, b float64) float64) func(u float64) float64
}{
	{"half-cosine", func(func(a, b float64) float64) func(float64) float64 {
		return func(u float64) float64 { return math.Sin(math.Pi * u) }
	}},
	{"minimum jerk", func(func(a, b float64) float64) func(float64) float64 {
		return func(u float64) float64 { return u * u * (1 - u) * (1 - u) }
	}},
	{"trapezoid", func(between func(a, b float64) float64) func(float64) float64 {
		ramp := between(0.25, 0.4)
		return func(u float64) float64 { return math.Sin(math.Pi / 2 * min(u/ramp, (1-u)/ramp, 1)) }
	}},
	{"slowed by a string", func(between func(a, b float64) float64) func(float64) float64 {
		at, by, wide := between(0.4, 0.6), between(0.15, 0.4), between(0.04, 0.08)
		return func(u float64) float64 {
			return math.Sin(math.Pi*u) * (1 - by*math.Exp(-(u-at)*(u-at)/(2*wide*wide)))
		}
	}},
	{"early or late", func(between func(a, b float64) float64) func(float64) float64 {
		lead := between(-0.25, 0.25)
		return func(u float64) float64 {
			return math.Sin(math.Pi*(u+lead/(2*math.Pi)*(1-math.Cos(2*math.Pi*u)))) * (1 + lead*math.Sin(2*math.Pi*u))
		}
	}},
}

func drawAlternating(rng *rand.Rand, speed func(between func(a, b float64) float64) func(u float64) float64) alternating {
	between := func(a, b float64) float64 { return a + (b-a)*rng.Float64() }
	hz := []float64{60, 100, 120, 240}[rng.IntN(4)]
	rate := between(4.5, min(11, hz/7))
	share := 0.5 + between(0.02, 0.06)*float64(2*rng.IntN(2)-1)
	long, drift := between(12, 25), between(-0.15, 0.15)
	jitter, length, scatter := between(0.01, 0.04), between(6, 14), between(0.02, 0.07)
	noise, memory, step, within := between(0.1, 0.8)/12, 0.0, 0.0, 0.0
	if rng.IntN(3) == 0 {
		memory = between(0.2, 0.6)
	}
	if rng.IntN(3) == 0 {
		step = 0.5 / 12
	}
	if rng.IntN(2) == 0 {
		within = between(0.02, 0.1)
	}
	sin, cos := math.Sincos(between(-0.5, 0.5))
	ways := [2]func(float64) float64{way(speed(between)), way(speed(between))}

	var a alternating
	var place [][2]float64
	var late []float64
	down, hand := rng.IntN(2) == 0, 0.0
	for t := -0.3; t < long+0.5; down = !down {
		a.turns, a.down = append(a.turns, t), append(a.down, down)
		side, part := 1.0, 1-share
		if down {
			side, part = -1, share
		}
		hand = 0.97*hand + 0.12*rng.NormFloat64()
		at := length * (side/2 + scatter/math.Sqrt2*rng.NormFloat64())
		place = append(place, [2]float64{at*cos + hand, at*sin + 0.02*length*rng.NormFloat64()})
		late = append(late, within*rng.NormFloat64())
		t += 2 * part / (rate * (1 + drift*t/long)) * (1 + jitter*rng.NormFloat64())
	}
	p := trajectory.Placed{Name: "tip", Unit: "mm"}
	var e [2]float64
	k := 0
	for i := range int(long * hz) {
		t := float64(i) / hz
		for a.turns[k+1] <= t {
			k++
		}
		u := (t - a.turns[k]) / (a.turns[k+1] - a.turns[k])
		g := ways[map[bool]int{true: 1}[a.down[k]]](u + late[k]/(2*math.Pi)*(1-math.Cos(2*math.Pi*u)))
		var v [2]float64
		for d := range v {
			e[d] = memory*e[d] + math.Sqrt(1-memory*memory)*noise*rng.NormFloat64()
			v[d] = place[k][d] + g*(place[k+1][d]-place[k][d]) + e[d]
			if step > 0 {
				v[d] = math.Round(v[d]/step) * step
			}
		}
		p.T, p.Across, p.Out = append(p.T, t), append(p.Across, v[0]), append(p.Out, v[1])
	}
	a.path = p
	return a
}

// TestUnequalProfiles holds, for strokes that run from turn to turn in many ways, by
// how much a difference between the times of down- and upstrokes comes out too small,
// in the mean over the takes, to what the package's comment states.
func TestUnequalProfiles(t *testing.T) {
	for _, c := range speeds {
		rng := rand.New(rand.NewPCG(31, 7))
		const takes = 40
		short, off := 0.0, 0.0
		for range takes {
			a := drawAlternating(rng, c.draw)
			m, err := motion.Analyze(a.path, motion.Options{})
			if err != nil {
				t.Fatal(err)
			}
			var found, made, n [2]float64
			k := 0
			for _, s := range m.Strokes {
				for k+2 < len(a.turns) && a.turns[k+1] < s.Middle() {
					k++
				}
				d := a.turns[k+1] - a.turns[k]
				if a.down[k] != (s.Direction == motion.Down) || math.Abs(s.Middle()-a.turns[k]-d/2) > 0.3*d {
					continue
				}
				i := map[motion.Direction]int{motion.Up: 1}[s.Direction]
				found[i], made[i], n[i] = found[i]+s.Duration(), made[i]+d, n[i]+1
			}
			if n[0]+n[1] < 0.9*float64(len(a.turns)-4) {
				t.Fatalf("%s: %v of %d strokes found", c.name, n, len(a.turns))
			}
			excess := func(sum [2]float64) float64 {
				down, up := sum[0]/n[0], sum[1]/n[1]
				return (down - up) / (down + up)
			}
			short += (1 - excess(found)/excess(made)) / takes
			off += math.Abs(excess(found)-excess(made)) / 2 / takes
		}
		t.Logf("%-18s too small by %4.1f %%; the share of a cycle off by %.2f %%", c.name, 100*short, 100*off)
		most := 0.05
		if c.name == "minimum jerk" {
			most = 0.10
		}
		if !(math.Abs(short) < most) || !(off < 0.005) {
			t.Errorf("%s: too small by %.3f, want %.2f; the share off by %.4f", c.name, short, most, off)
		}
	}
}
