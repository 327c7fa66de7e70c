package settling

import (
	"fmt"
	"math"

	"github.com/plectrace/plectrace/variability/estimate"
)

// Column is one more measurement of every stroke, such as a height, for
// [Explore].
type Column struct {
	Name   string
	Values []float64 // one per stroke; NaN: not had
	// Noise is the standard deviation of the measurement noise and Tolerance
	// the scatter that a settled stroke may have, in the unit of Values. A noise
	// that is NaN is not known and counts as none.
	Noise, Tolerance float64
}

// ExploreOptions are the settings of [Explore].
type ExploreOptions struct {
	// Columns are looked at beside angle, duration and length.
	Columns []Column
	// Threshold is the correlation of a stroke with the one a cycle before
	// that parts fresh draws from a wander. Zero means 0.3: less than a tenth
	// of the variance then comes from the stroke before. Outside (-1, 1) there
	// are no verdicts.
	Threshold float64
}

// Draws says whether searching strokes are drawn afresh or wander.
type Draws int

// The verdicts. The zero value: not judged.
const (
	Fresh       Draws = iota + 1 // each stroke is a draw of its own
	Wander                       // a stroke starts from the one a cycle before
	DrawsUnsure                  // the data do not say
)

var drawsText = [...]string{"", "fresh", "wander", "cannot say"}

// String returns "fresh", "wander", "cannot say" or "" for not judged.
func (d Draws) String() string { return nameOf(int(d), drawsText[:], "Draws") }

// MarshalText implements encoding.TextMarshaler.
func (d Draws) MarshalText() ([]byte, error) { return []byte(d.String()), nil }

// UnmarshalText implements encoding.TextUnmarshaler.
func (d *Draws) UnmarshalText(b []byte) (err error) {
	*d, err = valueOf[Draws](string(b), drawsText[:], "kind of draws")
	return err
}

// Explored is what searching does to one measurement.
type Explored struct {
	Name string // "angle", "duration", "length" or that of a column

	// Scatter is the standard deviation of the searching strokes in
	// tolerances, the noise taken off, about the centre that all searching
	// strokes of the direction have.
	Scatter estimate.Value[float64]
	// Ratio is Scatter over that of the settled strokes about the centres of
	// their spans. It is above 1 where the measurement has told the spans
	// apart, which its interval does not know.
	Ratio estimate.Value[float64]
	// Share is the measurement's part of the exploration, the sum of the
	// squared scatters in tolerances.
	Share estimate.Value[float64]
	// Memory is the correlation of searching strokes with those a cycle before,
	// about the centre of their span, with the noise and the bias of short
	// spans taken off.
	Memory estimate.Value[float64]
	// Draws holds the interval of Memory against the threshold.
	Draws Draws
}

// Exploration is what searching is made of.
type Exploration struct {
	Features []Explored
	// Memory and Draws are those of all measurements together, each counted by
	// its own scatter.
	Memory estimate.Value[float64]
	Draws  Draws

	Spans, Strokes int     // searching
	Seconds        float64 // that these strokes last

	Options ExploreOptions // those used
	Notes   []string
	Absent  *estimate.Absence
}

// minCycles is the number of cycles, of pairs of strokes a cycle apart, below
// which nothing is told.
const minCycles = estimate.MinBlocks

// Explore describes what the searching strokes of a take do in each of angle,
// duration, length and the columns given. r must be what [Find] returned for
// strokes; it panics if their numbers, or those of a column, differ.
//
// Where r is absent, or no more than 24 strokes are searching, so is the
// result. A measurement that took no part in r, or a column that too few
// searching strokes have, is left out with a note. Strokes are compared only
// within a span.
func Explore(strokes []Stroke, r Result, o ExploreOptions) Exploration {
	if len(strokes) != len(r.Labels) {
		panic("settling: strokes and result of unequal length")
	}
	for _, col := range o.Columns {
		if len(col.Values) != len(strokes) {
			panic("settling: strokes and column of unequal length")
		}
	}
	if o.Threshold == 0 {
		o.Threshold = 0.3
	}
	e := Exploration{Options: o}
	none := func(a *estimate.Absence) Exploration {
		e.Absent = a
		e.Memory = estimate.Value[float64]{Absent: a}
		return e
	}
	if r.Absent != nil {
		return none(r.Absent)
	}
	c, why := newColumns(strokes, r.Options.orDefault().Tolerances)
	if why != nil {
		return none(why)
	}
	x := explorer{c: c}
	for _, s := range r.Spans {
		if s.Settled {
			x.holds = append(x.holds, run{s.First, s.Last + 1})
			continue
		}
		x.searches = append(x.searches, run{s.First, s.Last + 1})
		e.Spans++
		e.Strokes += s.Last - s.First + 1
		for i := s.First; i <= s.Last; i++ {
			e.Seconds += c.lasts(i)
		}
	}
	const least = 2 * minCycles
	if e.Strokes <= least {
		return none(&estimate.Absence{Code: "too-few-strokes", What: "exploration",
			Why: fmt.Sprintf("only %d strokes are searching; more than %d are needed", e.Strokes, least)})
	}
	x.columns(&e)
	x.memories(&e)
	x.scatters(e.Features)
	return e
}

// explorer holds the columns looked at, in tolerances.
type explorer struct {
	c               *columns
	holds, searches []run
	cols            []explored
	buf             []float64
}

type explored struct {
	x     []float64
	noise float64
}

// columns collects the measurements that enough searching strokes have.
func (x *explorer) columns(e *Exploration) {
	take := func(name string, xs []float64, noise float64) {
		had := 0
		for _, s := range x.searches {
			for _, v := range xs[s.lo:s.hi] {
				if v == v {
					had++
				}
			}
		}
		if had <= 2*minCycles {
			e.Notes = append(e.Notes, fmt.Sprintf("the %s is left out: only %d searching strokes have one", name, had))
			return
		}
		x.cols = append(x.cols, explored{xs, noise})
		e.Features = append(e.Features, Explored{Name: name})
	}
	for f := range features {
		if !x.c.used[f] {
			e.Notes = append(e.Notes, fmt.Sprintf("the %s takes no part in telling the spans apart and is left out", featureName[f]))
			continue
		}
		xs := make([]float64, len(x.c.x))
		for i := range xs {
			xs[i] = x.c.x[i][f]
		}
		take(featureName[f], xs, x.c.noise[f])
	}
	for _, col := range e.Options.Columns {
		if !(col.Tolerance > 0) {
			e.Notes = append(e.Notes, fmt.Sprintf("the %s is left out: its tolerance must be a positive number", col.Name))
			continue
		}
		xs := make([]float64, len(col.Values))
		for i, v := range col.Values {
			xs[i] = sane(v / col.Tolerance)
		}
		noise := math.Abs(col.Noise) / col.Tolerance
		if noise != noise {
			e.Notes = append(e.Notes, fmt.Sprintf("the noise of the %s is not known and taken as none", col.Name))
			noise = 0
		}
		take(col.Name, xs, noise)
	}
}
