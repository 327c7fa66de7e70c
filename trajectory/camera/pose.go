package camera

import "math"

// The unknowns of a pinhole camera that looks at a card.
const (
	pU     = iota // place of the foot's middle in the picture, px
	pV            //
	pScale        // log of px per mm square to the line of sight, at the foot's middle
	pOut          // direction of out in the picture, from x toward y
	pYaw          // of the line of sight to the foot's middle
	pRaise        //
	pNear         // one over the distance along the lens's axis, 1/mm; 0 without perspective
	pOffU         // tangents of the angle from the lens's axis to the line of sight,
	pOffV         // where the picture's size is not known
	params
)

type pose [params]float64

// residuals: two for each corner, and what is known beforehand of the focal
// length and of the angles from the lens's axis.
const residuals = 11

// Standard deviations of what is known beforehand.
const (
	focalSD = 0.03              // of the log of a focal length that is given
	offSD   = 7 * math.Pi / 180 // of the angles from the lens's axis, as tangents
)

// model predicts the corners of a card.
type model struct {
	at     [4][2]float64 // the corners, px
	to     [4][2]float64 // the corners in the card's plane, mm
	centre [2]float64    // of the picture
	known  bool          // whether centre is known
	focal  float64       // px, 0 for unknown
	sd     float64       // of a corner's place on each axis, px
	sense  float64       // +1 when across, out turn from the picture's x toward y
}

// residual fills r with the residuals of p in standard errors.
//
// With the foot's middle at depth 1/κ, scale s = f κ, and o the tangents of the
// angles from the lens's axis to it, a point that lies by q from it, in camera
// axes, is seen at
//
//	u = u0 + s (qx - ox qz) / (1 + κ qz)
//
// which holds for κ = 0 too, a camera infinitely far.
func (m *model) residual(r *[residuals]float64, p *pose) {
	s, k := math.Exp(p[pScale]), p[pNear]
	ox, oy := p[pOffU], p[pOffV]
	r[8], r[9], r[10] = 0, 0, 0
	if m.known {
		ox, oy = (p[pU]-m.centre[0])*k/s, (p[pV]-m.centre[1])*k/s
	} else {
		r[8], r[9] = ox/offSD, oy/offSD
	}
	if m.focal > 0 {
		r[10] = (math.Log(max(k, 1e-9)*m.focal) - p[pScale]) / focalSD
	}
	across, out := m.axes(p, ox, oy)
	for i, to := range m.to {
		var q [3]float64
		for j := range q {
			q[j] = to[0]*across[j] + to[1]*out[j]
		}
		w := max(1+k*q[2], 1e-3)
		r[2*i] = (p[pU] + s*(q[0]-ox*q[2])/w - m.at[i][0]) / m.sd
		r[2*i+1] = (p[pV] + s*(q[1]-oy*q[2])/w - m.at[i][1]) / m.sd
	}
}

// axes returns across and out in camera axes: x and y of the picture, and z
// away from the camera.
//
// About the line of sight they are, with τ the direction of out in the picture,
//
//	out    = (cos ρ cos τ, cos ρ sin τ, -sin ρ)
//	across = cos ψ (sin τ, -cos τ, 0) sense + sin ψ (sin ρ cos τ, sin ρ sin τ, cos ρ)
//
// and the smallest rotation takes the lens's axis to the line of sight.
func (m *model) axes(p *pose, ox, oy float64) (across, out [3]float64) {
	sinT, cosT := math.Sincos(p[pOut])
	sinY, cosY := math.Sincos(p[pYaw])
	sinR, cosR := math.Sincos(p[pRaise])
	cosY *= m.sense
	out = [3]float64{cosR * cosT, cosR * sinT, -sinR}
	across = [3]float64{cosY*sinT + sinY*sinR*cosT, -cosY*cosT + sinY*sinR*sinT, sinY * cosR}
	n := math.Sqrt(1 + ox*ox + oy*oy)
	px, py, pz := ox/n, oy/n, 1/n
	turn := func(v [3]float64) [3]float64 {
		// Rodrigues, for the rotation of z onto (px, py, pz).
		c := (px*v[0] + py*v[1]) / (1 + pz)
		return [3]float64{
			v[0] - px*c + px*v[2],
			v[1] - py*c + py*v[2],
			-px*v[0] - py*v[1] + pz*v[2],
		}
	}
	return turn(across), turn(out)
}

// bounds of the unknowns.
func (m *model) bounds(scale float64, picture float64) (low, high pose) {
	for i := range low {
		low[i], high[i] = math.Inf(-1), math.Inf(1)
	}
	low[pYaw], high[pYaw] = -maxYaw, maxYaw
	low[pRaise], high[pRaise] = 0, maxRaise
	low[pNear], high[pNear] = 0, 1/nearestMM
	if picture > 0 && m.focal == 0 {
		// f = s/κ is at least half the picture's longer side.
		high[pNear] = min(high[pNear], 2*scale/picture)
	}
	return low, high
}

const (
	maxYaw    = 70 * math.Pi / 180
	maxRaise  = 80 * math.Pi / 180
	nearestMM = 120.0
)
