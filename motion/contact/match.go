package contact

import (
	"errors"
	"fmt"
	"math"
	"sort"

	"github.com/plectrace/plectrace/motion"
	"github.com/plectrace/plectrace/variability/estimate"
)

// MatchOptions are the settings of MatchOnsets. The zero value is the
// documented default.
type MatchOptions struct {
	// Window is how far from a stroke's moment at the string its onset may
	// lie at most, as a share of the median stroke. Zero means 0.5. Onsets
	// that keep closer to the strokes narrow it by themselves.
	Window float64 `json:"window"`
	// Offset is by how much the sound lags behind the film, in seconds
	// (onset_lag_s in settings).
	Offset float64 `json:"offset_s,omitempty"`
	// FindOffset says that the lag is to be found from the onsets themselves,
	// within MaxOffset of Offset.
	FindOffset bool `json:"find_offset,omitempty"`
	// MaxOffset is in seconds. Zero means 0.1, which holds the lags of common
	// recorders (common practice).
	MaxOffset float64 `json:"max_offset_s"`
}

func (o MatchOptions) withDefaults() MatchOptions {
	if o.Window == 0 {
		o.Window = 0.5
	}
	if o.MaxOffset == 0 {
		o.MaxOffset = 0.1
	}
	return o
}

// Match is which strokes sounded, by a list of onsets.
type Match struct {
	// Options are those in force, defaults filled in.
	Options MatchOptions
	// Struck says for each stroke whether a note sounded then. Without an onset
	// of its own a stroke is silent only where the film shows when it passed the
	// string, or no onset is left over within half a stroke of it. It is
	// unknown for strokes more than a second outside the list, and for all of
	// them where Absent says why.
	Struck []Answer
	// Onset is for each stroke the index of its onset, or -1.
	Onset []int
	// Extra are the onsets that no stroke made: notes of the other hand,
	// double hits, noises.
	Extra []int
	// Offset is by how much the sound lags behind the film, in seconds,
	// counted from the moment at the string; where that moment is not known,
	// from the stroke's middle.
	Offset estimate.Value[float64]
	// Scatter is the robust standard deviation of the onsets about the
	// strokes' moments, in seconds. NaN with fewer than two pairs.
	Scatter float64
	// Absent is the reason why Struck is unknown throughout.
	Absent *estimate.Absence

	directions []motion.Direction
	levels     []float64 // of each stroke's onset, NaN without
	heard      []heard
}

// heard is what a stroke counts as in the share of silent ones.
type heard int8

const (
	leftOut heard = iota // outside the list, or when it was is a guess
	sounded
	silent
	either // an onset lies near, and the film does not show whether it is its
)

// MatchOnsets pairs onsets with strokes, one to one and in order. c, which may
// be nil, gives the strokes' moments at the string; the strokes' middles serve
// where it has none. Onsets must be in order of time.
func MatchOnsets(strokes []motion.Stroke, c *Contacts, onsets []Onset, o MatchOptions) (*Match, error) {
	o = o.withDefaults()
	if c != nil && len(c.Strokes) != len(strokes) {
		panic("contact: contacts of other strokes")
	}
	times := make([]float64, len(onsets))
	for i, on := range onsets {
		times[i] = on.Time
		if math.IsNaN(on.Time) || math.IsInf(on.Time, 0) || i > 0 && on.Time <= times[i-1] {
			return nil, fmt.Errorf("onsets: onset %d is at %v s; times must be finite and increase: sort the list by time", i+1, on.Time)
		}
	}
	switch {
	case !(o.Window > 0 && o.Window <= 1):
		return nil, fmt.Errorf("onsets: the window is %v strokes; give more than 0, up to 1", o.Window)
	case !(o.MaxOffset > 0 && o.MaxOffset <= 10):
		return nil, fmt.Errorf("onsets: the lag is sought within %v s; give more than 0, up to 10", o.MaxOffset)
	case math.IsNaN(o.Offset) || math.IsInf(o.Offset, 0):
		return nil, errors.New("onsets: onset_lag_s is no number; give by how many seconds the sound lags behind the film")
	}
	m := &Match{Options: o, Struck: make([]Answer, len(strokes)), Onset: make([]int, len(strokes)), Scatter: math.NaN()}
	for i := range m.Onset {
		m.Onset[i] = -1
	}
	none := func(code, why string) (*Match, error) {
		m.Absent = &estimate.Absence{Code: code, What: "strokes struck", Why: why}
		m.Offset = estimate.Missing[float64](code, "lag of the sound", why)
		clear(m.Struck)
		clear(m.heard)
		m.Extra = m.Extra[:0]
		for i := range onsets {
			m.Extra = append(m.Extra, i)
		}
		return m, nil
	}
	switch {
	case len(onsets) == 0:
		return none("no onsets", "the list of onsets is empty")
	case len(strokes) == 0:
		return none("no strokes", "no strokes were found")
	}
	a := newAligner(strokes, c, times, o)
	fit, rival := a.find()
	m.take(a, strokes, onsets, &fit)
	switch m.Scatter = fit.scatter; {
	case fit.pairs == 0:
		return none("no pairs", "no onset lies near a stroke: the list may belong to another take, or begin at another moment: give the lag of the sound (onset_lag_s)")
	case rival != nil:
		why := fmt.Sprintf("the onsets fit the strokes as well with a lag of %.0f ms as with %.0f ms: the playing is too even to tell; give the lag of the sound (onset_lag_s)",
			1000*fit.offset, 1000*rival.offset)
		m.Offset = estimate.Missing[float64]("undecided", "lag of the sound", why)
		if fit.pairs < len(strokes) {
			m.Absent = &estimate.Absence{Code: "undecided", What: "strokes struck", Why: why}
			clear(m.Struck)
			clear(m.heard)
		}
		return m, nil
	}
	lags := make([]float64, 0, fit.pairs)
	for i, k := range fit.pair {
		if k >= 0 {
			lags = append(lags, times[k]-a.moments[i].first)
		}
	}
	m.Offset = estimate.SeriesMedian(lags, 0.95)
	m.Offset.Value = fit.offset
	return m, nil
}

// take fills in the pairs.
func (m *Match) take(a *aligner, strokes []motion.Stroke, onsets []Onset, fit *alignment) {
	const margin = 1.0 // s
	first, last := onsets[0].Time-fit.offset-margin, onsets[len(onsets)-1].Time-fit.offset+margin
	used := make([]bool, len(onsets))
	for _, k := range fit.pair {
		if k >= 0 {
			used[k] = true
		}
	}
	var free []float64
	for k, u := range used {
		if !u {
			m.Extra = append(m.Extra, k)
			free = append(free, onsets[k].Time-fit.offset)
		}
	}
	n := len(strokes)
	m.levels, m.directions, m.heard = make([]float64, n), make([]motion.Direction, n), make([]heard, n)
	for i, k := range fit.pair {
		m.Onset[i] = k
		m.levels[i], m.directions[i] = math.NaN(), strokes[i].Direction
		switch mid := strokes[i].Middle(); {
		case k >= 0:
			m.heard[i] = sounded
			m.levels[i] = onsets[k].Level
		case !(mid >= first && mid <= last):
		case a.sight[i] == plain || !a.near(&strokes[i], i, free, fit.shift[a.dir[i]]):
			m.heard[i] = silent
		default:
			m.heard[i] = either
		}
		if m.Struck[i] = m.heard[i].struck(); a.sight[i] == blind {
			m.heard[i] = leftOut
			if k < 0 {
				m.Struck[i] = Unknown
			}
		}
	}
}

// struck is what a stroke so heard did.
func (h heard) struck() Answer {
	switch h {
	case sounded:
		return Yes
	case silent:
		return No
	}
	return Unknown
}

// near reports whether one of times, which increase, lies within half a stroke
// of the moment of stroke i, or within the stroke, shifted by that much.
func (a *aligner) near(s *motion.Stroke, i int, times []float64, shift float64) bool {
	from := math.Min(s.Start, a.moments[i].first-a.stroke/2)
	to := math.Max(s.End, a.moments[i].last+a.stroke/2)
	k := sort.SearchFloat64s(times, from+shift)
	return k < len(times) && times[k] <= to+shift
}

// Silent returns the share of the strokes that did not sound, with an exact
// interval for as many independent strokes as their long-run variance leaves.
// Strokes of which it cannot be said, as an onset lies near, count as sounded in
// the value and at the interval's low end, as silent at its high end. Those that
// the film hides at the string are left out, whether or not they have an onset.
func (m *Match) Silent() estimate.Value[float64] {
	var likely, perhaps []float64
	for _, h := range m.heard {
		if h != leftOut {
			likely = append(likely, count(h == silent))
			perhaps = append(perhaps, count(h != sounded))
		}
	}
	if len(likely) == 0 {
		a := m.Absent
		if a == nil {
			a = &estimate.Absence{Code: "no strokes", Why: "the list of onsets does not cover the strokes, or the film hides them at the string"}
		}
		return estimate.Missing[float64](a.Code, "share of strokes that do not sound", a.Why)
	}
	v := share(likely)
	v.High = share(perhaps).High
	return v
}
