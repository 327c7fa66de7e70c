package settling_test

import (
	"encoding/json"
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

// How it settles, from the same take.
func ExampleHistoryOf() {
	ss := strokes()
	r := settling.Find(ss, settling.Options{})
	h := settling.HistoryOf(ss, r, settling.HistoryOptions{})
	for _, third := range h.Thirds {
		fmt.Printf("%.0f to %.0f s: %.0f %% settled\n", third.Start, third.End, 100*third.Share.Value)
	}
	hold := h.Holds[0]
	fmt.Printf("one hold of %d strokes, cut off: %v, at %.0f strokes a second\n",
		hold.Strokes, hold.CutStart || hold.CutEnd, hold.Rate.Value)
	fmt.Printf("centre of the downstrokes: %.0f degrees\n", hold.Motion.Down.Angle.Degrees())
	fmt.Printf("leaves: %d, returns: %d, ends settled: %v\n", h.Leaves, h.Returns, h.EndsSettled)
	fmt.Println("trend of the holds:", h.HoldTrend.P.Absent.Why)
	// Output:
	// 0 to 3 s: 0 % settled
	// 3 to 6 s: 100 % settled
	// 6 to 9 s: 33 % settled
	// one hold of 40 strokes, cut off: false, at 10 strokes a second
	// centre of the downstrokes: 25 degrees
	// leaves: 1, returns: 0, ends settled: false
	// trend of the holds: only one of the spans is seen whole; two between the same two breaks are needed
}

// A take is held against the motion of another one.
func ExampleHistoryOf_reference() {
	ss := strokes()
	r := settling.Find(ss, settling.Options{})
	reference := settling.HistoryOf(ss, r, settling.HistoryOptions{}).Holds[0].Motion
	for i := range ss { // the same motion, with the path turned
		ss[i].Angle += 10 * circular.Degree
	}
	r = settling.Find(ss, settling.Options{})
	h := settling.HistoryOf(ss, r, settling.HistoryOptions{Reference: &reference})
	l := h.Holds[0].FromReference
	fmt.Printf("%v: the %s is %.1f tolerances away\n", l.Verdict, l.Of, l.Distance.Value)
	fmt.Printf("%.0f %% of the settled time elsewhere\n", 100*h.Elsewhere.Value)
	// Output:
	// another: the angle is 2.9 tolerances away
	// 100 % of the settled time elsewhere
}

// What searching is made of, from the same take.
func ExampleExplore() {
	ss := strokes()
	height := make([]float64, len(ss)) // mm
	for i := range height {
		height[i] = 3 + 0.2*math.Sin(2.7*float64(i))
	}
	r := settling.Find(ss, settling.Options{})
	for i, settled := range r.Labels {
		if !settled {
			height[i] += 0.5 * math.Sin(4.1*float64(i))
		}
	}
	e := settling.Explore(ss, r, settling.ExploreOptions{
		Columns: []settling.Column{{Name: "height", Values: height, Noise: 0.05, Tolerance: 1}},
	})
	fmt.Printf("%d strokes in %d spans\n", e.Strokes, e.Spans)
	for _, f := range e.Features {
		fmt.Printf("%s: %.1f tolerances, %.1f times the settled scatter, %.0f %% of the exploration\n",
			f.Name, f.Scatter.Value, f.Ratio.Value, 100*f.Share.Value)
	}
	// Output:
	// 50 strokes in 2 spans
	// angle: 2.5 tolerances, 6.3 times the settled scatter, 37 % of the exploration
	// duration: 2.3 tolerances, 6.8 times the settled scatter, 33 % of the exploration
	// length: 2.2 tolerances, 6.5 times the settled scatter, 29 % of the exploration
	// height: 0.4 tolerances, 2.6 times the settled scatter, 1 % of the exploration
}

// While a take is played, each stroke is pushed as it ends.
func ExampleWatch() {
	w := settling.NewWatch(settling.Options{})
	was := false
	for _, s := range strokes() {
		if r := w.Push(s); r.Settled != was {
			was = r.Settled
			if was {
				fmt.Printf("settled since %.1f s, told at %.1f s\n", r.Since, s.End)
			} else {
				fmt.Printf("searching again at %.1f s\n", s.End)
			}
		}
	}
	// Output:
	// settled since 3.0 s, told at 4.3 s
	// searching again at 7.3 s
}

func ExampleNewWatch() {
	w := settling.NewWatch(settling.Options{Tolerances: settling.Tolerances{Duration: 0.05}})
	fmt.Println(w.Options().Tolerances.Duration, w.Options().Tolerances.MinSpan)
	r := w.Push(settling.Stroke{Start: 0, End: 0.1, Duration: 0.1, Length: 9})
	fmt.Println(r.Settled, r.P) // one stroke says nothing
	// Output:
	// 0.05 1
	// false NaN
}

func ExampleWatch_Push() {
	w := settling.NewWatch(settling.Options{})
	n, known := 0, 0
	for _, s := range strokes() {
		if s.Start > 5 {
			s.AngleNoise = 9 * circular.Degree // the tracker sees worse from here on
		}
		if r := w.Push(s); r.P == r.P {
			known++
		} else if s.Start > 1 && n == 0 {
			n++
			fmt.Printf("not known from %.1f s on, settled %v\n", s.End, r.Settled)
		}
	}
	fmt.Println(known, "of", len(strokes()), "strokes with a probability")
	// Output:
	// not known from 5.5 s on, settled false
	// 47 of 90 strokes with a probability
}

func ExampleWatch_Options() {
	t := settling.NewWatch(settling.Options{}).Options().Tolerances
	fmt.Printf("%.1f degrees, %.0f %% of duration, %.0f %% of length, for %.0f s\n", t.Angle.Degrees(), 100*t.Duration, 100*t.Length, t.MinSpan)
	// Output:
	// 3.5 degrees, 8 % of duration, 12 % of length, for 1 s
}

func ExampleWatch_Reset() {
	w := settling.NewWatch(settling.Options{})
	for _, s := range strokes()[30:60] {
		w.Push(s)
	}
	w.Reset() // another take, whose clock begins anew
	r := w.Push(strokes()[0])
	fmt.Println(r.Settled, r.P)
	// Output:
	// false NaN
}

// A watch goes on from a file where it was left.
func ExampleWatch_MarshalJSON() {
	ss := strokes()
	w := settling.NewWatch(settling.Options{})
	for _, s := range ss[:50] {
		w.Push(s)
	}
	text, err := json.Marshal(w)
	if err != nil {
		fmt.Println(err)
	}
	again := settling.NewWatch(settling.Options{})
	if err := json.Unmarshal(text, again); err != nil {
		fmt.Println(err)
	}
	fmt.Println(w.Push(ss[50]) == again.Push(ss[50]))
	// Output:
	// true
}

func ExampleWatch_UnmarshalJSON() {
	w := settling.NewWatch(settling.Options{})
	fmt.Println(json.Unmarshal([]byte(`{"n":3}`), w))
	// Output:
	// settling: the state of a watch: 0 strokes are kept of 3
}
