package camera_test

import (
	"math"
	"math/rand/v2"
	"testing"

	"gonum.org/v1/gonum/spatial/r3"

	"github.com/plectrace/plectrace/trajectory"
	"github.com/plectrace/plectrace/trajectory/camera"
	"github.com/plectrace/plectrace/variability/circular"
	"github.com/plectrace/plectrace/variability/estimate"
)

// about returns a normal estimate with that standard error.
func about(x, sd float64) estimate.Value[circular.Angle] {
	return estimate.Value[circular.Angle]{
		Value: circular.Angle(x), Low: circular.Angle(x - 1.959964*sd), High: circular.Angle(x + 1.959964*sd), Level: 0.95, N: 100,
	}
}

// knowledge is what a test says of raise and skew.
type knowledge struct {
	name      string
	card      bool // raise and the plane come from a card
	lean      float64
	still     bool // the camera is not raised, and that is known
	skewKnown bool // to 2 degrees, from a front-on take
}

// play returns the seen path angle of a stroke, with the true one, and what is
// known of its tilt.
func play(rng *rand.Rand, k knowledge) (seen estimate.Value[circular.Angle], truth float64, tilt camera.Tilt, ok bool) {
	truth = (2*rng.Float64() - 1) * 40 * degree
	skew := (2*rng.Float64() - 1) * 30 * degree
	at := r3.Vec{X: (2*rng.Float64() - 1) * 15, Y: (2*rng.Float64() - 1) * 2, Z: (2*rng.Float64() - 1) * 3}
	half := r3.Scale(3, r3.Unit(stroke(truth, skew)))
	from, to := r3.Sub(at, half), r3.Add(at, half)
	var s studio
	var angle, sd float64
	if k.card {
		var c camera.Corners
		var o camera.CardOptions
		s, c, o = filmed(rng, rng.IntN(2) == 0, picture, k.lean)
		card, err := camera.NewCard(c, o)
		if err != nil {
			return seen, truth, tilt, false
		}
		x0, y0 := s.see(from)
		x1, y1 := s.see(to)
		p, err := card.Plane.Map(trajectory.Path{}, trajectory.Path{T: []float64{0, 1}, X: []float64{x0, x1}, Y: []float64{y0, y1}})
		if err != nil {
			return seen, truth, tilt, false
		}
		angle = math.Atan2(p.Y[1]-p.Y[0], p.X[1]-p.X[0])
		sd = card.Plane.AngleError(circular.Angle(angle)).Radians()
		tilt = card.Tilt(estimate.Value[circular.Angle]{})
	} else {
		raise := rng.Float64() * 25 * degree
		if k.still {
			raise = 0
			tilt.Raise = about(0, 0)
		}
		s = newStudio(rng, raise, 0, 0, 8)
		if rng.IntN(2) == 0 {
			s = s.from()
			tilt.FromNeck = true
		}
		// Along the strings in the picture, and out square to it on its side.
		x0, y0 := s.see(r3.Vec{})
		ax, ay := s.see(r3.Vec{X: 1})
		ox, oy := s.see(r3.Vec{Z: 1})
		ax, ay, ox, oy = ax-x0, ay-y0, ox-x0, oy-y0
		side := math.Copysign(1, ax*oy-ay*ox)
		fx, fy := s.see(from)
		tx, ty := s.see(to)
		dx, dy := tx-fx, ty-fy
		angle = math.Atan2(side*(ax*dy-ay*dx), ax*dx+ay*dy)
	}
	if k.skewKnown {
		tilt.Skew = about(skew+2*degree*rng.NormFloat64(), 2*degree)
	}
	noise := (0.2 + 1.3*rng.Float64()) * degree
	return about(angle+noise*rng.NormFloat64(), math.Hypot(noise, sd)), truth, tilt, true
}

// TestPathAngleCoverage prints how many intervals hold the true path angle, for
// skew within 30 degrees on either side and raise of 0 to 25, and half their
// median width in degrees.
func TestPathAngleCoverage(t *testing.T) {
	for _, k := range []knowledge{
		{name: "raise from card, skew unknown", card: true},
		{name: "raise from leaning card, skew unknown", card: true, lean: 2 * degree},
		{name: "both unknown"},
		{name: "both known", card: true, skewKnown: true},
		{name: "both known, leaning card", card: true, lean: 2 * degree, skewKnown: true},
		{name: "skew known, raise unknown", skewKnown: true},
		{name: "no raise, skew unknown", still: true},
	} {
		t.Run(k.name, func(t *testing.T) {
			rng := rand.New(rand.NewPCG(3, 9))
			n := rows(100)
			if !k.card {
				n *= 20
			}
			var got, tight tally
			for range n {
				seen, truth, tilt, ok := play(rng, k)
				if !ok {
					t.Error("no card")
					continue
				}
				got.add(tilt.PathAngle(seen), truth)
				tilt.Within = 20 * circular.Degree
				tight.add(tilt.PathAngle(seen), truth)
			}
			t.Logf("%.3f, error %.2f, half-width %.2f; were skew within 20 degrees %.3f, %.2f",
				got.share(), got.error(), got.halfWidth(), tight.share(), tight.halfWidth())
			got.holds(t, "path angle", 0.95)
		})
	}
}

// TestPathAngleWorstCase is about takes at the corner of what is allowed for.
func TestPathAngleWorstCase(t *testing.T) {
	rng := rand.New(rand.NewPCG(4, 2))
	var known, unknown tally
	for range 2000 {
		truth, raise, skew := (2*rng.Float64()-1)*40*degree, 25*degree, math.Copysign(30*degree, rng.Float64()-0.5)
		noise := (0.2 + 1.3*rng.Float64()) * degree
		seen := about(math.Atan(math.Tan(truth)+math.Tan(skew)*math.Tan(raise))+noise*rng.NormFloat64(), noise)
		known.add(camera.Tilt{Raise: about(raise, 0), Rectified: true}.PathAngle(seen), truth)
		unknown.add(camera.Tilt{Rectified: true}.PathAngle(seen), truth)
	}
	t.Logf("raise known %.3f, both unknown %.3f", known.share(), unknown.share())
	known.holds(t, "raise known", 0.95)
	unknown.holds(t, "both unknown", 0.95)
}
