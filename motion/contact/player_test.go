package contact_test

import (
	"math"
	"math/rand/v2"

	"github.com/plectrace/plectrace/motion"
	"github.com/plectrace/plectrace/motion/contact"
	"github.com/plectrace/plectrace/trajectory"
	"github.com/plectrace/plectrace/variability/estimate"
)

// player makes the path of a tip that is nothing like that of package simulate:
// a phase that runs unevenly drives an oscillation across, whose size, centre and
// height wander, bent, and in a loop that goes down another way than it goes up;
// chosen strokes are lifted over the strings. What it reaches is read off the path
// itself, a thousand moments a stroke.
type player struct {
	rate, length        float64 // strokes/s, mm
	slope, bend, loop   float64 // of out over across: 1, 1/mm, mm
	depth, lift         float64 // of the middle; of a missed stroke over the strings
	miss, strum         float64 // shares of strokes
	hz, noise, slowness float64 // frames/s, mm, and the noise's correlation
	strings             contact.Strings
	unsaid              bool    // the crown is not said
	heightError         float64 // mm
	changes             bool
}

// randomPlayer varies everything widely.
func randomPlayer(rng *rand.Rand) player {
	in := func(lo, hi float64) float64 { return lo + (hi-lo)*rng.Float64() }
	p := player{
		rate: in(3, 13), length: in(6, 13),
		slope: math.Tan(in(-0.55, 0.55)), bend: in(-0.02, 0.02), loop: in(-0.5, 0.5),
		depth: in(0.6, 1.6), lift: in(0.5, 1.5), miss: in(0.02, 0.12),
		noise: in(0.02, 0.07), heightError: in(0.02, 0.12),
	}
	p.strings = contact.Strings{Number: 4 + rng.IntN(4), SpacingMM: in(8.5, 12), CrownRadiusMM: -1}
	switch rng.IntN(3) {
	case 0:
		p.strings.CrownRadiusMM = in(200, 500)
	case 1:
		p.strings.PairGapMM = in(1.5, 2.5)
	}
	p.changes = rng.IntN(2) == 0
	if rng.IntN(3) == 0 {
		p.strum = 0.05
	}
	return p
}

// cross is the tip's way past one string.
type cross struct {
	t, depth   float64
	number, of int
}

// played is a path with its truth.
type played struct {
	path    trajectory.Placed
	turns   []float64 // first is the start of a downstroke if down
	down    bool
	crosses [][]cross // of each stroke, in order
	follow  []float64 // travel across past the last string reached, NaN without
	ends    []float64 // across of the turn that ends the stroke
	shift   float64   // error of the string plane, the same for all strokes
}

// reached returns the numbers of the strings that stroke i reached.
func (p *played) reached(i int) []int {
	var list []int
	for _, c := range p.crosses[i] {
		if c.depth > 0 && (len(list) == 0 || list[len(list)-1] != c.number) {
			list = append(list, c.number)
		}
	}
	return list
}

func (p *played) middles() []float64 {
	mid := make([]float64, len(p.crosses))
	for i := range mid {
		mid[i] = (p.turns[i] + p.turns[i+1]) / 2
	}
	return mid
}

// play plays for so many strokes.
func (q player) play(strokes int, rng *rand.Rand) played {
	down := rng.IntN(2) == 0
	pl := played{down: down, turns: []float64{0.05}}
	// Turns: durations with a scatter and a slow drift.
	drift := 0.0
	for range strokes {
		drift = 0.9*drift + 0.02*rng.NormFloat64()
		d := (1 + drift + 0.03*max(-3, min(3, rng.NormFloat64()))) / q.rate
		pl.turns = append(pl.turns, pl.turns[len(pl.turns)-1]+d)
	}
	n := len(pl.turns)
	// Where the turns lie, and what is added to the height of each stroke.
	across, out := make([]float64, n), make([]float64, n)
	lift, high := make([]float64, strokes), make([]float64, n)
	str := 1 + rng.IntN(q.strings.Number)
	wander, wobble := 0.0, 0.0
	where := make([]float64, n)
	for i := range n {
		wander = 0.97*wander + 0.1*rng.NormFloat64()
		wobble = 0.95*wobble + 0.03*rng.NormFloat64()
		if q.changes && rng.Float64() < 0.03 {
			str = max(1, min(q.strings.Number, str+1-2*rng.IntN(2)))
		}
		side := -1.0
		if (i%2 == 1) == down {
			side = 1
		}
		where[i] = q.strings.Across(str)
		across[i] = where[i] + wander + side*q.length/2*(1+0.05*rng.NormFloat64())
		if i > 0 && rng.Float64() < q.strum {
			across[i] += side * q.strings.SpacingMM * float64(1+rng.IntN(2))
		}
		out[i] = 0.08*rng.NormFloat64() + wobble
		high[i] = 0
		for k := 1; k <= q.strings.Number; k++ {
			if math.Abs(q.strings.Across(k)-where[i]) < 1 {
				_, high[i] = q.strings.Height(k)
			}
		}
	}
	for i := range lift {
		if rng.Float64() < q.miss {
			lift[i] = q.depth + q.lift
		}
	}
	at := func(i int, t float64) (y, z float64) {
		u := (t - pl.turns[i]) / (pl.turns[i+1] - pl.turns[i])
		w := u + 0.06*math.Sin(2*math.Pi*u) - 0.03*(1-math.Cos(2*math.Pi*u))
		s := (1 - math.Cos(math.Pi*w)) / 2
		y = across[i] + s*(across[i+1]-across[i])
		x := y - where[i] - s*(where[i+1]-where[i])
		way := 1.0
		if across[i+1] < across[i] {
			way = -1
		}
		z = -q.depth + (1-s)*(out[i]+high[i]) + s*(out[i+1]+high[i+1]) + q.slope*x + q.bend*x*x + way*q.loop*math.Sin(math.Pi*u)
		// Lifted in its own time, and a little beside it.
		for k, r := range []int{i - 1, i, i + 1} {
			if r >= 0 && r < len(lift) && lift[r] > 0 {
				v := (u + float64(1-k) + 0.35) / 1.7
				if v > 0 && v < 1 {
					z += lift[r] * math.Min(1, 1.6*math.Pow(math.Sin(math.Pi*v), 2))
				}
			}
		}
		return y, z
	}
	lines := truthLines(q.strings)
	for i := range strokes {
		const fine = 1000
		var cs []cross
		y0, _ := at(i, pl.turns[i])
		for k := 1; k <= fine; k++ {
			t := pl.turns[i] + (pl.turns[i+1]-pl.turns[i])*float64(k)/fine
			y1, z1 := at(i, t)
			for _, l := range lines {
				if (y0-l[1])*(y1-l[1]) <= 0 && y0 != y1 {
					exact := t - (pl.turns[i+1]-pl.turns[i])/fine*(y1-l[1])/(y1-y0)
					cs = append(cs, cross{exact, l[2] - z1, int(l[0]), int(l[3])})
				}
			}
			y0 = y1
		}
		pl.crosses = append(pl.crosses, cs)
		pl.ends = append(pl.ends, y0)
		follow := math.NaN()
		for _, l := range lines {
			for _, c := range cs {
				if int(l[0]) == c.number && c.depth > 0 {
					if f := math.Abs(y0 - l[1]); !(f > follow) {
						follow = f
					}
				}
			}
		}
		pl.follow = append(pl.follow, follow)
	}
	total := pl.turns[n-1] + 0.05
	p := trajectory.Placed{Name: "tip", Unit: "mm"}
	i := 0
	shift := q.heightError * rng.NormFloat64()
	var slow [2]float64
	for k := 0; float64(k)/q.hz < total; k++ {
		t := float64(k) / q.hz
		for i < strokes-1 && t >= pl.turns[i+1] {
			i++
		}
		y, z := at(i, min(max(t, pl.turns[0]), pl.turns[n-1]))
		for d := range slow {
			slow[d] = q.slowness*slow[d] + q.noise*math.Sqrt(1-q.slowness*q.slowness)*rng.NormFloat64()
		}
		p.T = append(p.T, t)
		p.Across = append(p.Across, y+slow[0])
		p.Out = append(p.Out, z+slow[1]+shift)
	}
	pl.path, pl.shift = p, shift
	return pl
}

// truthLines returns number, place across, height and place in its pair of
// every string.
func truthLines(s contact.Strings) [][4]float64 {
	var ls [][4]float64
	for k := 1; k <= s.Number; k++ {
		for _, side := range []float64{1, -1} {
			y, of := s.Across(k)+side*s.PairGapMM/2, 0.0
			if s.PairGapMM > 0 {
				of = 1.5 - side/2
			}
			h := 0.0
			if r, o := s.CrownRadiusMM, s.Across(1); r > 0 {
				h = math.Sqrt(r*r-y*y) - math.Sqrt(r*r-o*o)
			}
			ls = append(ls, [4]float64{float64(k), y, h, of})
			if s.PairGapMM == 0 {
				break
			}
		}
	}
	return ls
}

// said is what the player says of the strings.
func (q player) said() contact.Strings {
	s := q.strings
	if q.unsaid {
		s.CrownRadiusMM = 0
	}
	return s
}

// measure runs Find over what was played.
func (q player) measure(pl *played) (*motion.Motion, *contact.Contacts, error) {
	m, err := motion.Analyze(pl.path, motion.Options{HeightError: q.heightError})
	if err != nil {
		return nil, nil, err
	}
	c, err := contact.Find(m, pl.path, q.said(), contact.Options{AcrossError: 0.02})
	return m, c, err
}

func stream(use string, seed int) *rand.Rand { return estimate.Stream(uint64(seed), use) }
