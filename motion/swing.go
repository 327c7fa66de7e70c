package motion

import "math"

// swing writes to u, for the samples of a run, the displacement along the local
// axis from the local centre: the mean over one cycle, which a steady
// oscillation leaves untouched and a moving hand is cancelled by. The cycle is
// constant at first, then the local one of the swings found.
func (s *search) swing(r run) {
	for d, x := range s.g.pos {
		sum := s.sum[d]
		base, total := x[r.Start], 0.0
		sum[0] = 0
		for i, v := range x[r.Start:r.End] {
			total += v - base
			sum[i+1] = total
		}
	}
	if len(s.size.at) == 0 {
		s.uncentre(r, r, s.cycle)
	}
	parts := s.size.spans(r.Start, r.End)
	for k, part, ok := parts.next(); ok; k, part, ok = parts.next() {
		s.uncentre(r, part, min(max(2*s.size.duration[k], 0.4*s.cycle), 2.5*s.cycle))
	}
}

// uncentre does part of the run r, in which a cycle has w samples. The mean is
// that of the path as a step function, so that w need not be whole. Near the
// ends of the run the cycle nearest to the sample serves.
func (s *search) uncentre(r, part run, w float64) {
	n := r.End - r.Start
	w = min(w, float64(n))
	// The cycle around sample i reaches from i+before to i+before+w; before
	// and after are its whole samples, head and tail what is left of each.
	reach := 0.5 - w/2
	before, after := math.Floor(reach), math.Floor(reach+w)
	head, tail := reach-before, reach+w-after
	from, to := part.Start-r.Start, part.End-r.Start
	inner := min(max(-int(before), from), to)    // the first whose cycle lies within the run
	outer := max(min(n-1-int(after), to), inner) // and the first after it whose does not
	u := s.u[part.Start:part.End]
	for d, x := range s.g.pos {
		x, sum, axis := x[r.Start:r.End], s.sum[d], s.axis[part.Start:part.End]
		base := x[0]
		put := func(i int, mean float64) {
			v := (x[i] - base - mean) * axis[i-from][d]
			if d > 0 {
				v += u[i-from]
			}
			u[i-from] = v
		}
		upTo := func(at float64) float64 {
			i := min(int(at), n-1)
			return sum[i] + (at-float64(i))*(x[i]-base)
		}
		nearest := func(i int) float64 {
			lo := min(max(float64(i)+reach, 0), float64(n)-w)
			return (upTo(lo+w) - upTo(lo)) / w
		}
		for i := from; i < inner; i++ {
			put(i, nearest(i))
		}
		for i := inner; i < outer; i++ {
			a, b := i+int(before), i+int(after)
			put(i, (sum[b]-sum[a]+tail*(x[b]-base)-head*(x[a]-base))/w)
		}
		for i := outer; i < to; i++ {
			put(i, nearest(i))
		}
	}
}
