package review

import (
	"math"
	"slices"

	"github.com/plectrace/plectrace/motion"
	"github.com/plectrace/plectrace/tempo"
	"github.com/plectrace/plectrace/variability/estimate"
	"github.com/plectrace/plectrace/variability/settling"
)

// Pace is how the rate of a take goes over its time.
type Pace struct {
	Curve tempo.Curve
	Drift tempo.Drift
	// Swing holds the time of downstrokes against that of upstrokes.
	Swing tempo.Swing
	// Fastest are the highest rates held for 1, 2, 4 and 8 beats of four
	// strokes, each beside what chance gives at that length.
	Fastest []tempo.Fastest
	// Grid holds the notes against the metronome (Capture.TempoBPM), or against an
	// even grid of their own without one: the onsets where they are given, and
	// otherwise the turns at which downstrokes begin, every second note.
	Grid tempo.Grid
	// Agreement holds the rate of the strokes against that of the spectrum.
	Agreement tempo.Agreement
}

// pace measures the rate over time. Where the film's own pace changes nothing of
// it would mean anything, nor would times and lengths of spans.
func (r *Review) pace() error {
	if len(r.Jumps) > 0 {
		none := settling.Result{Absent: &estimate.Absence{Code: "pace", What: "settling over the take", Why: paceChanges}}
		r.History = settling.HistoryOf(nil, none, settling.HistoryOptions{})
		r.Exploring = settling.Explore(nil, none, settling.ExploreOptions{})
		return nil
	}
	if len(r.Motion.Strokes) == 0 {
		return nil
	}
	strokes := r.Motion.Strokes
	turns := motion.TurnTimes(strokes)
	draws, seed := draws(len(strokes)), r.Options.Seed
	p := &Pace{Curve: tempo.NewCurve(turns, tempo.CurveOptions{})}
	p.Drift = p.Curve.Drift(estimate.BootstrapOptions{Draws: draws, Seed: seed})
	p.Swing = tempo.SwingOf(turns, downFrom(strokes, len(turns)), tempo.SwingOptions{SampleHz: r.Motion.SampleHz})
	note := r.note()
	var err error
	p.Fastest, err = p.Curve.Fastest(tempo.FastestOptions{Note: note, Draws: draws, Seed: seed})
	if err != nil { // a beat does not hold a whole number of such notes
		p.Fastest, err = p.Curve.Fastest(tempo.FastestOptions{Draws: draws, Seed: seed})
	}
	if err != nil {
		return err
	}
	p.Grid = r.grid(note)
	p.Agreement = tempo.Agree(r.rates.take, r.rates.spectral, tempo.Evidence{
		Lengths: r.column(lengthOf), Durations: r.column(motion.Stroke.Duration),
		RepairedShare: p.Curve.RepairedShare, SamplesPerStroke: r.Motion.SamplesPerStroke,
	})
	r.Pace = p
	return nil
}

// note is the note value of a stroke.
func (r *Review) note() tempo.NoteValue {
	if r.Setup.TempoNote != nil {
		return *r.Setup.TempoNote
	}
	return tempo.Sixteenth
}

// grid holds the notes against the metronome, or against a grid of their own.
func (r *Review) grid(note tempo.NoteValue) tempo.Grid {
	o := tempo.GridOptions{BPM: tempo.BPM(r.Setup.TempoBPM), Note: note}
	var events []float64
	if len(r.Options.Onsets) > 0 {
		for _, x := range r.Options.Onsets {
			events = append(events, x.Time)
		}
		slices.Sort(events)
		o.Start, o.ClockShared = r.Setup.ClickS, true
		return tempo.FitGrid(events, o)
	}
	// Turns say nothing of when a note sounds, and those after downstrokes have
	// another place in time than those after upstrokes.
	o.Note.Halvings--
	for i, s := range r.Motion.Strokes {
		if !s.Joined && i > 0 {
			events = append(events, math.NaN())
		}
		if s.Direction == motion.Down && !s.StartHidden && !s.Bridged {
			events = append(events, s.Start)
		}
	}
	return tempo.FitGrid(events, o)
}

// draws is how many samples are drawn for n strokes: long takes need fewer, and
// hold more blocks each.
func draws(n int) int { return min(499, max(199, 200_000/max(1, n))) }

// downFrom says for each of motion.TurnTimes(strokes) whether a downstroke begins
// there.
func downFrom(strokes []motion.Stroke, turns int) []bool {
	down := make([]bool, 0, turns)
	for i, s := range strokes {
		if !s.Joined && i > 0 {
			// The turn at the end of the run before, and the break after it.
			down = append(down, false, false)
		}
		down = append(down, s.Direction == motion.Down)
	}
	return append(down, false)
}

// rateAt is the rate of the curve at the start of each stroke, NaN where there is
// none.
func (r *Review) rateAt() []float64 {
	rates := make([]float64, 0, len(r.Motion.Strokes))
	at := 0 // the turn in the curve
	for i, s := range r.Motion.Strokes {
		if !s.Joined && i > 0 {
			at += 2 // the turn that ended the stroke before, and the break
		}
		if r.Pace == nil {
			rates = append(rates, nan)
			continue
		}
		rates = append(rates, float64(r.Pace.Curve.Rate[at]))
		at++
	}
	return rates
}

// ofPace returns a measure of the pace.
func ofPace(what string, get func(*Pace) estimate.Value[float64]) func(*Review) estimate.Value[float64] {
	return inTime(what, func(r *Review) estimate.Value[float64] {
		if r.Pace == nil {
			return estimate.Missing[float64]("no strokes", what, r.whyNo("strokes", "no strokes were found"))
		}
		return get(r.Pace)
	})
}
