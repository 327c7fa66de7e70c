package drive_test

import (
	"encoding/json"
	"fmt"
	"math"

	"github.com/plectrace/plectrace/motion"
	"github.com/plectrace/plectrace/motion/drive"
	"github.com/plectrace/plectrace/trajectory"
)

// swing returns a path about a place in mm that goes (x, y, z) to either side,
// at 5 cycles/s.
func swing(place, by [3]float64) trajectory.Placed {
	const fps, seconds = 120, 8
	p := trajectory.Placed{Unit: "mm"}
	cols := [3]*[]float64{&p.Across, &p.Along, &p.Out}
	for i := range fps * seconds {
		t := float64(i) / fps
		p.T = append(p.T, t)
		for d, c := range cols {
			// A hundredth of a millimetre of jitter, the same in every run.
			jitter := 0.01 * math.Sin(1000*float64(i*(d+1))+place[d])
			*c = append(*c, place[d]+by[d]*math.Cos(2*math.Pi*5*t)+jitter)
		}
	}
	return p
}

// playedStrokes returns the strokes of a tip.
func playedStrokes(tip trajectory.Placed) []motion.Stroke {
	m, err := motion.Analyze(tip, motion.Options{})
	if err != nil {
		panic(err)
	}
	return m.Strokes
}

func ExampleCarryOf() {
	tip := swing([3]float64{0, 0, 0}, [3]float64{5, 0, 1})
	wrist := swing([3]float64{-50, -60, 40}, [3]float64{1.5, 0.3, 0})
	c, err := drive.CarryOf(wrist, tip, playedStrokes(tip))
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Printf("carry %.2f\n", c.Value.Value)
	// Output: carry 0.29
}

func ExampleCarry_Between() {
	tip := swing([3]float64{0, 0, 0}, [3]float64{5, 0, 0})
	wrist := swing([3]float64{-50, -60, 40}, [3]float64{2, 0, 0})
	c, _ := drive.CarryOf(wrist, tip, playedStrokes(tip))
	fmt.Printf("%.2f\n", c.Between(2, 4).Value)
	fmt.Println(c.Between(2, 2.5).Absent.Why)
	// Output:
	// 0.40
	// 5 strokes in which both points were seen in even playing; it takes 12
}

func ExampleCarry_Over() {
	tip := swing([3]float64{0, 0, 0}, [3]float64{5, 0, 0})
	wrist := swing([3]float64{-50, -60, 40}, [3]float64{2, 0, 0})
	c, _ := drive.CarryOf(wrist, tip, playedStrokes(tip))
	for _, at := range c.Over(4)[:2] {
		fmt.Printf("%.0f to %.0f s: %.2f\n", at.Start, at.End, at.Value.Value)
	}
	// Output:
	// 0 to 4 s: 0.40
	// 2 to 6 s: 0.40
}

// The forearm lies along the strings and only rotates about its length: what
// lies 40 mm below that line goes 5 mm to either side.
func ExampleAnalyze() {
	roll := func(x, y, z float64) trajectory.Placed {
		const height, turn = 40, 5. / 40
		return swing([3]float64{x, y, z}, [3]float64{-turn * (z - height), 0, turn * x})
	}
	points := map[drive.Landmark]trajectory.Placed{
		drive.Elbow:      roll(0, -330, 40),
		drive.Wrist:      roll(0, -90, 40),
		drive.Forearm:    roll(25, -120, 45),
		drive.Knuckle(1): roll(35, -20, 42),
		drive.Knuckle(2): roll(-35, -25, 38),
		drive.Tip:        roll(0, 0, 0),
	}
	d, err := drive.Analyze(points, playedStrokes(points[drive.Tip]), drive.Options{})
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Println("leading:", d.Shares[d.Leading].Joints[0])
	for _, s := range d.Shares {
		fmt.Printf("%s: %.2f\n", s.Joints[0], math.Abs(s.Value.Value))
	}
	// Output:
	// leading: forearm rotation
	// shoulder: 0.00
	// elbow: 0.00
	// forearm rotation: 1.00
	// wrist: 0.00
	// fingers and grip: 0.00
}

func ExampleKnuckle() {
	fmt.Println(drive.Knuckle(2))
	// Output: knuckle_2
}

// A settings file says which tracked point is which landmark.
func ExampleLandmark() {
	var names map[drive.Landmark]string
	err := json.Unmarshal([]byte(`{"wrist": "w", "knuckle_1": "idx", "tip": "pick"}`), &names)
	fmt.Println(names[drive.Wrist], names[drive.Knuckle(1)], names[drive.Tip], err)
	err = json.Unmarshal([]byte(`{"toe": "t"}`), &names)
	fmt.Println(err)
	// Output:
	// w idx pick <nil>
	// unknown landmark "toe": it is one of shoulder, elbow, wrist, wrist_inner, wrist_outer, forearm, pick_base, tip or knuckle_1 to knuckle_9
}
