package contact

import (
	"fmt"
	"math"

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
	// Offset is by how much the sound lags behind the film, in seconds.
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
	// Struck says for each stroke whether a note sounded then. It is unknown
	// for strokes more than a second outside the list, and for all of them
	// where Absent says why.
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
}

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
			return nil, fmt.Errorf("contact: onset %d at %v s: times must be finite and increase", i, on.Time)
		}
	}
	if !(o.Window > 0 && o.Window <= 1) || !(o.MaxOffset > 0 && o.MaxOffset <= 10) || math.IsNaN(o.Offset) || math.IsInf(o.Offset, 0) {
		return nil, fmt.Errorf("contact: a window of %v strokes, an offset of %v s and a search to %v s: the window is at most a stroke, the search at most 10 s",
			o.Window, o.Offset, o.MaxOffset)
	}
	m := &Match{Options: o, Struck: make([]Answer, len(strokes)), Onset: make([]int, len(strokes)), Scatter: math.NaN()}
	for i := range m.Onset {
		m.Onset[i] = -1
	}
	none := func(code, why string) (*Match, error) {
		m.Absent = &estimate.Absence{Code: code, What: "strokes struck", Why: why}
		m.Offset = estimate.Missing[float64](code, "lag of the sound", why)
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
	m.take(strokes, onsets, &fit)
	switch m.Scatter = fit.scatter; {
	case fit.pairs == 0:
		return none("no pairs", "no onset lies near a stroke: the list may belong to another take, or begin at another moment (offset)")
	case rival != nil:
		why := fmt.Sprintf("the onsets fit the strokes as well with a lag of %.0f ms as with %.0f ms: the playing is too even to tell; give the lag (offset)",
			1000*fit.offset, 1000*rival.offset)
		m.Offset = estimate.Missing[float64]("undecided", "lag of the sound", why)
		if fit.pairs < len(strokes) {
			m.Absent = &estimate.Absence{Code: "undecided", What: "strokes struck", Why: why}
			clear(m.Struck)
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
func (m *Match) take(strokes []motion.Stroke, onsets []Onset, fit *alignment) {
	const margin = 1.0 // s
	first, last := onsets[0].Time-fit.offset-margin, onsets[len(onsets)-1].Time-fit.offset+margin
	used := make([]bool, len(onsets))
	m.levels, m.directions = make([]float64, len(strokes)), make([]motion.Direction, len(strokes))
	for i, k := range fit.pair {
		m.Onset[i] = k
		m.levels[i], m.directions[i] = math.NaN(), strokes[i].Direction
		switch mid := strokes[i].Middle(); {
		case k >= 0:
			m.Struck[i] = Yes
			used[k] = true
			m.levels[i] = onsets[k].Level
		case mid >= first && mid <= last:
			m.Struck[i] = No
		}
	}
	for k, u := range used {
		if !u {
			m.Extra = append(m.Extra, k)
		}
	}
}

// Missed returns the share of the strokes that did not sound, with an exact
// interval for as many independent strokes as their long-run variance leaves.
func (m *Match) Missed() estimate.Value[float64] {
	var silent []float64
	for _, s := range m.Struck {
		if s != Unknown {
			silent = append(silent, count(s == No))
		}
	}
	if len(silent) == 0 {
		a := m.Absent
		if a == nil {
			a = &estimate.Absence{Code: "no strokes", Why: "the list of onsets does not cover the strokes"}
		}
		return estimate.Missing[float64](a.Code, "share of strokes that do not sound", a.Why)
	}
	return share(silent)
}
