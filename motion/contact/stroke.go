package contact

import (
	"math"
	"slices"

	"gonum.org/v1/gonum/stat/distuv"

	"github.com/plectrace/plectrace/motion"
)

// turnShare is the standard deviation of a turn's place as a share of the
// stroke that the samples' noise does not account for: a sharp start draws a
// turn by about 1 % (see package motion).
const turnShare = 0.01

// stroke fills in c for stroke s.
func (f *finder) stroke(c *Stroke, s *motion.Stroke) {
	lo, hi := f.within(s.Start, s.End)
	c.Hidden = s.TurnHidden()
	if s.Bridged || hi-lo < 2 || s.Direction == motion.DirectionUnknown {
		c.Hidden = true
		return
	}
	width := f.width(s, lo, hi)
	if !(width > 0) {
		return
	}
	way := 1.0 // the sign of travel across
	if s.Direction == motion.Up {
		way = -1
	}
	from, to, unseenFrom, unseenTo := f.reach(s, lo, hi, way, width)
	turnNoise := f.noise
	if n := s.Noise.Length / math.Sqrt2; n == n {
		turnNoise = n
	}
	turnError := math.Hypot(math.Hypot(turnNoise, turnShare*width), f.o.AcrossError)

	maybe := false // an unseen part may hold a string
	for k := range f.lines {
		l := &f.lines[k]
		if way > 0 {
			l = &f.lines[len(f.lines)-1-k]
		}
		past, before := way*(l.across-from), way*(to-l.across)
		unseen := (past < 3*turnError || before < 3*turnError) && way*(l.across-unseenFrom) > 0 && way*(unseenTo-l.across) > 0
		if past < -2*turnError || before < -2*turnError {
			maybe = maybe || unseen
			continue
		}
		crossed := 1.0
		if !(past > 3*turnError && before > 3*turnError) {
			// Next to a part that was not seen the string may lie in it.
			maybe = maybe || unseen && (unseenFrom != from || unseenTo != to)
			crossed = distuv.UnitNormal.CDF(past/turnError) * distuv.UnitNormal.CDF(before/turnError)
		}
		c.Crossings = append(c.Crossings, f.crossing(s, l, lo, hi, width, crossed))
	}
	slices.SortStableFunc(c.Crossings, func(a, b Crossing) int {
		switch { // in the order of the lines where times are missing
		case a.Time < b.Time:
			return -1
		case a.Time > b.Time:
			return 1
		}
		return 0
	})
	f.sum(c, maybe)
	f.played(c, s, lo, hi)
	f.follow(c, s, way, turnNoise)
}

// reach returns between which places across the tip was seen to travel, and the
// places that it may have come from and gone to where a turn was hidden.
func (f *finder) reach(s *motion.Stroke, lo, hi int, way, width float64) (from, to, unseenFrom, unseenTo float64) {
	from, to = s.AcrossStart, s.AcrossEnd
	low, high := f.span(lo, hi)
	if way < 0 {
		low, high = high, low
	}
	unseenFrom, unseenTo = from, to
	const further = 1.3 // a hidden turn lies within this many stroke lengths
	if from != from {
		from, unseenFrom = low, high-way*further*width
	}
	if to != to {
		to, unseenTo = high, low+way*further*width
	}
	return from, to, unseenFrom, unseenTo
}

// crossing measures the tip's way past line l. crossed is the probability that
// it gets past it at all.
func (f *finder) crossing(s *motion.Stroke, l *line, lo, hi int, width, crossed float64) Crossing {
	nan := math.NaN()
	c := Crossing{String: l.number, Of: l.of, Time: nan, TimeError: nan, Depth: nan, DepthError: nan, Speed: nan, P: nan}
	f.moment(&c, s, l.across, lo, hi)
	if f.out == nil {
		return c
	}
	a, ok := f.fitArc(lo, hi, l.across, width, f.sigma, f.prior[s.Direction])
	if !ok {
		return c
	}
	variance := f.sigma*f.sigma*f.colour*f.colour*a.levelVar + a.priorVar + f.arcMisfit
	c.Depth, c.DepthError = (l.low+l.high)/2-a.level, math.Sqrt(variance)
	// The path's slope turns errors across into errors of depth.
	sd := math.Sqrt(variance + square(a.slope*f.o.AcrossError) + square(f.m.Options.HeightError))
	c.P = crossed * below(a.level, sd, l.low, l.high)
	c.Reached = answer(c.P, f.o.Certainty)
	return c
}

func square(x float64) float64 { return x * x }

// momentReach is how far to each side of a crossing the samples tell its
// moment, as a share of the stroke; further where fewer than six lie within.
const momentReach = 0.15

// moment finds when the tip passes the place across, and how fast.
func (f *finder) moment(c *Crossing, s *motion.Stroke, place float64, lo, hi int) {
	at, ok := f.guess(s, place, lo, hi)
	if !ok {
		return
	}
	duration := s.Duration()
	k, a, b, ok := f.about(at, duration)
	if !ok {
		return
	}
	k.fit(f.t[a:b], f.across[a:b])
	t := at
	for range 8 {
		v := k.rate(t)
		if v == 0 {
			break
		}
		// No step further than a tenth of the stroke: near a turn the tip is
		// slow, and its path flat.
		step := (k.value(t) - place) / v
		t -= math.Max(-0.1*duration, math.Min(step, 0.1*duration))
	}
	if !(t >= s.Start && t <= s.End) || math.Abs(k.value(t)-place) > 0.01*math.Abs(k.rate(t))*duration {
		t = at
	}
	v := k.rate(t)
	c.Time, c.TimeError = t, math.Sqrt(square(f.noise*f.colour)*k.valueVar(t)+f.misfit)/math.Abs(v)
	if !f.speeds {
		return
	}
	speed := v * v
	for _, x := range [][]float64{f.along, f.out} {
		if x != nil {
			k.fit(f.t[a:b], x[a:b])
			speed += square(k.rate(t))
		}
	}
	c.Speed = math.Sqrt(speed)
}

// about returns the frame of a fit over time about a moment of a stroke of
// that duration, and the samples [a, b) that it is for.
func (f *finder) about(at, duration float64) (k moment, a, b int, ok bool) {
	for half := momentReach * duration; half < 0.8*duration; half *= 1.3 {
		if a, b = f.within(at-half, at+half); b-a >= 6 {
			break
		}
	}
	k, ok = newMoment(f.t[a:b], at, duration)
	return k, a, b, ok
}

// guess interpolates the first moment at which the samples [lo, hi), between
// the turns, pass the place across.
func (f *finder) guess(s *motion.Stroke, place float64, lo, hi int) (float64, bool) {
	t0, y0 := s.Start, s.AcrossStart
	for i := lo; i <= hi; i++ {
		t1, y1 := s.End, s.AcrossEnd
		if i < hi {
			t1, y1 = f.t[i], f.across[i]
		}
		if (y0-place)*(y1-place) <= 0 && y1 != y0 {
			return t0 + (t1-t0)*(place-y0)/(y1-y0), true
		}
		if y1 == y1 {
			t0, y0 = t1, y1
		}
	}
	return math.NaN(), false
}

// sum draws the answer for the stroke from its crossings. maybe says that an
// unseen part may hold a string.
func (f *finder) sum(c *Stroke, maybe bool) {
	if f.out == nil {
		return
	}
	c.P = 0
	open := maybe
	for _, k := range c.Crossings {
		if k.P != k.P {
			open = true
			continue
		}
		// The string plane's error is common to all of them, so that the
		// deepest decides.
		c.P = math.Max(c.P, k.P)
		if k.Reached == Yes && !slices.Contains(c.Strings, k.String) {
			c.Strings = append(c.Strings, k.String)
		}
	}
	c.Reached = answer(c.P, f.o.Certainty)
	if open && c.Reached != Yes {
		c.Reached, c.P = Unknown, math.NaN()
	}
	c.Hidden = c.Hidden && maybe
}

// played decides which string the stroke is aimed at, and takes over what its
// crossing shows.
func (f *finder) played(c *Stroke, s *motion.Stroke, lo, hi int) {
	mid := (s.AcrossStart + s.AcrossEnd) / 2
	switch {
	case f.o.Played != 0:
		c.Played = f.o.Played
	case len(c.Strings) == 1:
		c.Played = c.Strings[0]
	case mid == mid:
		c.Played = f.strings.nearest(mid)
	}
	var use *Crossing
	for i := range c.Crossings {
		if k := &c.Crossings[i]; k.String == c.Played && (use == nil || use.Reached != Yes && k.P > use.P) {
			use = k
		}
	}
	if use == nil || use.Reached == No {
		for i := range c.Crossings {
			if k := &c.Crossings[i]; k.Reached == Yes {
				use = k
				break
			}
		}
	}
	if use != nil {
		c.Time, c.Depth, c.DepthError, c.Speed = use.Time, use.Depth, use.DepthError, use.Speed
		low, high := f.strings.Height(use.String)
		c.crown = high - low
	}
}

// follow measures the travel from the last string reached to the turn.
func (f *finder) follow(c *Stroke, s *motion.Stroke, way, turnNoise float64) {
	for _, k := range slices.Backward(c.Crossings) {
		if f.out != nil && k.P >= 0.5 || f.out == nil && k.String == c.Played {
			for _, l := range f.lines {
				if l.number == k.String && l.of == k.Of && s.AcrossEnd == s.AcrossEnd {
					c.FollowThrough, c.FollowThroughError = way*(s.AcrossEnd-l.across), turnNoise
				}
			}
			return
		}
	}
}
