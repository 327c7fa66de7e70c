package camera_test

import (
	"math/rand/v2"
	"testing"

	"github.com/plectrace/plectrace/trajectory"
	"github.com/plectrace/plectrace/trajectory/camera"
	"github.com/plectrace/plectrace/variability/circular"
	"github.com/plectrace/plectrace/variability/estimate"
)

func BenchmarkNewCard(b *testing.B) {
	_, c, o := filmed(rand.New(rand.NewPCG(1, 2)), false, picture, 0)
	b.ReportAllocs()
	for b.Loop() {
		if _, err := camera.NewCard(c, o); err != nil {
			b.Fatal(err)
		}
	}
}

func BenchmarkFitHomography(b *testing.B) {
	pairs := []camera.Pair{
		{From: [2]float64{300, 700}, To: [2]float64{-42.8, 0}}, {From: [2]float64{700, 700}, To: [2]float64{42.8, 0}},
		{From: [2]float64{720, 450}, To: [2]float64{42.8, 53.98}}, {From: [2]float64{280, 450}, To: [2]float64{-42.8, 53.98}},
	}
	b.ReportAllocs()
	for b.Loop() {
		if _, err := camera.FitHomography(pairs, camera.FitOptions{}); err != nil {
			b.Fatal(err)
		}
	}
}

// BenchmarkMap maps a minute at 240 frames/s.
func BenchmarkMap(b *testing.B) {
	const n = 60 * 240
	p := trajectory.Path{Name: "tip", T: make([]float64, n), X: make([]float64, n), Y: make([]float64, n)}
	for i := range n {
		p.T[i], p.X[i], p.Y[i] = float64(i)/240, 900+float64(i%100), 650+float64(i%70)
	}
	plane := uprightPlane(b)
	dst, err := plane.Map(trajectory.Path{}, p)
	if err != nil {
		b.Fatal(err)
	}
	b.ReportAllocs()
	b.SetBytes(n * 16)
	for b.Loop() {
		if dst, err = plane.Map(dst, p); err != nil {
			b.Fatal(err)
		}
	}
}

func BenchmarkPathAngle(b *testing.B) {
	tilt := camera.Tilt{Raise: about(0.2, 0.02), Rectified: true}
	seen := about(0.1, 0.01)
	var got estimate.Value[circular.Angle]
	b.ReportAllocs()
	for b.Loop() {
		got = tilt.PathAngle(seen)
	}
	if !got.Known() {
		b.Fatal(got)
	}
}
