package drive_test

import (
	"math"
	"math/cmplx"
	"math/rand/v2"

	"gonum.org/v1/gonum/mat"
	"gonum.org/v1/gonum/spatial/r3"

	"github.com/plectrace/plectrace/motion"
	"github.com/plectrace/plectrace/motion/drive"
	"github.com/plectrace/plectrace/trajectory"
)

// An arm is a chain of joints in space with finite rotations. It shares no code
// with the package: landmarks come from forward kinematics, true shares from
// differences of the tip's place with one joint let loose at a time.
//
// Joint coordinates: 0-2 turns about the shoulder, 3-5 shifts of the body,
// 6 elbow, 7 forearm rotation, 8-9 wrist, 10-11 turns of the fingers, 12 their
// stretch.
const coordinates = 13

var group = [coordinates]drive.Joint{
	drive.AtShoulder, drive.AtShoulder, drive.AtShoulder, drive.AtShoulder, drive.AtShoulder, drive.AtShoulder,
	drive.AtElbow, drive.AtForearm, drive.AtWrist, drive.AtWrist, drive.AtFingers, drive.AtFingers, drive.AtFingers,
}

type arm struct {
	shoulder, elbow, wrist, grip, tip r3.Vec // at rest
	hinge, flexion, deviation, turn   r3.Vec // axes at rest
	marks                             map[drive.Landmark]r3.Vec
	on                                map[drive.Landmark]int // the number of parts that carry it
}

// newArm returns an arm over an instrument whose origin is at the picking spot.
func newArm(rng *rand.Rand) *arm {
	a := &arm{marks: map[drive.Landmark]r3.Vec{}, on: map[drive.Landmark]int{}}
	jitter := func(s float64) r3.Vec {
		return r3.Vec{X: s * rng.NormFloat64(), Y: s * rng.NormFloat64(), Z: s * rng.NormFloat64()}
	}
	a.tip = jitter(2)
	a.grip = r3.Add(a.tip, r3.Add(r3.Vec{X: -10, Y: -12, Z: 25}, jitter(4)))
	a.wrist = r3.Add(a.tip, r3.Add(r3.Vec{X: -55, Y: -65, Z: 45}, jitter(10)))
	along := r3.Unit(r3.Add(r3.Vec{X: -0.7, Y: -0.7, Z: -0.05}, jitter(0.15)))
	a.elbow = r3.Add(a.wrist, r3.Scale(240+20*rng.NormFloat64(), along))
	up := r3.Unit(r3.Add(r3.Vec{X: -0.75, Y: 0.5, Z: -0.4}, jitter(0.15)))
	a.shoulder = r3.Add(a.elbow, r3.Scale(290+20*rng.NormFloat64(), up))
	a.hinge = r3.Unit(r3.Cross(r3.Sub(a.elbow, a.shoulder), along))
	palm := r3.Unit(r3.Add(r3.Vec{Z: 1}, jitter(0.4)))
	palm = r3.Unit(r3.Sub(palm, r3.Scale(r3.Dot(palm, along), along)))
	a.deviation = palm
	a.flexion = r3.Cross(palm, along)
	a.turn = r3.Unit(jitter(1))
	put := func(l drive.Landmark, p r3.Vec, on int) { a.marks[l], a.on[l] = p, on }
	put(drive.Shoulder, a.shoulder, 0)
	put(drive.Elbow, a.elbow, 1)
	put(drive.Wrist, a.wrist, 2)
	put(drive.WristInner, r3.Add(a.wrist, r3.Scale(27, a.flexion)), 2)
	put(drive.WristOuter, r3.Add(a.wrist, r3.Scale(-27, a.flexion)), 2)
	put(drive.Forearm, r3.Add(r3.Add(a.wrist, r3.Scale(60, along)), r3.Scale(35, a.flexion)), 2)
	ahead := r3.Unit(r3.Add(r3.Scale(-1, along), jitter(0.3)))
	for i := 1; i <= 4; i++ {
		p := r3.Add(a.wrist, r3.Add(r3.Scale(75-4*float64(i), ahead), r3.Scale(30-20*float64(i-1), a.flexion)))
		put(drive.Knuckle(i), r3.Add(p, r3.Add(r3.Scale(8*float64(i%2), palm), jitter(3))), 3)
	}
	put(drive.PickBase, r3.Add(a.tip, r3.Vec{X: -2, Y: -3, Z: 14}), 4)
	put(drive.Tip, a.tip, 4)
	return a
}

// turned rotates p about the line through c.
func turned(p, c, axis r3.Vec, angle float64) r3.Vec {
	return r3.Add(c, r3.NewRotation(angle, axis).Rotate(r3.Sub(p, c)))
}

// place returns where a point of the part numbered on lies for joint
// coordinates q.
func (a *arm) place(p r3.Vec, on int, q *[coordinates]float64) r3.Vec {
	if on >= 4 {
		p = r3.Add(p, r3.Scale(q[12], a.turn))
		p = turned(p, a.grip, r3.Vec{Y: 1}, q[11])
		p = turned(p, a.grip, a.turn, q[10])
	}
	if on >= 3 {
		p = turned(p, a.wrist, a.flexion, q[9])
		p = turned(p, a.wrist, a.deviation, q[8])
	}
	if on >= 2 {
		p = turned(p, a.wrist, r3.Unit(r3.Sub(a.wrist, a.elbow)), q[7])
		p = turned(p, a.elbow, a.hinge, q[6])
	}
	if on >= 1 {
		p = turned(p, a.shoulder, r3.Vec{X: 1}, q[0])
		p = turned(p, a.shoulder, r3.Vec{Y: 1}, q[1])
		p = turned(p, a.shoulder, r3.Vec{Z: 1}, q[2])
	}
	return r3.Add(p, r3.Vec{X: q[3], Y: q[4], Z: q[5]})
}

// jacobian returns how the tip moves with each coordinate about q.
func (a *arm) jacobian(q [coordinates]float64) (j [coordinates]r3.Vec) {
	const h = 1e-5
	for i := range j {
		hi, lo := q, q
		hi[i] += h
		lo[i] -= h
		j[i] = r3.Scale(1/(2*h), r3.Sub(a.place(a.tip, 4, &hi), a.place(a.tip, 4, &lo)))
	}
	return j
}

// playing says how the arm plays.
type playing struct {
	seconds, fps, hz float64
	half             float64 // half-travel of the tip, mm
	apart            float64 // standard deviation of the phases of the joints, rad
	weight           map[drive.Joint]float64
	noise            float64                    // mm, white
	slide            map[drive.Landmark]float64 // mm, in phase with the stroke
	drift            float64                    // of the posture, rad and, times 100, mm
	wander           float64                    // of each coordinate's size, between cycles, as a share
	hide             float64                    // share of every cycle in which a landmark is hidden
	hidden           []drive.Landmark
	gaps             float64 // share of samples hidden at random, in stretches
	keep             []drive.Landmark
	strings          float64 // distance of the strings that the whole arm moves over, mm
}

// take is a recording with its truth.
type take struct {
	points map[drive.Landmark]trajectory.Placed
	share  map[drive.Joint]float64
	carry  map[drive.Landmark]float64
	arm    *arm
	parts  [coordinates][3]complex128 // the tip's travel with each coordinate
}

// walk returns the string that is played in a cycle: up and down over three of
// them, four cycles on each, with a change in half a cycle.
func walk(cycle float64) float64 {
	at := [5]float64{0, 1, 2, 1, 0}
	k, u := math.Modf(cycle / 4)
	i := int(k) % 4
	u = min(1, max(0, (u-0.875)*8))
	return at[i] + (at[i+1]-at[i])*u*u*(3-2*u)
}

// play records the arm.
func (a *arm) play(p playing, rng *rand.Rand) take {
	var rest [coordinates]float64
	j := a.jacobian(rest)
	axis := r3.Unit(r3.Vec{X: 1, Y: 0.1, Z: 0.3 * rng.NormFloat64()})
	var size, phase, second, drift [coordinates]float64
	for _, g := range allJoints {
		w, ok := p.weight[g]
		if !ok {
			continue
		}
		var own []int
		for i := range group {
			if group[i] == g && math.Abs(r3.Dot(axis, j[i])) > 0.3*r3.Norm(j[i]) {
				own = append(own, i)
			}
		}
		for _, i := range own {
			size[i] = w * p.half / float64(len(own)) / r3.Dot(axis, j[i])
			phase[i] = p.apart * rng.NormFloat64()
			second[i] = 0.06 * size[i] * rng.NormFloat64()
		}
	}
	for i := range drift {
		drift[i] = p.drift * rng.NormFloat64()
		if i >= 3 && i <= 5 || i == 12 {
			drift[i] *= 50
		}
	}
	drift[12] = 0

	// Truth: small movements about rest, at the cycle frequency.
	var tip [3]complex128
	part := func(i int) [3]complex128 {
		e := cmplx.Rect(size[i], phase[i])
		return [3]complex128{complex(j[i].X, 0) * e, complex(j[i].Y, 0) * e, complex(j[i].Z, 0) * e}
	}
	for i := range size {
		for d, v := range part(i) {
			tip[d] += v
		}
	}
	main := mainAxis(tip)
	ta := along(main, tip)
	out := take{points: map[drive.Landmark]trajectory.Placed{}, share: map[drive.Joint]float64{}, carry: map[drive.Landmark]float64{}, arm: a}
	for i := range size {
		out.parts[i] = part(i)
	}
	out.truth(main)

	n := int(p.seconds * p.fps)
	t := make([]float64, n)
	phi := make([]float64, n)
	slow := rng.Float64() * 6
	vary := make([][coordinates]float64, int(p.seconds*p.hz*1.2)+4)
	for k := range vary {
		for i := range vary[k] {
			vary[k][i] = 1 + p.wander*rng.NormFloat64()
		}
	}
	at := rng.Float64()
	for k := range t {
		t[k] = float64(k) / p.fps
		phi[k] = at
		at += 2 * math.Pi * p.hz / p.fps * (1 + 0.04*math.Sin(0.9*t[k]+slow))
	}
	offset := map[drive.Landmark]r3.Vec{}
	for _, l := range sorted(p.slide) {
		dir := r3.Vec{X: rng.NormFloat64(), Y: rng.NormFloat64(), Z: rng.NormFloat64()}
		offset[l] = r3.Scale(p.slide[l], r3.Unit(dir))
	}
	tipPhase := cmplx.Phase(ta)
	starts := map[drive.Landmark]float64{}
	for _, l := range p.hidden {
		starts[l] = rng.Float64() * 2 * math.Pi
	}
	for _, l := range p.keep {
		cols := [3][]float64{make([]float64, n), make([]float64, n), make([]float64, n)}
		gap := 0
		for k := range t {
			var q [coordinates]float64
			c := phi[k] / (2 * math.Pi)
			m := min(int(c), len(vary)-2)
			u := c - float64(m)
			for i := range q {
				s := vary[m][i]*(1-u) + vary[m+1][i]*u
				q[i] = s*size[i]*math.Cos(phi[k]+phase[i]) + second[i]*math.Cos(2*phi[k]+1+float64(i)) +
					drift[i]*math.Sin(2*math.Pi*0.07*t[k]+slow+float64(i))
			}
			q[3] += p.strings * walk(c)
			x := a.place(a.marks[l], a.on[l], &q)
			x = r3.Add(x, r3.Scale(math.Cos(phi[k]+tipPhase), offset[l]))
			x = r3.Add(x, r3.Vec{X: p.noise * rng.NormFloat64(), Y: p.noise * rng.NormFloat64(), Z: p.noise * rng.NormFloat64()})
			if gap > 0 {
				gap--
			} else if rng.Float64() < p.gaps/8 {
				gap = 8
			}
			s, ok := starts[l]
			if gap > 0 || ok && math.Mod(phi[k]+s, 2*math.Pi) < 2*math.Pi*p.hide {
				nan := math.NaN()
				x = r3.Vec{X: nan, Y: nan, Z: nan}
			}
			cols[0][k], cols[1][k], cols[2][k] = x.X, x.Y, x.Z
		}
		out.points[l] = trajectory.Placed{Name: l.String(), T: t, Across: cols[0], Along: cols[1], Out: cols[2], Unit: "mm"}
	}
	// True carry: each landmark's own movement with the joints.
	for _, l := range p.keep {
		var v [3]complex128
		for i := range size {
			if size[i] == 0 {
				continue
			}
			const h = 1e-5
			hi, lo := rest, rest
			hi[i], lo[i] = h, -h
			d := r3.Scale(1/(2*h), r3.Sub(a.place(a.marks[l], a.on[l], &hi), a.place(a.marks[l], a.on[l], &lo)))
			e := cmplx.Rect(size[i], phase[i])
			v[0] += complex(d.X, 0) * e
			v[1] += complex(d.Y, 0) * e
			v[2] += complex(d.Z, 0) * e
		}
		out.carry[l] = real(cmplx.Conj(ta)*along(main, v)) / real(ta*cmplx.Conj(ta))
	}
	return out
}

// truth sets the shares along an axis.
func (k *take) truth(axis r3.Vec) {
	var ta complex128
	for _, v := range k.parts {
		ta += along(axis, v)
	}
	k.share = map[drive.Joint]float64{}
	for i, v := range k.parts {
		k.share[group[i]] += real(cmplx.Conj(ta)*along(axis, v)) / real(ta*cmplx.Conj(ta))
	}
}

// picture returns the take as one camera sees it, from the front or down the
// strings.
func (k take) picture(front bool) take {
	out := k
	out.points = map[drive.Landmark]trajectory.Placed{}
	for l, p := range k.points {
		if front {
			p.Out = nil
		} else {
			p.Along = nil
		}
		out.points[l] = p
	}
	var tip [3]complex128
	for i, v := range k.parts {
		if front {
			v[2] = 0
		} else {
			v[1] = 0
		}
		out.parts[i] = v
		for d := range v {
			tip[d] += v[d]
		}
	}
	out.truth(mainAxis(tip))
	return out
}

func sorted(m map[drive.Landmark]float64) []drive.Landmark {
	var out []drive.Landmark
	for l := drive.Shoulder; l <= drive.Knuckle(9); l++ {
		if _, ok := m[l]; ok {
			out = append(out, l)
		}
	}
	return out
}

func along(a r3.Vec, v [3]complex128) complex128 {
	return complex(a.X, 0)*v[0] + complex(a.Y, 0)*v[1] + complex(a.Z, 0)*v[2]
}

func mainAxis(v [3]complex128) r3.Vec {
	m := mat.NewSymDense(3, nil)
	for i := range v {
		for j := i; j < 3; j++ {
			m.SetSym(i, j, real(v[i]*cmplx.Conj(v[j])))
		}
	}
	var e mat.EigenSym
	e.Factorize(m, true)
	var w mat.Dense
	e.VectorsTo(&w)
	return r3.Vec{X: w.At(0, 2), Y: w.At(1, 2), Z: w.At(2, 2)}
}

// strokes finds the strokes on the tip.
func (k take) strokes() []motion.Stroke {
	m, err := motion.Analyze(k.points[drive.Tip], motion.Options{})
	if err != nil {
		panic(err)
	}
	return m.Strokes
}

var everything = []drive.Landmark{
	drive.Shoulder, drive.Elbow, drive.Wrist, drive.WristInner, drive.WristOuter, drive.Forearm,
	drive.Knuckle(1), drive.Knuckle(2), drive.Knuckle(3), drive.Knuckle(4), drive.PickBase, drive.Tip,
}
