package settling_test

import (
	"fmt"
	"math"

	"github.com/plectrace/plectrace/variability/circular"
	"github.com/plectrace/plectrace/variability/settling"
)

// strokes returns ten strokes a second for 9 s. From 3 to 7 s they stay within
// 1.5 degrees, 3 % and 5 %, before and after they do not.
func strokes() []settling.Stroke {
	ss := make([]settling.Stroke, 90)
	for i := range ss {
		start := float64(i) / 10
		scale := 6.0
		if start >= 3 && start < 7 {
			scale = 1
		}
		k := float64(i)
		ss[i] = settling.Stroke{
			Start: start, End: start + 0.1, Down: i%2 == 0, Break: i == 0,
			Angle:      circular.Angle(25+2*scale*math.Sin(2.3*k)) * circular.Degree,
			Duration:   0.1 * math.Exp(0.04*scale*math.Sin(3.7*k)),
			Length:     12 * math.Exp(0.06*scale*math.Sin(1.9*k*k)),
			AngleNoise: 0.5 * circular.Degree, DurationNoise: 0.001, LengthNoise: 0.2,
		}
	}
	return ss
}

func ExampleFind() {
	r := settling.Find(strokes(), settling.Options{})
	for _, s := range r.Spans {
		kind := "searching"
		if s.Settled {
			kind = "settled"
		}
		fmt.Printf("%.1f to %.1f s: %s\n", s.Start, s.End, kind)
	}
	fmt.Printf("settled for %.0f %% of the time\n", 100*r.Share.Value)
	// Output:
	// 0.0 to 3.0 s: searching
	// 3.0 to 7.0 s: settled
	// 7.0 to 9.0 s: searching
	// settled for 44 % of the time
}

// Noise above half a tolerance could hide what is asked for.
func ExampleFind_noise() {
	ss := strokes()
	for i := range ss {
		ss[i].AngleNoise = 2 * circular.Degree
	}
	r := settling.Find(ss, settling.Options{})
	fmt.Println(r.Absent.Why)
	// Leave the angle out, or allow for more.
	o := settling.Options{Tolerances: settling.Tolerances{Angle: -1}}
	r = settling.Find(ss, o)
	fmt.Printf("%+v: %d spans\n", r.Used, len(r.Spans))
	// Output:
	// the noise of the angle, 2 degrees, is more than half its tolerance of 3.5 degrees
	// {Angle:false Duration:true Length:true}: 3 spans
}
