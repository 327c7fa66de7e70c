package camera_test

import (
	"math"
	"math/rand/v2"
	"slices"
	"strings"
	"testing"

	"gonum.org/v1/gonum/spatial/r3"

	"github.com/plectrace/plectrace/trajectory"
	"github.com/plectrace/plectrace/trajectory/camera"
	"github.com/plectrace/plectrace/variability/circular"
	"github.com/plectrace/plectrace/variability/estimate"
)

// upright is a card of 8 px/mm seen straight on, with bass to the left.
func upright() camera.Corners {
	const w, h = 8 * camera.CardLongMM, 8 * camera.CardShortMM
	return camera.Corners{{960 - w/2, 700}, {960 + w/2, 700}, {960 + w/2, 700 - h}, {960 - w/2, 700 - h}}
}

func TestCardStraightOn(t *testing.T) {
	card, err := camera.NewCard(upright(), camera.CardOptions{})
	if err != nil {
		t.Fatal(err)
	}
	within(t, "scale", card.Scale.Value, 8, 1e-9)
	within(t, "roll", card.Roll.Value.Degrees(), 0, 1e-9)
	within(t, "raise", card.Raise.Value.Degrees(), 0, 0.2)
	within(t, "yaw", card.Yaw.Value.Degrees(), 0, 0.2)
	if card.Raise.Low != 0 || card.Raise.High < 2*circular.Degree || card.Raise.High > 20*circular.Degree {
		t.Errorf("raise is within %.1f and %.1f degrees", card.Raise.Low.Degrees(), card.Raise.High.Degrees())
	}
	if !(card.Yaw.Low < 0 && card.Yaw.High > 0) || len(card.Notes) > 0 || card.Misfit > 1e-3 {
		t.Errorf("yaw %+v, notes %q, misfit %v", card.Yaw, card.Notes, card.Misfit)
	}
	// One pixel at each end of 684.8: the direction to √2/684.8.
	within(t, "error of roll", (card.Roll.High-card.Roll.Low).Radians()/2/1.959964, math.Sqrt2/684.8, 0.3*math.Sqrt2/684.8)
	for _, v := range []estimate.Value[circular.Angle]{card.Roll, card.Raise, card.Yaw} {
		if v.N != 4 || v.Level != 0.95 || !(v.Low <= v.Value && v.Value <= v.High) {
			t.Errorf("%+v", v)
		}
	}
}

// TestCardPose holds cards without errors against how they were filmed.
func TestCardPose(t *testing.T) {
	rng := rand.New(rand.NewPCG(11, 4))
	for i := range 60 {
		raise, yaw := (3+22*rng.Float64())*degree, (2*rng.Float64()-1)*10*degree
		distance := 0.0
		if i%2 == 0 {
			distance = 250 + 500*rng.Float64()
		}
		s := newStudio(rng, raise, yaw, distance, 6)
		if i%3 == 0 {
			s = s.from()
		}
		s.mirrored = i%4 < 2
		o := s.options()
		o.PictureWidth, o.PictureHeight, o.CornerError, o.Lean = 1920, 1080, -1, -1
		c := s.card(rng, camera.CardLongMM, camera.CardShortMM, 0, 0, 0)
		if i%5 == 0 { // y upward in the same picture
			for k := range c {
				c[k][1] = 1080 - c[k][1]
			}
			o.YUp = true
		}
		card, err := camera.NewCard(c, o)
		if err != nil {
			t.Fatal(err)
		}
		within(t, "raise", card.Raise.Value.Degrees(), raise/degree, 0.01)
		within(t, "yaw", card.Yaw.Value.Degrees(), yaw/degree, 0.02)
		if w := (card.Raise.High - card.Raise.Low).Degrees(); !(w < 0.1) {
			t.Errorf("corners without error leave %.3f degrees of raise", w)
		}
		// Scale and roll by what the camera does to a short step across.
		x0, y0 := s.see(r3.Vec{X: -1e-3})
		x1, y1 := s.see(r3.Vec{X: 1e-3})
		within(t, "scale", card.Scale.Value, math.Hypot(x1-x0, y1-y0)/2e-3, 1e-5)
		within(t, "roll", math.Remainder(card.Roll.Value.Radians()-math.Atan2(y0-y1, x1-x0), 2*math.Pi), 0, 1e-6)
	}
}

// TestScaleAndRollCoverage holds the intervals of scale and roll, and the errors
// of the plane, against clicks drawn anew.
func TestScaleAndRollCoverage(t *testing.T) {
	rng := rand.New(rand.NewPCG(8, 8))
	n := rows(200)
	var scale, roll, height, angle tally
	for range n {
		s, c, o := filmed(rng, rng.IntN(2) == 0, picture, 0)
		card, err := camera.NewCard(c, o)
		if err != nil {
			t.Fatal(err)
		}
		x0, y0 := s.see(r3.Vec{X: -1e-3})
		x1, y1 := s.see(r3.Vec{X: 1e-3})
		scale.add(estimate.As[circular.Angle](card.Scale), math.Hypot(x1-x0, y1-y0)/2e-3)
		truth := math.Atan2(y0-y1, x1-x0)
		roll.add(card.Roll, truth+2*math.Pi*math.Round((card.Roll.Value.Radians()-truth)/(2*math.Pi)))
		x, y := s.see(r3.Vec{X: -card.Plane.FootMM / 2})
		_, got := card.Plane.At(x, y)
		height.add(about(got, card.Plane.MarkError()), 0)
		path := (2*rng.Float64() - 1) * 70 * degree
		d := stroke(path, 0)
		x0, y0 = s.see(r3.Scale(-1e-3, d))
		x1, y1 = s.see(r3.Scale(1e-3, d))
		u0, v0 := card.Plane.At(x0, y0)
		u1, v1 := card.Plane.At(x1, y1)
		angle.add(about(math.Atan2(v1-v0, u1-u0), card.Plane.AngleError(circular.Angle(path)).Radians()), path)
	}
	for _, c := range []struct {
		name string
		got  tally
	}{{"scale", scale}, {"roll", roll}, {"height", height}, {"path angle", angle}} {
		t.Logf("%s: held %.3f", c.name, c.got.share())
		// 0.95 within four standard errors of a share.
		within(t, c.name, c.got.share(), 0.95, 4*math.Sqrt(0.95*0.05/float64(n)))
	}
}

func TestCardErrors(t *testing.T) {
	good := upright()
	move := func(i int, x, y float64) camera.Corners {
		c := good
		c[i] = [2]float64{x, y}
		return c
	}
	swap := func(i, j int) camera.Corners {
		c := good
		c[i], c[j] = c[j], c[i]
		return c
	}
	var small camera.Corners
	for i, p := range good {
		small[i] = [2]float64{p[0] / 18, p[1] / 18}
	}
	mirror := swap(0, 1)
	mirror[2], mirror[3] = mirror[3], mirror[2]
	foot := "card: bass foot"
	for _, c := range []struct {
		name    string
		corners camera.Corners
		o       camera.CardOptions
		point   string
		words   []string
	}{
		{"nan", move(1, math.NaN(), 3), camera.CardOptions{}, "card: treble foot", []string{"its x is no number"}},
		{"infinite", move(3, 3, math.Inf(-1)), camera.CardOptions{}, "card: bass top", []string{"its y is infinite"}},
		{"too small", small, camera.CardOptions{}, foot, []string{"38 px", "nearer", "40"}},
		{"folded inward", move(2, 900, 500), camera.CardOptions{}, "card: treble top", []string{"folds inward"}},
		{"crossed at the sides", swap(0, 1), camera.CardOptions{}, foot, []string{"crosses itself", "the treble foot, or the treble top and the bass top"}},
		{"crossed at the top", swap(2, 3), camera.CardOptions{}, foot, []string{"crosses itself"}},
		{"crossed the other way", swap(1, 2), camera.CardOptions{}, "card: bass top", []string{"crosses itself"}},
		{"three on a line", move(1, (good[0][0]+good[2][0])/2, (good[0][1]+good[2][1])/2+3), camera.CardOptions{}, "card: treble foot", []string{"one line", "edge on"}},
		{"mirrored", mirror, camera.CardOptions{}, foot, []string{"mirror image", "bass and treble", "neck", "path angle"}},
		{"seen from the neck", good, camera.CardOptions{Orientation: trajectory.Orientation{FromNeck: true}}, foot, []string{"mirror image"}},
		{"y the other way", good, camera.CardOptions{Orientation: trajectory.Orientation{YUp: true}}, foot, []string{"mirror image"}},
		{"other edge", good, camera.CardOptions{ShortEdge: true}, "card", []string{"which edge"}},
		{"not a card", move(2, good[2][0]+400, good[2][1]-200), camera.CardOptions{PictureWidth: 1920, PictureHeight: 1080}, "card", []string{"not those of an upright card"}},
		{"options not finite", good, camera.CardOptions{FocalLength: math.NaN()}, "", []string{"the focal length is NaN px"}},
		{"half a picture", good, camera.CardOptions{PictureWidth: 1920}, "", []string{"the picture is 1920 x 0 px; give its width and its height, or neither (picture_px)"}},
		{"error of a corner", good, camera.CardOptions{CornerError: math.Inf(1)}, "", []string{"the error of a corner is +Inf px; give"}},
		{"lean", good, camera.CardOptions{Lean: circular.Angle(math.NaN())}, "", []string{"the card's lean is NaN degrees; give"}},
		{"outside the picture", good, camera.CardOptions{PictureWidth: 1080, PictureHeight: 720}, "card: treble foot", []string{"outside a picture of 1080 x 720 px", "picture_px"}},
	} {
		t.Run(c.name, func(t *testing.T) {
			_, err := camera.NewCard(c.corners, c.o)
			dataError(t, err, c.point, c.words...)
		})
	}
	edge := good
	for i := range edge { // seen along its face
		edge[i][0] = 960 + (edge[i][0]-960)/400
	}
	edge[0][1] += 100
	edge[1][1] += 200
	_, err := camera.NewCard(edge, camera.CardOptions{})
	if err == nil || !strings.Contains(err.Error(), "line") {
		t.Errorf("a card seen edge on: %v", err)
	}
}

// TestBesideThePicture: a corner a little outside the picture is asked about.
func TestBesideThePicture(t *testing.T) {
	c := upright()
	for _, k := range []struct {
		wide, high float64
		notes      int
	}{{1920, 1080, 0}, {c[1][0] - 10, 1080, 0}, {c[1][0] - 60, 1080, 1}} {
		card, err := camera.NewCard(c, camera.CardOptions{PictureWidth: k.wide, PictureHeight: k.high})
		if err != nil {
			t.Fatal(err)
		}
		notes := slices.DeleteFunc(card.Notes, func(n string) bool { return !strings.Contains(n, "outside a picture") })
		if len(notes) != k.notes || k.notes > 0 && !strings.Contains(notes[0], "the card's treble foot") {
			t.Errorf("%v x %v px: notes %q of corners %v", k.wide, k.high, notes, c)
		}
	}
}

// TestPoorClicks shows that clicks which are off by more than is stated are
// noticed, and that the intervals still hold.
func TestPoorClicks(t *testing.T) {
	rng := rand.New(rand.NewPCG(2, 6))
	noted := 0
	var raise tally
	for shot := 0; shot < 100; {
		s := newStudio(rng, 25*rng.Float64()*degree, 0, 400, 8)
		o := s.options()
		o.PictureWidth, o.PictureHeight, o.Lean = 1920, 1080, -1
		corners := s.card(rng, camera.CardLongMM, camera.CardShortMM, 0, 0, 4)
		if !inPicture(corners) {
			continue
		}
		shot++
		card, err := camera.NewCard(corners, o)
		if err != nil {
			t.Fatal(err)
		}
		if slices.ContainsFunc(card.Notes, func(n string) bool { return strings.Contains(n, "click them again") }) {
			noted++
			raise.add(card.Raise, s.raise)
		}
	}
	t.Logf("noted %d of 100, held %.2f", noted, raise.share())
	if noted < 25 || raise.share() < 0.9 {
		t.Errorf("noted %d of 100, held %.2f", noted, raise.share())
	}
}

// TestAnyCorners is about corners that nobody would click: an error, or a card
// whose numbers are all numbers.
func TestAnyCorners(t *testing.T) {
	rng := rand.New(rand.NewPCG(6, 1))
	cards := 0
	for i := range 90 {
		c := upright()
		for k := range c {
			c[k][0] += rng.NormFloat64() * math.Pow(10, 3*rng.Float64())
			c[k][1] += rng.NormFloat64() * math.Pow(10, 3*rng.Float64())
		}
		o := camera.CardOptions{ShortEdge: i%2 == 0, FocalLength: float64(i%3) * 800}
		if i%4 == 0 {
			o.PictureWidth, o.PictureHeight = 1920, 1080
		}
		card, err := camera.NewCard(c, o)
		if err != nil {
			continue
		}
		cards++
		for _, v := range []estimate.Value[circular.Angle]{card.Roll, card.Raise, card.Yaw, estimate.As[circular.Angle](card.Scale)} {
			if !(v.Low <= v.Value && v.Value <= v.High) || math.IsInf(v.High.Radians()-v.Low.Radians(), 0) {
				t.Errorf("%v: %+v", c, v)
			}
		}
		if card.Raise.Low < 0 {
			t.Errorf("%v: raise from %v", c, card.Raise.Low)
		}
	}
	if cards == 0 {
		t.Error("no card")
	}
}

func TestCardRepeats(t *testing.T) {
	_, c, o := filmed(rand.New(rand.NewPCG(1, 2)), false, picture, 0)
	a, err := camera.NewCard(c, o)
	if err != nil {
		t.Fatal(err)
	}
	b, _ := camera.NewCard(c, o)
	if a.Raise != b.Raise || a.Yaw != b.Yaw || a.Scale != b.Scale {
		t.Error("the same corners give another card")
	}
	// Twice the pixels: the same camera.
	for i := range c {
		c[i] = [2]float64{2 * c[i][0], 2 * c[i][1]}
	}
	o.PictureWidth, o.PictureHeight, o.CornerError = 2*o.PictureWidth, 2*o.PictureHeight, 2
	twice, err := camera.NewCard(c, o)
	if err != nil {
		t.Fatal(err)
	}
	within(t, "scale", twice.Scale.Value, 2*a.Scale.Value, 1e-9)
	within(t, "raise", twice.Raise.Value.Degrees(), a.Raise.Value.Degrees(), 0.01)
	within(t, "raise, low", twice.Raise.Low.Degrees(), a.Raise.Low.Degrees(), 0.05)
	within(t, "raise, high", twice.Raise.High.Degrees(), a.Raise.High.Degrees(), 0.05)
}
