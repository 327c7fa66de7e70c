package review_test

import (
	"flag"
	"fmt"
	"math"
	"math/rand/v2"
	"strings"
	"testing"

	"github.com/plectrace/plectrace/motion/contact"
	"github.com/plectrace/plectrace/motion/drive"
	"github.com/plectrace/plectrace/motion/review"
	"github.com/plectrace/plectrace/motion/simulate"
	"github.com/plectrace/plectrace/trajectory"
	"github.com/plectrace/plectrace/variability/circular"
	"github.com/plectrace/plectrace/variability/estimate"
)

// asked is a take with what is said about it: all that a review needs.
type asked struct {
	rec    *trajectory.Recording
	setup  review.Setup
	onsets []contact.Onset
}

func (a asked) run(t testing.TB) *review.Review {
	t.Helper()
	r, err := a.review()
	if err != nil {
		t.Fatal(err)
	}
	return r
}

func (a asked) review() (*review.Review, error) {
	return review.Run(a.rec, a.setup, review.Options{Onsets: a.onsets})
}

// views are all that there are.
var views = []trajectory.View{trajectory.EndOn, trajectory.Front, trajectory.Oblique, trajectory.Spatial}

// drawn is a take of that view drawn at random, of the kinds there are: fixed or
// tracked marks; a wrist, an arm or neither; points on the pick; strings, onsets and a
// touch or none of them; searching, pauses and all that a tracker does.
// Coordinates and times are not rounded.
func drawn(t testing.TB, view trajectory.View, seed uint64) (asked, simulate.Options) {
	t.Helper()
	rng := rand.New(rand.NewPCG(seed, uint64(view)))
	between := func(a, b float64) float64 { return a + (b-a)*rng.Float64() }
	deg := func(a, b float64) circular.Angle { return circular.Angle(between(a, b)) * circular.Degree }
	yes := func() bool { return rng.IntN(2) == 0 }
	o := simulate.Options{
		Seed: rng.Uint64(), Duration: 10, View: view, Decimals: -1, TimeDecimals: -1,
		Rate: between(5, 12), Length: between(8, 13), PathAngle: deg(-35, 35), Skew: deg(-15, 15), Curvature: between(-0.03, 0.03),
		DownShare: between(0.47, 0.53), Roll: deg(-40, 40), TrackMarks: yes(), DropOuts: between(0, 0.01), Outliers: between(0, 0.002),
		ChangeEvery: 4, PickEdge: yes(), StraightFills: yes(),
	}
	o.Orientation = trajectory.Orientation{LeftHanded: yes(), Mirrored: yes(), FromNeck: yes() && view != trajectory.Front && view != trajectory.Spatial}
	o.Orientation.YUp = yes() && view != trajectory.Spatial
	if o.TrackMarks {
		o.Sway, o.SwayAngle, o.MarkDropOuts = between(5, 20), deg(0, 2), between(0, 0.005)
		if view == trajectory.Spatial {
			o.Sway /= 12
		}
	}
	switch rng.IntN(3) {
	case 0:
		o.Wrist, o.Carry = true, between(0, 1)
	case 1:
		o.Arm, o.PathAngle = true, o.PathAngle*2/3 // what a forearm at 30 degrees can do
	}
	if yes() {
		o.Plan = []simulate.Stretch{{Search: simulate.Fresh}, {Start: between(2, 4)}}
		o.Pauses = []simulate.Pause{{At: 7, For: between(0.6, 1)}}
	}
	if yes() && view != trajectory.Front {
		o.TouchFor = 0.5
	}
	take, err := simulate.Make(o)
	if err != nil {
		t.Fatal(err)
	}
	a := asked{rec: &take.Recording, setup: setup(take)}
	if view == trajectory.Spatial {
		a.setup.Marks.Nut = []trajectory.Mark{{Point: "nut"}}
		if !o.TrackMarks {
			a.setup.Marks.Bass.At, a.setup.Marks.Treble.At = take.Truth.Bass[:], take.Truth.Treble[:]
			a.setup.Marks.Nut = []trajectory.Mark{{At: take.Truth.Nut[:]}}
		}
	}
	if yes() {
		a.setup.StringCount = take.Options.Strings
		for _, n := range take.Truth.Onsets {
			a.onsets = append(a.onsets, contact.Onset{Time: n.T, Level: n.Level})
		}
		if o.TouchFor > 0 {
			at := take.Truth.TouchAt
			a.setup.TouchS, a.setup.TouchString = &at, take.Truth.TouchString
		}
	}
	switch {
	case o.Wrist:
		a.setup.Landmarks = map[drive.Landmark]string{drive.Wrist: "wrist"}
	case o.Arm:
		a.setup.Landmarks = map[drive.Landmark]string{
			drive.Shoulder: "shoulder", drive.Elbow: "elbow", drive.WristInner: "wrist_inner", drive.WristOuter: "wrist_outer",
			drive.Knuckle(1): "knuckle_1", drive.Knuckle(2): "knuckle_2", drive.PickBase: "pick_base",
		}
	}
	if view == trajectory.EndOn && yes() {
		raise, skew := between(0, 20), o.Skew.Degrees()
		a.setup.RaiseDeg, a.setup.SkewDeg = &raise, &skew
	}
	if o.PickEdge {
		a.setup.PickPoints = []string{"tip", "pick_edge"}
	}
	return a, o
}

// kind says what a number is: how it goes with the units of length and of time,
// and whether it is a moment of the take.
type kind struct {
	length, time int
	moment       bool
	// bound is for what is an interval and not a value.
	bound bool
}

// said is one thing that a review says: a number, or a word.
type said struct {
	name string
	kind
	x    float64
	word string
}

// unitKinds are the units of the table of measures.
var unitKinds = map[string]kind{
	"": {}, "degrees": {}, "dB": {}, "%": {}, "strokes": {}, "tolerances": {}, "s": {time: 1}, "unit": {length: 1},
	"1/s": {time: -1}, "% a minute": {time: -1}, "1/min": {time: -1}, "1/unit": {length: -1}, "unit/s": {length: 1, time: -1},
}

// words and numbers of all that a review says, in order.
func everything(t testing.TB, r *review.Review) []said {
	t.Helper()
	var out []said
	word := func(name string, format string, a ...any) {
		out = append(out, said{name: name, word: fmt.Sprintf(format, a...)})
	}
	add := func(name string, k kind, x ...float64) {
		for _, v := range x {
			out = append(out, said{name: name, kind: k, x: v})
		}
	}
	value := func(name string, k kind, v estimate.Value[float64]) {
		if a := v.Absent; a != nil {
			word(name, "absent (%s)", a.Code)
			return
		}
		word(name+".n", "%d", v.N)
		add(name, k, v.Value)
		k.bound = true
		add(name, k, v.Low, v.High)
	}
	for i, m := range review.Measures() {
		k, ok := unitKinds[m.Unit]
		if !ok {
			t.Fatalf("how does the unit %q go with those of length and time?", m.Unit)
		}
		k.moment = m.Name == "reference_first_s"
		value(m.Name, k, r.Values[i])
	}
	moment, lengths, pure := kind{time: 1, moment: true}, kind{length: 1}, kind{}
	settled := r.SettledStrokes()
	word("strokes", "%d", len(r.Motion.Strokes))
	for i, s := range r.Motion.Strokes {
		at := fmt.Sprintf("stroke %d ", i)
		word(at+"direction", "%v", s.Direction)
		word(at+"hidden", "%v %v %v %v", s.StartHidden, s.EndHidden, s.Bridged, s.Joined)
		if settled != nil {
			word(at+"settled", "%v", settled[i])
		}
		add(at+"time", moment, s.Start, s.End)
		add(at+"length", lengths, s.Length, s.Noise.Length)
		add(at+"angle", pure, s.PathAngle.Degrees())
		add(at+"skew", pure, s.Skew.Degrees())
		add(at+"angle", kind{bound: true}, s.PathAngleLow.Degrees(), s.PathAngleHigh.Degrees())
		add(at+"noise of the angle", pure, s.Noise.Angle.Degrees())
		add(at+"noise of the duration", kind{time: 1}, s.Noise.Duration)
		add(at+"curvature", kind{length: -1}, s.Curvature)
		add(at+"height", lengths, s.HeightStart, s.HeightEnd)
		add(at+"peak speed", kind{length: 1, time: -1}, s.PeakSpeed)
	}
	for i, s := range r.Spans {
		at := fmt.Sprintf("span %d ", i)
		word(at+"kind", "%s, strokes %d to %d", s.Kind(), s.First, s.Last)
		add(at+"time", moment, s.Start, s.End)
		value(at+"rate", kind{time: -1}, estimate.As[float64](s.Rate))
		value(at+"angle", pure, inDegrees(s.PathAngle))
		value(at+"picture angle", pure, inDegrees(s.PictureAngle))
		value(at+"carry", pure, s.Carry)
		value(at+"unevenness", lengths, s.Cycle.Evenness)
	}
	word("clearing", "%v", r.Clearing.Clearing)
	if c := r.Contacts; c != nil {
		for i, s := range c.Strokes {
			at := fmt.Sprintf("contact %d ", i)
			word(at+"reached", "%v %s, played %d", s.Reached, s.Numbers(), s.Played)
			add(at+"time", moment, s.Time)
			add(at+"depth and follow-through", lengths, s.Depth, s.FollowThrough)
			add(at+"speed", kind{length: 1, time: -1}, s.Speed)
			add(at+"slowing", pure, s.Slowing)
		}
	}
	if m := r.Struck; m != nil {
		word("struck", "%v %v", m.Struck, m.Onset)
	}
	if e := r.Edges; e != nil {
		for i, a := range e.Angles {
			add(fmt.Sprintf("edge %d", i), pure, a.Degrees())
		}
	}
	for _, c := range r.Carries {
		word("carry", "%v %d", c.Landmark, len(c.Strokes))
		value("carry", pure, c.Value)
	}
	if d := r.Drive; d != nil {
		word("drive", "%v %d", d.Used, len(d.Strokes))
		for _, s := range d.Shares {
			word("share", "%v", s.Joints)
			value("share", pure, s.Value)
		}
	}
	for _, c := range r.EarlyLate {
		value("early against late, "+c.Name, pure, c.Ratio)
	}
	l := r.Loss
	word("loss", "%d of %d missing, %d cut, %d hidden", l.Missing, l.Samples, l.Cut, l.Hidden)
	add("longest gap", kind{time: 1}, l.LongestGap)
	for _, p := range r.Motion.Pauses {
		add("pause", moment, p.Start, p.End)
	}
	for _, e := range r.Edits {
		word("edit", "%s %v %d to %d", e.Point, e.Rule, e.Start, e.End)
	}
	for _, a := range r.Missing {
		word("missing", "%s: %s", a.What, a.Code)
	}
	word("jumps", "%d", len(r.Jumps))
	return out
}

func inDegrees(v estimate.Value[circular.Angle]) estimate.Value[float64] {
	d := estimate.As[float64](v)
	d.Value, d.Low, d.High = v.Value.Degrees(), v.Low.Degrees(), v.High.Degrees()
	return d
}

// change says what must become of a review's numbers, and of nothing else.
type change struct {
	length, time float64 // factors on lengths and times; 0 is 1
	shift        float64 // seconds on moments, after the factor
	// relative and absolute are tolerances: of a number, of its own size and
	// beside that; moments have one in seconds.
	relative, absolute, seconds float64
	// except says of what else may change, with the reason beside the test.
	except func(said) bool
}

// holds reports where got is not what the change makes of want.
func (c change) holds(t *testing.T, what string, want, got *review.Review) {
	t.Helper()
	if c.length == 0 {
		c.length = 1
	}
	if c.time == 0 {
		c.time = 1
	}
	a, b := everything(t, want), everything(t, got)
	if c.except != nil {
		a, b = without(a, c.except), without(b, c.except)
	}
	differing, worst, at := 0, 0.0, ""
	report := func(format string, x ...any) {
		if differing++; differing <= 5 {
			t.Errorf("%s: "+format, append([]any{what}, x...)...)
		}
	}
	for i := range a {
		if i >= len(b) || a[i].name != b[i].name {
			other := "nothing"
			if i < len(b) {
				other = b[i].name + " " + b[i].word
			}
			report("%s %s where %s was expected (%d strokes and %d spans, want %d and %d)", other, "is said", a[i].name+" "+a[i].word,
				len(got.Motion.Strokes), len(got.Spans), len(want.Motion.Strokes), len(want.Spans))
			return
		}
		x, y := a[i], b[i]
		if x.word != y.word {
			report("%s is %q, want %q", x.name, y.word, x.word)
			continue
		}
		expected := x.x * math.Pow(c.length, float64(x.length)) * math.Pow(c.time, float64(x.time))
		tolerance := c.relative*math.Abs(expected) + c.absolute*math.Pow(c.length, float64(x.length))*math.Pow(c.time, float64(x.time))
		off := math.Abs(y.x - expected)
		if x.moment {
			expected += c.shift
			off, tolerance = math.Abs(y.x-expected), c.seconds
		}
		if strings.Contains(x.name, "angle") && off > 90 { // axial
			off = math.Abs(off - 180)
		}
		if (x.x == x.x) != (y.x == y.x) || off > tolerance || math.IsInf(y.x, 0) != math.IsInf(x.x, 0) {
			report("%s is %v, want %v", x.name, y.x, expected)
			continue
		}
		if r := off / tolerance; r > worst {
			worst, at = r, x.name
		}
	}
	if len(b) > len(a) {
		report("%s %s is said too", b[len(a)].name, b[len(a)].word)
	}
	if differing > 5 {
		t.Errorf("%s: %d of %d things said differ", what, differing, len(a))
	}
	t.Logf("%s: at most %.2g of the tolerance (%s)", what, worst, at)
}

func without(all []said, except func(said) bool) []said {
	var out []said
	for _, s := range all {
		if !except(s) {
			out = append(out, s)
		}
	}
	return out
}

// each runs f for a few takes of every view, drawn at random.
func each(t *testing.T, takes int, f func(t *testing.T, a asked, o simulate.Options, rng *rand.Rand)) {
	if testing.Short() {
		takes = 1
	}
	if *takesFlag > 0 {
		takes = *takesFlag
	}
	for _, view := range views {
		t.Run(view.String(), func(t *testing.T) {
			for seed := range uint64(takes) {
				a, o := drawn(t, view, seed)
				f(t, a, o, rand.New(rand.NewPCG(seed, 77)))
			}
		})
	}
}

var takesFlag = flag.Int("takes", 0, "how many takes of every view the tests of properties draw; 0 is a few")
