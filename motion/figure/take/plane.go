package take

import (
	"fmt"
	"math"
	"slices"
	"sort"

	"github.com/plectrace/plectrace/motion"
	"github.com/plectrace/plectrace/motion/figure"
	"github.com/plectrace/plectrace/motion/review"
	"github.com/plectrace/plectrace/trajectory"
	"github.com/plectrace/plectrace/variability/circular"
	"github.com/plectrace/plectrace/variability/estimate"
)

// Film returns the tip's path in the film's own coordinates, with the signs to
// check before any finding is read: the treble side, the outward side (toward
// the nut where the view does not show it), the first downstroke whose turns
// were both seen, and the scale. Of a 3-D export it shows x and y.
func Film(r *review.Review) figure.Picture {
	f := figure.Picture{
		X: r.Clean.X, Y: r.Clean.Y, Unit: sourceUnit(r), PerMM: r.PerMM(),
		YUp: r.Setup.YUp || r.Frame.View == trajectory.Spatial,
	}
	seen := func(x float64) bool { return x == x }
	if i := slices.IndexFunc(r.Placed.Across, seen); i >= 0 {
		across, second := r.Sides(i)
		name := "toward the nut"
		if r.Frame.View.HasOut() {
			name = "outward"
		}
		f.Arrows = []figure.Arrow{
			{Name: "treble side", X: across[0], Y: across[1]},
			{Name: name, X: second[0], Y: second[1]},
		}
	}
	for _, st := range r.Motion.Strokes {
		if st.Direction == motion.Down && !st.TurnHidden() {
			from, to := nearest(r.Clean.T, r.Clean.X, st.Start), nearest(r.Clean.T, r.Clean.X, st.End)
			if from >= 0 && to >= 0 {
				f.DownFrom = figure.Point{X: r.Clean.X[from], Y: r.Clean.Y[from]}
				f.DownTo = figure.Point{X: r.Clean.X[to], Y: r.Clean.Y[to]}
			}
			break
		}
	}
	return f
}

// sourceUnit is the unit of the export's coordinates; those of a picture whose
// unit is not said are pixels.
func sourceUnit(r *review.Review) string {
	switch {
	case r.SourceUnit != "":
		return r.SourceUnit
	case r.Tip.Planar():
		return "px"
	}
	return "units of the export"
}

// Path returns the path as seen along the strings, with its axis and the string
// plane; with the strings where these are described, and otherwise with the
// marks. It is empty in a view that does not show out.
func Path(r *review.Review) figure.Paths {
	if !r.Frame.View.HasOut() {
		return figure.Paths{}
	}
	f := figure.Paths{
		Across: r.Placed.Across, Out: r.Placed.Out, Unit: unit(r),
		HeightsKnown: !r.Motion.Options.Relative, Strings: marks(r),
	}
	if a := r.Angle(); a.Known() {
		f.Angle = estimate.As[circular.Angle](a)
		f.Angle.Value *= circular.Degree
		f.Angle.Low *= circular.Degree
		f.Angle.High *= circular.Degree
	}
	return f
}

// marks are the strings as marks on the string plane, or the two marks that it
// was found by.
func marks(r *review.Review) []figure.Mark {
	var out []figure.Mark
	switch half := r.Setup.Marks.DistanceMM / 2; {
	case r.Contacts != nil:
		for k := 1; k <= r.Strings.Number; k++ {
			low, high := r.Strings.Height(k)
			at := figure.Point{X: r.Strings.Across(k), Y: (low + high) / 2}
			out = append(out, figure.Mark{Name: fmt.Sprintf("string %d", k), Point: at})
		}
	case half > 0 && r.Card == nil:
		out = []figure.Mark{
			{Name: "bass mark", Point: figure.Point{X: -half}},
			{Name: "treble mark", Point: figure.Point{X: half}},
		}
	}
	return out
}

// Turns returns where the strokes turn, on each side, as far as the turns were
// seen: across the strings and out, or along them in a view that does not show
// out.
func Turns(r *review.Review) figure.TurnScatter {
	f := figure.TurnScatter{Second: "out", Unit: unit(r)}
	second := r.Placed.Out
	if !r.Frame.View.HasOut() {
		f.Second, second = "along", r.Placed.Along
	}
	for _, st := range r.Motion.Strokes {
		if st.EndHidden {
			continue
		}
		turns := &f.AfterDown
		if st.Direction == motion.Up {
			turns = &f.AfterUp
		}
		v := math.NaN()
		if i := nearest(r.Placed.T, second, st.End); i >= 0 {
			v = second[i]
		}
		turns.Across = append(turns.Across, st.AcrossEnd)
		turns.Second = append(turns.Second, v)
	}
	return f
}

// nearest returns the sample nearest to a time of those about it whose x was
// seen, -1 if none was.
func nearest(t, x []float64, at float64) int {
	i := sort.SearchFloat64s(t, at)
	best, found := math.Inf(1), -1
	for j := max(0, i-3); j < min(len(t), i+4); j++ {
		if d := math.Abs(t[j] - at); x[j] == x[j] && d < best {
			best, found = d, j
		}
	}
	return found
}

// unit is the unit of lengths.
func unit(r *review.Review) string { return r.UnitOf(review.Measure{Unit: "unit"}) }
