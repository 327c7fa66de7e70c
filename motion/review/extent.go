package review

import (
	"math"

	"github.com/plectrace/plectrace/trajectory"
)

// still reports whether a path that is seen more than once never leaves the
// place where it is seen first.
func still(p trajectory.Path) bool {
	first, seen := -1, 0
	for i, x := range p.X {
		switch {
		case x != x:
			continue
		case first < 0:
			first = i
		case x != p.X[first] || p.Y[i] != p.Y[first] || p.Z != nil && p.Z[i] != p.Z[first]:
			return false
		}
		seen++
	}
	return seen > 1
}

// mostExtent is far beyond what is measured, and its fourth power is still a number.
const mostExtent = 1e60

// extent is how far a path reaches on the axis on which it reaches farthest. It is 1
// for a path that is seen once.
func extent(p trajectory.Path) float64 {
	most, seen := 0.0, 0
	for _, x := range [][]float64{p.X, p.Y, p.Z} {
		low, high := math.Inf(1), math.Inf(-1)
		for _, v := range x {
			if v == v {
				low, high = min(low, v), max(high, v)
				seen++
			}
		}
		most = max(most, high-low)
	}
	if seen <= 3 {
		return 1
	}
	return most
}
