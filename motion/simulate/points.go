package simulate

import (
	"math"

	"github.com/plectrace/plectrace/trajectory"
	"github.com/plectrace/plectrace/variability/estimate"
	"gonum.org/v1/gonum/spatial/r3"
)

// shooting gathers the points of a recording.
type shooting struct {
	o      Options
	film   *film
	cam    *camera
	path   *tip
	truth  *Truth
	points []trajectory.Path
}

// add films a point and does to it what finish says.
func (s *shooting) add(name string, noise float64, hand bool, place func(t float64) r3.Vec, finish func(*column) trajectory.Path) {
	s.points = append(s.points, finish(s.film.shoot(name, s.cam, noise, hand, place)))
}

// losing returns a finish that loses a share of the samples.
func losing(share float64) func(*column) trajectory.Path {
	return func(c *column) trajectory.Path {
		c.lose(share)
		return c.finish()
	}
}

// tipAt returns the tip's place.
func (s *shooting) tipAt(t float64) r3.Vec { return s.path.leg(t).at(t, s.path.g) }

// hand adds the tip, the second point on the pick and the wrist.
func (s *shooting) hand() {
	o := s.o
	s.add("tip", o.Noise, true, func(t float64) r3.Vec {
		p := s.tipAt(t)
		p.X += o.MarkerAcross
		p.Y += o.MarkerAlong
		p.Z += o.MarkerUp
		return p
	}, func(c *column) trajectory.Path { return c.spoil(s.truth) })
	if o.PickEdge {
		s.add("pick_edge", o.Noise, true, func(t float64) r3.Vec {
			sin, cos := math.Sincos(float64(s.path.leg(t).edgeAt(t, s.path.g)))
			return r3.Add(s.tipAt(t), r3.Vec{X: edgeWide * sin, Y: edgeWide * cos, Z: edgeUp})
		}, losing(o.DropOuts))
	}
	if o.Wrist {
		s.add("wrist", o.Noise, true, func(t float64) r3.Vec {
			l := s.path.leg(t)
			hand := l.handAt(t)
			return r3.Add(r3.Add(hand, wristPlace), r3.Scale(o.Carry, r3.Sub(l.at(t, s.path.g), hand)))
		}, losing(o.DropOuts))
	}
}

// wristPlace is where the wrist is from the hand's centre: behind the bridge
// and off the face.
var wristPlace = r3.Vec{X: -35, Y: -70, Z: 30}

// The second point on the pick lies that far from the tip in its flat, and that
// much further out, in mm.
const edgeWide, edgeUp = 8, 6

// marks adds the marks on the instrument if they are tracked.
func (s *shooting) marks() {
	outer := s.o.outer()
	for _, m := range []struct {
		name  string
		place r3.Vec
		truth *[3]float64
	}{
		{"bass", r3.Vec{X: -outer}, &s.truth.Bass},
		{"treble", r3.Vec{X: outer}, &s.truth.Treble},
		{"nut", r3.Vec{Y: nutAlong}, &s.truth.Nut},
	} {
		if m.name == "nut" && s.o.View != trajectory.Spatial {
			continue
		}
		*m.truth = s.cam.still(m.place)
		if s.o.TrackMarks {
			s.add(m.name, s.o.MarkNoise, false, func(float64) r3.Vec { return m.place }, losing(s.o.MarkDropOuts))
		}
	}
}

const nutAlong = 300 // mm, of the third mark

// The ID-1 card of ISO/IEC 7810, in mm.
const cardWide, cardHigh = 85.60, 53.98

// card adds the corners of the calibration card.
func (s *shooting) card() {
	if !s.o.Card {
		return
	}
	// Its foot rests on the highest string.
	foot := 0.0
	for i := range s.o.Strings {
		foot = math.Max(foot, s.o.crown(s.o.stringAt(i)))
	}
	s.truth.CardFoot = foot
	sin, cos := math.Sincos(float64(s.o.CardLean))
	top := r3.Vec{Y: cardHigh * sin, Z: foot + cardHigh*cos}
	for i, c := range []struct {
		name  string
		place r3.Vec
	}{
		{"card_foot_bass", r3.Vec{X: -cardWide / 2, Z: foot}},
		{"card_foot_treble", r3.Vec{X: cardWide / 2, Z: foot}},
		{"card_top_treble", r3.Add(top, r3.Vec{X: cardWide / 2})},
		{"card_top_bass", r3.Add(top, r3.Vec{X: -cardWide / 2})},
	} {
		rng := estimate.Stream(s.o.Seed, "simulate/card/"+c.name)
		off := [3]float64{s.o.CardNoise * rng.NormFloat64(), s.o.CardNoise * rng.NormFloat64(), s.o.CardNoise * rng.NormFloat64()}
		if s.o.View != trajectory.Spatial {
			off[2] = 0
		}
		at := s.cam.still(c.place)
		for k := range at {
			s.truth.Card[i][k] = at[k] + off[k]
		}
		s.add(c.name, s.o.Noise, false, func(float64) r3.Vec { return c.place }, func(p *column) trajectory.Path {
			for k, t := range s.film.instants {
				p.shift(k, off)
				if t >= s.o.CardFor {
					p.state[k] = unseen
				}
			}
			return p.finish()
		})
	}
}
