package contact_test

import (
	"fmt"
	"math"
	"strings"

	"github.com/plectrace/plectrace/motion"
	"github.com/plectrace/plectrace/motion/contact"
	"github.com/plectrace/plectrace/trajectory"
)

// swing is the path of a tip about the second of three strings: ten strokes a
// second, 10 mm long, 1 mm deep. Every sixth stroke is lifted over the string.
func swing() trajectory.Placed {
	p := trajectory.Placed{Name: "tip", Unit: "mm"}
	for i := range 1440 {
		x := float64(i) / 24 // strokes
		k := math.Floor(x)
		lift := 0.0
		if math.Mod(k, 6) == 4 {
			lift = 2.5 * math.Pow(math.Sin(math.Pi*(x-k)), 2)
		}
		noise := 0.03 * math.Sin(float64(i*i)) // as good as random
		p.T = append(p.T, float64(i)/240)
		p.Across = append(p.Across, 1-5*math.Cos(math.Pi*x)+noise)
		p.Out = append(p.Out, -1-1.5*math.Cos(math.Pi*x)+lift-noise)
	}
	return p
}

// analyzed is swing with its strokes.
func analyzed() (*motion.Motion, trajectory.Placed) {
	p := swing()
	m, err := motion.Analyze(p, motion.Options{HeightError: 0.05})
	if err != nil {
		panic(err)
	}
	return m, p
}

func ExampleFind() {
	m, p := analyzed()
	guitar := contact.Strings{Number: 3, SpacingMM: 10, CrownRadiusMM: 241}
	c, err := contact.Find(m, p, guitar, contact.Options{})
	if err != nil {
		fmt.Println(err)
		return
	}
	for _, s := range c.Strokes[1:5] {
		fmt.Printf("%-4s at %.3f s: string %s, %.1f mm deep\n", s.Direction, s.Time, s.Numbers(), s.Depth)
	}
	missed := c.Missed()
	fmt.Printf("%.0f %% missed\n", 100*missed.Value)
	// Output:
	// up   at 0.156 s: string 2, 1.5 mm deep
	// down at 0.243 s: string 2, 1.5 mm deep
	// up   at 0.356 s: string 2, 1.5 mm deep
	// down at 0.443 s: string none, -0.6 mm deep
	// 17 % missed
}

func ExampleContacts_FollowThrough() {
	m, p := analyzed()
	c, err := contact.Find(m, p, contact.Strings{Number: 3, SpacingMM: 10, CrownRadiusMM: 241}, contact.Options{})
	if err != nil {
		fmt.Println(err)
		return
	}
	// The strokes' middle lies 1 mm to the treble side of the string.
	for _, d := range []motion.Direction{motion.Down, motion.Up} {
		v := c.FollowThrough(d)
		fmt.Printf("%s: %.1f mm past the string (%.1f to %.1f)\n", d, v.Value, v.Low, v.High)
	}
	// Output:
	// down: 6.0 mm past the string (5.5 to 6.5)
	// up: 4.0 mm past the string (3.5 to 4.5)
}

func ExampleContacts_FollowThroughSpread() {
	// A hundred strokes on one string whose turns scatter across, and up and
	// down; z is a number between -1.7 and 1.7 with a standard deviation of 1.
	z := func(k int) float64 { return math.Sqrt(12) * (math.Mod(float64(k)*0.6180339887, 1) - 0.5) }
	p := trajectory.Placed{Name: "tip", Unit: "mm"}
	for i := range 2400 {
		x := float64(i) / 24 // strokes
		k := int(x)
		s := (1 - math.Cos(math.Pi*(x-float64(k)))) / 2
		turn := func(k int) (across, out float64) {
			return 5*float64(2*(k%2)-1) + 0.5*z(k), -1 + 0.3*z(3*k+1)
		}
		y0, z0 := turn(k)
		y1, z1 := turn(k + 1)
		p.T = append(p.T, float64(i)/240)
		p.Across = append(p.Across, y0+s*(y1-y0))
		p.Out = append(p.Out, z0+s*(z1-z0))
	}
	m, err := motion.Analyze(p, motion.Options{})
	if err != nil {
		fmt.Println(err)
		return
	}
	c, err := contact.Find(m, p, contact.Strings{Number: 1}, contact.Options{})
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Printf("follow-through of downstrokes spreads over %.1f mm\n", c.FollowThroughSpread(motion.Down).Value)
	fmt.Printf("depth of downstrokes spreads over %.1f mm\n", c.DepthSpread(motion.Down).Value)
	// Output:
	// follow-through of downstrokes spreads over 0.6 mm
	// depth of downstrokes spreads over 0.3 mm
}

func ExampleContacts_Depth() {
	m, p := analyzed()
	// Without the crown the middle string may lie up to 0.3 mm higher.
	c, err := contact.Find(m, p, contact.Strings{Number: 3, SpacingMM: 10}, contact.Options{})
	if err != nil {
		fmt.Println(err)
		return
	}
	v := c.Depth(motion.Down)
	fmt.Printf("%.1f mm (%.1f to %.1f)\n", v.Value, v.Low, v.High)
	// Output:
	// 1.4 mm (1.2 to 1.7)
}

func ExampleContacts_Slowing() {
	m, p := analyzed()
	c, err := contact.Find(m, p, contact.Strings{Number: 3, SpacingMM: 10, CrownRadiusMM: -1}, contact.Options{})
	if err != nil {
		fmt.Println(err)
		return
	}
	v := c.Slowing(motion.Down)
	if !v.Known() {
		fmt.Println(v.Absent.Why)
	}
	// Output:
	// 20 strokes show it; this needs 30
}

func ExampleStrings_Height() {
	// Six strings, 52 mm between marks on the outer ones, and a crown of 12 in.
	s := contact.Strings{Number: 6, CrownRadiusMM: 304.8}.Within(52)
	for k := 1; k <= 3; k++ {
		h, _ := s.Height(k)
		fmt.Printf("string %d: %4.1f mm across, %.2f mm high\n", k, s.Across(k), h)
	}
	s.CrownRadiusMM = 0
	low, high := s.Height(3)
	fmt.Printf("string 3, crown not known: %.1f to %.1f mm\n", low, high)
	// Output:
	// string 1: 26.0 mm across, 0.00 mm high
	// string 2: 15.6 mm across, 0.71 mm high
	// string 3:  5.2 mm across, 1.07 mm high
	// string 3, crown not known: 0.0 to 1.8 mm
}

func ExampleReadOnsets() {
	on, err := contact.ReadOnsets(strings.NewReader("time_s,level_db\n0.512,-18.5\n0.611,-21\n"))
	fmt.Println(on, err)
	_, err = contact.ReadOnsets(strings.NewReader("0.512\n0.4\n"))
	fmt.Println(err)
	// Output:
	// [{0.512 -18.5} {0.611 -21}] <nil>
	// onsets: line 2, column 1: "0.4": times must increase, and the one before is 0.512 s: sort the list by time
}

func ExampleMatchOnsets() {
	m, p := analyzed()
	c, err := contact.Find(m, p, contact.Strings{Number: 3, SpacingMM: 10, CrownRadiusMM: -1}, contact.Options{})
	if err != nil {
		fmt.Println(err)
		return
	}
	// A note for every stroke that reaches the string but the third, 30 ms late
	// on the recording, and a noise.
	var onsets []contact.Onset
	for i, s := range c.Strokes {
		if i != 2 && s.Reached == contact.Yes {
			onsets = append(onsets, contact.Onset{Time: s.Time + 0.030, Level: -20 + float64(i%3)})
		}
		if i == 30 {
			onsets = append(onsets, contact.Onset{Time: s.Time + 0.075, Level: -40})
		}
	}
	match, err := contact.MatchOnsets(m.Strokes, c, onsets, contact.MatchOptions{FindOffset: true})
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Printf("lag %.0f ms, %d extra onset\n", 1000*match.Offset.Value, len(match.Extra))
	a := match.Agreement(c)
	fmt.Printf("reached and struck %d, neither %d, reached but silent %d\n", a.Both, a.Neither, a.Ghosted)
	// Output:
	// lag 30 ms, 1 extra onset
	// reached and struck 48, neither 10, reached but silent [2]
}

func ExampleMatch_Levels() {
	strokes := make([]motion.Stroke, 40)
	onsets := make([]contact.Onset, len(strokes))
	for i := range strokes {
		strokes[i] = motion.Stroke{Direction: motion.Direction(1 + i%2), Start: 0.1 * float64(i), End: 0.1 * float64(i+1)}
		// Downstrokes are 3 dB louder.
		level := -20 + 0.5*math.Sin(float64(i*i))
		if strokes[i].Direction == motion.Down {
			level += 3
		}
		onsets[i] = contact.Onset{Time: strokes[i].Middle(), Level: level}
	}
	match, err := contact.MatchOnsets(strokes, nil, onsets, contact.MatchOptions{})
	if err != nil {
		fmt.Println(err)
		return
	}
	l := match.Levels()
	fmt.Printf("down over up %.1f dB (%.1f to %.1f)\n", l.Difference.Value, l.Difference.Low, l.Difference.High)
	// Output:
	// down over up 2.7 dB (2.4 to 3.6)
}

func ExampleFindTouch() {
	// A marker 9 mm up the pick; the tip rests on string 3 for half a second.
	s := contact.Strings{Number: 6, SpacingMM: 10.4, CrownRadiusMM: -1}
	p := trajectory.Placed{Name: "marker", Unit: "mm"}
	for i := range 120 {
		noise := 0.05 * math.Sin(float64(i*i))
		p.T = append(p.T, float64(i)/240)
		p.Across = append(p.Across, 5.2+0.4+noise)
		p.Out = append(p.Out, 9-noise)
	}
	touch, err := contact.FindTouch(p, 0.25, 3, s, contact.TouchOptions{})
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Printf("the marker sits %.1f mm out (error %.1f), %.1f mm across\n", touch.Out, touch.OutError, touch.Across)
	tip := touch.Shift(trajectory.Placed{}, p)
	fmt.Printf("the tip lies at %.1f mm across, %.1f mm out\n", tip.Across[60], math.Abs(tip.Out[60]))
	// Output:
	// the marker sits 9.0 mm out (error 0.2), 0.4 mm across
	// the tip lies at 5.2 mm across, 0.0 mm out
}

func ExampleTouch_Shift() {
	// A marker 9 mm up the pick and 0.5 mm to the treble side of the tip.
	touch := contact.Touch{Across: 0.5, Out: 9}
	marker := trajectory.Placed{Name: "marker", Unit: "mm", T: []float64{0, 0.01}, Across: []float64{5.5, 4}, Out: []float64{9, 8}}
	tip := touch.Shift(trajectory.Placed{}, marker)
	fmt.Println("across", tip.Across, "out", tip.Out)
	// Output:
	// across [5 3.5] out [0 -1]
}

func ExampleMatch_Agreement() {
	// By the film the first two strokes of four reach a string.
	c := &contact.Contacts{Strokes: []contact.Stroke{
		{Reached: contact.Yes}, {Reached: contact.Yes}, {Reached: contact.No}, {Reached: contact.No},
	}}
	strokes := make([]motion.Stroke, 4)
	for i := range strokes {
		strokes[i] = motion.Stroke{Direction: motion.Direction(1 + i%2), Start: 0.1 * float64(i), End: 0.1 * float64(i+1)}
		c.Strokes[i].P, c.Strokes[i].Time = math.NaN(), math.NaN()
	}
	// By the sound it is the first and the third.
	match, err := contact.MatchOnsets(strokes, c, []contact.Onset{{Time: 0.05}, {Time: 0.25}}, contact.MatchOptions{})
	if err != nil {
		fmt.Println(err)
		return
	}
	a := match.Agreement(c)
	fmt.Println("both", a.Both, "neither", a.Neither, "reached but silent", a.Ghosted, "sound alone", a.SoundOnly)
	// Output:
	// both 1 neither 1 reached but silent [1] sound alone [2]
}

func ExampleMatch_Silent() {
	// A note for every stroke but each seventh, 12 ms late.
	strokes := make([]motion.Stroke, 70)
	var onsets []contact.Onset
	for i := range strokes {
		strokes[i] = motion.Stroke{Direction: motion.Direction(1 + i%2), Start: 0.1 * float64(i), End: 0.1 * float64(i+1)}
		if i%7 != 3 {
			onsets = append(onsets, contact.Onset{Time: strokes[i].Middle() + 0.012})
		}
	}
	match, err := contact.MatchOnsets(strokes, nil, onsets, contact.MatchOptions{})
	if err != nil {
		fmt.Println(err)
		return
	}
	v := match.Silent()
	fmt.Printf("%.0f %% of %d strokes do not sound\n", 100*v.Value, v.N)
	// Output:
	// 14 % of 70 strokes do not sound
}

func ExampleContacts_Missed() {
	m, p := analyzed()
	c, err := contact.Find(m, p, contact.Strings{Number: 3, SpacingMM: 10, CrownRadiusMM: 241}, contact.Options{})
	if err != nil {
		fmt.Println(err)
		return
	}
	v := c.Missed()
	fmt.Printf("%.0f %% of %d strokes reach no string\n", 100*v.Value, v.N)
	// Output:
	// 17 % of 59 strokes reach no string
}

func ExampleContacts_DepthSpread() {
	m, p := analyzed()
	c, err := contact.Find(m, p, contact.Strings{Number: 3, SpacingMM: 10, CrownRadiusMM: 241}, contact.Options{})
	if err != nil {
		fmt.Println(err)
		return
	}
	// But for the lifted ones, which pass above it, all are alike.
	v := c.DepthSpread(motion.Up)
	fmt.Printf("%.1f mm over %d upstrokes\n", v.Value, v.N)
	// Output:
	// 0.0 mm over 29 upstrokes
}

func ExampleStrings_Within() {
	// Marks on the outer strings of a mandolin, 27 mm apart.
	s := contact.Strings{Number: 4, PairGapMM: 2}.Within(27)
	fmt.Printf("%.0f mm from pair to pair\n", s.SpacingMM)
	// Output:
	// 9 mm from pair to pair
}

func ExampleStrings_Across() {
	s := contact.Strings{Number: 4, SpacingMM: 9}
	for k := 1; k <= s.Number; k++ {
		fmt.Printf("string %d at %.1f mm\n", k, s.Across(k))
	}
	// Output:
	// string 1 at 13.5 mm
	// string 2 at 4.5 mm
	// string 3 at -4.5 mm
	// string 4 at -13.5 mm
}

func ExampleStrings_Validate() {
	mandolin := contact.Strings{Number: 4, SpacingMM: 9, PairGapMM: 2, CrownRadiusMM: 10}
	fmt.Println(mandolin.Validate())
	mandolin.CrownRadiusMM = 254
	fmt.Println(mandolin.Validate())
	// Output:
	// strings: crown_radius_mm is 10; the outer strings lie 29 mm apart, and the radius cannot be less than half of that
	// <nil>
}
