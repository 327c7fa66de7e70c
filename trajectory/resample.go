package trajectory

import (
	"fmt"
	"math"
	"slices"
)

// UniformOptions say onto which times Uniform puts a path. The zero value
// keeps the rate of the recording and bridges single missing samples.
type UniformOptions struct {
	// Rate is the number of samples per second. Zero means that of the
	// recording: the mean of its intervals, lost frames left out.
	Rate float64 `json:"rate,omitempty"`
	// MaxGap is the longest time in seconds between two seen samples that is
	// interpolated across; wider gaps stay missing. Zero means 2.5 intervals
	// of the recording, which bridges a single missing sample; negative means
	// to bridge none.
	MaxGap float64 `json:"max_gap,omitempty"`
}

// maxUniform is the largest number of samples that Uniform makes: a day at
// 1000 per second.
const maxUniform = 86_400_000

// Uniform returns the path on evenly spaced times from its first to its last,
// as filters and spectra need it, and the list of the gaps that it filled,
// numbered on the new times.
//
// A seen sample that lies on the new times is copied. So nothing changes but
// the gaps when the recording is even already: to a millionth of an interval,
// to the digits that its times are rounded to, or with frames lost in between.
//
// Elsewhere a cubic leads from each seen sample to the next, with the slopes
// at both of the polynomial through five neighbours (four at the ends of a
// stretch). It is exact for cubics. On a sine at 8 samples per cycle its
// largest error is 0.2 per cent of the amplitude at times between even ones,
// and 2.2 per cent across one missing sample.
//
// A gap that is not bridged, and what lies between two frames farther apart
// than MaxGap, is NaN. The columns of dst are reused where they have room,
// which p must not share. A Confidence is not carried over.
//
// The error is a *DataError: fewer than two samples, times that repeat or run
// backward, a rate that is not positive, or one that would make more than 86.4
// million samples.
func Uniform[P Path | Placed](dst, p P, o UniformOptions) (P, []Edit, error) {
	var w Workspace
	switch p := any(p).(type) {
	case Path:
		d := any(dst).(Path)
		t, edits, err := w.uniform(p.Name, p.T, [3][]float64{p.X, p.Y, p.Z}, d.T, [3][]float64{d.X, d.Y, d.Z}, o)
		if err != nil {
			return dst, nil, err
		}
		return any(Path{Name: p.Name, T: t, X: w.out[0], Y: w.out[1], Z: w.out[2]}).(P), edits, nil
	case Placed:
		q, edits, err := w.Uniform(any(dst).(Placed), p, o)
		return any(q).(P), edits, err
	}
	panic("unreachable")
}

// grid is the evenly spaced times of a resampled path.
type grid struct {
	name   string
	source []float64 // times of the recording, or of its frames on the clock
	t      []float64 // new times
	clock  clock
	near   float64 // how close to a new time a sample counts as being on it
	usual  float64 // interval of the recording
	maxGap float64
	same   bool // every sample lies on the new time of its own number

	edits []Edit    // what lay in gaps
	times []float64 // source, where it is on the clock
	seen  []int     // scratch of fill and around
}

// begin makes g the grid of the times t, in dst.
func (g *grid) begin(s *scratch, name string, t []float64, o UniformOptions, dst []float64) error {
	if len(t) < 2 {
		return fault(name, fmt.Sprintf("there are %d samples", len(t)), "resampling needs two")
	}
	if i := unordered(t); i >= 0 {
		return disorder(name, t, i)
	}
	if !finite(o.Rate, o.MaxGap) || o.Rate < 0 {
		return fault(name, fmt.Sprintf("the rate is %v and the longest gap %v s", o.Rate, o.MaxGap), "give finite values, and a positive rate")
	}
	g.name, g.source, g.usual, g.same, g.edits = name, t, s.paceOf(t).usual, false, g.edits[:0]
	var even bool
	if o.Rate == 0 {
		if g.clock, even = clockOf(t, g.usual); !even {
			g.clock = clock{t[0], g.usual}
		}
	} else {
		g.clock = clock{t[0], 1 / o.Rate}
		even = g.clock.holds(t)
	}
	g.near = 1e-9 * g.clock.interval
	if g.maxGap = o.MaxGap; g.maxGap == 0 {
		g.maxGap = 2.5 * g.usual
	}
	g.maxGap = max(g.maxGap, 1.5*g.usual) * (1 + 1e-9)
	frames := (t[len(t)-1]-t[0])/g.clock.interval + 1e-6
	if frames+1 > maxUniform {
		return fault(name, fmt.Sprintf("a rate of %.6g samples/s makes %.3g samples", 1/g.clock.interval, frames+1), "give a lower rate")
	}
	g.t = resize(dst, int(frames)+1)
	for k := range g.t {
		g.t[k] = g.clock.time(k)
	}
	switch {
	case even && len(g.t) == len(t):
		g.source, g.same = g.t, true
	case even:
		g.times = resize(g.times, len(t))
		g.source = g.times
		frame := -1
		for i, v := range t {
			frame = g.clock.next(frame, v)
			g.source[i] = g.clock.time(frame)
		}
	}
	return nil
}

// fill sets out to in on the new times and lists what lay in gaps.
func (g *grid) fill(out *[3][]float64, in [3][]float64) {
	for a := range in {
		if in[a] == nil {
			out[a] = nil
			continue
		}
		out[a] = resize(out[a], len(g.t))
	}
	if g.same {
		g.fillGaps(out, in)
		return
	}
	blank(out, 0, len(g.t))
	// The indices of seen samples with no wide gap between them.
	stretch := g.seen[:0]
	for i, t := range g.source {
		if missingAt(in, i) {
			continue
		}
		if n := len(stretch); n > 0 && t-g.source[stretch[n-1]] > g.maxGap {
			g.stretch(out, in, stretch, 0, n)
			stretch = stretch[:0]
		}
		stretch = append(stretch, i)
	}
	g.stretch(out, in, stretch, 0, len(stretch))
	g.seen = stretch
}

// fillGaps is fill for samples on the new times of their own number, which
// leaves nothing to do but the gaps.
func (g *grid) fillGaps(out *[3][]float64, in [3][]float64) {
	var array [3][]float64
	cols := array[:0]
	for a := range in {
		copy(out[a], in[a])
		if in[a] != nil {
			cols = append(cols, in[a])
		}
	}
	last, n := 0, len(g.t)
	for start, end := nextRun(cols, 0, n); start < n; start, end = nextRun(cols, end, n) {
		blank(out, last, start)
		if last > 0 && start > last && g.source[start]-g.source[last-1] <= g.maxGap {
			k := g.around(in, last-1, start)
			g.stretch(out, in, g.seen, k, k+1)
		}
		last = end
	}
	blank(out, last, n)
}

// around makes g.seen the seen samples on which the slopes depend at samples i and
// j, which bound a gap, and returns where i is among them.
func (g *grid) around(in [3][]float64, i, j int) (n int) {
	const most = 3 // on either side
	seen := append(g.seen[:0], i)
	for k, last := i-1, i; k >= 0 && len(seen) <= most && g.source[last]-g.source[k] <= g.maxGap; k-- {
		if !missingAt(in, k) {
			seen = append(seen, k)
			last = k
		}
	}
	slices.Reverse(seen)
	n = len(seen) - 1
	seen = append(seen, j)
	for k, last := j+1, j; k < len(g.source) && len(seen) <= n+1+most && g.source[k]-g.source[last] <= g.maxGap; k++ {
		if !missingAt(in, k) {
			seen = append(seen, k)
			last = k
		}
	}
	g.seen = seen
	return n
}

// blank makes the new samples [start, end) missing.
func blank(out *[3][]float64, start, end int) {
	for _, col := range out {
		if col != nil {
			for k := start; k < end; k++ {
				col[k] = math.NaN()
			}
		}
	}
}

// missingAt reports whether sample i is missing on an axis that there is.
func missingAt(columns [3][]float64, i int) bool {
	for _, col := range columns {
		if col != nil && col[i] != col[i] {
			return true
		}
	}
	return false
}

// stretch sets out at the new times from seen sample number from on, up to seen
// sample number to where there is one.
func (g *grid) stretch(out *[3][]float64, in [3][]float64, seen []int, from, to int) {
	slopes := slopeCache{at: -1}
	k := -1
	for n := from; n < to; n++ {
		i := seen[n]
		k = g.clock.next(k, g.source[i])
		if k < len(g.t) && math.Abs(g.t[k]-g.source[i]) <= g.near {
			for a := range in {
				if in[a] != nil {
					out[a][k] = in[a][i]
				}
			}
		}
		if n+1 == len(seen) {
			break
		}
		// The new times strictly between this sample and the next.
		j := seen[n+1]
		first, last := g.between(i, j)
		if first > last {
			continue
		}
		if g.source[j]-g.source[i] > 1.5*g.usual {
			g.edits = append(g.edits, Edit{g.name, Filled, first, last + 1, g.t[first], g.t[last]})
		}
		t0, h := g.source[i], g.source[j]-g.source[i]
		left, right := slopes.pair(g.source, in, seen, n)
		for k := first; k <= last; k++ {
			u := (g.t[k] - t0) / h
			for a := range in {
				if in[a] != nil {
					out[a][k] = hermite(u, in[a][i], in[a][j], left[a]*h, right[a]*h)
				}
			}
		}
	}
}

// between returns the first and the last new time strictly between samples i
// and j.
func (g *grid) between(i, j int) (first, last int) {
	first = int(math.Floor((g.source[i]+g.near-g.clock.start)/g.clock.interval)) + 1
	last = int(math.Ceil((g.source[j]-g.near-g.clock.start)/g.clock.interval)) - 1
	return max(first, 0), min(last, len(g.t)-1)
}

// slopeCache holds the slopes at one seen sample, which two intervals share.
type slopeCache struct {
	at    int
	slope [3]float64
}

// pair returns the slopes at seen samples n and n+1.
func (c *slopeCache) pair(t []float64, in [3][]float64, seen []int, n int) (left, right [3]float64) {
	if c.at == n {
		left = c.slope
	} else {
		left = slope(t, in, seen, n)
	}
	right = slope(t, in, seen, n+1)
	c.at, c.slope = n+1, right
	return left, right
}

// slope returns the slope at seen sample n, by axis, of the polynomial through
// it and two neighbours on each side, or four samples in all where there are
// fewer on one side.
func slope(t []float64, in [3][]float64, seen []int, n int) (s [3]float64) {
	first, last := max(0, n-2), min(len(seen)-1, n+2)
	if n-first < 2 {
		last = min(len(seen)-1, first+3)
	}
	if last-n < 2 {
		first = max(0, last-3)
	}
	t0 := t[seen[n]]
	own := 0.0
	for m := first; m <= last; m++ {
		if m == n {
			continue
		}
		// The derivative at t0 of the polynomial that is 1 at sample m and 0 at
		// the others.
		top, bottom := 1.0, t[seen[m]]-t0
		for l := first; l <= last; l++ {
			if l != m && l != n {
				top *= t0 - t[seen[l]]
				bottom *= t[seen[m]] - t[seen[l]]
			}
		}
		weight := top / bottom
		own -= weight
		for a := range in {
			if in[a] != nil {
				s[a] += weight * in[a][seen[m]]
			}
		}
	}
	for a := range in {
		if in[a] != nil {
			s[a] += own * in[a][seen[n]]
		}
	}
	return s
}
