package main

import (
	"io"
	"math"
	"slices"

	"github.com/plectrace/plectrace/motion/figure"
	"github.com/plectrace/plectrace/trajectory"
	"github.com/plectrace/plectrace/trajectory/tracks"
)

// read takes points from an export, all of them if none is named. capture is the rate
// of one that has no times.
func read(export io.Reader, name string, points []string, capture float64) (*trajectory.Recording, error) {
	return tracks.Read(export, tracks.Options{Source: name, Points: points, Rate: capture})
}

// evenly puts every point on the same even times, and lists the gaps that it bridged.
// Wider ones stay empty.
func evenly(rec *trajectory.Recording, o trajectory.UniformOptions) (*trajectory.Recording, []trajectory.Edit, error) {
	even := &trajectory.Recording{Source: rec.Source, Unit: rec.Unit}
	var bridged []trajectory.Edit
	for _, p := range rec.Points {
		q, filled, err := trajectory.Uniform(trajectory.Path{}, p, o)
		if err != nil {
			return nil, nil, err
		}
		even.T = q.T
		even.Points = append(even.Points, q)
		bridged = append(bridged, filled...)
	}
	return even, bridged, nil
}

// write writes a recording as comma-separated text; empty cells are missing samples.
func write(w io.Writer, rec *trajectory.Recording) error {
	return tracks.Write(w, rec, tracks.WriteOptions{Decimals: 6, TimeDecimals: 6})
}

// between is the part of a path from one time to another.
func between(p trajectory.Path, from, to float64) trajectory.Path {
	i, _ := slices.BinarySearch(p.T, from)
	j, _ := slices.BinarySearch(p.T, to)
	return trajectory.Path{Name: p.Name, T: p.T[i:j], X: p.X[i:j], Y: p.Y[i:j]}
}

// apart tells how long after the one before each seen sample comes, in milliseconds.
func apart(p trajectory.Path) (t, ms []float64) {
	last := math.NaN()
	for i, at := range p.T {
		if math.IsNaN(p.X[i]) {
			continue
		}
		if !math.IsNaN(last) {
			t, ms = append(t, at), append(ms, 1000*(at-last))
		}
		last = at
	}
	return t, ms
}

// spacing draws how far apart the samples of a path are, before and after.
func spacing(before, after trajectory.Path) figure.Figure {
	f := figure.SamplesOverTime{Name: "since the sample before", Unit: "ms"}
	t, ms := apart(before)
	f.Columns = append(f.Columns, figure.Samples{Name: "as recorded", T: t, Y: ms})
	t, ms = apart(after)
	f.Columns = append(f.Columns, figure.Samples{Name: "even", T: t, Y: ms})
	return f
}

// closely draws a path sample by sample, before and after.
func closely(before, after trajectory.Path, unit string) figure.Figure {
	return figure.SamplesOverTime{
		Name: before.Name + "_x", Unit: unit,
		Columns: []figure.Samples{{Name: "as recorded", T: before.T, Y: before.X}, {Name: "even", T: after.T, Y: after.X}},
	}
}
