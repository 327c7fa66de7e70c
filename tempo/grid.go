package tempo

import (
	"math"
	"slices"

	"github.com/plectrace/plectrace/variability/circular"
	"github.com/plectrace/plectrace/variability/estimate"
	"github.com/plectrace/plectrace/variability/robust"
)

// GridOptions are the settings of [FitGrid].
type GridOptions struct {
	// BPM and Note are the metronome's: a line for each note of that value
	// (zero means quarters). A BPM of zero means that none was heard: the grid
	// is fitted to the events.
	BPM  BPM
	Note NoteValue
	// Start is when a line, any one, fell, in seconds. Nil means not known.
	Start *float64
	// ClockShared says that Start and the events are on one clock, such as the
	// sound of the same film. Otherwise early and late cannot be told.
	ClockShared bool
	// Noise is the standard deviation that measuring alone gives the events, in
	// seconds; it is taken out of Spread.
	Noise float64
	// Level of the intervals. Zero means 0.95, negative means none.
	Level float64
}

// Grid is how events keep to a grid of lines at even times.
type Grid struct {
	// Period is the interval of the lines that the events keep, in seconds.
	Period estimate.Value[float64]
	// Drift is by how many per cent the events are quicker than the metronome;
	// negative is slower.
	Drift estimate.Value[float64]
	// Offset is by how much the events come after their lines, in seconds;
	// negative is early. OffsetShare is that as a share of the interval, in
	// (-1/2, 1/2]: half an interval late and half an interval early are the
	// same, and near there either may be meant.
	Offset, OffsetShare estimate.Value[float64]
	// Spread is the standard deviation of the asynchronies about their mean, in
	// seconds, less GridOptions.Noise.
	Spread estimate.Value[float64]
	// Asynchrony of each event in seconds, positive late. Without a known start
	// it is about the mean of all, on a fitted grid about that of its run. NaN
	// for extra events, breaks, and where the events do not keep to the grid.
	Asynchrony []float64
	// Missing are the times of the lines without an event, breaks apart; Extra
	// the indices of the events without a line.
	Missing []float64
	Extra   []int
	// Interval is that of the grid in seconds: the metronome's, or Period.
	Interval float64
	// Options are those in force.
	Options GridOptions
}

// Bounds of a grid.
const (
	offTempo   = 1.35 // times quicker or slower than the metronome, at most
	mostLines  = 7    // lines in a row without an event
	gridEvents = 12   // at least
	gridSmooth = 4    // events to each side that a wander is smoothed over
	joinOver   = 5    // events on each side of a break that set its lines
	mostWander = 0.5  // of an interval
)

// FitGrid holds events (turns or onsets, in seconds and ascending, NaN for a
// break) against the grid of a metronome, or against the even grid that fits
// them best.
//
// Each event belongs to the line nearest to it after allowing for how late the
// seven before it were, in the middle, and for the interval that the player
// keeps (within 35 % of the metronome's). So a line without an event, or an
// event too many, shifts no other event by a line, and a player who slowly runs
// ahead is counted on from line to line. Over a break the asynchrony goes on as
// it was (median of five events on each side).
//
// Period is that of [FromTurns], with its interval, at events the usual number of
// lines apart, and Drift compares it with the metronome. Where the
// asynchrony, smoothed over nine events, wanders by more than half an
// interval, lines and events slip against each other: then Offset, Spread and
// asynchronies are absent, and Drift says what happens.
//
// Offset is a mean direction on the circle of one interval, with an interval
// that bears autocorrelation (see [circular.Directional]). It needs a Start and
// a shared clock. Spread is the root of a mean square with that of
// [estimate.Mean], on the logarithmic scale. Events that drift so slowly about
// the grid that they hold fewer than 12 stretches of their own (see
// [estimate.BlockLength]) have neither interval: bounds are NaN, Level 0.
//
// All are absent for fewer than 12 events, or if fewer than half of them follow
// each other on lines. How often the
// intervals hold is not measured yet.
func FitGrid(events []float64, o GridOptions) Grid {
	if o.Level == 0 {
		o.Level = 0.95
	}
	g := Grid{Options: o, Interval: math.NaN(), Asynchrony: slices.Repeat([]float64{math.NaN()}, len(events))}
	given := 0.0
	if o.BPM > 0 {
		given = 1 / float64(o.BPM.NotesPerSecond(o.Note))
	}
	var n numbered
	if given > 0 && !math.IsInf(given, 0) {
		if own := ownPeriod(events, given); own > 0 {
			n = onLines(events, own)
		}
	} else if p := (counter{}).count(events).period(-1); p.Known() {
		n = onLines(events, p.Value)
	}
	known := 0
	for _, t := range events {
		if !math.IsNaN(t) {
			known++
		}
	}
	for _, r := range n.repairs {
		if r.Kind == "extra" {
			g.Extra = append(g.Extra, r.Index)
		}
	}
	period := n.period(o.Level)
	on := n.neighboured()
	switch {
	case given > 0 && math.IsInf(given, 0) || o.BPM < 0 || math.IsNaN(float64(o.BPM)):
		return g.absent("no-grid", "the tempo or the note value of the grid is not valid: give a positive BPM")
	case known < gridEvents:
		return g.absent("too-few", "fewer than 12 events: take a longer stretch of playing")
	case on < gridEvents || 2*on < known || !period.Known():
		return g.absent("off-grid", "fewer than half of the events follow each other on lines: check the tempo and the note value of the grid")
	}
	g.Period = period
	g.Interval = given
	g.Drift = estimate.Missing[float64]("no-grid", "drift against the metronome", "no metronome was given")
	if given > 0 {
		percent := func(p float64) float64 { return 100 * (given/p - 1) }
		g.Drift = estimate.Value[float64]{Value: percent(period.Value), Low: percent(period.High), High: percent(period.Low), Level: period.Level, N: period.N}
	} else {
		g.Interval = period.Value
	}
	phase := n.phases(g.Interval, given > 0)
	g.place(n, phase, given > 0)
	return g
}

// absent gives all results of g the same reason.
func (g Grid) absent(code, why string) Grid {
	g.Period = estimate.Missing[float64](code, "period of the grid", why)
	g.Drift = estimate.Missing[float64](code, "drift against the metronome", why)
	g.noOffset(code, why)
	g.Spread = estimate.Missing[float64](code, "spread about the grid", why)
	return g
}

func (g *Grid) noOffset(code, why string) {
	g.Offset = estimate.Missing[float64](code, "offset to the metronome", why)
	g.OffsetShare = estimate.Missing[float64](code, "offset to the metronome", why)
}

// neighboured counts the events that another one follows, or that follow one.
func (n numbered) neighboured() (count int) {
	for i, r := range n.run {
		if i > 0 && n.run[i-1] == r || i+1 < len(n.run) && n.run[i+1] == r {
			count++
		}
	}
	return count
}

// period returns the interval of a line by [FromTurns]. Where events are a
// multiple of the usual number of lines apart, those between share the time
// evenly.
func (n numbered) period(level float64) estimate.Value[float64] {
	var counts []float64
	for i := 1; i < len(n.at); i++ {
		if n.run[i] == n.run[i-1] {
			counts = append(counts, float64(n.number[i]-n.number[i-1]))
		}
	}
	if len(counts) == 0 {
		return estimate.Missing[float64]("too-few", "period of the grid", "no two events follow each other")
	}
	usual := int(robust.Select(counts, len(counts)/2))
	var turns []float64
	for i, t := range n.at {
		if i > 0 {
			if lines := n.number[i] - n.number[i-1]; n.run[i] != n.run[i-1] || lines%usual != 0 {
				turns = append(turns, math.NaN())
			} else {
				d := (t - n.at[i-1]) / float64(lines/usual)
				for k := 1; k < lines/usual; k++ {
					turns = append(turns, n.at[i-1]+float64(k)*d)
				}
			}
		}
		turns = append(turns, t)
	}
	v := FromTurns(turns, Options{Level: level})
	if !v.Known() {
		return estimate.Value[float64]{Absent: v.Absent}
	}
	invert := func(r NotesPerSecond) float64 { return 1 / (float64(r) * float64(usual)) }
	return estimate.Value[float64]{Value: invert(v.Value), Low: invert(v.High), High: invert(v.Low), Level: v.Level, N: v.N}
}

// phases returns the time of each event less that of its line. Joined, the
// lines of a run go on from those of the run before; otherwise each run has
// lines of its own, about which its median is 0.
func (n numbered) phases(period float64, joined bool) []float64 {
	phase := make([]float64, len(n.at))
	for from := 0; from < len(n.at); {
		to := from
		for to < len(n.at) && n.run[to] == n.run[from] {
			phase[to] = n.at[to] - period*float64(n.number[to])
			to++
		}
		shift := robust.Median(phase[from:to])
		if joined && from > 0 {
			before := robust.Median(phase[max(0, from-joinOver):from])
			after := robust.Median(phase[from:min(to, from+joinOver)])
			shift = period * math.Round((after-before)/period)
		}
		if from > 0 || !joined {
			for i := from; i < to; i++ {
				phase[i] -= shift
			}
		}
		from = to
	}
	return phase
}

// place sets what depends on where the events lie about their lines.
func (g *Grid) place(n numbered, phase []float64, given bool) {
	low, high := math.Inf(1), math.Inf(-1)
	for i := range phase {
		m := robust.Median(phase[max(0, i-gridSmooth):min(len(phase), i+gridSmooth+1)])
		low, high = min(low, m), max(high, m)
	}
	if high-low > mostWander*g.Interval {
		const code, why = "phase-slips", "the events wander by more than half an interval against the grid: look at the drift instead"
		g.noOffset(code, why)
		g.Spread = estimate.Missing[float64](code, "spread about the grid", why)
		return
	}
	start := 0.0
	if given && g.Options.Start != nil {
		start = *g.Options.Start
	}
	turn := 2 * math.Pi / g.Interval
	angles := make([]circular.Angle, len(phase))
	for i, p := range phase {
		angles[i] = circular.Angle(turn * (p - start))
	}
	mean := circular.Directional(angles, circular.Options{Level: g.Options.Level, Series: true}).Mean
	if !mean.Known() {
		g.noOffset("no-direction", "the events lie evenly between the lines")
		g.Spread = estimate.Missing[float64]("no-direction", "spread about the grid", "the events lie evenly between the lines")
		return
	}
	offset := mean.Value.Radians() / turn
	// All lines move by whole intervals until the mean is the nearest one's.
	shift := start + g.Interval*math.Round((robust.Median(phase)-start-offset)/g.Interval)
	centred := !given || g.Options.Start == nil
	var squares []float64
	asynchrony := make([]float64, len(phase))
	for i, p := range phase {
		asynchrony[i] = p - shift
		squares = append(squares, (p-shift-offset)*(p-shift-offset))
		if centred {
			asynchrony[i] -= offset
		}
		g.Asynchrony[n.index[i]] = asynchrony[i]
	}
	for i := 1; i < len(phase); i++ {
		if n.run[i] != n.run[i-1] {
			continue
		}
		for k := 1; k < n.number[i]-n.number[i-1]; k++ {
			g.Missing = append(g.Missing, n.at[i-1]-asynchrony[i-1]+float64(k)*g.Interval)
		}
	}
	g.Spread = estimate.Mean(squares, g.Options.Level)
	if half := (g.Spread.High - g.Spread.Low) / (2 * g.Spread.Value); half > 0 { // a variance is skew: its logarithm is less so
		g.Spread.Low, g.Spread.High = g.Spread.Value*math.Exp(-half), g.Spread.Value*math.Exp(half)
	}
	few := len(phase) < estimate.MinBlocks*int(math.Ceil(estimate.BlockLength(asynchrony)))
	if few {
		mean.Low, mean.High, mean.Level = circular.Angle(math.NaN()), circular.Angle(math.NaN()), 0
		g.Spread.Low, g.Spread.High, g.Spread.Level = math.NaN(), math.NaN(), 0
	}
	noise := g.Options.Noise * g.Options.Noise
	for _, p := range []*float64{&g.Spread.Value, &g.Spread.Low, &g.Spread.High} {
		*p = math.Sqrt(max(0, *p-noise))
	}
	switch {
	case !given:
		g.noOffset("no-grid", "no metronome was given")
	case g.Options.Start == nil:
		g.noOffset("start-unknown", "when a line of the grid fell is not known: give the time of a click")
	case !g.Options.ClockShared:
		g.noOffset("clock-not-shared", "film and metronome are not on one clock: film with the click in the sound, and say so")
	default:
		scaled := func(factor float64) estimate.Value[float64] {
			v := estimate.As[float64](mean)
			v.Value, v.Low, v.High = factor*v.Value, factor*v.Low, factor*v.High
			return v
		}
		g.Offset, g.OffsetShare = scaled(1/turn), scaled(1/(2*math.Pi))
	}
}
