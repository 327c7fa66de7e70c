package live

import (
	"bytes"
	"encoding/json"
	"fmt"
	"math"
	"strconv"

	"github.com/plectrace/plectrace/motion"
	"github.com/plectrace/plectrace/variability/settling"
)

// schema names what a saved tracker is.
const schema = "plectrace/live/1"

// saved is a tracker in a file.
type saved struct {
	Schema   string           `json:"schema"`
	Options  Options          `json:"options"`
	State    state            `json:"state"`
	First    int              `json:"first_sample"`
	Columns  []column         `json:"columns"`
	Analyzer *motion.Analyzer `json:"analyzer"`
	Watch    json.RawMessage  `json:"watch"`
}

// column is a column of samples; NaN is null. Numbers are written so that they are
// read back as they were.
type column []float64

// MarshalJSON returns the values.
func (c column) MarshalJSON() ([]byte, error) {
	b := []byte{'['}
	for i, v := range c {
		if i > 0 {
			b = append(b, ',')
		}
		if v != v {
			b = append(b, "null"...)
		} else {
			b = strconv.AppendFloat(b, v, 'g', -1, 64)
		}
	}
	return append(b, ']'), nil
}

// UnmarshalJSON reads the values.
func (c *column) UnmarshalJSON(b []byte) error {
	var x []*float64
	if err := json.Unmarshal(b, &x); err != nil {
		return err
	}
	*c = make(column, len(x))
	for i, v := range x {
		(*c)[i] = nan
		if v != nil {
			(*c)[i] = *v
		}
	}
	return nil
}

// MarshalJSON returns all that t needs to go on: its options, the samples of the
// window and what it has learned. A tracker restored from it goes on exactly as t
// does.
func (t *Tracker) MarshalJSON() ([]byte, error) {
	if t.watch == nil {
		return nil, fmt.Errorf("live: a tracker that New has not made has no state")
	}
	watch, err := t.watch.MarshalJSON()
	if err != nil {
		return nil, err
	}
	f := saved{Schema: schema, Options: t.o, State: t.s, First: t.store.first, Analyzer: &t.analyzer, Watch: watch}
	f.State.Early.Turned = t.s.Early.detector.State()
	if f.State.Samples == 0 {
		f.State.Last = 0
	}
	if f.State.Done.Number == 0 {
		f.State.Done.Until = 0
	}
	for c := range t.store.columns() {
		f.Columns = append(f.Columns, *t.store.column(c))
	}
	return json.Marshal(f)
}

// UnmarshalJSON makes t the tracker that was saved, whatever it was before. The
// error says what is wrong with the text; t is then as it was.
func (t *Tracker) UnmarshalJSON(b []byte) error {
	bad := func(format string, args ...any) error {
		return fmt.Errorf("live: a saved tracker: %w", fmt.Errorf(format, args...))
	}
	f := saved{Analyzer: new(motion.Analyzer)}
	d := json.NewDecoder(bytes.NewReader(b))
	if err := d.Decode(&f); err != nil {
		return bad("%w", err)
	}
	if f.Schema != schema {
		return bad("its schema is %q, want %q", f.Schema, schema)
	}
	if f.Analyzer == nil {
		return bad("the analyzer is missing")
	}
	n, err := New(f.Options)
	if err != nil {
		return bad("%w", err)
	}
	if err := n.restore(&f); err != nil {
		return bad("%w", err)
	}
	*t = *n
	return nil
}

// restore takes what was saved into a new tracker.
func (t *Tracker) restore(f *saved) error {
	if err := f.State.check(); err != nil {
		return err
	}
	if err := t.restoreStore(f); err != nil {
		return err
	}
	watch := settling.NewWatch(t.o.Settling)
	if err := json.Unmarshal(f.Watch, watch); err != nil {
		return err
	}
	t.analyzer = *f.Analyzer
	ahead := append(t.s.Ahead, f.State.Ahead...)
	t.watch, t.s = watch, f.State
	t.s.Ahead = ahead
	if t.s.Samples == 0 {
		t.s.Last = math.Inf(-1)
	}
	if t.s.Done.Number == 0 {
		t.s.Done.Until = math.Inf(-1)
	}
	if !t.s.Early.detector.Restore(t.s.Early.Turned) {
		return fmt.Errorf("the turn detector's state is not one: %+v", t.s.Early.Turned)
	}
	if (t.o.Placed || t.brought == 0) && !t.s.Sight.Known {
		return fmt.Errorf("the frame is missing")
	}
	return nil
}

// restoreStore takes the samples.
func (t *Tracker) restoreStore(f *saved) error {
	if len(f.Columns) != t.store.columns() {
		return fmt.Errorf("there are %d columns of samples, want %d", len(f.Columns), t.store.columns())
	}
	n := len(f.Columns[0])
	if n > t.o.MaxSamples || f.First < 0 || f.First+n != f.State.Samples {
		return fmt.Errorf("samples %d to %d are kept of %d, at most %d", f.First, f.First+n, f.State.Samples, t.o.MaxSamples)
	}
	last := math.Inf(-1)
	for i, v := range f.Columns[0] {
		if !(v > last) || math.Abs(v) > latest {
			return fmt.Errorf("time %d is %v after %v", i, v, last)
		}
		last = v
	}
	if n > 0 && last != f.State.Last || n > 1 && !(f.State.Step > 0) {
		return fmt.Errorf("the last time is %v, or %v, and the interval %v", last, f.State.Last, f.State.Step)
	}
	for c, x := range f.Columns {
		if len(x) != n {
			return fmt.Errorf("column %d has %d samples, and time has %d", c, len(x), n)
		}
		for i, v := range x {
			if math.Abs(v) > 1e3*farthest {
				return fmt.Errorf("sample %d of column %d is %v", i, c, v)
			}
		}
		*t.store.column(c) = x
	}
	for i := range n {
		if s := &t.store; wrong(&[3]float64{s.tip[0][i], s.tip[1][i], s.tip[2][i]}, t.axes) != "" || wrong(&[3]float64{s.raw[0][i], s.raw[1][i], s.raw[2][i]}, t.axes) != "" {
			return fmt.Errorf("sample %d of the tip is missing on some axes", i)
		}
		for k := range t.store.marks {
			m := &t.store.marks[k]
			if wrong(&[3]float64{m[0][i], m[1][i], m[2][i]}, t.axes) != "" {
				return fmt.Errorf("sample %d of mark %d is missing on some axes", i, k)
			}
		}
	}
	t.store.first = f.First
	return nil
}

// check reports what no tracker can have been in.
func (s *state) check() error {
	e, d := &s.Early, &s.Done
	for _, l := range []*last{&e.Speeds, &e.Lengths, &e.Lasts, &e.Turns, &d.Lengths, &d.Angles} {
		if l.N < 0 {
			return fmt.Errorf("%d values are kept", l.N)
		}
	}
	c := &s.Counts
	for _, n := range []int{
		s.Samples, s.Odd, e.Sizes, e.Held, d.Number, d.Prompts, c.Samples, c.Missing, c.Doubtful, c.Held, c.Cut,
		c.Repeated, c.Late, c.MarksHidden, c.Turns, c.Provisional, c.Final, c.Withdrawn,
	} {
		if n < 0 {
			return fmt.Errorf("a count is %d", n)
		}
	}
	if len(s.Ahead) > aheadMost {
		return fmt.Errorf("%d provisional strokes wait, at most %d", len(s.Ahead), aheadMost)
	}
	for _, v := range []float64{s.Step, s.OddSum, e.Noise, d.PerStroke, d.Playing, d.Played, d.TipNoise, s.Sight.Sum, s.Sight.N, float64(s.Rate)} {
		if !(v >= 0) {
			return fmt.Errorf("a quantity that cannot be negative is %g", v)
		}
	}
	return nil
}
