package live_test

import (
	"encoding/json"
	"fmt"
	"math"

	"github.com/plectrace/plectrace/motion/live"
	"github.com/plectrace/plectrace/trajectory"
)

// camera brings a tip that goes back and forth ten times a second at 240 frames/s,
// in the instrument frame: 10 mm long, rising by 20 degrees.
func camera(seconds float64) []live.Sample {
	s := make([]live.Sample, int(seconds*240))
	sin, cos := math.Sincos(20 * math.Pi / 180)
	for i := range s {
		t := float64(i) / 240
		w := -5 * math.Cos(2*math.Pi*5*t)
		// A little noise, as every tracker has.
		a, b := 0.02*math.Sin(float64(i*i)), 0.02*math.Cos(float64(3*i*i))
		s[i] = live.Sample{T: t, Tip: [3]float64{cos*w + a, 0, sin*w + b}}
	}
	return s
}

func placed() *live.Tracker {
	t, err := live.New(live.Options{Placed: true, Unit: "mm", Frame: trajectory.FrameOptions{View: trajectory.EndOn}})
	if err != nil {
		panic(err)
	}
	return t
}

func Example() {
	t := placed()
	var events []live.Event
	var err error
	seen := map[live.Kind]int{}
	for _, s := range camera(10) {
		if events, err = t.Push(events[:0], s); err != nil {
			fmt.Println(err)
			return
		}
		for _, e := range events {
			if seen[e.Kind]++; e.Kind == live.Settled {
				fmt.Printf("settled since %.1f s, said at %.0f s\n", e.Since, e.At)
			}
		}
	}
	for _, e := range t.Flush(nil) {
		seen[e.Kind]++
	}
	fmt.Println("provisional", seen[live.Provisional], "final", seen[live.Final], "withdrawn", seen[live.Withdrawn])
	n := t.Now()
	fmt.Printf("%.1f notes per second, path angle %.0f degrees\n", n.NotesPerSecond, n.PathAngle.Degrees())
	// Output:
	// settled since 0.7 s, said at 4 s
	// provisional 98 final 99 withdrawn 0
	// 10.0 notes per second, path angle 20 degrees
}

func ExampleNew() {
	_, err := live.New(live.Options{Frame: trajectory.FrameOptions{View: trajectory.EndOn}})
	fmt.Println(err)
	// Output:
	// there are no marks on the string plane; name two tracked points, or give two fixed places in the picture, one on the bass side and one on the treble side of the strings at the picking spot
}

func ExampleTracker_Push() {
	// Two marks on the strings are tracked with the tip, in pixels 50 mm apart.
	t, err := live.New(live.Options{Unit: "px", Frame: trajectory.FrameOptions{
		View: trajectory.EndOn, DistanceMM: 50,
		Marks: trajectory.Marks{Bass: trajectory.Mark{Point: "bass"}, Treble: trajectory.Mark{Point: "treble"}},
	}})
	if err != nil {
		panic(err)
	}
	marks := [][3]float64{{400, 100}, {400, 700}}
	var events []live.Event
	for _, s := range camera(4) {
		// The picture: treble is down, out to the right, 12 px are a millimetre.
		s.Tip, s.Marks = [3]float64{400 + 12*s.Tip[2], 400 + 12*s.Tip[0]}, marks
		if events, err = t.Push(events, s); err != nil {
			fmt.Println(err)
			return
		}
	}
	for _, e := range t.Flush(events) {
		if e.Kind == live.Final && e.Number == 20 {
			fmt.Printf("%v stroke: %.1f mm at %.0f degrees\n", e.Stroke.Direction, e.Stroke.Length, e.Stroke.PathAngle.Degrees())
		}
	}
	// Output:
	// down stroke: 10.0 mm at 20 degrees
}

func ExampleTracker_PushAll() {
	t := placed()
	block := camera(1)
	block[7].T = math.NaN()
	_, err := t.PushAll(nil, block)
	fmt.Println(err)
	fmt.Println(t.Now().Samples, "samples taken")
	// Output:
	// point "tip": sample 7: time is NaN; give the frame's time in seconds
	// 0 samples taken
}

func ExampleTracker_Flush() {
	t := placed()
	events, err := t.PushAll(nil, camera(1))
	fmt.Println(len(events) > 0, err, t.Now().Final, "final strokes")
	t.Flush(events)
	fmt.Println(t.Now().Final, "final strokes")
	// Output:
	// true <nil> 0 final strokes
	// 9 final strokes
}

func ExampleTracker_Reset() {
	t := placed()
	if _, err := t.PushAll(nil, camera(2)); err != nil {
		fmt.Println(err)
	}
	_, err := t.Push(nil, live.Sample{T: 0})
	fmt.Println(err)
	t.Reset()
	_, err = t.Push(nil, live.Sample{T: 0})
	fmt.Println(err)
	// Output:
	// point "tip": sample 480 (0.0000 s): time goes back from 1.9958333333333333 s to 0 s; call Reset where the clock begins anew
	// <nil>
}

func ExampleTracker_Now() {
	t := placed()
	if _, err := t.PushAll(nil, camera(8)); err != nil {
		fmt.Println(err)
	}
	n := t.Now()
	fmt.Printf("%.0f frames/s, %.0f samples a stroke, %.1f s played\n", n.FrameRate, n.SamplesPerStroke, n.Playing)
	fmt.Println(live.Caution)
	// Output:
	// 240 frames/s, 24 samples a stroke, 7.1 s played
	// Stop at once at pain, numbness or tingling, and rest. If it comes back or stays, see a clinician.
}

func ExampleTracker_MarshalJSON() {
	all := camera(8)
	t := placed()
	if _, err := t.PushAll(nil, all[:1000]); err != nil {
		fmt.Println(err)
	}
	text, err := json.Marshal(t)
	if err != nil {
		fmt.Println(err)
	}

	var again live.Tracker
	if err := json.Unmarshal(text, &again); err != nil {
		fmt.Println(err)
	}
	a, _ := t.PushAll(nil, all[1000:])
	b, _ := again.PushAll(nil, all[1000:])
	fmt.Println(len(a) > 0, len(a) == len(b), t.Now().Final == again.Now().Final)
	// Output:
	// true true true
}

func ExampleTracker_UnmarshalJSON() {
	var t live.Tracker
	fmt.Println(json.Unmarshal([]byte(`{"schema":"plectrace/review/1"}`), &t))
	// Output:
	// live: a saved tracker: its schema is "plectrace/review/1", want "plectrace/live/1"
}

func ExampleTracker_Options() {
	fmt.Println(placed().Options().Window, "s,", placed().Options().RestAfter/60, "minutes")
	// Output:
	// 6 s, 25 minutes
}

func ExampleOptions_Allows() {
	o := live.Options{Placed: true, Frame: trajectory.FrameOptions{View: trajectory.Front}}
	list, err := o.Allows(live.Plan{FrameRate: 60, NotesPerSecond: 10})
	if err != nil {
		fmt.Println(err)
	}
	for _, a := range list {
		fmt.Printf("%-32s %-5v %s\n", a.What, a.Can, a.Why)
	}
	// Output:
	// rate                             true  6.0 samples per stroke, 2.2 are needed
	// turns, strokes and their timing  true  6.0 samples per stroke, 4 are needed
	// path angle                       false the front view does not show it
	// skew                             false 6.0 samples per stroke, 8 are needed: film at 80 frames/s, or play slower
	// curvature                        false the front view does not show it
	// heights                          false the front view does not show it
	// settled and searching            true  if the noise of the tracked tip is not above some hundredths of a stroke's length
}
