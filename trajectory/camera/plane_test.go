package camera_test

import (
	"math"
	"testing"

	"github.com/plectrace/plectrace/trajectory"
	"github.com/plectrace/plectrace/trajectory/camera"
	"github.com/plectrace/plectrace/variability/circular"
)

// uprightPlane is the plane of upright: 8 px/mm, its origin at (960, 700).
func uprightPlane(t testing.TB) camera.Plane {
	t.Helper()
	card, err := camera.NewCard(upright(), camera.CardOptions{})
	if err != nil {
		t.Fatal(err)
	}
	return card.Plane
}

func TestPlaneMap(t *testing.T) {
	plane, nan := uprightPlane(t), math.NaN()
	p := trajectory.Path{
		Name: "tip", T: []float64{0, 0.1, 0.2},
		X: []float64{960, nan, 1040}, Y: []float64{700, nan, 660}, Confidence: []float64{1, 0, 0.5},
	}
	got, err := plane.Map(trajectory.Path{}, p)
	if err != nil {
		t.Fatal(err)
	}
	for i, want := range [][2]float64{{0, 0}, {nan, nan}, {10, 5}} {
		within(t, "across", got.X[i], want[0], 1e-9)
		within(t, "out", got.Y[i], want[1], 1e-9)
	}
	if got.Name != "tip" || &got.T[0] != &p.T[0] || &got.Confidence[0] != &p.Confidence[0] || p.X[2] != 1040 {
		t.Errorf("%+v of %+v", got, p)
	}
	// Into the path itself, without allocating.
	x := &p.X[0]
	if p, err = plane.Map(p, p); err != nil || &p.X[0] != x || math.Abs(p.Y[2]-5) > 1e-9 {
		t.Errorf("in place: %+v, %v", p, err)
	}
	dst := got
	if n := testing.AllocsPerRun(10, func() { dst, _ = plane.Map(dst, got) }); n != 0 {
		t.Errorf("%v allocations", n)
	}
	if got, err := plane.Map(trajectory.Path{}, trajectory.Path{}); err != nil || got.Len() != 0 {
		t.Errorf("no samples: %+v, %v", got, err)
	}
}

func TestPlaneErrors(t *testing.T) {
	// A camera that looks down on the strings: their plane vanishes in the
	// picture. Its card is a trapezium, wider at the top.
	fit, err := camera.FitHomography([]camera.Pair{
		{From: [2]float64{300, 700}, To: [2]float64{-42.8, 0}}, {From: [2]float64{700, 700}, To: [2]float64{42.8, 0}},
		{From: [2]float64{800, 400}, To: [2]float64{42.8, 53.98}}, {From: [2]float64{200, 400}, To: [2]float64{-42.8, 53.98}},
	}, camera.FitOptions{})
	if err != nil {
		t.Fatal(err)
	}
	plane := camera.Plane{Homography: fit.Homography, FootMM: camera.CardLongMM}
	path := func(x, y float64) trajectory.Path {
		return trajectory.Path{Name: "tip", T: []float64{0, 0.5}, X: []float64{500, x}, Y: []float64{600, y}}
	}
	if _, err := plane.Map(trajectory.Path{}, path(500, 900)); err != nil {
		t.Error(err)
	}
	for _, c := range []struct {
		name  string
		p     trajectory.Path
		words []string
	}{
		{"at the horizon", path(500, 1300), []string{"sample 1", "0.5000 s", "(500, 1300)", "too far from the card"}},
		{"beyond the horizon", path(500, 2000), []string{"sample 1", "too far"}},
		{"infinite", path(math.Inf(1), 2), []string{"sample 1"}},
		{"three axes", trajectory.Path{Name: "tip", T: []float64{0}, X: []float64{0}, Y: []float64{0}, Z: []float64{0}}, []string{"three axes"}},
		{"unequal columns", trajectory.Path{Name: "tip", T: []float64{0}, X: []float64{0}, Y: []float64{}}, []string{"y has 0 samples"}},
	} {
		t.Run(c.name, func(t *testing.T) {
			_, err := plane.Map(trajectory.Path{}, c.p)
			dataError(t, err, "tip", c.words...)
			_, err = plane.Recording(&trajectory.Recording{T: c.p.T, Points: []trajectory.Path{c.p}})
			dataError(t, err, "tip", c.words...)
		})
	}
}

func TestPlaneRecording(t *testing.T) {
	at := func(name string, x, y float64) trajectory.Path {
		return trajectory.Path{Name: name, T: []float64{0}, X: []float64{x}, Y: []float64{y}}
	}
	rec := &trajectory.Recording{Source: "film", Unit: "px", T: []float64{0}, Points: []trajectory.Path{at("tip", 1040, 660), at("wrist", 960, 540)}}
	plane := uprightPlane(t)
	all, err := plane.Recording(rec)
	if err != nil {
		t.Fatal(err)
	}
	if all.Unit != "mm" || all.Source != "film" || len(all.Points) != 2 || all.Validate() != nil {
		t.Errorf("%+v", all)
	}
	within(t, "wrist", all.Points[1].Y[0], 20, 1e-9)
	one, err := plane.Recording(rec, "wrist")
	if err != nil || len(one.Points) != 1 || one.Points[0].Name != "wrist" {
		t.Errorf("%+v, %v", one, err)
	}
	_, err = plane.Recording(rec, "elbow")
	dataError(t, err, "elbow", "no such point")

	f, err := trajectory.NewFrame(all, plane.FrameOptions())
	if err != nil {
		t.Fatal(err)
	}
	tip, err := f.Place(trajectory.Placed{}, all.Points[0])
	if err != nil {
		t.Fatal(err)
	}
	within(t, "across", tip.Across[0], 10, 1e-9)
	within(t, "out", tip.Out[0], 5, 1e-9)
	if tip.Unit != "mm" {
		t.Errorf("unit %q", tip.Unit)
	}
	worst := max(plane.AngleError(0), plane.AngleError(45*circular.Degree), plane.AngleError(-45*circular.Degree))
	within(t, "error of the axis", f.AxisError.Degrees(), worst.Degrees(), 1e-6)

	// Corners without error: none in the frame.
	card, err := camera.NewCard(upright(), camera.CardOptions{CornerError: -1})
	if err != nil {
		t.Fatal(err)
	}
	if f, err = trajectory.NewFrame(all, card.Plane.FrameOptions()); err != nil || f.AxisError != 0 {
		t.Errorf("error of the axis %v, %v", f.AxisError, err)
	}
}

func TestPlaneErrorsAtFoot(t *testing.T) {
	plane := uprightPlane(t)
	// One pixel is 1/8 mm, and the foot's direction is good to √2/684.8.
	within(t, "height", plane.MarkError(), 0.125, 1e-3)
	within(t, "direction", plane.AngleError(0).Radians(), math.Sqrt2/684.8, 0.2*math.Sqrt2/684.8)
	if plane.AngleError(60*circular.Degree) <= 0 {
		t.Error("no error at 60 degrees")
	}
}

func TestMarks(t *testing.T) {
	card, err := camera.NewCard(upright(), camera.CardOptions{})
	if err != nil {
		t.Fatal(err)
	}
	rec := &trajectory.Recording{Unit: "px", T: []float64{0}, Points: []trajectory.Path{{Name: "tip", T: []float64{0}, X: []float64{1040}, Y: []float64{660}}}}
	f, err := trajectory.NewFrame(rec, trajectory.FrameOptions{View: trajectory.EndOn, Marks: card.Marks(), DistanceMM: card.Plane.FootMM})
	if err != nil {
		t.Fatal(err)
	}
	within(t, "px/mm", f.UnitsPerMM, 8, 1e-9)
	within(t, "px/mm", f.UnitsPerMM, card.Scale.Value, 1e-9)
}

func TestFindCorners(t *testing.T) {
	nan := math.NaN()
	good := upright()
	names := []string{"a", "b", "c", "d"}
	rec := &trajectory.Recording{Unit: "px"}
	n := 100
	for i := range n {
		rec.T = append(rec.T, float64(i)/60)
	}
	for k, name := range names {
		p := trajectory.Path{Name: name, T: rec.T, X: make([]float64, n), Y: make([]float64, n)}
		for i := range n {
			p.X[i], p.Y[i] = nan, nan
			if i >= 20 && i < 80 { // the second in which the card stands there
				p.X[i], p.Y[i] = good[k][0]+float64(i%3-1), good[k][1]-float64(i%3-1)
			}
		}
		if k == 2 {
			p.X[40], p.Y[40] = 5, 5 // the tracker sat elsewhere
		}
		rec.Points = append(rec.Points, p)
	}
	marks := func() []trajectory.Mark {
		return []trajectory.Mark{{Point: "a"}, {Point: "b"}, {Point: "c"}, {Point: "d"}}
	}
	got, err := camera.FindCorners(rec, marks())
	if err != nil {
		t.Fatal(err)
	}
	if got.Corners != good || got.Samples != [4]int{60, 60, 60, 60} {
		t.Errorf("%+v", got)
	}
	// A third each of -1, 0 and 1: the median distance is 1, times 1.4826.
	within(t, "scatter", got.Error, 1.4826, 1e-3)

	fixed := marks()
	fixed[1] = trajectory.Mark{At: []float64{7, 8}}
	if got, err = camera.FindCorners(rec, fixed); err != nil || got.Corners[1] != [2]float64{7, 8} || got.Samples[1] != 0 {
		t.Errorf("%+v, %v", got, err)
	}
	for i := range fixed {
		fixed[i] = trajectory.Mark{At: good[i][:]}
	}
	if got, err = camera.FindCorners(rec, fixed); err != nil || got.Corners != good || !math.IsNaN(got.Error) {
		t.Errorf("%+v, %v", got, err)
	}

	_, err = camera.FindCorners(rec, fixed[:3])
	dataError(t, err, "", "3 corners", "four")
	for _, c := range []struct {
		mark  trajectory.Mark
		words string
	}{
		{trajectory.Mark{Point: "elbow"}, `no point "elbow"`},
		{trajectory.Mark{}, "0 coordinates"},
		{trajectory.Mark{At: []float64{1, 2, 3}}, "3 coordinates"},
	} {
		m := marks()
		m[3] = c.mark
		_, err = camera.FindCorners(rec, m)
		dataError(t, err, "card: bass top", c.words)
	}
	unseen := *rec
	unseen.Points = append([]trajectory.Path{}, rec.Points...)
	unseen.Points[0].X, unseen.Points[0].Y = make([]float64, n), make([]float64, n)
	for i := range n {
		unseen.Points[0].X[i], unseen.Points[0].Y[i] = nan, nan
	}
	_, err = camera.FindCorners(&unseen, marks())
	dataError(t, err, "card: bass foot", "never seen")
	for i := range n {
		unseen.Points[0].X[i], unseen.Points[0].Y[i] = 300+5*float64(i), 700
	}
	_, err = camera.FindCorners(&unseen, marks())
	dataError(t, err, "card: bass foot", "wanders", "still")
}
