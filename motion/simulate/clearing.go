package simulate

import (
	"fmt"
	"math"
)

// clearBy is how far the turns that clear lie above the string plane at
// least, and the middle of the path below it, in mm.
const clearBy = 0.5

// Words for Options.Clearing and Truth.Clearing.
const (
	clearsAfterDown = "after downstrokes"
	clearsAfterUp   = "after upstrokes"
	clearsBoth      = "both"
	clearsNeither   = "neither"
)

// clear returns the depth of the path's middle below the string plane, and its
// curvature, for the turns to clear that o asks for.
//
// With the middle at -depth, the chord's middle lies at -depth-b for a bulge
// b = kL²/8, and the turns at h above and below that, h being half the length
// times the sine of the axis' elevation.
func (o Options) clear() (depth, curvature float64, err error) {
	axis := direction(o.PathAngle, o.Skew)
	n := outward(axis).Z
	h := o.Length / 2 * axis.Z
	bulge := o.Curvature * o.Length * o.Length / 8 * n
	depth, curvature = o.Depth, o.Curvature
	down, up := -depth-bulge+h, -depth-bulge-h
	switch o.Clearing {
	case "":
	case clearsNeither:
		depth += math.Max(0, math.Max(down, up)+clearBy)
	case clearsAfterDown, clearsAfterUp:
		high, low := down, up
		if o.Clearing == clearsAfterUp {
			high, low = up, down
		}
		raise := math.Max(0, clearBy-high)
		depth -= raise
		if raise > 0 && depth < clearBy || low+raise > 0 {
			return 0, 0, fmt.Errorf("simulate: turns cannot clear %s with a path angle of %.1f degrees over %v mm: choose a steeper angle of that sign or longer strokes",
				o.Clearing, o.PathAngle.Degrees(), o.Length)
		}
	case clearsBoth:
		if short := clearBy - math.Min(down, up); short > 0 {
			curvature -= short / (o.Length * o.Length / 8 * n)
		}
	default:
		return 0, 0, fmt.Errorf("simulate: unknown Clearing %q: write %q, %q, %q, %q or nothing",
			o.Clearing, clearsAfterDown, clearsAfterUp, clearsBoth, clearsNeither)
	}
	return depth, curvature, nil
}

// clearing returns which turns lie above the strings at the median.
func (o Options) clearing(turns []Turn) string {
	above, all := [2]int{}, [2]int{}
	for _, t := range turns {
		i := 0
		if t.AfterDown {
			i = 1
		}
		all[i]++
		if t.Out > o.crown(t.Across) {
			above[i]++
		}
	}
	up, down := 2*above[0] > all[0], 2*above[1] > all[1]
	switch {
	case all[0]+all[1] == 0:
		return ""
	case up && down:
		return clearsBoth
	case down:
		return clearsAfterDown
	case up:
		return clearsAfterUp
	}
	return clearsNeither
}
