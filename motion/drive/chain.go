package drive

import (
	"math"

	"gonum.org/v1/gonum/spatial/r3"
)

// pose is where the landmarks are and by how far each moves to either side, in
// phase with the tip.
type pose struct {
	at, by [landmarks]r3.Vec
}

// stage is a part of the chain from the body to the tip. The stage's travel is
// how far the tip would move along the stroke if it were fixed to that part.
type stage int

const (
	still   stage = iota // the body of the instrument
	upper                // the upper arm
	swing                // the forearm, its rotation about its own length left out
	fore                 // the forearm
	palm                 // the hand
	whole                // the tip itself
	nStages = int(whole) + 1
)

// joints are what moves each stage against the one before it.
var joints = [nStages]Joint{upper: AtShoulder, swing: AtElbow, fore: AtForearm, palm: AtWrist, whole: AtFingers}

const (
	// minElbowSine is the sine of the elbow's bend below which bending it is
	// not told from turning the arm about its length: 20 degrees.
	minElbowSine = 0.34
	// leverShare is how far the tip lies beyond the wrist, as a share of the
	// forearm, when the elbow is not seen: between none, when the whole arm is
	// carried without turning, and leverMost, a hand's length over a short
	// forearm's. It also bounds the hand that points off the forearm's line.
	leverMost = 0.66
	// offLine bounds how far the tip lies off the forearm's line, as a share of
	// the forearm, where this cannot be seen.
	offLine = 0.2
	// bodyLever bounds the travel that the turning of the upper arm adds at the
	// tip, as a multiple of the elbow's own travel, where the shoulder is not
	// seen: the length from elbow to tip over that of the upper arm is 1.3, and
	// some turning about the length of the upper arm, which does not move the
	// elbow, tends to go with it.
	bodyLever = 2
)

// chain says which landmarks there are and what can be had from them. It is
// settled once for a take.
type chain struct {
	has    [landmarks]bool
	planar bool
	front  bool // planar, and the picture shows the strings lengthwise
	known  [nStages]bool
	twist  float64 // share of the forearm's swing out of the arm's plane that the upper arm makes
}

// reach is the travel of each stage and how much of it is a guess at levers.
type reach struct {
	travel [nStages]float64
	guess  [nStages]float64
	astray float64 // what the forearm's swing out of the arm's plane moves the tip
}

// body fits the rigid body with the landmarks given.
func (c *chain) body(p *pose, list []Landmark) (turning, bool) {
	var at, by [landmarks]r3.Vec
	n := 0
	for _, l := range list {
		if c.has[l] {
			at[n], by[n] = p.at[l], p.by[l]
			n++
		}
	}
	return rigid(at[:n], by[:n])
}

var (
	foreList = []Landmark{Elbow, Wrist, WristInner, WristOuter, Forearm}
	palmList = func() []Landmark {
		l := []Landmark{Wrist}
		for i := 1; i <= maxKnuckles; i++ {
			l = append(l, Knuckle(i))
		}
		return l
	}()
	pickList  = []Landmark{PickBase, Tip}
	upperList = []Landmark{Shoulder, Elbow}
)

// midWrist sets the wrist to the middle of its two sides.
func midWrist(p *pose) {
	p.at[Wrist] = r3.Scale(0.5, r3.Add(p.at[WristInner], p.at[WristOuter]))
	p.by[Wrist] = r3.Scale(0.5, r3.Add(p.by[WristInner], p.by[WristOuter]))
}

// work returns the travel of every stage along a. Stages that the landmarks do
// not give are NaN.
func (c *chain) work(p *pose, a r3.Vec) reach {
	var q reach
	for s := range q.travel {
		q.travel[s] = math.NaN()
	}
	q.travel[still] = 0
	q.travel[whole] = r3.Dot(a, p.by[Tip])
	if c.planar {
		c.picture(p, a, &q)
	} else {
		c.space(p, a, &q)
	}
	return q
}

// space is work for landmarks in space.
func (c *chain) space(p *pose, a r3.Vec, q *reach) {
	tip := p.at[Tip]
	if b, ok := c.body(p, palmList); ok && b.full {
		q.travel[palm] = r3.Dot(a, b.at(tip))
	}
	b, ok := c.body(p, c.foreParts())
	if ok && b.full {
		q.travel[fore] = r3.Dot(a, b.at(tip))
	}
	switch {
	case !c.has[Wrist]:
		if c.has[Elbow] {
			c.elbow(p, a, q)
		}
	case !c.has[Elbow]:
		c.wristOnly(p, a, q)
	case ok:
		c.arm(p, a, b, q)
	}
}

// foreParts are the landmarks of the forearm; the wrist counts only where it
// is not the middle of its sides.
func (c *chain) foreParts() []Landmark {
	if c.has[WristInner] && c.has[WristOuter] {
		return []Landmark{Elbow, WristInner, WristOuter, Forearm}
	}
	return foreList
}

// elbow is the part of the upper arm when no shoulder is seen: the elbow's
// travel, and a guess at what the turning of the upper arm adds.
func (c *chain) elbow(p *pose, a r3.Vec, q *reach) {
	q.travel[upper] = r3.Dot(a, p.by[Elbow])
	q.guess[upper] = bodyLever * r3.Norm(p.by[Elbow])
}

// arm is the part from the shoulder to the forearm, with both of its ends
// seen. b is the forearm's displacement.
func (c *chain) arm(p *pose, a r3.Vec, b turning, q *reach) {
	tip, elbow := p.at[Tip], p.at[Elbow]
	l := r3.Unit(r3.Sub(p.at[Wrist], elbow)) // the forearm's length
	long := r3.Dot(b.spin, l)
	bend := r3.Sub(b.spin, r3.Scale(long, l))
	lever := r3.Sub(tip, elbow)
	roll := func(p float64) float64 { return p * r3.Dot(a, r3.Cross(l, lever)) }
	if !c.has[Shoulder] {
		c.elbow(p, a, q)
		if b.full {
			q.travel[swing] = q.travel[fore] - roll(long)
		} else {
			q.travel[swing] = r3.Dot(a, b.at(tip))
		}
		return
	}
	bone := r3.Sub(elbow, p.at[Shoulder])
	u := r3.Unit(bone)
	sine := r3.Norm(r3.Cross(u, l))
	move := r3.Sub(p.by[Elbow], p.by[Shoulder])
	if sine < minElbowSine {
		return
	}
	upperSpin := r3.Scale(1/r3.Norm2(bone), r3.Cross(bone, move))
	// A hinge turns about u × l, so that what the forearm turns about the
	// direction across both that and l is the upper arm's, about u.
	rest := r3.Sub(bend, upperSpin)
	side := r3.Unit(r3.Sub(u, r3.Scale(r3.Dot(u, l), l)))
	twist := r3.Dot(rest, side) / sine
	if c.twist < 0 {
		// Settled once, on the typical pose: see turnsAlong.
		c.twist = turnsAlong(r3.Norm(upperSpin), math.Abs(twist))
	}
	q.astray = math.Abs(twist * r3.Dot(a, r3.Cross(u, lever)))
	q.guess[upper] = q.astray * 4 * c.twist * (1 - c.twist)
	upperSpin = r3.Add(upperSpin, r3.Scale(c.twist*twist, u))
	q.travel[upper] = r3.Dot(a, r3.Add(p.by[Elbow], r3.Cross(upperSpin, lever)))
	// What the forearm turns beyond that, but about its own length, is the
	// elbow's; the part of u along the length stays with the upper arm.
	swings := r3.Sub(bend, upperSpin)
	swings = r3.Sub(swings, r3.Scale(r3.Dot(swings, l), l))
	if b.full {
		long -= r3.Dot(upperSpin, l)
		q.travel[swing] = q.travel[fore] - roll(long)
	} else {
		q.travel[swing] = q.travel[upper] + r3.Dot(a, r3.Cross(swings, lever))
	}
}

// turnsAlong returns the share of the forearm's swing out of the plane of the
// arm that counts as turning of the upper arm about its length, which no
// landmark shows. Of a hinge all of it is; but when the upper arm does not
// turn otherwise (spin, against twist, both in radians), it is taken to be
// still, and the swing to be the elbow's.
func turnsAlong(spin, twist float64) float64 {
	if spin == 0 {
		return 0
	}
	s, t := spin*spin*spin*spin, twist/4*(twist/4)
	return s / (s + t*t)
}

// wristOnly is the part of the arm when only its lower end is seen. The tip
// goes as far as the wrist when the arm is carried without turning, and
// further the closer to the wrist the arm turns about.
func (c *chain) wristOnly(p *pose, a r3.Vec, q *reach) {
	v := r3.Dot(a, p.by[Wrist])
	q.travel[swing] = v * (1 + leverMost/2)
	q.guess[swing] = math.Abs(v)*leverMost/2 + offLine*r3.Norm(p.by[Wrist])
}

// picture is work for landmarks in one picture. What turns about an axis in
// the picture moves a point by as much as it lies in front of or behind that
// axis, which is not seen; so nothing beyond the wrist can be told apart.
func (c *chain) picture(p *pose, a r3.Vec, q *reach) {
	if c.has[Elbow] {
		c.elbow(p, a, q)
	}
	switch {
	case !c.has[Wrist]:
	case !c.has[Elbow]:
		c.wristOnly(p, a, q)
	default:
		v := r3.Sub(p.by[Wrist], p.by[Elbow])
		bone := r3.Sub(p.at[Wrist], p.at[Elbow])
		long := r3.Norm(bone)
		lever, doubt := 1+leverMost*0.6, leverMost*0.4
		off := 0.0
		if c.front && long > 0 {
			l := r3.Scale(1/long, bone)
			r := r3.Sub(p.at[Tip], p.at[Wrist])
			lever, doubt = 1+r3.Dot(r, l)/long, 0
			across := r3.Sub(r, r3.Scale(r3.Dot(r, l), l))
			off = -r3.Dot(a, l) * r3.Dot(v, across) / long
		}
		q.travel[swing] = r3.Dot(a, p.by[Elbow]) + lever*r3.Dot(a, v) + off
		q.guess[swing] = doubt*math.Abs(r3.Dot(a, v)) + offLine*r3.Norm(v)
	}
}

// settle finds out which stages the landmarks give, from a typical pose.
func (c *chain) settle(p *pose, a r3.Vec) {
	c.twist = -1
	q := c.work(p, a)
	for s, v := range q.travel {
		c.known[s] = !math.IsNaN(v)
	}
}
