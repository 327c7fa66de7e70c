package live

import (
	"math"

	"github.com/plectrace/plectrace/motion"
	"github.com/plectrace/plectrace/tempo"
	"github.com/plectrace/plectrace/variability/circular"
	"github.com/plectrace/plectrace/variability/settling"
)

// Tracker follows the strokes of one tip. Make one with [New].
type Tracker struct {
	o       Options
	axes    []int // of Sample.Tip
	brought int   // marks of a sample

	s     state
	store store

	analyzer motion.Analyzer
	watch    *settling.Watch
	window   window
	marks    [][3]float64 // of the sample in hand
}

// state is what a tracker keeps besides its samples, the analyzer and the watch.
type state struct {
	Samples int     `json:"samples"` // taken in all
	Last    float64 `json:"last"`    // time of the last
	Step    float64 `json:"step"`    // usual interval
	Odd     int     `json:"odd"`     // intervals in a row that are unlike it
	OddSum  float64 `json:"odd_sum"`
	Sight   sight   `json:"sight"`
	Smooth  smooth  `json:"smooth"`
	Early   early   `json:"early"`
	Done    done    `json:"done"`
	Ahead   []ahead `json:"ahead,omitempty"` // provisional strokes that wait for final ones
	Counts  Counts  `json:"counts"`

	Rate  tempo.NotesPerSecond `json:"rate"` // 0 for not known
	Tells Telling              `json:"telling"`
}

// Counts are numbers of what came and what was told.
type Counts struct {
	Samples     int `json:"samples"`     // taken
	Missing     int `json:"missing"`     // of them without a tip
	Doubtful    int `json:"doubtful"`    // of those for their confidence
	Held        int `json:"held"`        // held back because the tip went too far at once
	Cut         int `json:"cut"`         // taken for the tracker's mistakes
	Repeated    int `json:"repeated"`    // left out
	Late        int `json:"late"`        // left out
	MarksHidden int `json:"marks"`       // with a mark missing
	Turns       int `json:"turns"`       // told
	Provisional int `json:"provisional"` // strokes told
	Final       int `json:"final"`
	Withdrawn   int `json:"withdrawn"`
}

// Telling is what holds at present.
type Telling struct {
	// Known is whether settled and searching can be told; P is the probability
	// of settled then.
	Known   bool    `json:"known"`
	Settled bool    `json:"settled"`
	P       float64 `json:"p"`
	Since   float64 `json:"since"`
}

// New returns a tracker that has seen nothing. The error says what the options
// lack, or what cannot be.
func New(o Options) (*Tracker, error) {
	o = o.withDefaults()
	if err := o.validate(); err != nil {
		return nil, err
	}
	t := &Tracker{o: o, axes: o.axes(), brought: o.brought()}
	t.watch = settling.NewWatch(o.Settling)
	t.o.Settling = t.watch.Options()
	t.marks = make([][3]float64, t.brought)
	t.store.marks = make([][3][]float64, t.brought)
	t.window.init(t.brought)
	t.s.Ahead = make([]ahead, 0, aheadMost)
	t.begin()
	return t, nil
}

// begin makes the state that of a tracker that has seen nothing.
func (t *Tracker) begin() {
	scratch := t.s.Early.scratch
	t.s = state{Last: math.Inf(-1), Ahead: t.s.Ahead[:0], Done: done{Until: math.Inf(-1)}}
	t.s.Early.scratch = scratch
	switch {
	case t.o.Placed:
		t.s.Sight = sight{Known: true, Turn: 1, Scale: 1, Unit: t.o.Unit}
	case t.brought == 0:
		if f, err := t.o.frame(nil); err == nil { // New has seen to it
			t.s.Sight = sightOf(f, t.o)
		}
	}
}

// Options returns the options in force, defaults filled in.
func (t *Tracker) Options() Options { return t.o }

// Reset makes t forget all that it has seen. Its memory stays.
func (t *Tracker) Reset() {
	t.store.clear()
	t.analyzer.Reset()
	t.watch.Reset()
	t.begin()
}

// Push takes the next sample and appends what it tells to dst. After an error t
// and dst are as they were.
func (t *Tracker) Push(dst []Event, s Sample) ([]Event, error) {
	when, err := t.check(&s, t.s.Samples, t.s.Last)
	if err != nil {
		return dst, err
	}
	if when == onTime {
		if err := t.look(&t.s.Sight, s.Marks); err != nil {
			return dst, err
		}
	}
	return t.take(dst, &s, when), nil
}

// PushAll takes samples as [Tracker.Push] does one. The error is that of the first sample
// with one, whose number counts all that were ever taken; then none of the block
// has been taken.
func (t *Tracker) PushAll(dst []Event, block []Sample) ([]Event, error) {
	last, sight, n := t.s.Last, t.s.Sight, t.s.Samples
	for i := range block {
		when, err := t.check(&block[i], n, last)
		if err != nil {
			return dst, err
		}
		if when != onTime {
			continue
		}
		if err := t.look(&sight, block[i].Marks); err != nil {
			return dst, err
		}
		last = block[i].T
		n++
	}
	for i := range block {
		when, err := t.check(&block[i], t.s.Samples, t.s.Last)
		if err == nil && when == onTime {
			err = t.look(&t.s.Sight, block[i].Marks)
		}
		if err != nil { // not after the look at all of them
			return dst, err
		}
		dst = t.take(dst, &block[i], when)
	}
	return dst, nil
}

// look makes the sight from the first marks that are all seen.
func (t *Tracker) look(s *sight, marks [][3]float64) error {
	if s.Known {
		return nil
	}
	for k := range marks {
		if marks[k][0] != marks[k][0] {
			return nil
		}
	}
	f, err := t.o.frame(marks)
	if err != nil {
		return err
	}
	*s = sightOf(f, t.o)
	return nil
}

// take does what a sample in order asks for.
func (t *Tracker) take(dst []Event, s *Sample, when timing) []Event {
	switch when {
	case repeated:
		t.s.Counts.Repeated++
		return append(dst, Event{Kind: Repeated, T: s.T, At: t.s.Last})
	case late:
		t.s.Counts.Late++
		return append(dst, Event{Kind: Late, T: s.T, At: t.s.Last})
	}
	dst = t.pace(dst, s.T)
	tip := [3]float64{}
	for _, a := range t.axes {
		tip[a] = s.Tip[a]
	}
	seen := tip[t.axes[0]] == tip[t.axes[0]]
	if seen && t.o.MinConfidence > 0 && s.Confidence < t.o.MinConfidence {
		t.s.Counts.Doubtful++
		seen = false
	}
	if !seen {
		tip = [3]float64{nan, nan, nan}
	}
	copy(t.marks, s.Marks)
	t.store.room(t.o.Window, t.o.MaxSamples)
	t.store.push(s.T, tip, t.marks)
	t.s.Last = s.T
	t.s.Samples++
	t.s.Counts.Samples++
	dst = t.early(dst, t.place(s.T, &tip))
	if s.T-t.s.Done.Looked >= t.o.Every || s.T < t.s.Done.Looked {
		dst = t.pass(dst, false)
	}
	return dst
}

// Flush appends the final strokes of all samples so far, as at the end of a take,
// without waiting for what would come after. Samples may follow.
func (t *Tracker) Flush(dst []Event) []Event {
	if t.s.Samples == 0 {
		return dst
	}
	return t.pass(dst, true)
}

// pace follows the interval between frames.
func (t *Tracker) pace(dst []Event, now float64) []Event {
	s := &t.s
	if s.Samples == 0 {
		s.Done.Looked = now
		return dst
	}
	d := now - s.Last
	switch {
	case s.Step == 0:
		s.Step = d
	case d > 0.7*s.Step && d < 1.4*s.Step:
		s.Step += (d - s.Step) / float64(min(s.Samples+1, 64))
		s.Odd = 0
	default:
		// A lost frame, or a new rate.
		if s.Odd == 0 || math.Abs(d/(s.OddSum/float64(s.Odd))-1) > 0.3 {
			s.Odd, s.OddSum = 0, 0
		}
		s.Odd++
		s.OddSum += d
		if s.Odd >= paceOdd {
			s.Step, s.Odd = s.OddSum/float64(s.Odd), 0
			dst = append(dst, Event{Kind: FrameRate, T: now, At: now, Hz: 1 / s.Step})
		}
	}
	return dst
}

// paceOdd is the number of intervals in a row of another length that make a new
// frame rate.
const paceOdd = 12

// smooth is the marks low-passed as they come: the early path's frame.
type smooth struct {
	Begun bool       `json:"begun"`
	T     float64    `json:"t"`
	Mid   [3]float64 `json:"mid"`  // origin
	Half  [3]float64 `json:"half"` // from bass to treble
	Nut   [3]float64 `json:"nut"`
}

// place returns the tip of the sample in hand in the instrument frame, NaN where it
// cannot be.
func (t *Tracker) place(now float64, tip *[3]float64) [3]float64 {
	missing := [3]float64{nan, nan, nan}
	if tip[t.axes[0]] != tip[t.axes[0]] {
		return missing
	}
	if t.o.Placed {
		return *tip
	}
	at := t.s.Sight.Pose
	if t.brought > 0 {
		if !t.s.Sight.Known {
			return missing
		}
		w := &t.s.Smooth
		nut := nutOf(t.marks)
		seen := nut[0] == nut[0] && t.marks[0][0] == t.marks[0][0] && t.marks[1][0] == t.marks[1][0]
		switch {
		case !seen:
			t.s.Counts.MarksHidden++
		default:
			w.push(now, t.o.Frame.MarkCutoff, &t.marks[0], &t.marks[1], &nut)
		}
		if !w.Begun || now-w.T > max(0, t.o.Frame.MaxMarkGap) && !seen {
			return missing
		}
		var bass, treble [3]float64
		for a := range bass {
			bass[a], treble[a] = w.Mid[a]-w.Half[a]/2, w.Mid[a]+w.Half[a]/2
		}
		p, ok := poseOf(t.o.Frame.View, &bass, &treble, &w.Nut)
		if !ok {
			return missing
		}
		at = p
	}
	return t.s.Sight.place(t.o.Frame.View, &at, tip)
}

// push takes marks that are all seen, through a low-pass of the first order.
func (w *smooth) push(now, cutoff float64, bass, treble, nut *[3]float64) {
	gain := 1.0
	if w.Begun && cutoff > 0 && now-w.T < 1 {
		gain = 1 - math.Exp(-2*math.Pi*cutoff*(now-w.T))
	}
	for a := range bass {
		w.Mid[a] += gain * ((bass[a]+treble[a])/2 - w.Mid[a])
		w.Half[a] += gain * (treble[a] - bass[a] - w.Half[a])
		w.Nut[a] += gain * (nut[a] - w.Nut[a])
	}
	w.Begun, w.T = true, now
}

// Now says what holds after the last sample.
type Now struct {
	// T is the time of the last sample.
	T float64
	// NotesPerSecond is the rate of the last strokes, NaN before there are any.
	NotesPerSecond tempo.NotesPerSecond
	// SamplesPerStroke is by that rate, NaN before.
	SamplesPerStroke float64
	// PathAngle is the median of the last final strokes, NaN before.
	PathAngle circular.Angle
	// Unit is that of lengths.
	Unit string
	// FrameRate is the camera's, in frames per second; NaN before two samples.
	FrameRate float64
	// Playing is the playing time in seconds since the last rest, Played that
	// since the last Reset.
	Playing, Played float64

	Telling
	Counts
}

// Now returns what holds after the last sample.
func (t *Tracker) Now() Now {
	n := Now{
		T: t.s.Last, NotesPerSecond: t.s.Rate, SamplesPerStroke: t.perStroke(), PathAngle: t.s.Done.angle(), Unit: t.s.Sight.Unit,
		FrameRate: 1 / t.s.Step, Playing: t.s.Done.Playing, Played: t.s.Done.Played, Telling: t.s.Tells, Counts: t.s.Counts,
	}
	if t.s.Rate == 0 {
		n.NotesPerSecond, n.SamplesPerStroke = tempo.NotesPerSecond(nan), nan
	}
	if t.s.Step == 0 {
		n.FrameRate = nan
	}
	if t.s.Samples == 0 {
		n.T = nan
	}
	return n
}

// perStroke is the number of samples per stroke by the last strokes, 0 for not
// known.
func (t *Tracker) perStroke() float64 {
	if t.s.Done.PerStroke > 0 {
		return t.s.Done.PerStroke
	}
	d := t.s.Early.duration()
	if !(d > 0) || t.s.Step == 0 {
		return 0
	}
	return d / t.s.Step
}

// tooFew reports whether the samples are known not to bear strokes.
func (t *Tracker) tooFew() bool {
	n := t.perStroke()
	return n > 0 && n < motion.MinSamplesStrokes && t.s.Done.PerStroke > 0
}

// rate is that of the last strokes of the stretch: two over the median time
// from turn to next like turn.
func (e *early) rate() (tempo.NotesPerSecond, bool) {
	var cycles last
	n := min(e.Turns.N, lastMost)
	for k := 0; k+2 < n; k++ {
		cycles.push(e.Turns.back(k) - e.Turns.back(k+2))
	}
	if cycles.N == 0 {
		return 0, false
	}
	return tempo.FromHz(1 / cycles.median()), true
}
