package trajectory_test

import (
	"encoding/json"
	"errors"
	"fmt"
	"math"

	"github.com/plectrace/plectrace/trajectory"
)

// stroke is half a second of a plectrum tip filmed end-on at 120 frames/s, with
// y growing downward: it swings 100 pixels to either side of (640, 360).
func stroke() trajectory.Path {
	const n = 60
	p := trajectory.Path{Name: "tip", T: make([]float64, n), X: make([]float64, n), Y: make([]float64, n)}
	for i := range n {
		p.T[i] = float64(i) / 120
		s := math.Sin(2 * math.Pi * 4 * p.T[i])
		p.X[i], p.Y[i] = 640+100*s, 360-20*s
	}
	return p
}

func ExampleNewFrame() {
	tip := stroke()
	rec := &trajectory.Recording{Unit: "px", T: tip.T, Points: []trajectory.Path{tip}}
	// The outer strings are 500 pixels apart in the picture, 50 mm on the
	// instrument, the treble side to the right. The camera is behind the
	// bridge; of a right-handed instrument, out is then up in the picture.
	f, err := trajectory.NewFrame(rec, trajectory.FrameOptions{
		View:       trajectory.EndOn,
		DistanceMM: 50,
		Marks: trajectory.Marks{
			Bass:   trajectory.Mark{At: []float64{390, 380}},
			Treble: trajectory.Mark{At: []float64{890, 380}},
		},
	})
	if err != nil {
		fmt.Println(err)
		return
	}
	p, err := f.Place(trajectory.Placed{}, tip)
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Printf("%g px/mm, a mark is off by 1 px: the axis by %.2f degrees\n", f.UnitsPerMM, f.AxisError.Degrees())
	fmt.Printf("out points to %.0f, %.0f in the picture\n", f.Out(0)[0], f.Out(0)[1])
	fmt.Printf("at %.4f s: across %.1f %s, out %.1f %s\n", p.T[6], p.Across[6], p.Unit, p.Out[6], p.Unit)
	// Output:
	// 10 px/mm, a mark is off by 1 px: the axis by 0.16 degrees
	// out points to 0, -1 in the picture
	// at 0.0500 s: across 9.5 mm, out 3.9 mm
}

func ExampleNewFrame_outward() {
	// The same film, mirrored by the telephone, and nobody said so: but the
	// teacher saw that the face looks up in the picture.
	tip := stroke()
	rec := &trajectory.Recording{Unit: "px", T: tip.T, Points: []trajectory.Path{tip}}
	f, err := trajectory.NewFrame(rec, trajectory.FrameOptions{
		View:    trajectory.EndOn,
		Outward: trajectory.Up,
		Marks: trajectory.Marks{
			Bass:   trajectory.Mark{At: []float64{890, 380}},
			Treble: trajectory.Mark{At: []float64{390, 380}},
		},
	})
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Println(f.Notes[0])
	// Output:
	// out is toward the side you gave (up); the orientation alone would have put it on the other side: check y up, left-handed, mirrored and from the neck
}

func ExampleFrame_Place() {
	// Two tracked marks that a camera in the hand moves about: what is at rest
	// on the instrument is at rest when placed.
	const n = 240
	t := make([]float64, n)
	rec := &trajectory.Recording{Unit: "px", T: t}
	for _, point := range []struct {
		name string
		x, y float64
	}{{"low", -250, 0}, {"high", 250, 0}, {"tip", 30, -40}} {
		p := trajectory.Path{Name: point.name, T: t, X: make([]float64, n), Y: make([]float64, n)}
		for i := range n {
			t[i] = float64(i) / 120
			sway := math.Sin(2 * math.Pi * 0.5 * t[i])
			s, c := math.Sincos(0.05 * sway)
			p.X[i] = 640 + 60*sway + c*point.x - s*point.y
			p.Y[i] = 360 + s*point.x + c*point.y
		}
		rec.Points = append(rec.Points, p)
	}
	f, err := trajectory.NewFrame(rec, trajectory.FrameOptions{
		View: trajectory.EndOn, DistanceMM: 50,
		Marks: trajectory.Marks{Bass: trajectory.Mark{Point: "low"}, Treble: trajectory.Mark{Point: "high"}},
	})
	if err != nil {
		fmt.Println(err)
		return
	}
	tip, _ := rec.Point("tip")
	p, err := f.Place(trajectory.Placed{}, tip)
	if err != nil {
		fmt.Println(err)
		return
	}
	for i := 60; i < n; i += 60 {
		fmt.Printf("in the picture %.0f, %.0f; on the instrument %.2f, %.2f mm\n", tip.X[i], tip.Y[i], p.Across[i], p.Out[i])
	}
	// Output:
	// in the picture 732, 322; on the instrument 3.00, 4.00 mm
	// in the picture 670, 320; on the instrument 3.00, 4.00 mm
	// in the picture 608, 319; on the instrument 3.00, 4.00 mm
}

func ExampleClean() {
	p := stroke()
	p.X[20] += 45 // the tracker slipped,
	for i := 35; i < 43; i++ {
		p.X[i], p.Y[i] = p.X[34], p.Y[34] // lost the point and repeated itself,
	}
	p.Confidence = make([]float64, len(p.T))
	for i := range p.Confidence {
		p.Confidence[i] = 0.95
	}
	p.Confidence[50] = 0.2 // and guessed.
	for i := range p.X {   // No measurement is without noise.
		p.X[i] += 0.4 * math.Sin(float64(31*i*i))
		p.Y[i] += 0.4 * math.Cos(float64(17*i*i))
		if i >= 35 && i < 43 {
			p.X[i], p.Y[i] = p.X[34], p.Y[34]
		}
	}
	clean, edits, err := trajectory.Clean(trajectory.Path{}, p, trajectory.CleanOptions{})
	if err != nil {
		fmt.Println(err)
		return
	}
	for _, e := range edits {
		fmt.Printf("samples %d to %d: %v\n", e.Start, e.End-1, e.Rule)
	}
	g := clean.Gaps()
	fmt.Printf("%.0f %% missing, for %.3f s at most\n", 100*g.Share(), g.Longest)
	// Output:
	// samples 20 to 20: outlier
	// samples 35 to 42: frozen fill
	// samples 50 to 50: low confidence
	// 17 % missing, for 0.075 s at most
}

func ExampleUniform() {
	// A telephone that skips frames and stamps the rest in milliseconds.
	p := trajectory.Path{
		T: []float64{0, 0.033, 0.067, 0.133, 0.167, 0.2, 0.333, 0.367},
		X: []float64{0, 1, 2, 4, 5, 6, 10, 11},
		Y: []float64{0, 1, 4, 16, 25, 36, 100, 121},
	}
	even, filled, err := trajectory.Uniform(trajectory.Path{}, p, trajectory.UniformOptions{})
	if err != nil {
		fmt.Println(err)
		return
	}
	for i := range even.T {
		fmt.Printf("%.4f s: %.1f, %.1f\n", even.T[i], even.X[i], even.Y[i])
	}
	fmt.Println(len(filled), "gap filled, from sample", filled[0].Start)
	// Output:
	// 0.0000 s: 0.0, 0.0
	// 0.0334 s: 1.0, 1.0
	// 0.0667 s: 2.0, 4.0
	// 0.1001 s: 3.0, 9.0
	// 0.1335 s: 4.0, 16.0
	// 0.1668 s: 5.0, 25.0
	// 0.2002 s: 6.0, 36.0
	// 0.2335 s: NaN, NaN
	// 0.2669 s: NaN, NaN
	// 0.3003 s: NaN, NaN
	// 0.3336 s: 10.0, 100.0
	// 0.3670 s: 11.0, 121.0
	// 1 gap filled, from sample 3
}

func ExampleRuns() {
	nan := math.NaN()
	x := []float64{nan, 1, 2, nan, 4, 5, 6}
	for start, end := range trajectory.Runs(x) {
		fmt.Println(start, end, x[start:end])
	}
	// Output:
	// 1 3 [1 2]
	// 4 7 [4 5 6]
}

func ExampleWorkspace() {
	// The last seconds of a stream, cleaned and resampled again and again.
	var w trajectory.Workspace
	var clean trajectory.Path
	var even trajectory.Placed
	p := stroke()
	p.X[20] += 90 // the tracker sat elsewhere for a sample
	for range 2 {
		var edits []trajectory.Edit
		var err error
		if clean, edits, err = w.Clean(clean, p, trajectory.CleanOptions{}); err != nil {
			fmt.Println(err)
			return
		}
		placed := trajectory.Placed{Name: p.Name, T: p.T, Across: clean.X, Out: clean.Y, Unit: "px"}
		fmt.Println(len(edits), edits[0].Rule)
		if even, edits, err = w.Uniform(even, placed, trajectory.UniformOptions{}); err != nil {
			fmt.Println(err)
			return
		}
		fmt.Println(len(even.T), edits[0].Rule)
	}
	// Output:
	// 1 outlier
	// 60 filled
	// 1 outlier
	// 60 filled
}

// The data are those of K. Pearson (1901), Phil. Mag. (6) 2, 559-572, who
// finds y = 5.7857 - 0.546 x.
func ExamplePrincipalAxis() {
	x := []float64{0, .9, 1.8, 2.6, 3.3, 4.4, 5.2, 6.1, 6.5, 7.4}
	y := []float64{5.9, 5.4, 4.4, 4.6, 3.5, 3.7, 2.8, 2.8, 2.4, 1.5}
	a := trajectory.PrincipalAxis(x, y)
	slope := math.Tan(a.Angle.Value.Radians())
	fmt.Printf("y = %.3f %.3f x\n", a.Centre[1]-slope*a.Centre[0], slope)
	fmt.Printf("%.2f degrees [%.2f, %.2f]\n", a.Angle.Value.Degrees(), a.Angle.Low.Degrees(), a.Angle.High.Degrees())
	// Output:
	// y = 5.784 -0.546 x
	// -28.62 degrees [-32.96, -24.27]
}

func ExamplePrincipalAxis3() {
	x := []float64{0, 2, 4, 6, 8}
	y := []float64{1, 0, -1, -2, -3}
	z := []float64{0, 2, 4, 6, 8}
	a := trajectory.PrincipalAxis3(x, y, z)
	fmt.Printf("%.3f\n", a.Direction)
	// Output:
	// [0.667 -0.333 0.667]
}

func ExamplePath_Validate() {
	p := stroke()
	p.T[7] = p.T[6]
	err := p.Validate()
	var e *trajectory.DataError
	if errors.As(err, &e) {
		fmt.Println("sample", e.Sample)
		fmt.Println(e.Rule)
		fmt.Println(e.Hint)
	}
	// Output:
	// sample 7
	// time goes from 0.05 s to 0.05 s
	// times must increase: sort the rows and remove repeated ones, or leave the times out and give the capture rate
}

func ExampleFrameOptions() {
	var o trajectory.FrameOptions
	err := json.Unmarshal([]byte(`{
		"view": "end-on", "left_handed": true, "distance_mm": 52,
		"marks": {"bass": [412, 300], "treble": "bridge_high"}
	}`), &o)
	fmt.Println(o.View, o.LeftHanded, o.DistanceMM, o.Marks.Bass, o.Marks.Treble, err)
	err = json.Unmarshal([]byte(`{"view": "sideways"}`), &o)
	fmt.Println(err)
	// Output:
	// end-on true 52 [412 300] bridge_high <nil>
	// view "sideways" is not known: use end-on, front, oblique, 3-d
}
