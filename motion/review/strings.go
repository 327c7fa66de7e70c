package review

import (
	"fmt"
	"math"
	"slices"

	"github.com/plectrace/plectrace/motion"
	"github.com/plectrace/plectrace/motion/contact"
	"github.com/plectrace/plectrace/trajectory"
	"github.com/plectrace/plectrace/variability/circular"
	"github.com/plectrace/plectrace/variability/estimate"
)

// markPoints are the names of tracked marks.
func (s Setup) markPoints() []string {
	var names []string
	for _, m := range append([]trajectory.Mark{s.Marks.Bass, s.Marks.Treble}, s.Marks.Nut...) {
		if m.Point != "" && !slices.Contains(names, m.Point) {
			names = append(names, m.Point)
		}
	}
	return names
}

// layStrings works out where the strings lie. Whether that is known stands in
// r.stringsWhy.
func (r *Review) layStrings(rec *trajectory.Recording) {
	s := r.Setup
	if s.StringCount == 0 {
		r.stringsWhy = "the number of strings is not given (string_count)"
		return
	}
	r.Strings = contact.Strings{Number: s.StringCount, SpacingMM: s.StringSpacingMM, PairGapMM: s.PairGapMM, CrownRadiusMM: s.CrownRadiusMM}
	switch {
	case r.Card != nil && r.Frame.Follows:
		r.Strings = r.Strings.Within(r.armFrame.Options.DistanceMM)
	case r.Card == nil:
		r.Strings = r.Strings.Within(r.markDistance(rec))
	case r.outer != nil:
		bass, treble := r.outer[0], r.outer[1]
		n := s.StringCount
		step, middle := 0.0, (bass+treble)/2
		if n > 1 {
			step = (treble - bass) / float64(n-1)
		}
		if s.StringSpacingMM > 0 {
			step = s.StringSpacingMM
		}
		for k := range n {
			r.Strings.AcrossMM = append(r.Strings.AcrossMM, middle+(float64(n-1)/2-float64(k))*step)
		}
	case s.TouchS == nil:
		r.stringsWhy = "a card does not say where the strings lie across: give the marks of the outer strings too (bass, treble), or a time at which the tip rests on a string (touch_s)"
		return
	}
	if err := r.Strings.Validate(); err != nil {
		r.stringsWhy = fmt.Sprintf("where they lie is not known: %v", err)
	}
}

// markDistance is the distance of the marks in millimetres, 0 when it is not
// known.
func (r *Review) markDistance(rec *trajectory.Recording) float64 {
	m := r.Setup.Marks
	if m.DistanceMM > 0 {
		return m.DistanceMM
	}
	if r.Unit != "mm" {
		return 0
	}
	return distanceOf(rec, m.Marks) * perUnit[rec.Unit]
}

// distanceOf is the median distance of the bass and the treble mark in the unit
// of a recording.
func distanceOf(rec *trajectory.Recording, m trajectory.Marks) float64 {
	var paths [2]trajectory.Path
	for i, mark := range []trajectory.Mark{m.Bass, m.Treble} {
		if mark.Point != "" {
			paths[i], _ = rec.Point(mark.Point)
			continue
		}
		for d, c := range []*[]float64{&paths[i].X, &paths[i].Y, &paths[i].Z} {
			if d < len(mark.At) {
				*c = []float64{mark.At[d]}
			}
		}
	}
	var apart []float64
	for i := range max(len(paths[0].X), len(paths[1].X)) {
		var sum float64
		for _, c := range [][2][]float64{{paths[0].X, paths[1].X}, {paths[0].Y, paths[1].Y}, {paths[0].Z, paths[1].Z}} {
			if len(c[0]) > 0 && len(c[1]) > 0 {
				d := c[0][min(i, len(c[0])-1)] - c[1][min(i, len(c[1])-1)]
				sum += d * d
			}
		}
		apart = append(apart, math.Sqrt(sum))
	}
	return medianOf(seen(apart))
}

// perUnit are the millimetres in the units of an export.
var perUnit = map[string]float64{"mm": 1, "cm": 10, "m": 1000}

// touch moves the placed path so that its zero is the tip's, where the settings
// name a moment at which the tip rests on a string.
func (r *Review) touch() error {
	s := r.Setup
	if s.TouchS == nil || !r.Frame.View.HasOut() || r.Frame.View == trajectory.Oblique {
		r.liftCard()
		return nil
	}
	at := *s.TouchS
	if s.SlowedBy > 0 {
		at /= s.SlowedBy // said in the film's time
	}
	strings, k := r.Strings, s.TouchString
	if r.stringsWhy != "" {
		// Of the strings nothing is known but that there is one where it was
		// touched: heights count from there.
		strings, k = contact.Strings{Number: 1}, 1
		if s.StringCount == 0 {
			r.Notes = append(r.Notes, "Heights count from the string that was touched; say how many strings there are (string_count) and which was touched (touch_string) for heights over the others.")
		}
	}
	t, err := contact.FindTouch(r.Placed, at, k, strings, contact.TouchOptions{})
	if err != nil {
		return err
	}
	r.Touch = &t
	r.Notes = append(r.Notes, t.Notes...)
	if t.Absent != nil {
		r.touchWhy = fmt.Sprintf("the touch at %.2f s gives no height: %s", *s.TouchS, t.Absent.Why)
		return nil
	}
	if r.stringsWhy != "" {
		t.Across, t.AcrossError = 0, 0
	}
	r.Placed = t.Shift(trajectory.Placed{}, r.Placed)
	return nil
}

// liftCard moves the placed path so that heights count from the string plane,
// which goes through the outer strings: on a crowned fingerboard a card stands on
// the inner ones. Where the strings are not described they count from its foot.
func (r *Review) liftCard() {
	if r.Card == nil || r.Frame.Follows || r.stringsWhy != "" {
		return
	}
	var low, high float64
	for k := 1; k <= r.Strings.Number; k++ {
		l, h := r.Strings.Height(k)
		low, high = max(low, l), max(high, h)
	}
	r.cardError = (high - low) / math.Sqrt(12)
	r.Placed = contact.Touch{Out: -(low + high) / 2}.Shift(trajectory.Placed{}, r.Placed)
}

// heights completes the options of package motion by what is known of height
// zero.
func (r *Review) heights(mo *motion.Options) {
	switch why := r.relativeWhy(); {
	case why != "":
		mo.Relative, mo.RelativeWhy = true, why
		return
	case r.touched():
		mo.HeightError = r.Touch.OutError
	case r.Card != nil && !r.Frame.Follows:
		mo.HeightError = math.Hypot(r.Card.Plane.MarkError(), r.cardError)
	default:
		if e := r.Frame.Options.MarkError; e > 0 {
			mo.HeightError = e / math.Sqrt2 // of the middle of two marks
			if r.Frame.UnitsPerMM > 0 {
				mo.HeightError /= r.Frame.UnitsPerMM
			}
		}
	}
	mo.HeightError = math.Hypot(mo.HeightError, r.tiltedZero())
	if r.stringsWhy != "" {
		return
	}
	mo.StringLow, mo.StringHigh = r.playedHeight()
}

// touched reports whether a touch gives heights their zero.
func (r *Review) touched() bool { return r.Touch != nil && r.Touch.Absent == nil }

// playedHeight is the range of the height over the string plane of the string
// played: of all strings, where nobody said which.
func (r *Review) playedHeight() (low, high float64) {
	if k := r.Setup.StringPlayed; k > 0 {
		low, high = r.Strings.Height(k)
	} else {
		for k := 1; k <= r.Strings.Number; k++ {
			l, h := r.Strings.Height(k)
			low, high = min(low, l), max(high, h)
		}
	}
	return low, high
}

// contacts finds what the strokes do at the strings, which of them sounded, and
// how the pick is held.
func (r *Review) contacts(rec *trajectory.Recording) error {
	if r.stringsWhy == "" {
		o := contact.Options{Played: r.Setup.StringPlayed, Seed: r.Options.Seed}
		if r.touched() {
			o.AcrossError = math.Hypot(0.25, r.Touch.AcrossError)
		}
		var err error
		if r.Contacts, err = contact.Find(r.Motion, r.Placed, r.Strings, o); err != nil {
			return err
		}
	}
	if r.Options.Onsets != nil {
		o := contact.MatchOptions{FindOffset: true}
		if lag := r.Setup.OnsetLagS; lag != nil {
			o = contact.MatchOptions{Offset: *lag}
		}
		var err error
		if r.Struck, err = contact.MatchOnsets(r.Motion.Strokes, r.Contacts, r.Options.Onsets, o); err != nil {
			return err
		}
	}
	return r.edges(rec)
}

// clearing judges which turns clear the string that is played: the one that the
// settings name, or else the one that nearly all strokes are aimed at.
func (r *Review) clearing() {
	if r.Contacts != nil && r.Setup.StringPlayed == 0 {
		times := make([]int, r.Strings.Number+1)
		for _, s := range r.Contacts.Strokes {
			times[s.Played]++
		}
		for k, n := range times {
			if k > 0 && float64(n) >= nearlyAll*float64(len(r.Contacts.Strokes)) {
				o := &r.Motion.Options
				o.StringLow, o.StringHigh = r.Strings.Height(k)
			}
		}
	}
	r.Options.Motion = r.Motion.Options
	r.Clearing = r.tiltedHeights(r.Motion.Clear())
}

// nearlyAll is the share of the strokes from which a take counts as played on
// one string.
const nearlyAll = 0.9

// edges measures the angle of the pick, where points on it are tracked.
func (r *Review) edges(rec *trajectory.Recording) error {
	if len(r.Setup.PickPoints) == 0 {
		return nil
	}
	var points []trajectory.Placed
	for _, name := range r.Setup.PickPoints {
		p, err := r.clean(rec, name)
		if err != nil {
			return err
		}
		q, err := r.place(p)
		if err != nil {
			return err
		}
		points = append(points, q)
	}
	var err error
	r.Edges, err = contact.EdgeAngles(points, r.Motion.Strokes, r.Contacts)
	return err
}

// ofContacts returns a measure of the strokes at the strings.
func ofContacts(what string, get func(*contact.Contacts) estimate.Value[float64]) func(*Review) estimate.Value[float64] {
	return func(r *Review) estimate.Value[float64] {
		if r.Contacts == nil {
			return estimate.Missing[float64]("strings", what, r.stringsWhy)
		}
		return get(r.Contacts)
	}
}

// ofSound returns a measure of the strokes that sounded.
func ofSound(what string, get func(*contact.Match) estimate.Value[float64]) func(*Review) estimate.Value[float64] {
	return func(r *Review) estimate.Value[float64] {
		if r.Struck == nil {
			return estimate.Missing[float64]("no onsets", what, "no list of onsets is given")
		}
		return get(r.Struck)
	}
}

// ofEdges returns a measure of the pick's angle of one kind.
func ofEdges(kind contact.EdgeKind, what string, get func(*contact.Edges) estimate.Value[circular.Angle]) func(*Review) estimate.Value[float64] {
	return func(r *Review) estimate.Value[float64] {
		switch {
		case r.Edges == nil:
			return estimate.Missing[float64]("no points", what, "two points on the pick's flat are not tracked (pick_points)")
		case r.Edges.Kind != kind:
			return estimate.Missing[float64]("view", what, "this view does not show it")
		}
		return degrees(get(r.Edges))
	}
}

// inSpacings returns a measure of the follow-through of one direction as a share of the distance
// of neighbouring strings.
func inSpacings(d motion.Direction) func(*Review) estimate.Value[float64] {
	what := "follow-through of " + d.String() + "strokes as a share of the distance to the next string"
	travel := ofContacts(what, func(c *contact.Contacts) estimate.Value[float64] { return c.FollowThrough(d) })
	return func(r *Review) estimate.Value[float64] {
		v := travel(r)
		if !v.Known() {
			return v
		}
		spacing := r.Strings.SpacingMM
		if at := r.Strings.AcrossMM; len(at) > 1 {
			spacing = math.Abs(at[1] - at[0]) // they lie evenly
		}
		if spacing == 0 {
			return estimate.Missing[float64]("one string", what, "the distance of neighbouring strings is not known")
		}
		by := 1 / spacing
		v.Value, v.Low, v.High = v.Value*by, v.Low*by, v.High*by
		return v
	}
}
