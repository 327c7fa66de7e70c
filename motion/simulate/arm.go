package simulate

import (
	"fmt"
	"math"
	"math/rand/v2"

	"github.com/plectrace/plectrace/variability/estimate"
	"gonum.org/v1/gonum/num/quat"
	"gonum.org/v1/gonum/spatial/r3"
)

// Shares says how much of the tip's travel along the stroke's axis comes from
// what carries it. They add up to 1.
type Shares struct {
	// Shoulder and what is above it move the whole arm without turning it.
	Shoulder float64
	// Elbow turns the forearm about the elbow, Forearm about its own length.
	Elbow, Forearm float64
	// Wrist turns the hand about the wrist, square to the forearm's length.
	Wrist float64
	// Fingers move the pick against the hand. They also do what the others
	// leave over: the rest of the path, and of the arcs on which joints move.
	Fingers float64
}

func (s Shares) list() [5]float64 {
	return [5]float64{s.Shoulder, s.Elbow, s.Forearm, s.Wrist, s.Fingers}
}

// plus returns s with each share of t, times by, added.
func (s Shares) plus(by float64, t Shares) Shares {
	return Shares{s.Shoulder + by*t.Shoulder, s.Elbow + by*t.Elbow, s.Forearm + by*t.Forearm, s.Wrist + by*t.Wrist, s.Fingers + by*t.Fingers}
}

func (s Shares) valid() bool {
	sum := 0.0
	for _, v := range s.list() {
		if !(v >= -2 && v <= 3) {
			return false
		}
		sum += v
	}
	return math.Abs(sum-1) <= 1e-9
}

// The joints of the chain that have an angle, or in the shoulder's case a
// travel.
const (
	shoulder = iota
	elbow
	forearm
	wrist
)

// joints holds the shoulder's travel in mm along the axis, and the angles of
// elbow, forearm and wrist in radians, all from the middle of the path.
type joints [4]float64

// arm is a chain of rigid parts. Its places are those for a tip in the middle
// of its path, from the hand's centre, in mm in the instrument frame.
type arm struct {
	o    Options
	axis r3.Vec // of the strokes
	// shoulder is far from the hand, elbow and wrist are the joints.
	shoulder, elbow, wrist r3.Vec
	turn                   [4]r3.Vec  // the axes of the joints' turns
	gain                   [4]float64 // travel along the axis for a unit of the joint
	rng                    *rand.Rand // of the shares' scatter
}

// Lengths of the arm in mm: those of an adult, rounded.
const (
	upperArmLong = 300
	forearmLong  = 250
	handLong     = 80 // wrist to knuckles
	wristHalf    = 28
	knuckleHalf  = 30
)

// newArm returns the arm of o, or nil if it has none.
//
// The forearm runs at ForearmAngle to along and 5 degrees down to the strings.
// With f along it, n square to it and outward, and s = n x f toward the thumb,
// the knuckles lie 80 mm on from the wrist, and the tip 45 mm further, 25 mm
// toward the strings and 25 mm to the thumb's side. The elbow is 250 mm back.
//
// Every joint turns about the axis that moves the tip best along the strokes'
// axis u. For the elbow and the wrist it is square to f, so that neither does
// the forearm's work:
//
//	a  ∝ r x u less its part along f    r from the joint to the tip
//	gain = u·(a x r)                    mm per radian
//
// The shoulder is 300 mm from the elbow, toward the lowest string's side, and in
// the plane in which the forearm swings: the elbow is a hinge.
func newArm(o Options) (*arm, error) {
	if !o.Arm {
		return nil, nil
	}
	a := &arm{o: o, axis: direction(o.PathAngle, o.Skew), rng: estimate.Stream(o.Seed, "simulate/shares")}
	f, n, s := a.forearm()
	a.wrist = r3.Scale(-1, sum3(r3.Scale(handLong+45, f), r3.Scale(-25-7, n), r3.Scale(25, s)))
	a.elbow = r3.Sub(a.wrist, r3.Scale(forearmLong, f))
	square := func(v, to r3.Vec) r3.Vec { return r3.Unit(r3.Sub(v, r3.Scale(r3.Dot(v, to), to))) }
	a.turn[elbow] = square(r3.Cross(r3.Scale(-1, a.elbow), a.axis), f)
	a.turn[forearm] = f
	a.turn[wrist] = square(r3.Cross(r3.Scale(-1, a.wrist), a.axis), f)
	a.shoulder = r3.Add(a.elbow, r3.Scale(upperArmLong, square(r3.Vec{X: -0.85, Y: 0.25, Z: -0.46}, a.turn[elbow])))
	a.gain[shoulder] = 1
	for j, from := range [...]r3.Vec{elbow: a.elbow, forearm: a.wrist, wrist: a.wrist} {
		if j == shoulder {
			continue
		}
		a.gain[j] = r3.Dot(a.axis, r3.Cross(a.turn[j], r3.Scale(-1, from)))
		if !(math.Abs(a.gain[j]) >= leastGain) {
			return nil, fmt.Errorf("simulate: the %s cannot move the tip along strokes of path angle %.0f and skew %.0f degrees with the forearm at %.0f degrees: choose another ForearmAngle",
				[...]string{elbow: "elbow", forearm: "forearm", wrist: "wrist"}[j], o.PathAngle.Degrees(), o.Skew.Degrees(), o.ForearmAngle.Degrees())
		}
	}
	return a, nil
}

// leastGain is the least travel of the tip for a radian of a joint, in mm.
const leastGain = 10

func sum3(a, b, c r3.Vec) r3.Vec { return r3.Add(a, r3.Add(b, c)) }

// forearm returns the directions along the forearm, square to it and outward,
// and toward the thumb's side.
func (a *arm) forearm() (f, n, s r3.Vec) {
	const down = 5 * math.Pi / 180
	sin, cos := math.Sincos(float64(a.o.ForearmAngle))
	f = r3.Vec{X: sin * math.Cos(down), Y: cos * math.Cos(down), Z: -math.Sin(down)}
	n = outward(f)
	return f, n, r3.Cross(n, f)
}

// pose returns the joints at a turn: each has gone its share of the way from
// the middle of the path, and scatters by 1/√2 of the strokes' scatter.
func (a *arm) pose(k knot) (j joints) {
	if a == nil || k.waits || k.approaches {
		return j
	}
	way := r3.Dot(a.axis, r3.Sub(k.place, k.hand))
	for i, share := range [...]float64{a.o.Shares.Shoulder, a.o.Shares.Elbow, a.o.Shares.Forearm, a.o.Shares.Wrist} {
		off := a.o.ShareScatter * a.o.Length / math.Sqrt2 * a.rng.NormFloat64()
		j[i] = (share*way + off) / a.gain[i]
	}
	return j
}

// body is the chain at one moment.
type body struct {
	elbow, wrist  r3.Vec      // joints
	lower, palm   r3.Rotation // of the forearm and the hand from the middle pose
	shift         r3.Vec      // of all of it
	turnsOfWrist  r3.Vec      // the wrist's axis
	alongForearm  r3.Vec
	tip           r3.Vec // fixed to the hand: where it would be without the fingers
	shoulderPlace r3.Vec
}

// at returns the chain with those joints, the hand's centre at hand.
func (a *arm) at(j joints, hand r3.Vec) body {
	b := body{shift: r3.Add(hand, r3.Scale(j[shoulder], a.axis))}
	b.shoulderPlace = r3.Add(b.shift, a.shoulder)
	b.elbow = r3.Add(b.shift, a.elbow)
	swing := r3.NewRotation(j[elbow], a.turn[elbow])
	b.wrist = r3.Add(b.elbow, swing.Rotate(r3.Sub(a.wrist, a.elbow)))
	b.alongForearm = swing.Rotate(a.turn[forearm])
	b.lower = after(r3.NewRotation(j[forearm], b.alongForearm), swing)
	b.turnsOfWrist = b.lower.Rotate(a.turn[wrist])
	b.palm = after(r3.NewRotation(j[wrist], b.turnsOfWrist), b.lower)
	b.tip = r3.Add(b.wrist, b.palm.Rotate(r3.Scale(-1, a.wrist)))
	return b
}

// after returns the rotation that does first, then next.
func after(next, first r3.Rotation) r3.Rotation {
	return r3.Rotation(quat.Mul(quat.Number(next), quat.Number(first)))
}

// landmarks lists the arm's points, and whether they lie on skin.
var landmarks = []struct {
	name string
	skin bool
}{
	{"shoulder", true}, {"elbow", true}, {"wrist", true}, {"wrist_inner", true}, {"wrist_outer", true},
	{"knuckle_1", true}, {"knuckle_2", true}, {"pick_base", false},
}

// place returns where a landmark is on the chain b whose tip is at tip.
func (a *arm) place(name string, b body, tip r3.Vec) r3.Vec {
	f, n, s := a.forearm()
	sin, cos := math.Sincos(float64(a.o.ForearmRoll))
	side := r3.Sub(r3.Scale(cos, s), r3.Scale(sin, n)) // the thumb's, rolled
	knuckles := func(half float64) r3.Vec {
		return r3.Add(b.wrist, b.palm.Rotate(sum3(r3.Scale(handLong, f), r3.Scale(-7, n), r3.Scale(half, side))))
	}
	switch name {
	case "shoulder":
		return b.shoulderPlace
	case "elbow":
		return b.elbow
	case "wrist":
		return b.wrist
	case "wrist_inner":
		return r3.Add(b.wrist, b.lower.Rotate(r3.Scale(wristHalf, side)))
	case "wrist_outer":
		return r3.Add(b.wrist, b.lower.Rotate(r3.Scale(-wristHalf, side)))
	case "knuckle_1":
		return knuckles(knuckleHalf)
	case "knuckle_2":
		return knuckles(-knuckleHalf)
	}
	// The pick's base is fixed to the pick, which turns with the hand.
	return r3.Add(tip, b.palm.Rotate(sum3(r3.Scale(-4, f), r3.Scale(13, n), r3.Scale(2, s))))
}

// joint returns the joints at time t.
func (l *leg) joints(t float64, g timing) joints {
	j := l.joint[0]
	if l.rest {
		return j
	}
	s := g.place(l.share(t))
	for i := range j {
		j[i] += s * (l.joint[1][i] - j[i])
	}
	return j
}

// arm adds the landmarks of the arm.
func (s *shooting) arm(a *arm) {
	if a == nil {
		return
	}
	for _, m := range landmarks {
		rng := estimate.Stream(s.o.Seed, "simulate/skin/"+m.name)
		slide := r3.Unit(r3.Vec{X: rng.NormFloat64(), Y: rng.NormFloat64(), Z: rng.NormFloat64()})
		if !m.skin {
			slide = r3.Vec{}
		}
		slide = r3.Scale(s.o.SkinError/(s.o.Length/2), slide)
		s.add(m.name, s.o.LandmarkNoise, true, func(t float64) r3.Vec {
			l := s.path.leg(t)
			tip, hand := l.at(t, s.path.g), l.handAt(t)
			p := a.place(m.name, a.at(l.joints(t, s.path.g), hand), tip)
			return r3.Add(p, r3.Scale(r3.Dot(a.axis, r3.Sub(tip, hand)), slide))
		}, losing(s.o.DropOuts))
	}
}

// shares returns those of the leg's travel along its own chord c: with ω_j the
// speed of a joint's turn about its axis and r_j the tip from the joint,
//
//	share_j = ∫ c·(ω_j x r_j) dt / |c|²
//
// The fingers have the rest, so that the shares add up to 1.
func (a *arm) shares(l *leg) (s Shares) {
	if a == nil {
		return s
	}
	var by joints // change of the joints
	for i := range by {
		by[i] = l.joint[1][i] - l.joint[0][i]
	}
	c := r3.Scale(1/r3.Norm2(l.chord), l.chord)
	s.Shoulder = r3.Dot(c, r3.Add(l.hand, r3.Scale(by[shoulder], a.axis)))
	const parts = 16
	for k := range parts {
		u := (float64(k) + 0.5) / parts
		j := l.joint[0]
		for i := range j {
			j[i] += u * by[i]
		}
		tip := l.along(u)
		b := a.at(j, r3.Add(l.hand0, r3.Scale(u, l.hand)))
		fromWrist := r3.Sub(tip, b.wrist)
		s.Elbow += by[elbow] / parts * r3.Dot(c, r3.Cross(a.turn[elbow], r3.Sub(tip, b.elbow)))
		s.Forearm += by[forearm] / parts * r3.Dot(c, r3.Cross(b.alongForearm, fromWrist))
		s.Wrist += by[wrist] / parts * r3.Dot(c, r3.Cross(b.turnsOfWrist, fromWrist))
	}
	s.Fingers = 1 - s.Shoulder - s.Elbow - s.Forearm - s.Wrist
	return s
}

// noteShares fills in what carries the tip over the take.
func (b *builder) noteShares(tr *Truth) {
	a := b.arm
	if a == nil {
		if b.o.Wrist {
			tr.Carry = b.o.Carry
		}
		return
	}
	swing := r3.Dot(a.axis, r3.Cross(a.turn[elbow], r3.Sub(a.wrist, a.elbow)))
	tr.Carry = b.o.Shares.Shoulder + b.o.Shares.Elbow*swing/a.gain[elbow]
	var way float64
	for _, s := range tr.Strokes {
		if s.Settled == (tr.SettledShare > 0) && !s.Tiny {
			tr.Shares = tr.Shares.plus(s.Length, s.Shares)
			way += s.Length
		}
	}
	if way > 0 {
		tr.Shares = Shares{}.plus(1/way, tr.Shares)
	}
}
