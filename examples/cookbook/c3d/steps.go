package main

import (
	"io"

	"github.com/plectrace/plectrace/motion/figure"
	"github.com/plectrace/plectrace/trajectory"
	"github.com/plectrace/plectrace/trajectory/tracks"
)

// look reads the head of a file: what is in it, and no sample yet.
func look(file io.Reader) (tracks.Layout, error) { return tracks.Inspect(file) }

// read reads the points, all positions if none is named.
func read(file io.Reader, name string, points []string, zeroMissing bool) (*trajectory.Recording, error) {
	return tracks.Read(file, tracks.Options{Source: name, Points: points, ZeroMissing: zeroMissing})
}

// write writes the points as comma-separated text; empty cells are missing samples.
func write(w io.Writer, rec *trajectory.Recording) error {
	return tracks.Write(w, rec, tracks.WriteOptions{Decimals: 4, TimeDecimals: 6, Units: true})
}

// seen are the stretches in which a point was seen.
func seen(p trajectory.Path) []figure.Part {
	var parts []figure.Part
	for from, to := range trajectory.Runs(p.X, p.Y, p.Z) {
		parts = append(parts, figure.Part{Span: figure.Span{Start: p.T[from], End: p.T[to-1]}, Kind: "seen"})
	}
	return parts
}

// gaps draws a strip for each point.
func gaps(rec *trajectory.Recording, points int) figure.Figure {
	f := figure.SpansOverTake{Take: figure.Span{Start: rec.T[0], End: rec.T[len(rec.T)-1]}}
	for _, p := range rec.Points[:points] {
		f.Strips = append(f.Strips, figure.Strip{Name: p.Name, Parts: seen(p)})
	}
	return f
}
