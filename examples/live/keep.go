package main

import (
	"fmt"

	"github.com/plectrace/plectrace/trajectory"
)

// kept are the samples that the review is of.
type kept struct {
	rec   *trajectory.Recording // nil before the first
	most  float64               // seconds that are kept at least, 0 for all
	first float64               // time of the first sample of all
}

// add adds a frame. Where there is a limit, the oldest samples go once an eighth more
// than it has come.
func (k *kept) add(frame *trajectory.Recording) {
	if k.rec == nil {
		k.rec, k.first = frame, frame.T[0]
		return
	}
	r := k.rec
	r.T = append(r.T, frame.T...)
	for i := range r.Points {
		p, q := &r.Points[i], &frame.Points[i]
		p.X, p.Y, p.Z = append(p.X, q.X...), append(p.Y, q.Y...), append(p.Z, q.Z...)
		p.Confidence = append(p.Confidence, q.Confidence...)
		p.T = r.T
	}
	if k.most > 0 && r.T[len(r.T)-1]-r.T[0] > k.most*9/8 {
		k.trim()
	}
}

// trim lets the samples go that are older than the limit.
func (k *kept) trim() {
	r := k.rec
	if k.most == 0 {
		return
	}
	old := 0
	for r.T[old] < r.T[len(r.T)-1]-k.most {
		old++
	}
	without := func(x []float64) []float64 {
		if x == nil {
			return nil
		}
		return x[:copy(x, x[old:])]
	}
	r.T = without(r.T)
	for i := range r.Points {
		p := &r.Points[i]
		p.X, p.Y, p.Z, p.Confidence, p.T = without(p.X), without(p.Y), without(p.Z), without(p.Confidence), r.T
	}
}

// lasted is how long the take was, in seconds.
func (k *kept) lasted() float64 { return k.rec.T[len(k.rec.T)-1] - k.first }

// gone tells what was let go, nothing where all was kept.
func (k *kept) gone() []string {
	if gone := k.rec.T[0] - k.first; gone > 0 {
		return []string{fmt.Sprintf("Only the last %s are kept for the review; the %s before were heard and let go (-keep).", minutes(k.lasted()-gone), minutes(gone))}
	}
	return nil
}
