package contact

import (
	"fmt"
	"math"

	"github.com/plectrace/plectrace/trajectory"
	"github.com/plectrace/plectrace/trajectory/filter"
	"github.com/plectrace/plectrace/variability/estimate"
	"github.com/plectrace/plectrace/variability/robust"
)

// TouchOptions are the settings of FindTouch, in millimetres and seconds. The
// zero value is the documented default.
type TouchOptions struct {
	// MaxSpeed is the speed in mm/s up to which the tip counts as resting.
	// Zero means 15.
	MaxSpeed float64 `json:"max_speed"`
	// Slack is how far the resting tip may stray from its middle. Zero means
	// 0.3; negative leaves no more than the samples' noise.
	Slack float64 `json:"slack"`
	// Press is one standard deviation of how far the tip lies from the
	// string's top on each axis: it presses the string down a little, or lies
	// at its side. Zero means 0.2 (from memory); negative means none.
	Press float64 `json:"press"`
}

func (o TouchOptions) withDefaults() TouchOptions {
	if o.MaxSpeed == 0 {
		o.MaxSpeed = 15
	}
	if o.Slack == 0 {
		o.Slack = 0.3
	}
	if o.Press == 0 {
		o.Press = 0.2
	}
	o.Slack, o.Press = math.Max(o.Slack, 0), math.Max(o.Press, 0)
	return o
}

// Touch is a rest of the tip on a string: where the tracked point is then, it
// is known where the tip is.
type Touch struct {
	// From and To bound the rest, in seconds, and N is the number of samples
	// seen in it.
	From, To float64
	N        int
	// Across and Out are by how much the tracked point lies off the tip:
	// subtract them from its path (see Shift). Out is NaN where the view does
	// not show it.
	Across, Out float64
	// AcrossError and OutError are their standard deviations: OutError is the
	// HeightError of motion.Options, AcrossError that of Options.
	AcrossError, OutError float64
	// Notes are what the reader should know of the rest, a sentence each.
	Notes []string
	// Absent is the reason why there is no rest at that moment.
	Absent *estimate.Absence
}

// FindTouch finds the rest about time at, in seconds, in which the tip lies on
// string number k, and how far the tracked point is off the tip. It serves a
// point that sits up the pick, as long as the pick keeps its tilt: a pick that
// tilts by 5 degrees between the rest and the playing shifts a point 10 mm up
// it by 0.9 mm across.
//
// The samples around at are taken for as long as they stay within o.Slack of
// the middle of those next to it. A tip that moves then, or is hidden, makes the
// touch absent. An error means that the strings are not described well enough,
// or that there is no string k.
func FindTouch(p trajectory.Placed, at float64, k int, s Strings, o TouchOptions) (Touch, error) {
	o = o.withDefaults()
	nan := math.NaN()
	t := Touch{From: nan, To: nan, Across: nan, Out: nan, AcrossError: nan, OutError: nan}
	if err := s.Validate(); err != nil {
		return t, err
	}
	if err := p.Validate(); err != nil {
		return t, err
	}
	if k < 1 || k > s.Number {
		return t, fmt.Errorf("strings: touch_string is %d and string_count is %d; string 1 is the highest-pitched", k, s.Number)
	}
	none := func(code, format string, a ...any) (Touch, error) {
		t.Absent = &estimate.Absence{Code: code, What: "height zero from the touch", Why: fmt.Sprintf(format, a...)}
		return t, nil
	}
	if p.Unit != "mm" {
		return none("unit", "the distance between the marks is not given, so nothing is known in millimetres")
	}
	f := newSamples(p)
	lo, hi := f.within(at-0.05, at+0.05)
	if hi-lo < 4 {
		lo, hi = f.within(at-0.1, at+0.1)
	}
	if hi-lo < 3 {
		return none("hidden", "the tip is not seen at %.2f s; give a moment at which it is seen to rest on the string", at)
	}
	cols := [][]float64{f.across}
	if f.out != nil {
		cols = append(cols, f.out)
	}
	var middle, slack [2]float64
	speed := 0.0
	for d, x := range cols {
		c, ok := newLine(f.t[lo:hi], at)
		if !ok {
			return none("hidden", "too little is seen of the tip around %.2f s", at)
		}
		c.fit(f.t[lo:hi], x[lo:hi])
		noise := filter.NoiseLevel(x[lo:hi])
		if noise != noise {
			noise = 0
		}
		// What noise makes of the slope is no movement.
		v := math.Abs(c.rate(at)) - 2*noise*math.Sqrt(c.inv[1][1])/c.span
		speed = math.Hypot(speed, math.Max(v, 0))
		middle[d] = robust.Median(x[lo:hi])
		slack[d] = o.Slack + 3*noise
	}
	if speed > o.MaxSpeed {
		return none("moving", "the tip moves at %.0f mm/s at %.2f s; give a moment at which it rests on the string", speed, at)
	}
	rests := func(i int) bool {
		for d, x := range cols {
			if math.Abs(x[i]-middle[d]) > slack[d] {
				return false
			}
		}
		return true
	}
	i, n := f.within(at, math.Inf(1))
	first, last := min(i, n-1), min(i, n-1)
	if first > 0 && (first >= n || !rests(first)) {
		first, last = first-1, first-1
	}
	if !rests(first) {
		return none("moving", "the tip does not keep still at %.2f s; give a moment at which it rests on the string", at)
	}
	const longest, gap = 2.0, 0.1 // s to each side; s without a sample
	for first > 0 && rests(first-1) && f.t[first]-f.t[first-1] < gap && at-f.t[first-1] < longest {
		first--
	}
	for last+1 < n && rests(last+1) && f.t[last+1]-f.t[last] < gap && f.t[last+1]-at < longest {
		last++
	}
	t.From, t.To, t.N = f.t[first], f.t[last], last-first+1
	if t.N < 3 || t.To-t.From < 0.03 {
		return none("moving", "the tip rests for no more than %.0f ms at %.2f s; give a moment at which it rests on the string", 1000*(t.To-t.From), at)
	}
	low, high := s.Height(k)
	place := func(x []float64) (value, se float64) {
		x = x[first : last+1]
		v, _ := estimate.LongRun(x)
		// The median's variance is π/2 times the mean's for normal noise.
		return robust.Median(x), math.Sqrt(math.Max(v, 0) / float64(len(x)) * math.Pi / 2)
	}
	y, se := place(f.across)
	t.Across = y - s.Across(k)
	t.AcrossError = math.Hypot(math.Hypot(se, o.Press), s.PairGapMM/2)
	if f.out != nil {
		z, se := place(f.out)
		t.Out = z - (low+high)/2
		t.OutError = math.Hypot(math.Hypot(se, o.Press), (high-low)/math.Sqrt(12))
	}
	t.notes(y, k, s)
	return t, nil
}

// notes says what is odd about the rest of a point at y across.
func (t *Touch) notes(y float64, k int, s Strings) {
	note := func(format string, a ...any) { t.Notes = append(t.Notes, fmt.Sprintf(format, a...)) }
	if d := t.To - t.From; d < 0.1 {
		note("The tip rests on the string for only %.0f ms: its height is taken from %d samples.", 1000*d, t.N)
	}
	if near := s.nearest(y); near != k {
		note("At the touch the tracked point lies %.1f mm from string %d and nearer to string %d: it sits to the side of the tip, or another string was touched.",
			math.Abs(t.Across), k, near)
	}
	if low, high := s.Height(k); high-low > 0.2 {
		note("The crown of the fingerboard is not known: string %d may lie up to %.1f mm above the plane of the outer strings.", k, high)
	}
}

// Shift returns p moved by the touch: the path of the tip for that of the
// tracked point. The columns of dst are reused where they have room; T is shared
// with p. An axis of which the touch says nothing stays as it is.
func (t Touch) Shift(dst, p trajectory.Placed) trajectory.Placed {
	move := func(dst, x []float64, by float64) []float64 {
		if x == nil {
			return nil
		}
		if by != by {
			by = 0
		}
		if cap(dst) < len(x) {
			dst = make([]float64, len(x))
		}
		dst = dst[:len(x)]
		for i, v := range x {
			dst[i] = v - by
		}
		return dst
	}
	dst.Name, dst.T, dst.Unit = p.Name, p.T, p.Unit
	dst.Across = move(dst.Across, p.Across, t.Across)
	dst.Along = move(dst.Along, p.Along, 0)
	dst.Out = move(dst.Out, p.Out, t.Out)
	return dst
}
