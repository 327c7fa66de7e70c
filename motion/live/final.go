package live

import (
	"math"
	"slices"

	"github.com/plectrace/plectrace/motion"
	"github.com/plectrace/plectrace/variability/circular"
	"github.com/plectrace/plectrace/variability/robust"
	"github.com/plectrace/plectrace/variability/settling"
)

// done is how far final strokes have come.
type done struct {
	Looked float64 `json:"looked"` // when they were last looked for
	Until  float64 `json:"until"`  // end of the last
	Pause  float64 `json:"pause"`  // end of the last pause told
	Number int     `json:"number"` // strokes told
	// PerStroke is the samples per stroke of the last look, 0 before.
	PerStroke float64 `json:"per_stroke"`
	Lengths   last    `json:"lengths"`
	Angles    last    `json:"angles"` // rad
	Cut       float64 `json:"cut"`    // time up to which samples were looked at for cuts
	TipNoise  float64 `json:"tip_noise"`
	Spectral  float64 `json:"spectral"`

	Playing float64 `json:"playing"` // s since the last rest
	Played  float64 `json:"played"`
	Prompts int     `json:"prompts"` // in this stretch of playing
}

// angle is the median of the last angles, about the last; NaN of none.
func (d *done) angle() circular.Angle {
	if d.Angles.N == 0 {
		return circular.Angle(nan)
	}
	at := circular.Angle(d.Angles.back(0))
	x := d.Angles.X
	y := x[:min(d.Angles.N, lastMost)]
	for i, v := range y {
		y[i] = (circular.Angle(v) - at).Axial().Radians()
	}
	return (at + circular.Angle(robust.MedianInPlace(y))).Axial()
}

// ahead is a provisional stroke that waits for its final one.
type ahead struct {
	Number     int              `json:"number"`
	Direction  motion.Direction `json:"direction"`
	Start, End float64
	Hidden     bool `json:"hidden"`
}

// aheadMost is more than the strokes that a final one lags behind.
const aheadMost = 96

// expect keeps a provisional stroke until its final one comes.
func (t *Tracker) expect(number int, st *motion.Stroke) {
	if len(t.s.Ahead) == aheadMost {
		t.s.Ahead = t.s.Ahead[:copy(t.s.Ahead, t.s.Ahead[1:])]
	}
	t.s.Ahead = append(t.s.Ahead, ahead{number, st.Direction, st.Start, st.End, st.TurnHidden()})
}

// confirms takes the provisional stroke of st out of those that wait, and returns
// its number, -1 for none.
func (t *Tracker) confirms(st *motion.Stroke) int {
	best, off := -1, 0.35*st.Duration()
	for k := range t.s.Ahead {
		a := &t.s.Ahead[k]
		if d := math.Abs((a.Start+a.End)/2 - st.Middle()); a.Direction == st.Direction && d <= off {
			best, off = k, d
		}
	}
	if best < 0 {
		return -1
	}
	number := t.s.Ahead[best].Number
	t.s.Ahead = t.s.Ahead[:best+copy(t.s.Ahead[best:], t.s.Ahead[best+1:])]
	return number
}

// withdraw tells those provisional strokes that end by until and have no final one.
func (t *Tracker) withdraw(dst []Event, until, now float64) []Event {
	kept := t.s.Ahead[:0]
	for _, a := range t.s.Ahead {
		if a.End > until {
			kept = append(kept, a)
			continue
		}
		st := unmeasured()
		st.Direction, st.Start, st.End = a.Direction, a.Start, a.End
		t.s.Counts.Withdrawn++
		dst = append(dst, Event{Kind: Withdrawn, T: a.End, At: now, Stroke: st, Number: a.Number})
	}
	t.s.Ahead = kept
	return dst
}

// settle takes the strokes of m that end by until, and lie behind those told.
func (t *Tracker) settle(dst []Event, m *motion.Motion, until, now float64) []Event {
	d := &t.s.Done
	from := len(dst)
	for i := range m.Strokes {
		st := &m.Strokes[i]
		if st.Middle() <= d.Until || st.End > until {
			continue
		}
		if t.wavers(st) {
			continue
		}
		dst = t.final(dst, st, now)
	}
	dst = withoutTakenBack(dst, from)
	for _, p := range m.Pauses {
		if p.Start > d.Pause && p.End <= until {
			d.Pause = p.End
			dst = append(dst, Event{Kind: Pause, T: p.Start, At: now, Seconds: p.End - p.Start})
		}
	}
	return dst
}

// withoutTakenBack leaves out of the events of one look, those from index from on,
// a Searching all of which the next Settled takes back: it held at no moment.
func withoutTakenBack(dst []Event, from int) []Event {
	searching := -1
	for i := from; i < len(dst); i++ {
		switch dst[i].Kind {
		case Searching:
			searching = i
		case Settled:
			if searching >= 0 && dst[i].Since <= dst[searching].Since {
				dst = slices.Delete(dst, searching, searching+1)
				i--
			}
			searching = -1
		}
	}
	return dst
}

// wavers reports whether st is so much shorter than strokes were that it is not
// told from a wavering of the hand, as motion.Analyze says.
func (t *Tracker) wavers(st *motion.Stroke) bool {
	return t.s.Done.Lengths.N >= lastMost && st.Seen.Length < t.s.Done.Lengths.median()/8
}

// final tells a stroke.
func (t *Tracker) final(dst []Event, st *motion.Stroke, now float64) []Event {
	d := &t.s.Done
	t.played(st)
	d.Until = st.End
	number := d.Number
	d.Number++
	t.s.Counts.Final++
	dst = append(dst, Event{Kind: Final, T: st.End, At: now, Stroke: *st, Number: number, Confirms: t.confirms(st)})
	if st.TurnHidden() {
		at := st.End
		if st.StartHidden && !st.EndHidden {
			at = st.Start
		}
		dst = append(dst, Event{Kind: HiddenTurn, T: at, At: now, Stroke: *st, Number: number})
	}
	if v := st.Seen.Length; v == v {
		d.Lengths.push(v)
	}
	if a := st.PathAngle; a == a {
		d.Angles.push(a.Radians())
		if d.Angles.N >= 4 {
			dst = append(dst, Event{Kind: PathAngle, T: st.End, At: now, Angle: d.angle()})
		}
	}
	dst = t.tell(dst, st, now)
	if after := t.o.RestAfter; after > 0 && d.Playing >= after*(1+float64(d.Prompts)/5) {
		d.Prompts++
		dst = append(dst, Event{Kind: Rest, T: st.End, At: now, Seconds: d.Playing})
	}
	return dst
}

// restsFor is how long a hand may rest, in seconds, and still count as playing.
const restsFor = 2.0

// played takes st into the playing time.
func (t *Tracker) played(st *motion.Stroke) {
	d := &t.s.Done
	gap := st.Start - d.Until
	switch {
	case d.Number == 0:
		gap = 0
	case gap >= t.o.RestFor:
		d.Playing, d.Prompts, gap = 0, 0, 0
	case gap > restsFor:
		gap = 0
	}
	add := st.Duration() + max(gap, 0)
	d.Playing += add
	d.Played += add
}

// tell takes st into the watch on settling.
func (t *Tracker) tell(dst []Event, st *motion.Stroke, now float64) []Event {
	in := settling.Stroke{
		Start: st.Start, End: st.End, Duration: st.Duration(), Length: st.Seen.Length, Angle: st.Seen.Angle,
		AngleNoise: st.Seen.AngleNoise, DurationNoise: st.Noise.Duration, LengthNoise: st.Seen.LengthNoise,
		Down: st.Direction == motion.Down, Break: !st.Joined,
	}
	if st.Bridged {
		in.Duration = nan // counted, not measured
	}
	if t.s.Done.PerStroke < motion.MinSamplesAngles && !(in.AngleNoise <= t.o.Settling.Tolerances.Angle/2) {
		in.Angle = circular.Angle(nan)
	}
	r := t.watch.Push(in)
	was := t.s.Tells
	known := r.P == r.P
	t.s.Tells = Telling{Known: known, Settled: r.Settled, Since: st.Start}
	if !known {
		if was.Known && was.Settled {
			dst = append(dst, Event{Kind: Searching, T: st.End, At: now, P: nan, Since: st.Start})
		}
		return dst
	}
	t.s.Tells.P = r.P
	if was.Known && was.Settled == r.Settled {
		t.s.Tells.Since = was.Since
		return dst
	}
	e := Event{Kind: Searching, T: st.End, At: now, P: r.P, Since: st.Start}
	if r.Settled {
		e.Kind = Settled
		if r.Since == r.Since {
			e.Since = r.Since
		}
	}
	t.s.Tells.Since = e.Since
	return append(dst, e)
}
