package simulate

import (
	"math"

	"gonum.org/v1/gonum/spatial/r3"
)

const (
	// comes is how long after the card the hand comes into sight, approaches
	// how long it takes from where it waits to the first turn, in seconds.
	comes, approaches = 0.3, 0.5
	// waits is how far above the string a hand waits that does not touch it,
	// lifts how far it is lifted on the way to the first turn, in mm.
	waits, lifts = 8, 3
)

// inSight is the time from which the hand is seen.
func (o Options) inSight() float64 {
	if o.Card {
		return o.CardFor + comes
	}
	return 0
}

// playsFrom is the time of the first turn; 0 when the film begins amid the
// playing.
func (o Options) playsFrom() float64 {
	if !o.Card && o.TouchFor == 0 {
		return 0
	}
	return o.inSight() + o.TouchFor + approaches
}

// touched is the string that the tip rests on at first, counted from the
// lowest.
func (o Options) touched() int {
	if o.TouchString == 0 {
		return o.first()
	}
	return o.Strings - o.TouchString
}

// prelude returns what comes before the first turn: the tip at rest, and the
// start of its way to that turn.
func (o Options) prelude() []knot {
	end := o.playsFrom()
	if end == 0 {
		return nil
	}
	x := o.stringAt(o.touched())
	p := r3.Vec{X: x, Z: o.crown(x)}
	if o.TouchFor == 0 {
		p.Z += waits
	}
	return []knot{
		{t: -1, place: p, hand: p, waits: true},
		{t: end - approaches, place: p, hand: p, approaches: true},
	}
}

// noteTouch fills in the touch.
func (o Options) noteTouch(tr *Truth) {
	tr.TouchAt = math.NaN()
	if o.TouchFor > 0 {
		tr.TouchAt = o.inSight() + o.TouchFor/2
		tr.TouchString = o.number(o.touched())
	}
}
