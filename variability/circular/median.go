package circular

import (
	"math"
	"slices"

	"github.com/plectrace/plectrace/variability/estimate"
)

// Median returns the median direction: the angle that makes the mean arc to
// the others smallest (Fisher 1993, 2.3.2; Mardia & Jupp 2000, 2.2.2). It is
// one of the angles if their number is odd, and halfway between two
// neighbours if it is even. The result is in (-π, π] and carries no interval.
//
// Missing angles (NaN) are left out. Without any, or when several places are
// equally good, as for angles spread evenly, the result is absent. Time is
// O(n log n).
func Median(angles []Angle) estimate.Value[Angle] { return median(angles, 1) }

// MedianAxis returns the median axis, that of the doubled angles halved, in
// (-π/2, π/2].
func MedianAxis(angles []Angle) estimate.Value[Angle] { return median(angles, 2) }

func median(angles []Angle, fold float64) estimate.Value[Angle] {
	const (
		turn = 2 * math.Pi
		same = 1e-9 // arcs that differ by less are equal but for rounding
	)
	theta := wanted(angles, fold)
	n := len(theta)
	if n == 0 {
		return estimate.Missing[Angle]("no-observations", "median direction", "there is no angle to take it from")
	}
	for i, t := range theta {
		if t = math.Mod(t, turn); t < 0 {
			t += turn
		}
		theta[i] = t
	}
	slices.Sort(theta)
	// Candidates are the angles if n is odd, and the gaps after them if it is
	// even, over the whole of which the mean arc is the same.
	around := newArcs(theta)
	gap, arc := make([]float64, n), make([]float64, n)
	for i, t := range theta {
		next := theta[(i+1)%n]
		if i == n-1 {
			next += turn
		}
		gap[i] = next - t
		if n%2 == 0 {
			t += gap[i] / 2
		}
		arc[i] = around.mean(t)
	}
	least := slices.Min(arc) + same
	first, width := 0, 0.0 // the stretch of candidates that are best
	runs := 0
	for i := range arc {
		before := (i + n - 1) % n
		if arc[i] > least {
			continue
		}
		apart := arc[before] > least
		if n%2 == 1 { // two angles are one place only if they are equal
			apart = apart || gap[before] > same
		} else {
			width += gap[i]
		}
		if apart {
			first = i
			runs++
		}
	}
	if runs != 1 {
		return estimate.Missing[Angle]("no-direction", "median direction", "several directions are equally close to the angles")
	}
	mid := math.Remainder(theta[first]+width/2, turn) // in [-π, π]
	if mid <= -math.Pi {
		mid += turn
	}
	nan := Angle(math.NaN())
	return estimate.Value[Angle]{Value: Angle(mid / fold), Low: nan, High: nan, N: n}
}

// arcs holds sorted angles laid out over three turns with their partial sums.
type arcs struct {
	n   int
	at  []float64
	sum []float64
}

func newArcs(sorted []float64) arcs {
	a := arcs{n: len(sorted)}
	for turn := -1.0; turn <= 1; turn++ {
		for _, t := range sorted {
			a.at = append(a.at, t+turn*2*math.Pi)
		}
	}
	a.sum = make([]float64, len(a.at)+1)
	for i, t := range a.at {
		a.sum[i+1] = a.sum[i] + t
	}
	return a
}

// mean returns the mean arc from t in [0, 2π) to the angles.
func (a arcs) mean(t float64) float64 {
	if t >= 2*math.Pi {
		t -= 2 * math.Pi
	}
	// The n angles from half a turn before t on are the nearest images.
	first, _ := slices.BinarySearch(a.at, t-math.Pi)
	here, _ := slices.BinarySearch(a.at, t)
	last := first + a.n
	here = min(max(here, first), last)
	before := float64(here-first)*t - (a.sum[here] - a.sum[first])
	after := (a.sum[last] - a.sum[here]) - float64(last-here)*t
	return (before + after) / float64(a.n)
}
