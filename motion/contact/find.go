package contact

import (
	"fmt"
	"math"
	"strconv"
	"strings"

	"gonum.org/v1/gonum/stat/distuv"

	"github.com/plectrace/plectrace/motion"
	"github.com/plectrace/plectrace/trajectory"
	"github.com/plectrace/plectrace/variability/estimate"
)

// Options are the settings of Find. The zero value is the documented default.
type Options struct {
	// Certainty is the probability from which a stroke counts as having
	// reached a string, and below the complement of which as having missed it.
	// Zero means 0.9.
	Certainty float64 `json:"certainty"`
	// AcrossError is one standard deviation of the strings' places across, in
	// the path's unit. Zero means 0.25; negative means none.
	AcrossError float64 `json:"across_error"`
	// Played is the number of the one string that is played, where that is
	// known. Zero leaves it to the path.
	Played int `json:"string_played,omitempty"`
	// Seed starts the stream of random numbers that white noise is made of, to
	// hold the samples' scatter against.
	Seed uint64 `json:"seed"`
}

func (o Options) withDefaults() Options {
	if o.Certainty == 0 {
		o.Certainty = 0.9
	}
	switch {
	case o.AcrossError == 0:
		o.AcrossError = 0.25
	case o.AcrossError < 0:
		o.AcrossError = 0
	}
	return o
}

// MinSamplesReached is the number of samples per stroke from which it is judged
// what a stroke reaches. The tip's height in the middle of a stroke is
// interpolated, which needs fewer samples than the heights of its turns.
const MinSamplesReached = 4

// Crossing is the tip's way past one string's place across.
type Crossing struct {
	// String is the number of the string, or pair. Of is 0 for a single
	// string; of a pair it is 1 for the string on the treble side, 2 for that
	// on the bass side.
	String, Of int
	// Time is when, in seconds; TimeError its standard deviation from the
	// samples' noise.
	Time, TimeError float64
	// Depth is how far below the string's top the tip passes, in the path's
	// unit; negative above. DepthError is its standard deviation from noise,
	// without the string plane's own. NaN where heights have no zero.
	Depth, DepthError float64
	// Speed is that of the tip in the seen axes, in units/s. NaN below
	// motion.MinSamplesShape samples per stroke.
	Speed float64
	// P is the probability that the tip crossed below the string's top. NaN
	// where that cannot be judged at all.
	P float64
	// Reached is what P means at the certainty asked for.
	Reached Answer
}

// Stroke is what one stroke does at the strings. A quantity that could not be
// had is NaN.
type Stroke struct {
	Direction motion.Direction
	// Crossings are in order of time.
	Crossings []Crossing
	// Reached says whether the stroke reached any string, P how probable that
	// is.
	Reached Answer
	P       float64
	// Strings are the numbers of the strings, or pairs, that it reached for
	// certain, in order: none, one, or several for a strum.
	Strings []int
	// Hidden says that part of the stroke was not seen, in which it may have
	// reached further strings.
	Hidden bool
	// Played is the string that the stroke is aimed at: the one given, the
	// only one reached, or that nearest to its middle. 0 where that is hidden.
	Played int
	// Time, Depth and Speed are those of the crossing of the string played, or
	// of the first string reached where that one is not among them.
	Time, Depth, DepthError, Speed float64
	// FollowThrough is the travel across from the last string reached to the
	// turn; where heights have no zero, from the string played.
	FollowThrough, FollowThroughError float64
	// Slowing is by what share the tip is slower at the string than its
	// speed on both sides of it lets expect: see Contacts.Slowing.
	Slowing float64

	crown float64 // range of the string's height
}

// Numbers returns the strings reached as text, in order: "3", "4 3 2", "none",
// or "" where it cannot be said.
func (s Stroke) Numbers() string {
	switch {
	case s.Reached == No:
		return "none"
	case s.Reached == Unknown:
		return ""
	}
	var text []string
	for _, k := range s.Strings {
		text = append(text, strconv.Itoa(k))
	}
	return strings.Join(text, " ")
}

// Contacts are the strokes of a take at the strings.
type Contacts struct {
	// Options are those in force, defaults filled in.
	Options Options
	Unit    string
	// Strokes are those of the Motion, one for one.
	Strokes []Stroke
	// Absent lists what no stroke has, and why.
	Absent []estimate.Absence

	heightError float64
	slowModel   [3]float64 // by direction
	passes      [3]int     // of the string played, by direction
}

// finder holds what Find needs for every stroke.
type finder struct {
	*samples
	m         *motion.Motion
	o         Options
	strings   Strings
	lines     []line
	noise     float64 // of one sample, as far as it is white
	sigma     float64 // scatter of out about the strokes' arcs
	colour    float64 // by which factor slow noise widens errors
	misfit    float64 // variance of across about its path that is not noise
	arcMisfit float64 // likewise of out about the arcs
	prior     [3]prior
	speeds    bool
}

// Find tells which strings each stroke of m reaches. p is the placed path that
// m was found on; m.Options says whether its heights have a zero, and how well
// the string plane is known.
//
// What cannot be had is no error: Absent then says why. An error means that the
// strings are not described well enough, or that p is not m's path.
func Find(m *motion.Motion, p trajectory.Placed, s Strings, o Options) (*Contacts, error) {
	o = o.withDefaults()
	if err := s.Validate(); err != nil {
		return nil, err
	}
	if o.Played < 0 || o.Played > s.Number {
		return nil, fmt.Errorf("strings: string_played is %d and string_count is %d; string 1 is the highest-pitched", o.Played, s.Number)
	}
	if !(o.Certainty > 0.5 && o.Certainty < 1) {
		return nil, fmt.Errorf("contact: a certainty of %v is not between 0.5 and 1", o.Certainty)
	}
	if err := p.Validate(); err != nil {
		return nil, err
	}
	c := &Contacts{Options: o, Unit: m.Unit, Strokes: make([]Stroke, len(m.Strokes)), heightError: m.Options.HeightError}
	for i := range c.Strokes {
		c.Strokes[i] = unseen(m.Strokes[i].Direction)
	}
	if c.explain(m, p); len(c.Absent) > 0 && c.Absent[0].What == everything {
		return c, nil
	}
	f := &finder{samples: newSamples(p), m: m, o: o, strings: s, lines: s.lines(), noise: m.Noise, colour: 1}
	if !(f.noise > 0) {
		f.noise = 0
	}
	f.speeds = m.SamplesPerStroke >= motion.MinSamplesShape
	if m.Options.Relative || p.Out == nil {
		f.out = nil
	} else {
		f.calibrate()
	}
	f.measureMisfit()
	for i := range c.Strokes {
		f.stroke(&c.Strokes[i], &m.Strokes[i])
	}
	if f.speeds {
		f.slowing(c)
	}
	return c, nil
}

// everything is what is absent where nothing can be had.
const everything = "strings reached, follow-through and crossings"

// explain records what no stroke can have.
func (c *Contacts) explain(m *motion.Motion, p trajectory.Placed) {
	absent := func(code, what, why string) {
		c.Absent = append(c.Absent, estimate.Absence{Code: code, What: what, Why: why})
	}
	switch n := m.SamplesPerStroke; {
	case m.Options.Relative:
		absent("grade", everything, m.Options.RelativeWhy)
		return
	case p.Unit != "mm":
		absent("unit", everything, "the distance between the marks is not given, so nothing is known in millimetres")
		return
	case len(m.Strokes) == 0:
		absent("no strokes", everything, "no strokes were found")
		return
	case n < MinSamplesReached:
		absent("samples per stroke", everything, fmt.Sprintf("%.1f samples per stroke; this needs %d", n, MinSamplesReached))
		return
	case p.Out == nil:
		absent("view", "strings reached and depth", "this view does not show how far out the tip is")
	}
	if n := m.SamplesPerStroke; n < motion.MinSamplesShape {
		absent("samples per stroke", "crossing speed and slowing", fmt.Sprintf("%.1f samples per stroke; this needs %d", n, motion.MinSamplesShape))
	}
}

func unseen(d motion.Direction) Stroke {
	nan := math.NaN()
	return Stroke{Direction: d, P: nan, Time: nan, Depth: nan, DepthError: nan, Speed: nan, FollowThrough: nan, FollowThroughError: nan, Slowing: nan}
}

// width returns the stroke's extent across, from its turns or, where one is
// hidden, from its samples [lo, hi).
func (f *finder) width(s *motion.Stroke, lo, hi int) float64 {
	if w := math.Abs(s.AcrossEnd - s.AcrossStart); w == w {
		return w
	}
	low, high := f.span(lo, hi)
	if l := s.Seen.Length; l > high-low {
		return l
	}
	return high - low
}

// span returns the range of across over the samples [lo, hi), NaN without any.
func (f *finder) span(lo, hi int) (low, high float64) {
	low, high = math.NaN(), math.NaN()
	for _, y := range f.across[lo:hi] {
		if !(y > low) {
			low = y
		}
		if !(y < high) {
			high = y
		}
	}
	return low, high
}

// below returns the probability that the tip passes below the top of a string
// whose height lies evenly within [low, high], for a tip at out with that
// error.
func below(out, sd, low, high float64) float64 {
	if sd == 0 {
		sd = 1e-9
	}
	a, b := (low-out)/sd, (high-out)/sd
	n := distuv.UnitNormal
	if b-a < 1e-6 {
		return n.CDF(a)
	}
	// ∫Φ = zΦ(z) + φ(z)
	whole := func(z float64) float64 { return z*n.CDF(z) + n.Prob(z) }
	return math.Min(math.Max((whole(b)-whole(a))/(b-a), 0), 1)
}
