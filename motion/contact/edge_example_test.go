package contact_test

import (
	"fmt"
	"math"

	"github.com/plectrace/plectrace/motion"
	"github.com/plectrace/plectrace/motion/contact"
	"github.com/plectrace/plectrace/trajectory"
)

// shoulders are those of a pick, 10 mm apart, filmed from the front while it
// plays thirty strokes, turned by 20 degrees. From stroke to stroke its angle
// changes a little.
func shoulders() ([]trajectory.Placed, []motion.Stroke) {
	left, right := trajectory.Placed{Name: "left", Unit: "mm"}, trajectory.Placed{Name: "right", Unit: "mm"}
	strokes := make([]motion.Stroke, 30)
	for i := range strokes {
		strokes[i] = motion.Stroke{Direction: motion.Direction(1 + i%2), Start: 0.1 * float64(i), End: 0.1 * float64(i+1)}
	}
	for i := range 720 {
		t := float64(i) / 240
		sin, cos := math.Sincos((20 + 2*math.Sin(10*math.Floor(10*t))) * math.Pi / 180)
		y, noise := -5*math.Cos(10*math.Pi*t), 0.05*math.Sin(float64(i*i))
		left.T, left.Across, left.Along = append(left.T, t), append(left.Across, y-5*sin), append(left.Along, -5*cos)
		right.T, right.Across, right.Along = append(right.T, t), append(right.Across, y+5*sin+noise), append(right.Along, 5*cos-noise)
	}
	return []trajectory.Placed{left, right}, strokes
}

func ExampleEdgeAngles() {
	points, strokes := shoulders()
	e, err := contact.EdgeAngles(points, strokes, nil)
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Printf("%s of the first stroke %.0f°\n", e.Kind, e.Angles[0].Degrees())
	_, err = contact.EdgeAngles([]trajectory.Placed{points[0], points[0]}, strokes, nil)
	fmt.Println(err)
	// Output:
	// edge angle of the first stroke 20°
	// the points "left" and "left" on the pick are one and the same; give two points on the pick's flat that lie apart
}

func ExampleEdges_Median() {
	points, strokes := shoulders()
	e, err := contact.EdgeAngles(points, strokes, nil)
	if err != nil {
		fmt.Println(err)
		return
	}
	for _, d := range []motion.Direction{motion.Down, motion.Up} {
		m := e.Median(d)
		fmt.Printf("%s on %sstrokes %.0f° (%.0f° to %.0f°)\n", e.Kind, d, m.Value.Degrees(), m.Low.Degrees(), m.High.Degrees())
	}
	// Output:
	// edge angle on downstrokes 20° (19° to 22°)
	// edge angle on upstrokes 20° (18° to 22°)
}

func ExampleEdges_Spread() {
	points, strokes := shoulders()
	e, err := contact.EdgeAngles(points, strokes, nil)
	if err != nil {
		fmt.Println(err)
		return
	}
	s := e.Spread(motion.Down)
	fmt.Printf("%.1f° on downstrokes (%.1f° to %.1f°)\n", s.Value.Degrees(), s.Low.Degrees(), s.High.Degrees())
	// Output:
	// 2.2° on downstrokes (0.9° to 2.6°)
}
