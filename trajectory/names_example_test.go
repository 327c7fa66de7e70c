package trajectory_test

import (
	"fmt"

	"github.com/plectrace/plectrace/trajectory"
)

// Where the frame lies in the picture at the first sample, to be drawn into it.
func ExampleFrame() {
	tip := stroke()
	rec := &trajectory.Recording{Unit: "px", T: tip.T, Points: []trajectory.Path{tip}}
	for _, view := range []trajectory.View{trajectory.EndOn, trajectory.Front} {
		f, err := trajectory.NewFrame(rec, trajectory.FrameOptions{
			View: view,
			Marks: trajectory.Marks{
				Bass:   trajectory.Mark{At: []float64{390, 380}},
				Treble: trajectory.Mark{At: []float64{890, 380}},
			},
		})
		if err != nil {
			fmt.Println(err)
			return
		}
		origin, across := f.Origin(0), f.Across(0)
		name, second := "out", f.Out(0)
		if !view.HasOut() {
			name, second = "along", f.Along(0)
		}
		fmt.Printf("%s: origin %.0f, across %.0f, %s %.0f\n", view, origin[:2], across[:2], name, second[:2])
	}
	// Output:
	// end-on: origin [640 380], across [1 0], out [0 -1]
	// front: origin [640 380], across [1 0], along [0 -1]
}

func ExampleView_HasAlong() {
	for _, v := range []trajectory.View{trajectory.EndOn, trajectory.Front, trajectory.Spatial} {
		fmt.Println(v, v.HasOut(), v.HasAlong())
	}
	// Output:
	// end-on true false
	// front false true
	// 3-d true true
}

func ExamplePath_Planar() {
	p := trajectory.Path{Name: "tip", T: []float64{0, 0.01}, X: []float64{1, 2}, Y: []float64{3, 4}}
	fmt.Println(p.Len(), p.Planar())
	p.Z = []float64{5, 6}
	fmt.Println(p.Len(), p.Planar())
	// Output:
	// 2 true
	// 2 false
}

func ExamplePlaced_Validate() {
	p := trajectory.Placed{Name: "tip", Unit: "mm", T: []float64{0, 0.01, 0.01}, Across: []float64{1, 2, 3}, Out: []float64{3, 4, 5}}
	fmt.Println(p.Len(), p.Validate())
	// Output:
	// 3 point "tip": sample 2 (0.0100 s): time goes from 0.01 s to 0.01 s; times must increase: sort the rows and remove repeated ones, or leave the times out and give the capture rate
}

func ExampleRecording_Validate() {
	tip := stroke()
	rec := &trajectory.Recording{Unit: "px", T: tip.T, Points: []trajectory.Path{tip, tip}}
	fmt.Println(rec.Validate())
	// Output:
	// point "tip": two points have this name; rename one of them in the header
}

func ExampleEdit_Samples() {
	tip := stroke()
	for i := 35; i < 43; i++ { // the tracker lost the point and repeated itself
		tip.X[i], tip.Y[i] = tip.X[34], tip.Y[34]
	}
	_, edits, err := trajectory.Clean(trajectory.Path{}, tip, trajectory.CleanOptions{})
	if err != nil {
		fmt.Println(err)
		return
	}
	for _, e := range edits {
		fmt.Println(e.Rule, e.Samples())
	}
	// Output:
	// frozen fill 8
}
