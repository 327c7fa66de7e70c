package motion

import (
	"math"

	"github.com/plectrace/plectrace/variability/robust"
)

// fitTurns sharpens the times of the turns on the samples themselves. Around
// each turn the coordinate along the local axis is taken to leave it on either
// side by the profile of the strokes' directions, which is learned from the
// take, and the turn's time, its place and the two travels are found by least
// squares (Gauss-Newton) on the samples within fitReach of a stroke. Unlike
// the zero of a low-passed velocity, the result is not drawn toward the slower
// of two unequal strokes, and it rests on most of both strokes' samples.
//
// The more the residuals exceed what the noise explains, the more strokes vary
// in their profile, and the more weight goes back to the zero crossing of the
// velocity, moved by as much as the fits move the turns of its kind in the
// middle: what draws zero crossings aside is the same in every cycle, what
// varies is not. It is kept as it is next to a pause or to a gap's or the
// recording's end, and with too few samples.
func (s *search) fitTurns(sh *shaper, rests []rest) {
	idx := s.fittable(rests)
	s.turning = nil
	if len(idx) < 6 || s.cycle < 10 {
		return
	}
	at := s.pools.floats.take(len(s.nodes))
	for i := range s.nodes {
		at[i] = s.nodes[i].at
	}
	s.turning = idx
	sample := s.sample(idx)
	down, up := s.learn(sh, sample, at)
	// The zero crossings moved are where the fit of all starts from: the
	// strokes' durations are then right at once.
	shift := s.shift(sample, at)
	for i := range s.nodes {
		at[i] = s.nodes[i].at
	}
	for _, i := range idx {
		s.nodes[i].at += shift[kind(s.nodes[i])] * (at[i+1] - at[i-1])
	}
	for i := range s.nodes {
		at[i] = s.nodes[i].at
	}
	before := s.pools.floats.take(len(at))
	copy(before, at)
	fits := s.fitAll(sh, idx, at, down, up)
	// Where turns moved far, the strokes' durations were not right after all.
	again, place := s.pools.ints.take(len(idx))[:0], s.pools.ints.take(len(idx))[:0]
	for k, i := range idx {
		t := before[i+1] - before[i-1]
		if math.Abs(at[i-1]-before[i-1]) > refitShare*t || math.Abs(at[i]-before[i]) > refitShare*t || math.Abs(at[i+1]-before[i+1]) > refitShare*t {
			again, place = append(again, i), append(place, k)
		}
	}
	for j, f := range s.fitAll(sh, again, at, down, up) {
		fits[place[j]] = f
	}
	for k, w := range s.trust(fits) {
		nd := &s.nodes[idx[k]]
		nd.at += w * (at[idx[k]] - nd.at)
		nd.se += w * (fits[k].se*s.g.hz - nd.se)
	}
}

// sample returns about learnTurns of the turns idx, or all of fewer, in blocks
// that are spread evenly: turns of both kinds, most of them with their neighbours.
func (s *search) sample(idx []int) []int {
	every := len(idx) / learnTurns
	if every < 2 {
		return idx
	}
	sample := s.pools.ints.take(len(idx))[:0]
	for k := 0; k < len(idx); k += every * learnBlock {
		sample = append(sample, idx[k:min(k+learnBlock, len(idx))]...)
	}
	return sample
}

// shift returns by how much the fits move the turns of each kind, in the median
// of those of idx and of those kept, as a share of the cycle. It leaves what each
// is moved by in s.
func (s *search) shift(idx []int, at []float64) (shift [2]float64) {
	var moved [2][]float64
	for k := range moved {
		moved[k] = s.pools.floats.take(len(s.seen.Profiles) + len(idx))[:0]
	}
	for i := range s.seen.Profiles {
		x := &s.seen.Profiles[i]
		k := startsAt(x.Direction)
		moved[k] = append(moved[k], x.Moved)
	}
	for _, i := range idx {
		nd := s.nodes[i]
		s.first[i].moved = (at[i] - nd.at) / (s.nodes[i+1].at - s.nodes[i-1].at)
		if k := kind(nd); !s.seen.kept(s.g.time(nd.at)) {
			moved[k] = append(moved[k], s.first[i].moved)
		}
	}
	if min(len(moved[0]), len(moved[1])) < leastShaped {
		return shift
	}
	return [2]float64{robust.MedianInPlace(moved[0]), robust.MedianInPlace(moved[1])}
}

// trust returns how much weight each fit deserves, by the residuals of those
// around it.
func (s *search) trust(fits []turnFit) []float64 {
	w, misfits := s.pools.floats.take(len(fits)), s.pools.floats.take(len(fits))
	for k, f := range fits {
		misfits[k] = f.misfit
	}
	rolling(w, misfits)
	for k := range w {
		w[k] = min(max((misfitNone-w[k])/(misfitNone-misfitFull), 0), 1)
		if fits[k].tau == 0 && fits[k].se == 0 {
			w[k] = 0 // not fitted
		}
	}
	return w
}

const (
	fitReach    = 0.8 // share of the strokes before and after a turn that its fit looks at
	learnTurns  = 120
	learnBlock  = 12
	leastShaped = 5     // strokes of a direction that show what it is like
	refitShare  = 0.004 // of a cycle, by which a turn moves to have it and its neighbours fitted again
	misfitFull  = 1.05  // up to this residual variance over the noise the fit stands alone
	misfitNone  = 1.4   // and from here on the zero crossing does
)

// kind is 1 for a top and 0 for a bottom.
func kind(nd node) int {
	if nd.top {
		return 1
	}
	return 0
}

// startsAt is the kind of turn that a stroke of that direction begins at.
func startsAt(d Direction) int {
	if d == Up {
		return 1
	}
	return 0
}

// fittable returns the nodes that are turns between two strokes of the same
// run without a pause, of durations like those around.
func (s *search) fittable(rests []rest) []int {
	idx := s.pools.ints.take(len(s.nodes))[:0]
	k, ri := 0, 0
	for i := 1; i+1 < len(s.nodes); i++ {
		a, b, c := s.nodes[i-1], s.nodes[i], s.nodes[i+1]
		if b.edge || a.run != b.run || c.run != b.run || a.edge || c.edge {
			continue
		}
		k = s.size.nearest(k, b.at)
		typical := s.size.duration[k]
		t1, t2 := b.at-a.at, c.at-b.at
		if t1 < 0.3*typical || t1 > 2.5*typical || t2 < 0.3*typical || t2 > 2.5*typical {
			continue
		}
		for ri < len(rests) && (rests[ri].run < b.run || rests[ri].run == b.run && rests[ri].end < a.at) {
			ri++
		}
		if ri < len(rests) && rests[ri].run == b.run && rests[ri].start < c.at {
			continue
		}
		idx = append(idx, i)
	}
	return idx
}

// fitAll fits the turns idx between neighbours at the times at, in grid
// samples, and replaces those times once all are fitted. A turn that could not
// be fitted keeps its time, and its fit is zero but for a misfit of 1.
func (s *search) fitAll(sh *shaper, idx []int, at []float64, down, up profile) []turnFit {
	fits := s.pools.fits.take(len(idx))
	for k, i := range idx {
		nd := s.nodes[i]
		t1, t2 := at[i]-at[i-1], at[i+1]-at[i]
		before, after := up, down // at a bottom
		if nd.top {
			before, after = down, up
		}
		r := s.g.runs[nd.run]
		ax := &s.axis[min(max(int(at[i]), r.Start), r.End-1)]
		f, ok := sh.fitTurn(s.g.time(at[i]), t1/s.g.hz, t2/s.g.hz, ax, before, after)
		fits[k].misfit = 1
		// Less than a fifth of the shorter stroke: beyond that the motion
		// around the turn is not of this form. Two steps cut short make a
		// fifth up to rounding, which must not decide.
		if ok && math.Abs(s.g.index(f.tau)-nd.at) < (0.2-1e-6)*math.Min(t1, t2) {
			fits[k] = f
		}
	}
	for k, i := range idx {
		if fits[k].tau != 0 {
			at[i] = s.g.index(fits[k].tau)
		}
	}
	return fits
}
