package tempo

import (
	"math"
	"slices"

	"gonum.org/v1/gonum/stat/distuv"

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
	// Spread is the robust standard deviation of the asynchronies in seconds,
	// less GridOptions.Noise.
	Spread estimate.Value[float64]
	// Asynchrony of each event in seconds, positive late. Without a known start
	// it is about the mean of all, on a fitted grid about that of its run. NaN
	// for extra events, breaks, and where the events do not keep to the grid.
	Asynchrony []float64
	// Missing are the times of the lines without an event, breaks apart; Extra
	// the indices of the events without a line.
	Missing []float64
	Extra   []int
	// Interval is that of the grid in seconds: the metronome's, or that of the even
	// grid that lies among the events best, which is close to Period.
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
// A fitted grid has the median slope of time over the number of the line, run by
// run (Theil 1950), as its interval.
//
// Offset is a mean direction on the circle of one interval, with an interval
// that bears autocorrelation (see [circular.Directional]). It needs a Start and
// a shared clock. Spread is the scaled median of the distances from the
// median (see [robust.Scale]) with the interval of [estimate.SeriesMedian]. Events that wander so slowly about
// the grid that they hold fewer than 12 stretches of their own (as long as
// [estimate.BlockLength] says, and as the memory of a clock, (1+φ)/(1-φ)) have
// neither interval: bounds are NaN, Level 0.
//
// All are absent for fewer than 12 events, or if fewer than half of them follow
// each other on lines. In simulated takes about the clicks intervals at 95 % held the
// truth for Drift in 99.5 to 100 %: they allow for a pulse of the player's own.
// For Offset and Spread in 94 to 96 %, of 60, 100 and 400 events with a
// correlation of 0 to 0.6, except of 60 events with 0.6: only a quarter of takes
// have intervals, those in which the wandering does not show, 91 and 88 %. With
// 0.9 of 400 events 94 and 91 %; of fewer events one take in a hundred has
// intervals, which are worth nothing (1000 takes of each kind:
// TestCalibrateGrid -calibrate 1000).
func FitGrid(events []float64, o GridOptions) Grid {
	if o.Level == 0 {
		o.Level = 0.95
	}
	g := Grid{Options: o, Interval: math.NaN(), Asynchrony: slices.Repeat([]float64{math.NaN()}, len(events))}
	given := 0.0
	if o.BPM > 0 && o.Note.Validate() == nil {
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
	case !(o.BPM >= 0) || math.IsInf(float64(o.BPM), 1) || o.Note.Validate() != nil:
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
	if given == 0 {
		g.Interval += n.lean(phase)
		phase = n.phases(g.Interval, false)
	}
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

// lean returns the slope of phases over the numbers of their lines, run by run
// about the middle of each, by which a fitted grid has to be wider.
func (n numbered) lean(phase []float64) float64 {
	number := make([]float64, len(phase))
	about := make([]float64, len(phase))
	for from := 0; from < len(phase); {
		to := from
		for to < len(phase) && n.run[to] == n.run[from] {
			number[to] = float64(n.number[to])
			to++
		}
		middle, late := robust.Median(number[from:to]), robust.Median(phase[from:to])
		for i := from; i < to; i++ {
			number[i] -= middle
			about[i] = phase[i] - late
		}
		from = to
	}
	if slope := robust.TheilSen(number, about).Slope; !math.IsNaN(slope) {
		return slope
	}
	return 0
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
	middle := robust.Median(phase) - shift
	centred := !given || g.Options.Start == nil
	var away []float64
	asynchrony := make([]float64, len(phase))
	for i, p := range phase {
		asynchrony[i] = p - shift
		away = append(away, math.Abs(p-shift-middle))
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
	g.Spread = estimate.SeriesMedian(away, g.Options.Level)
	memory := estimate.BlockLength(asynchrony)
	if len(asynchrony) >= leastStrokes {
		about := slices.Clone(asynchrony)
		detrend(about)
		memory = max(memory, newPlayer(about, 2, clocks).memory())
	}
	if float64(len(phase)) < estimate.MinBlocks*math.Ceil(memory) {
		mean.Low, mean.High, mean.Level = circular.Angle(math.NaN()), circular.Angle(math.NaN()), 0
		g.Spread.Low, g.Spread.High, g.Spread.Level = math.NaN(), math.NaN(), 0
	}
	noise := g.Options.Noise * g.Options.Noise
	for _, p := range []*float64{&g.Spread.Value, &g.Spread.Low, &g.Spread.High} {
		sd := *p / distuv.UnitNormal.Quantile(0.75)
		*p = math.Sqrt(max(0, sd*sd-noise))
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
