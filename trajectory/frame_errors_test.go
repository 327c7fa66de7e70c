package trajectory

import (
	"math"
	"testing"
)

func TestFrameErrors(t *testing.T) {
	at := func(v ...float64) Mark { return Mark{At: v} }
	flat := scene(moved{}, 0)
	cube := &Recording{Unit: "mm", T: []float64{0}, Points: []Path{{Name: "tip", T: []float64{0}, X: []float64{0}, Y: []float64{0}, Z: []float64{0}}}}
	nut := []Mark{at(0, 600, 0)}
	never := scene(moved{}, 0)
	b, _ := never.Point("bass")
	hide(b, 0, 1200)
	b, _ = never.Point("treble")
	hide(b, 1200, 2400)
	gone := scene(moved{}, 0)
	b, _ = gone.Point("bass")
	hide(b, 0, 2400)
	same := scene(moved{}, 0)
	same.Points[2].X, same.Points[2].Y = same.Points[1].X, same.Points[1].Y
	for _, c := range []struct {
		name  string
		rec   *Recording
		o     FrameOptions
		words []string
	}{
		{"no points", &Recording{}, FrameOptions{}, []string{"no tracked points"}},
		{"no view", flat, FrameOptions{Marks: tracked}, []string{"view", "end-on", "front", "oblique"}},
		{"no marks", flat, FrameOptions{View: EndOn}, []string{"no marks", "bass side"}},
		{"no bass", flat, FrameOptions{View: EndOn, Marks: Marks{Treble: at(1, 2)}}, []string{"bass mark"}},
		{"no treble", flat, FrameOptions{View: EndOn, Marks: Marks{Bass: at(1, 2)}}, []string{"treble mark"}},
		{"no nut", cube, FrameOptions{Marks: Marks{Bass: at(0, 0, 0), Treble: at(1, 0, 0)}}, []string{"nut"}},
		{"3-d of a film", flat, FrameOptions{View: Spatial, Marks: tracked}, []string{"z axis"}},
		{"end-on of a volume", cube, FrameOptions{View: EndOn, Marks: Marks{Bass: at(0, 0, 0), Treble: at(1, 0, 0)}}, []string{"three axes"}},
		{"unknown view", flat, FrameOptions{View: 7}, []string{"view"}},
		{"unknown side", flat, FrameOptions{View: EndOn, Outward: 7}, []string{"side"}},
		{"negative distance", flat, FrameOptions{View: EndOn, Marks: tracked, DistanceMM: -3}, []string{"-3"}},
		{"infinite gap", flat, FrameOptions{View: EndOn, Marks: tracked, MaxMarkGap: math.Inf(1)}, []string{"Inf"}},
		{"unknown point", flat, FrameOptions{View: EndOn, Marks: Marks{Bass: Mark{Point: "bas"}, Treble: Mark{Point: "treble"}}}, []string{`"bas"`, "tip, bass, treble"}},
		{"one point twice", flat, FrameOptions{View: EndOn, Marks: Marks{Bass: Mark{Point: "bass"}, Treble: Mark{Point: "bass"}}}, []string{"same point"}},
		{"tracked and fixed", flat, FrameOptions{View: EndOn, Marks: Marks{Bass: Mark{Point: "bass"}, Treble: at(1, 2)}}, []string{"tracked", "fixed"}},
		{"fixed and tracked", flat, FrameOptions{View: EndOn, Marks: Marks{Bass: at(1, 2), Treble: Mark{Point: "treble"}}}, []string{"tracked", "fixed"}},
		{"too many coordinates", flat, FrameOptions{View: EndOn, Marks: Marks{Bass: at(1, 2, 3), Treble: at(1, 2)}}, []string{"2 finite numbers"}},
		{"not finite", flat, FrameOptions{View: EndOn, Marks: Marks{Bass: at(1, math.NaN()), Treble: at(1, 2)}}, []string{"finite"}},
		{"coincident", flat, FrameOptions{View: EndOn, Marks: Marks{Bass: at(3, 2), Treble: at(3, 2)}}, []string{"coincide"}},
		{"coincident tracks", same, FrameOptions{View: EndOn, Marks: tracked}, []string{"coincide"}},
		{"on one line", cube, FrameOptions{Marks: Marks{Bass: at(0, 0, 0), Treble: at(0, 3, 0), Nut: nut}}, []string{"one line"}},
		{"never together", never, FrameOptions{View: EndOn, Marks: tracked}, []string{"never seen together"}},
		{"never seen", gone, FrameOptions{View: EndOn, Marks: tracked}, []string{`"bass"`, "every sample is missing"}},
	} {
		t.Run(c.name, func(t *testing.T) {
			_, err := NewFrame(c.rec, c.o)
			dataError(t, err, c.words...)
		})
	}
}

func TestPlaceErrors(t *testing.T) {
	rec := scene(moved{}, 0)
	f, err := NewFrame(rec, FrameOptions{View: EndOn, Marks: tracked})
	if err != nil {
		t.Fatal(err)
	}
	_, err = f.Place(Placed{}, Path{Name: "p", T: seconds(3, 1), X: make([]float64, 3), Y: make([]float64, 3)})
	dataError(t, err, "3 samples", "2400")
	_, err = f.Place(Placed{}, Path{Name: "p", T: seconds(3, 1), X: make([]float64, 3), Y: make([]float64, 3), Z: make([]float64, 3)})
	dataError(t, err, "axes")
	_, err = f.Place(Placed{}, Path{Name: "p", T: seconds(3, 1), X: make([]float64, 2), Y: make([]float64, 3)})
	dataError(t, err, "x has 2 samples")
}
