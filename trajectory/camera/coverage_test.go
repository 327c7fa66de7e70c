package camera_test

import (
	"flag"
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"github.com/plectrace/plectrace/trajectory/camera"
	"github.com/plectrace/plectrace/variability/circular"
	"github.com/plectrace/plectrace/variability/estimate"
)

// tally counts intervals that hold the truth.
type tally struct {
	held, of int
	width    []float64
	miss     []float64
}

func (t *tally) add(v estimate.Value[circular.Angle], truth float64) {
	t.of++
	if v.Low.Radians() <= truth && truth <= v.High.Radians() {
		t.held++
	}
	t.width = append(t.width, (v.High-v.Low).Degrees()/2)
	t.miss = append(t.miss, math.Abs(v.Value.Radians()-truth)/degree)
}

func (t *tally) share() float64 { return float64(t.held) / float64(t.of) }

func (t *tally) halfWidth() float64 { slices.Sort(t.width); return t.width[len(t.width)/2] }

func (t *tally) error() float64 { slices.Sort(t.miss); return t.miss[len(t.miss)/2] }

// lens is what a test says of the lens.
type lens int

const (
	nothing lens = iota
	picture
	focal
)

// filmed draws a camera with its card. Where the picture is known, the camera is
// turned until the card lies within.
func filmed(rng *rand.Rand, far bool, said lens, lean float64) (studio, camera.Corners, camera.CardOptions) {
	raise, yaw := rng.Float64()*25*degree, (2*rng.Float64()-1)*12*degree
	scale := 3 + 7*rng.Float64()
	distance := 0.0
	if !far {
		least := 1150 / scale // an angle of view of 80 degrees
		distance = least * math.Pow(1500/least, rng.Float64())
	}
	fromNeck, mirrored, shortEdge := rng.IntN(2) == 0, rng.IntN(2) == 0, rng.IntN(4) == 0
	for range 500 {
		s := newStudio(rng, raise, yaw, distance, scale)
		if fromNeck {
			s = s.from()
		}
		s.mirrored = mirrored
		o := s.options()
		o.Lean = -1
		foot, height := camera.CardLongMM, camera.CardShortMM
		if o.ShortEdge = shortEdge; o.ShortEdge {
			foot, height = height, foot
		}
		if lean > 0 {
			o.Lean = circular.Angle(lean)
		}
		if said >= picture {
			o.PictureWidth, o.PictureHeight = 1920, 1080
		}
		if said >= focal && !far {
			o.FocalLength = s.focal
		}
		c := s.card(rng, foot, height, lean*rng.NormFloat64(), lean*rng.NormFloat64(), 1)
		if o.PictureWidth == 0 || inPicture(c) {
			return s, c, o
		}
	}
	return filmed(rng, far, said, lean) // no picture holds that card
}

// inPicture reports whether a card lies within 1920 x 1080 pixels.
func inPicture(c camera.Corners) bool {
	return !slices.ContainsFunc(c[:], func(p [2]float64) bool { return !(p[0] >= 0 && p[0] <= 1920 && p[1] >= 0 && p[1] <= 1080) })
}

// takes is how many cards a row of the coverage tables draws.
var takes = flag.Int("takes", 0, "cards for each row of the coverage tables")

// rows returns how many cards to draw.
func rows(usual int) int {
	switch {
	case *takes > 0:
		return *takes
	case testing.Short():
		return usual / 3
	}
	return usual
}

// holds fails unless the share of intervals that hold is at least want, less
// three standard errors of a share of 0.95.
func (t *tally) holds(tb testing.TB, what string, want float64) {
	tb.Helper()
	if least := want - 3*math.Sqrt(0.95*0.05/float64(t.of)); !(t.share() >= least) {
		tb.Errorf("%s: %.3f of the intervals hold, want %.2f (at least %.3f of %d)", what, t.share(), want, least, t.of)
	}
}

// TestCardCoverage prints, for raise and yaw, how many of the intervals hold
// the truth, and half their median width in degrees.
func TestCardCoverage(t *testing.T) {
	for _, test := range []struct {
		name string
		far  bool
		said lens
		lean float64
		most float64 // half the median width of raise's interval from 15 degrees on
	}{
		{"no perspective, nothing known", true, nothing, 0, 7},
		{"no perspective, picture known", true, picture, 0, 1.6},
		{"nothing known", false, nothing, 0, 4.5},
		{"picture known", false, picture, 0, 1.6},
		{"focal length known", false, focal, 0, 1.6},
		{"picture known, card leans", false, picture, 2 * degree, 4.6},
	} {
		t.Run(test.name, func(t *testing.T) {
			rng := rand.New(rand.NewPCG(1, 7))
			var raise, yaw, low, high tally
			for range rows(90) {
				s, c, o := filmed(rng, test.far, test.said, test.lean)
				card, err := camera.NewCard(c, o)
				if err != nil {
					t.Errorf("raise %.1f yaw %.1f: %v", s.raise/degree, s.yaw/degree, err)
					continue
				}
				raise.add(card.Raise, s.raise)
				yaw.add(card.Yaw, s.yaw)
				if s.raise < 8*degree {
					low.add(card.Raise, s.raise)
				} else if s.raise > 15*degree {
					high.add(card.Raise, s.raise)
				}
			}
			t.Logf("raise %.3f, error %.2f, half-width %.2f; below 8 deg %.3f, %.2f; above 15 deg %.3f, %.2f; yaw %.3f, %.2f",
				raise.share(), raise.error(), raise.halfWidth(), low.share(), low.halfWidth(), high.share(), high.halfWidth(), yaw.share(), yaw.halfWidth())
			raise.holds(t, "raise", 0.95)
			low.holds(t, "raise below 8 degrees", 0.95)
			high.holds(t, "raise above 15 degrees", 0.95)
			yaw.holds(t, "yaw", 0.95)
			if w := high.halfWidth(); w > test.most {
				t.Errorf("raise is known to %.2f degrees only", w)
			}
		})
	}
}
