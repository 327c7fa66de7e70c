package drive_test

import (
	"math"
	"testing"

	"gonum.org/v1/gonum/spatial/r3"

	"github.com/plectrace/plectrace/motion/drive"
	"github.com/plectrace/plectrace/trajectory"
)

// TestPosture lays a forearm over the strings with a known roll and pitch.
func TestPosture(t *testing.T) {
	tip := swing([3]float64{0, 0, 0}, [3]float64{5, 0, 0})
	strokes := playedStrokes(tip)
	for _, c := range []struct{ roll, pitch, yaw float64 }{
		{0, 0, 0}, {30, 0, 0}, {-40, 10, 35}, {15, -20, -60}, {80, 5, 170}, {88, 0, 0},
	} {
		rad := math.Pi / 180
		place := func(x, y, z float64) trajectory.Placed {
			p := r3.Vec{X: x, Y: y, Z: z}
			p = r3.NewRotation(-c.roll*rad, r3.Vec{Y: 1}).Rotate(p) // raises what lies at positive x
			p = r3.NewRotation(c.pitch*rad, r3.Vec{X: 1}).Rotate(p)
			p = r3.NewRotation(c.yaw*rad, r3.Vec{Z: 1}).Rotate(p)
			return swing([3]float64{p.X, p.Y, p.Z}, [3]float64{1, 0, 0.2})
		}
		points := map[drive.Landmark]trajectory.Placed{
			drive.Tip: tip, drive.Elbow: place(0, -240, 0), drive.WristInner: place(-27, 3, 0), drive.WristOuter: place(27, -3, 0),
		}
		d := analyze(t, points, strokes, drive.Options{})
		if v := d.Posture.Roll; v.Absent != nil || math.Abs(v.Value.Degrees()-c.roll) > 0.1 || v.Low > v.Value || v.High < v.Value {
			t.Errorf("%+v: roll %.2f", c, v.Value.Degrees())
		}
		if v := d.Posture.Pitch; v.Absent != nil || math.Abs(v.Value.Degrees()-c.pitch) > 0.1 {
			t.Errorf("%+v: pitch %.2f", c, v.Value.Degrees())
		}
		delete(points, drive.WristOuter)
		points[drive.Wrist] = place(0, 0, 0)
		d = analyze(t, points, strokes, drive.Options{})
		if d.Posture.Roll.Absent == nil || d.Posture.Pitch.Absent != nil {
			t.Errorf("one side of the wrist: %+v", d.Posture)
		}
		delete(points, drive.Elbow)
		d = analyze(t, points, strokes, drive.Options{})
		if d.Posture.Roll.Absent == nil || d.Posture.Pitch.Absent == nil {
			t.Errorf("no elbow: %+v", d.Posture)
		}
	}
}
