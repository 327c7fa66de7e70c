package tempo

import (
	"math"

	"github.com/plectrace/plectrace/variability/robust"
)

// strokes are the strokes between numbered turns, one after another; those
// among which turns were missed share their time evenly.
type strokes struct {
	at       []float64 // start
	d        []float64 // duration
	run      []int
	repaired []bool
}

// strokes returns the strokes of n, which come from a list of turns.
func (n numbered) strokes() strokes {
	var s strokes
	for i := 1; i < len(n.at); i++ {
		if n.run[i] != n.run[i-1] {
			continue
		}
		count := n.number[i] - n.number[i-1]
		d := (n.at[i] - n.at[i-1]) / float64(count)
		for k := range count {
			s.at = append(s.at, n.at[i-1]+float64(k)*d)
			s.d = append(s.d, d)
			s.run = append(s.run, n.run[i])
			s.repaired = append(s.repaired, count > 1 || n.index[i]-n.index[i-1] > 1)
		}
	}
	return s
}

// repairs counts the repaired strokes.
func (s strokes) repairs() int {
	count := 0
	for _, r := range s.repaired {
		if r {
			count++
		}
	}
	return count
}

// logs returns the logarithms of the durations without the difference between
// down- and upstrokes, and their parts about a line over the index, with wild
// values brought in to four robust standard deviations in both.
func (s strokes) logs() (y, about []float64) {
	y = s.alternation()
	for i, d := range s.d {
		y[i] = math.Log(d) - y[i]
	}
	about = append([]float64(nil), y...)
	detrend(about)
	if scale := robust.Scale(about); scale > 0 {
		for i, v := range about {
			about[i] = max(-4*scale, min(4*scale, v))
			y[i] += about[i] - v
		}
		detrend(about)
	}
	return y, about
}

// alternation returns by how much each stroke's log duration differs because it
// is a down- or an upstroke: half the difference, with a sign, for each run of
// its own; 0 in runs of less than six strokes, which do not bear one.
func (s strokes) alternation() []float64 {
	side := make([]float64, len(s.d))
	logs := make([]float64, len(s.d))
	for i, d := range s.d {
		logs[i] = math.Log(d)
	}
	const least = 6
	for from := 0; from < len(logs); {
		to := from
		for to < len(logs) && s.run[to] == s.run[from] {
			to++
		}
		if to-from >= least {
			half := alternating(logs[from:to])
			for i := from; i < to; i++ {
				side[i] = half
				if (i-from)%2 == 1 {
					side[i] = -half
				}
			}
		}
		from = to
	}
	return side
}

// alternating returns half of what every second value of y, the first among
// them, has more than the others: robustly, each against both its neighbours.
func alternating(y []float64) float64 {
	var odd, even []float64
	for i := 1; i < len(y)-1; i++ {
		side := y[i] - (y[i-1]+y[i+1])/2
		if i%2 == 0 {
			even = append(even, side)
		} else {
			odd = append(odd, side)
		}
	}
	return (robust.MedianInPlace(even) - robust.MedianInPlace(odd)) / 4
}

// detrend takes the least-squares line over the index out of y.
func detrend(y []float64) {
	n := float64(len(y))
	var sum, cross float64
	for i, v := range y {
		sum += v
		cross += v * (float64(i) - (n-1)/2)
	}
	slope := 0.0
	if n > 1 {
		slope = cross / (n * (n*n - 1) / 12)
	}
	for i := range y {
		y[i] -= sum/n + slope*(float64(i)-(n-1)/2)
	}
}
