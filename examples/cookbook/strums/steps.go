package main

import (
	"cmp"
	"slices"
	"sort"

	"github.com/plectrace/plectrace/motion"
	"github.com/plectrace/plectrace/motion/figure"
	"github.com/plectrace/plectrace/trajectory"
)

// channelPath makes a path of one channel: nothing is known of the other axis. A
// missing value is missing on both.
func channelPath(t, values []float64) trajectory.Placed {
	p := trajectory.Placed{Name: "channel", T: t, Across: values, Along: make([]float64, len(values))}
	for i, v := range values {
		p.Along[i] = v - v // 0, or NaN
	}
	return p
}

// strokes finds the strokes of the hand. A sign needs no scale and no zero.
func strokes(p trajectory.Placed) (*motion.Motion, error) {
	return motion.Analyze(p, motion.Options{Relative: true, RelativeWhy: "one channel has no heights"})
}

// directions tells which way the hand goes at each of the times: where the channel
// falls in downstrokes, the other way round.
func directions(m *motion.Motion, p trajectory.Placed, times []float64, falling bool) []motion.Direction {
	turned := map[motion.Direction]motion.Direction{motion.Down: motion.Up, motion.Up: motion.Down}
	var all []motion.Direction
	for _, t := range times {
		d := m.DirectionAt(p, t)
		if falling {
			d = turned[d]
		}
		all = append(all, d)
	}
	return all
}

// drawn shows the channel from one time to another, with the strums on it.
func drawn(p trajectory.Placed, times []float64, ways []motion.Direction, from, to float64) figure.Figure {
	i, j := sort.SearchFloat64s(p.T, from), sort.SearchFloat64s(p.T, to)
	channel := figure.Samples{Name: "the channel", T: p.T[i:j], Y: p.Across[i:j], Line: true}
	down, up := figure.Samples{Name: "downstroke"}, figure.Samples{Name: "upstroke"}
	order := make([]int, len(times))
	for k := range order {
		order[k] = k
	}
	slices.SortFunc(order, func(a, b int) int { return cmp.Compare(times[a], times[b]) })
	for _, k := range order {
		t := times[k]
		n := sort.SearchFloat64s(p.T, t)
		if t < from || t >= to || n == 0 || n == len(p.T) {
			continue
		}
		of := map[motion.Direction]*figure.Samples{motion.Down: &down, motion.Up: &up}[ways[k]]
		if of != nil {
			share := (t - p.T[n-1]) / (p.T[n] - p.T[n-1])
			of.T, of.Y = append(of.T, t), append(of.Y, p.Across[n-1]+share*(p.Across[n]-p.Across[n-1]))
		}
	}
	return figure.SamplesOverTime{Columns: []figure.Samples{channel, down, up}, Name: "channel"}
}
