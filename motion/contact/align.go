package contact

import (
	"math"
	"slices"

	"github.com/plectrace/plectrace/motion"
	"github.com/plectrace/plectrace/variability/robust"
)

// moments returns when the stroke may sound: at the strings that it may have
// reached, of a pair at the one reached first; or else at the one it is aimed at,
// or where that is hidden at those it is seen to pass. They are NaN where it is
// seen to pass none. The window is the largest standard deviation of these times.
func (s *Stroke) moments() moments {
	m := s.within(func(k *Crossing) bool { return k.P >= 0.1 })
	if m.first != m.first && s.Time == s.Time {
		m = s.within(func(k *Crossing) bool { return k.Time == s.Time })
	}
	if m.first != m.first {
		m = s.within(func(*Crossing) bool { return true })
	}
	return m
}

// within returns the moments of the crossings that count.
func (s *Stroke) within(counts func(k *Crossing) bool) moments {
	m := moments{first: math.NaN(), last: math.NaN()}
	sounded := 0 // the number of a pair that has been reached for certain
	for i := range s.Crossings {
		k := &s.Crossings[i]
		if !counts(k) || k.Time != k.Time || k.String == sounded {
			continue
		}
		if m.last = k.Time; m.first != m.first {
			m.first = k.Time
		}
		m.window = math.Max(m.window, k.TimeError)
		if k.Reached == Yes {
			sounded = k.String
		}
	}
	return m
}

// sight is how well the moment of a stroke at the string is known.
type sight int8

const (
	plain sight = iota // as well as its error says
	badly              // within half a stroke
	blind              // a guess from the strokes around it
)

// alignment is one way to lay the onsets over the strokes.
type alignment struct {
	offset  float64
	shift   [3]float64 // of the strokes' moments, by direction
	pair    []int
	pairs   int
	scatter float64
	score   float64 // log-likelihood
}

// aligner lays onsets over strokes.
type aligner struct {
	assigner
	o       MatchOptions
	moments []moments // of the strokes at the strings
	rows    []moments // the same, shifted, with their windows
	sight   []sight
	dir     []motion.Direction
	reached []float64 // probability, NaN where not known
	times   []float64
	stroke  float64 // median duration
}

func newAligner(strokes []motion.Stroke, c *Contacts, times []float64, o MatchOptions) *aligner {
	n := len(strokes)
	a := &aligner{o: o, times: times, moments: make([]moments, n), rows: make([]moments, n), sight: make([]sight, n), dir: make([]motion.Direction, n), reached: make([]float64, n)}
	var lag [3][]float64 // of the crossing behind the middle
	durations, passes := make([]float64, n), make([]bool, n)
	for i, s := range strokes {
		durations[i] = s.Duration()
		mid := s.Middle()
		a.dir[i], a.moments[i], a.reached[i] = s.Direction, moments{first: mid, last: mid}, math.NaN()
		if c == nil {
			continue
		}
		k := &c.Strokes[i]
		a.reached[i] = k.P
		if m := k.moments(); m.first == m.first {
			a.moments[i], passes[i] = m, true
		}
		if k.Time == k.Time {
			lag[s.Direction] = append(lag[s.Direction], k.Time-mid)
		}
	}
	var usual, scatter [3]float64
	for d := range lag {
		if usual[d], scatter[d] = median(lag[d]), math.Inf(1); len(lag[d]) >= leastStrokes {
			scatter[d] = robust.Scale(lag[d])
		}
	}
	a.stroke = robust.Median(durations)
	shown := slices.ContainsFunc(lag[:], func(l []float64) bool { return len(l) > 0 })
	for i := range strokes {
		s, d := &strokes[i], a.dir[i]
		at := math.NaN()
		if c != nil {
			at = c.Strokes[i].Time
		}
		if !passes[i] {
			a.moments[i].first += usual[d]
			a.moments[i].last += usual[d]
		}
		a.sight[i] = sightOf(s, at, usual[d], scatter[d], a.stroke)
		if shown && !passes[i] && s.TurnHidden() {
			a.sight[i] = blind // nor is it seen to turn before the strings
		}
		// A window of half a stroke holds five standard deviations of it.
		if a.sight[i] == plain && !(5*a.moments[i].window <= a.stroke/2) {
			a.sight[i] = badly
		}
	}
	return a
}

// sightOf returns how well the moment of stroke s at the string is known, before
// its own error counts: at, NaN where the path does not show it. usual and
// scatter are of the moments of its direction behind the strokes' middles. What
// a tracker fills in without saying so shows in odd times: a stroke much longer
// or shorter than the others, a moment that is early or late in it.
func sightOf(s *motion.Stroke, at, usual, scatter, stroke float64) sight {
	const odd, far, least = 1.25, 4, 0.005 // of durations; standard deviations; s
	long := s.Duration() / stroke
	switch {
	case s.Bridged:
		return blind
	case s.TurnHidden(), long > odd, long < 1/odd,
		at == at && math.Abs(at-s.Middle()-usual) > far*scatter+least:
		return badly
	}
	return plain
}

// Chances that the likelihood of an alignment reckons with: a stroke that does
// not sound, an onset that is none of the strokes'; and, where it is known how
// probably a stroke reached a string, that the sound belies it.
const (
	oddStroke = 0.05
	oddSound  = 0.02
	// clearly is the difference of log-likelihoods from which one alignment
	// is taken over another: odds of 400 to 1, since neighbouring strokes are
	// alike and say less together than it reckons.
	clearly = 6.0
)

// find returns the best alignment, and a rival with another offset that is not
// clearly worse.
func (a *aligner) find() (best alignment, rival *alignment) {
	if !a.o.FindOffset {
		return a.align(a.o.Offset), nil
	}
	var all []alignment
	for _, offset := range a.offsets() {
		f := a.align(offset)
		f.pair = append([]int(nil), f.pair...)
		if math.Abs(f.offset-a.o.Offset) <= a.o.MaxOffset+0.1*a.stroke {
			all = append(all, f)
		}
	}
	if len(all) == 0 {
		return a.align(a.o.Offset), nil
	}
	best = all[0]
	for _, f := range all {
		if f.score > best.score {
			best = f
		}
	}
	// Of those that cannot be told apart, the least offset.
	top := best.score
	for _, f := range all {
		if f.score > top-clearly && math.Abs(f.offset-a.o.Offset) < math.Abs(best.offset-a.o.Offset) {
			best = f
		}
	}
	for i := range all {
		f := &all[i]
		if f.score > top-clearly && math.Abs(f.offset-best.offset) > a.stroke/4 && (rival == nil || f.score > rival.score) {
			rival = f
		}
	}
	return best, rival
}

// offsets returns the offsets at which many onsets fall on strokes: the peaks of
// the density of their differences.
func (a *aligner) offsets() []float64 {
	const bin, reach = 0.002, 4 // s; bins to each side of a peak
	n := int(math.Ceil(a.o.MaxOffset/bin)) + reach
	density := make([]float64, 2*n+1)
	first := 0
	for _, m := range a.moments {
		t := m.first + a.o.Offset
		for first < len(a.times) && a.times[first] < t-float64(n)*bin {
			first++
		}
		for _, on := range a.times[first:] {
			k := int(math.Round((on-t)/bin)) + n
			if k >= len(density) {
				break
			}
			for j := max(0, k-reach); j <= min(len(density)-1, k+reach); j++ {
				density[j] += float64(reach + 1 - max(j-k, k-j))
			}
		}
	}
	top := 0.0
	for _, d := range density {
		top = math.Max(top, d)
	}
	var peaks []float64
	for k, d := range density {
		peak := d > 0.2*top
		for j := max(0, k-2*reach); j <= min(len(density)-1, k+2*reach) && peak; j++ {
			peak = density[j] < d || density[j] == d && j >= k
		}
		if peak {
			peaks = append(peaks, a.o.Offset+float64(k-n)*bin)
		}
	}
	return peaks
}

// align lays the onsets over the strokes with about that offset: pairs them,
// takes out what each direction's onsets lag by, narrows the windows to what
// their scatter and the strokes' own errors ask for, and pairs again.
func (a *aligner) align(offset float64) alignment {
	f := alignment{offset: offset}
	widest := a.o.Window * a.stroke
	within := math.Inf(1) // five standard deviations of the onsets
	for range 3 {
		for i, m := range a.moments {
			by, window := f.shift[a.dir[i]], widest
			if a.sight[i] == plain {
				window = math.Min(widest, math.Hypot(within, 5*m.window))
			}
			a.rows[i] = moments{m.first + by, m.last + by, window}
		}
		f.pair = a.assign(a.rows, a.times, f.offset)
		var rest [3][]float64
		f.pairs = 0
		for i, k := range f.pair {
			if k >= 0 {
				// From the first moment: few strokes reach several strings.
				rest[a.dir[i]] = append(rest[a.dir[i]], a.times[k]-f.offset-a.moments[i].first)
				f.pairs++
			}
		}
		var about []float64
		for d, r := range rest {
			if len(r) >= 4 {
				f.shift[d] = robust.Median(r)
			}
			for _, v := range r {
				about = append(about, v-f.shift[d])
			}
		}
		if f.scatter = math.NaN(); len(about) >= 2 {
			f.scatter = robust.Scale(about)
		}
		if len(about) < 8 {
			break
		}
		if mean := (f.shift[motion.Down] + f.shift[motion.Up]) / 2; len(rest[motion.Down]) >= 4 && len(rest[motion.Up]) >= 4 {
			f.offset += mean
			for d := range f.shift {
				f.shift[d] -= mean
			}
		}
		const least = 0.005 // s
		within = 5*f.scatter + least
	}
	f.score = a.likelihood(&f)
	return f
}

// likelihood returns the log-likelihood of f: normal about the strokes' moments
// for onsets that are paired, even in time for the others. Film and sound may
// begin and end at different strokes, so that only what lies within both counts,
// scaled up to all strokes.
func (a *aligner) likelihood(f *alignment) float64 {
	sd := math.Max(f.scatter, 0.0005)
	if f.scatter != f.scatter {
		sd = a.o.Window * a.stroke / 2
	}
	floor := math.Log(oddSound / a.stroke)
	edge := a.stroke / 2
	from, to := a.times[0]-f.offset-edge, a.times[len(a.times)-1]-f.offset+edge
	sum, strokes := 0.0, 0
	for i, k := range f.pair {
		m := a.moments[i]
		if m.last < from || m.first > to {
			continue
		}
		strokes++
		sounds := 1 - oddStroke
		if p := a.reached[i]; p == p {
			sounds = oddSound + (1-2*oddSound)*p
		}
		if k < 0 {
			sum += math.Log(1 - sounds)
			continue
		}
		z := m.off(a.times[k]-f.offset-f.shift[a.dir[i]]) / sd
		sum += math.Log(sounds) + math.Max(-z*z/2-math.Log(sd*math.Sqrt(2*math.Pi)), floor)
	}
	from, to = a.moments[0].first-edge, a.moments[len(a.moments)-1].last+edge
	extra := -f.pairs
	for _, t := range a.times {
		if t -= f.offset; t >= from && t <= to {
			extra++
		}
	}
	sum += math.Max(float64(extra), 0) * math.Log(oddStroke/a.stroke)
	return sum * float64(len(f.pair)) / math.Max(float64(strokes), 1)
}
