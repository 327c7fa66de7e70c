package drive

import (
	"fmt"
	"math"
	"math/cmplx"

	"gonum.org/v1/gonum/spatial/r3"

	"github.com/plectrace/plectrace/motion"
	"github.com/plectrace/plectrace/trajectory"
	"github.com/plectrace/plectrace/variability/circular"
	"github.com/plectrace/plectrace/variability/estimate"
)

// minCycles is the number of cycles, all of whose strokes were seen well
// enough, below which carry and drive are absent.
const minCycles = 6

// Carry is the travel of a hand point in phase with the tip, as a share of the
// tip's: near 1 the arm carries the hand as a whole, small means a forearm that
// turns about itself, wrist or fingers. A forearm that swings about the elbow gives
// about the ratio of their distances from it.
type Carry struct {
	// Value is the carry over all strokes given.
	Value estimate.Value[float64]
	// Lag is by how much of a cycle, as an angle, the hand point's travel
	// along the tip's axis comes after the tip's; negative when it comes
	// before. It is absent when the hand point hardly travels: when the carry
	// may be nothing.
	Lag estimate.Value[circular.Angle]
	// Coherence is the share of the hand point's travel along the axis, at the
	// cycle frequency, that keeps a fixed proportion and lag to the tip's, from
	// 0 to 1; NaN when Value is absent.
	Coherence float64
	// Strokes are those that the carry was read from, in order of time.
	Strokes []StrokeCarry
}

// StrokeCarry is what one stroke says about the carry.
type StrokeCarry struct {
	// Stroke is the index of the stroke in those given, Time its middle in
	// seconds.
	Stroke int
	Time   float64
	// Tip and Hand are the half-travels in phase with the tip along its axis,
	// in the unit of the points; their ratio is the stroke's carry.
	Tip, Hand float64
	// Own is false when too little of this stroke was seen for a value of its
	// own. Tip and Hand are then those of the strokes around it.
	Own bool

	weight, bias float64
}

// CarryAt is the carry in a stretch of time.
type CarryAt struct {
	Start, End float64 // s
	Value      estimate.Value[float64]
}

// CarryOf returns how far hand is carried along with tip, over the strokes
// that were found on the tip; pass those of a span for the carry of the span.
// Both points are in one frame, whichever it is, and on one time base. It is
// the in-phase transfer at the cycle frequency along the tip's own axis,
//
//	Re S_ht / S_tt
//
// from fits of the cycle's harmonics to the samples of up to 8 strokes (see
// the package's introduction). It does not matter how far the points lie
// apart, nor that they are hidden in the same part of every stroke.
//
// The interval is that of the mean of the strokes' own deviations, which bears
// autocorrelation (estimate.Mean). Strokes on the way to another string, and
// those through a gap, are left out. Below six cycles the carry is absent.
//
// The error is a *trajectory.DataError: paths that are not valid or not on one
// time base.
func CarryOf[P trajectory.Path | trajectory.Placed](hand, tip P, strokes []motion.Stroke) (Carry, error) {
	h, ht, err := columns(hand)
	if err != nil {
		return Carry{}, err
	}
	p, t, err := columns(tip)
	if err != nil {
		return Carry{}, err
	}
	if err := oneBase(nameOf(hand), h, ht, p, t); err != nil {
		return Carry{}, err
	}
	f := newFitter(newPhases(strokes), t)
	a, b := &point{cols: h}, &point{cols: p}
	f.fit(a, b)
	return f.carry(a, b, f.beats(b)), nil
}

// carry returns the carry of hand by tip, whose beats are given.
func (f *fitter) carry(hand, tip *point, beats []beat) Carry {
	c := Carry{Strokes: make([]StrokeCarry, 0, len(f.strokes))}
	var cross complex128
	var tt, hh float64
	type part struct {
		w    complex128
		tt   float64
		size float64
	}
	var parts []part
	for w, b := range beats {
		q := hand.waves[w]
		if !b.ok || !q.ok {
			continue
		}
		with, behind := b.inPhase(q)
		re, im := r3.Dot(b.axis, with), r3.Dot(b.axis, behind)
		g := float64(f.windows[w].n())
		pt := part{complex(re, im) * complex(b.amplitude, 0), b.amplitude*b.amplitude - b.bias, g}
		parts = append(parts, pt)
		cross += complex(g, 0) * pt.w
		tt += g * pt.tt
		hh += g * (re*re + im*im - q.sigma*q.sigma*(q.vcos+q.vsin))
		for i := f.windows[w].from; i < f.windows[w].to; i++ {
			s := StrokeCarry{
				Stroke: i, Time: f.strokes[i].Middle(), Tip: b.amplitude, Hand: re, weight: b.amplitude, bias: b.bias,
			}
			dt, _, ok1 := f.ofStroke(tip, b, i)
			dh, _, ok2 := f.ofStroke(hand, b, i)
			if s.Own = ok1 && ok2; s.Own {
				s.Tip += r3.Dot(b.axis, dt)
				s.Hand += r3.Dot(b.axis, dh)
			}
			c.Strokes = append(c.Strokes, s)
		}
	}
	c.Coherence = math.NaN()
	c.Value = valueOf(c.Strokes)
	c.Lag = estimate.Missing[circular.Angle](codeFewCycles, "lag", "the carry itself could not be had")
	if !c.Value.Known() {
		return c
	}
	if tt > 0 && hh > 0 {
		c.Coherence = min(1, (real(cross)*real(cross)+imag(cross)*imag(cross))/(tt*hh))
	}
	if c.Value.Low <= 0 && c.Value.High >= 0 {
		c.Lag = estimate.Missing[circular.Angle](codeHardly, "lag",
			"the hand point may not travel with the tip at all, so that it has no lag")
		return c
	}
	// Lag: the share across the direction of the transfer, window by window.
	gain := cross / complex(tt, 0)
	unit := cmplx.Conj(gain) / complex(cmplx.Abs(gain), 0)
	xs := make([]float64, len(parts))
	for i, p := range parts {
		xs[i] = imag(p.w*unit) * p.size * float64(len(parts)) / tt
	}
	m := estimate.Mean(xs, 0)
	half := (m.High - m.Low) / 2 / cmplx.Abs(gain)
	if !(half < math.Pi/4) {
		c.Lag = estimate.Missing[circular.Angle](codeHardly, "lag",
			"the hand point travels too little with the tip, or too unevenly, for its lag to be read")
		return c
	}
	at := cmplx.Phase(gain)
	c.Lag = estimate.Value[circular.Angle]{
		Value: circular.Angle(at), Low: circular.Angle(at - half), High: circular.Angle(at + half),
		Level: m.Level, N: len(parts),
	}
	return c
}

const (
	codeFewCycles = "few_cycles"
	codeHardly    = "hardly_carried"
)

// valueOf returns the carry of some strokes.
func valueOf(s []StrokeCarry) estimate.Value[float64] {
	if len(s) < 2*minCycles {
		return estimate.Missing[float64](codeFewCycles, "carry", fmt.Sprintf(
			"%d strokes in which both points were seen in even playing; it takes %d", len(s), 2*minCycles))
	}
	var ht, tt float64
	for _, q := range s {
		ht += q.weight * q.Hand
		tt += q.weight*q.Tip - q.bias
	}
	value := ht / tt
	xs := make([]float64, len(s))
	size := tt / float64(len(s))
	for i, q := range s {
		xs[i] = (q.weight*q.Hand - value*(q.weight*q.Tip-q.bias)) / size
	}
	m := estimate.Mean(xs, 0)
	half := math.Hypot((m.High-m.Low)/2, finite)
	return estimate.Value[float64]{Value: value, Low: value - half, High: value + half, Level: m.Level, N: len(s)}
}

// Between returns the carry of the strokes whose middle lies in [start, end),
// in seconds.
func (c *Carry) Between(start, end float64) estimate.Value[float64] {
	from, to := c.within(start, end)
	return valueOf(c.Strokes[from:to])
}

func (c *Carry) within(start, end float64) (from, to int) {
	for from < len(c.Strokes) && c.Strokes[from].Time < start {
		from++
	}
	to = from
	for to < len(c.Strokes) && c.Strokes[to].Time < end {
		to++
	}
	return from, to
}

// Over returns the carry over time: of the strokes in a stretch of that length
// in seconds, which moves on by half its length at a time, from the first
// stroke to the last. A length that is not positive gives nothing.
func (c *Carry) Over(length float64) []CarryAt {
	if len(c.Strokes) == 0 || !(length > 0) {
		return nil
	}
	var out []CarryAt
	first, last := c.Strokes[0].Time, c.Strokes[len(c.Strokes)-1].Time
	for k := 0; ; k++ {
		start := first + float64(k)*length/2
		if k > 0 && start+length/2 > last {
			return out
		}
		out = append(out, CarryAt{Start: start, End: start + length, Value: c.Between(start, start+length)})
	}
}
