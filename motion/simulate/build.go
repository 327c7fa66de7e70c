package simulate

import (
	"cmp"
	"math"
	"math/rand/v2"
	"slices"

	"github.com/plectrace/plectrace/variability/circular"
	"github.com/plectrace/plectrace/variability/estimate"
	"gonum.org/v1/gonum/spatial/r3"
)

// knot is one turn while the take is being built.
type knot struct {
	t         float64
	afterDown bool
	place     r3.Vec
	hand      r3.Vec  // the hand's centre
	curvature float64 // of the stroke that ends here, like what follows
	tiny      bool    // a short way back
	changed   bool    // a move to another string
	missed    bool    // lifted above the strings
	lifted    bool    // this turn is, for a stroke on either side
	resumed   bool    // the end of a rest
	rest      bool    // a rest follows
	tremor    float64 // in it, mm
	// Before the playing starts: the tip waits from here on, or approaches the
	// first turn.
	waits, approaches bool
}

// centre is what the strokes at one moment scatter about.
type centre struct {
	rate, length, depth, curvature float64
	angle, skew                    circular.Angle
	search                         Search
}

// builder makes the turns of a take one after another.
type builder struct {
	o     Options
	plan  []Stretch
	depth float64 // of the path's middle, and
	curve float64 // its curvature, after Clearing

	duration, angle, along, length, hand, wander, tiny, miss, moves *rand.Rand

	// Slow states: the hand's wander in mm, and that of searching in standard
	// deviations (angle, length, duration).
	handAt   r3.Vec
	wanderAt [3]float64

	string  float64 // across place of the string played
	arm     *arm
	changes []Change
	steps   []float64 // that the hand still goes across with the next strokes
	rests   []Pause
}

func newBuilder(o Options) (*builder, error) {
	s := func(use string) *rand.Rand { return estimate.Stream(o.Seed, "simulate/"+use) }
	b := &builder{
		o: o, plan: o.plan(), rests: o.Pauses,
		duration: s("duration"), angle: s("angle"), along: s("along"), length: s("length"), hand: s("hand"),
		wander: s("wander"), tiny: s("tiny"), miss: s("miss"), moves: s("moves"),
	}
	var err error
	b.depth, b.curve, err = o.clear()
	if err != nil {
		return nil, err
	}
	if b.arm, err = newArm(o); err != nil {
		return nil, err
	}
	// The hand starts on a string near the middle.
	b.string = o.stringAt(o.first())
	b.changes = append(b.changes, o.Changes...)
	if o.ChangeEvery > 0 {
		b.changes = append(b.changes, b.drawChanges()...)
		slices.SortStableFunc(b.changes, func(x, y Change) int { return cmp.Compare(x.At, y.At) })
	}
	b.handAt = r3.Vec{X: b.hand.NormFloat64(), Y: b.hand.NormFloat64(), Z: b.hand.NormFloat64()}
	for i := range b.wanderAt {
		b.wanderAt[i] = b.wander.NormFloat64()
	}
	return b, nil
}

// drawChanges returns moves of one to three strings at random times. Where
// they would leave the instrument they turn back.
func (b *builder) drawChanges() []Change {
	rng := estimate.Stream(b.o.Seed, "simulate/changes")
	var c []Change
	for t := 0.0; ; {
		t += b.o.ChangeEvery * (0.5 + rng.Float64())
		if t >= b.o.Duration {
			return c
		}
		by := 1 + rng.IntN(3)
		if rng.IntN(2) == 0 {
			by = -by
		}
		c = append(c, Change{At: t, By: by})
	}
}

// centreAt returns the centre at time t.
func (b *builder) centreAt(t float64) centre {
	i := 0
	for i < len(b.plan)-1 && t >= b.plan[i].End {
		i++
	}
	s, x := b.plan[i], math.Min(math.Max(t/b.o.Duration, 0), 1)
	return centre{
		rate:   b.o.Rate * s.RateBy * (1 + x*b.o.RateDrift),
		length: b.o.Length * s.LengthBy * (1 + x*b.o.LengthDrift),
		angle:  b.o.PathAngle + s.AngleBy + circular.Angle(x)*b.o.AngleDrift,
		skew:   b.o.Skew + s.SkewBy,
		search: s.Search,
		depth:  b.depth, curvature: b.curve,
	}
}

// direction returns the unit vector of a downstroke of that path angle and
// skew.
func direction(angle, skew circular.Angle) r3.Vec {
	sin, cos := math.Sincos(float64(angle))
	return r3.Unit(r3.Vec{X: cos, Y: cos * math.Tan(float64(skew)), Z: sin})
}

// turn returns the place of a turn about the centre c, and the hand's centre.
//
// Each turn scatters on its own: along the axis by 1/√2 of the scatter of
// length, across it by L/√2 times that of the angle, so that the differences
// of two turns, which are the strokes, scatter as stated.
func (b *builder) turn(c centre, afterDown bool) (place, hand r3.Vec) {
	e := [4]float64{b.angle.NormFloat64(), b.along.NormFloat64(), b.length.NormFloat64(), b.hand.NormFloat64()}
	for i := range b.wanderAt {
		b.wanderAt[i] = 0.9*b.wanderAt[i] + math.Sqrt(1-0.9*0.9)*b.wander.NormFloat64()
	}
	const keep = 0.98
	b.handAt = r3.Add(r3.Scale(keep, b.handAt), r3.Scale(math.Sqrt(1-keep*keep), r3.Vec{X: e[3], Y: b.hand.NormFloat64(), Z: b.hand.NormFloat64()}))

	angle, skew, length := b.o.AngleScatter, b.o.SkewScatter, b.o.LengthScatter
	switch c.search {
	case Fresh, TinyStrokes:
		angle, length = b.o.SearchAngle, b.o.SearchLength
	case AngleOnly:
		angle = b.o.SearchAngle
	case Wander:
		c.angle += b.o.SearchAngle * circular.Angle(b.wanderAt[0])
		c.length *= math.Exp(b.o.SearchLength * b.wanderAt[1])
	}
	c.angle = min(max(c.angle, -85*circular.Degree), 85*circular.Degree)

	axis := direction(c.angle, c.skew)
	normal := outward(axis)
	side := r3.Cross(normal, axis)
	// The middle of the path runs at -depth, the hand's centre where the
	// middle of the chord does.
	mid := b.o.crown(b.string) - c.depth - c.curvature*c.length*c.length/8*normal.Z
	hand = r3.Add(r3.Vec{X: b.string, Z: mid}, r3.Scale(b.o.HandWander, b.handAt))
	half := c.length / 2
	if !afterDown {
		half = -half
	}
	place = r3.Add(hand, r3.Scale(half+e[2]*length*c.length/math.Sqrt2, axis))
	place = r3.Add(place, r3.Scale(e[0]*float64(angle)*c.length/math.Sqrt2, normal))
	place = r3.Add(place, r3.Scale(e[1]*float64(skew)*c.length/math.Sqrt2, side))
	return place, hand
}

// clip bounds a standard normal deviate, so that no duration turns over.
func clip(z float64) float64 { return math.Min(math.Max(z, -3), 3) }

// interval returns the nominal and the drawn duration of the stroke from t on.
func (b *builder) interval(c centre, down bool) (nominal, drawn float64) {
	share := 1 - b.o.DownShare
	if down {
		share = b.o.DownShare
	}
	nominal = 2 * share / c.rate
	z := clip(b.duration.NormFloat64())
	switch c.search {
	case Fresh, TinyStrokes:
		return nominal, nominal * (1 + b.o.SearchJitter*z)
	case Wander, RateWander:
		nominal *= math.Exp(b.o.SearchJitter * clip(b.wanderAt[2]))
	}
	return nominal, nominal * (1 + b.o.Jitter*z)
}

// advance moves the string played by what the stroke from t on takes of a
// change, and reports whether it takes any.
func (b *builder) advance(t float64, down bool, length float64) bool {
	if len(b.steps) == 0 && len(b.changes) > 0 && t >= b.changes[0].At {
		b.begin(b.changes[0], down, length)
	}
	if len(b.steps) == 0 {
		return false
	}
	b.string += b.steps[0]
	b.steps = b.steps[1:]
	return true
}

// begin lays out the steps of a change if a stroke in that direction can make
// the first of them.
func (b *builder) begin(c Change, down bool, length float64) {
	at := int(math.Round(b.string/b.o.Spacing + float64(b.o.Strings-1)/2))
	to := at + c.By
	if to < 0 || to >= b.o.Strings {
		to = at - c.By
	}
	to = min(max(to, 0), b.o.Strings-1)
	way := float64(to-at) * b.o.Spacing
	over := c.Over
	if over == 0 {
		over = 1 + b.moves.IntN(2)
	}
	if math.Abs(way)/2 > length/2 {
		over = 1
	}
	if forward := (way > 0) == down; !forward && math.Abs(way)/float64(over) > length/2 {
		return // the next stroke goes that way
	}
	b.changes = b.changes[1:]
	for range over {
		b.steps = append(b.steps, way/float64(over))
	}
}

// build returns the turns of the take, from some strokes before its start to
// one after its end.
func (b *builder) build() []knot {
	start := estimate.Stream(b.o.Seed, "simulate/start")
	c := b.centreAt(0)
	t := -(2 + start.Float64()) / c.rate
	knots := b.o.prelude()
	if len(knots) > 0 {
		t = b.o.playsFrom()
		c = b.centreAt(t)
	}
	k := knot{t: t, afterDown: start.IntN(2) == 0, resumed: len(knots) > 0}
	k.place, k.hand = b.turn(c, k.afterDown)
	knots = append(knots, k)
	beat := t // of the pulse
	for t < b.o.Duration+2/c.rate {
		last := &knots[len(knots)-1]
		if len(b.rests) > 0 && t >= b.rests[0].At {
			p := b.rests[0]
			b.rests = b.rests[1:]
			last.rest, last.tremor = true, p.Tremor
			t += p.For
			beat = t
			knots = append(knots, knot{t: t, afterDown: last.afterDown, place: last.place, hand: last.hand, resumed: true})
			last = &knots[len(knots)-1]
		}
		down := !last.afterDown
		c = b.centreAt(t)
		nominal, drawn := b.interval(c, down)
		next := t + drawn
		if b.o.Pulse {
			// Turns scatter about the pulse by 1/√2 of the durations' scatter.
			beat += nominal
			next = math.Max(beat+(drawn-nominal)/math.Sqrt2, t+nominal/4)
		}
		k := knot{t: next, afterDown: down, changed: b.advance(t, down, c.length)}
		c = b.centreAt(next)
		k.curvature = c.curvature
		k.place, k.hand = b.turn(c, down)
		if miss := b.miss.Float64() < b.o.MissShare; miss && !last.resumed {
			lift := math.Max(c.depth, 0) + 0.5
			k.missed, k.lifted = true, true
			k.place.Z += lift
			if !last.lifted {
				last.place.Z += lift
				last.lifted = true
			}
		}
		if broken := b.tiny.Float64() < 1.0/3; broken && c.search == TinyStrokes && !k.changed {
			knots = b.breakStroke(knots, &k)
			beat += k.t - next
		}
		knots = append(knots, k)
		t = k.t
	}
	return knots
}

// breakStroke adds the two turns of a short way back in the middle of the
// stroke from the last turn to k, which it delays.
func (b *builder) breakStroke(knots []knot, k *knot) []knot {
	last := knots[len(knots)-1]
	d := k.t - last.t
	way := r3.Sub(k.place, last.place)
	back := 0.25 * (0.8 + 0.4*b.tiny.Float64())
	middle := 0.4 + 0.2*b.tiny.Float64()
	hand := r3.Scale(0.5, r3.Add(last.hand, k.hand))
	forth := knot{t: last.t + 0.6*d, afterDown: k.afterDown, hand: hand, curvature: k.curvature}
	forth.place = r3.Add(last.place, r3.Scale(middle+back/2, way))
	turn := knot{t: forth.t + 0.4*d, afterDown: !k.afterDown, hand: hand, curvature: k.curvature, tiny: true}
	turn.place = r3.Add(last.place, r3.Scale(middle-back/2, way))
	k.t = turn.t + 0.6*d
	return append(knots, forth, turn)
}

// legs returns the ways between the turns.
func (b *builder) legs(knots []knot) []leg {
	rng := estimate.Stream(b.o.Seed, "simulate/tremor")
	edge := estimate.Stream(b.o.Seed, "simulate/edge")
	// Halfway between two turns that scatter by √2 σ, the edge angle scatters
	// by σ.
	turned := func() circular.Angle {
		return b.o.EdgeAngle + b.o.EdgeScatter*circular.Angle(math.Sqrt2*edge.NormFloat64())
	}
	legs := make([]leg, 0, len(knots)-1)
	pose, flat := b.arm.pose(knots[0]), turned()
	for i := 1; i < len(knots); i++ {
		from, to := knots[i-1], knots[i]
		l := newLeg(from.t, to.t, from.place, to.place, to.curvature)
		l.hand0, l.hand = from.hand, r3.Sub(to.hand, from.hand)
		if from.rest {
			l.rest, l.tremor, l.tremorHz = true, from.tremor, 8+3*rng.Float64()
		}
		l.rest = l.rest || from.waits
		if from.approaches {
			l.approach = true
			l.bulge = r3.Vec{Z: lifts}
		}
		l.joint[0], l.edge[0] = pose, flat
		if !l.rest {
			pose, flat = b.arm.pose(to), turned()
		}
		l.joint[1], l.edge[1] = pose, flat
		legs = append(legs, l)
	}
	b.o.drag(legs, timing{b.o.Profile, b.o.Lead})
	return legs
}
