package review

import (
	"fmt"
	"math"

	"github.com/plectrace/plectrace/tempo"
	"github.com/plectrace/plectrace/variability/estimate"
)

// TempoFit is a take's rate held against the tempo that was played to.
type TempoFit struct {
	// Known is the rate that the tempo makes.
	Known tempo.NotesPerSecond
	// Ratio is the rate found over the known one, with the interval of the
	// rate found.
	Ratio estimate.Value[float64]
	// Times is how many times slower than life the take's seconds run, as a
	// film can be slowed: 1 when they agree with the tempo, 8 when slowed_by
	// must be eight times what it is, 1/8 when they have been divided for
	// nothing. Zero when it fits none.
	Times float64
	// SlowedBy is the slowed_by that makes the two agree; zero when Times is.
	SlowedBy float64
	// Text says it in a sentence or two.
	Text string
}

// How far a rate may be off a factor and still fit it, beside its own interval:
// players keep to a click within one per cent over a take, and cameras to their
// nominal rate within a tenth of that (common practice). Film factors lie four
// per cent apart at the least.
const (
	tempoFit  = 0.02
	tempoWide = 0.12 // a rate known no better than this decides nothing
	// tempoNear is how far off the tempo a player may be who does not keep to it:
	// that is about the player, and no doubt about the film's time.
	tempoNear = 0.1
)

// noteFactors are how many times more or fewer notes are played to a beat when
// the note value is mistaken for another.
var noteFactors = []float64{2, 4, 3, 1.5, 4. / 3, 6}

// Tempo holds the rate found against a tempo known from elsewhere, such as a
// metronome heard on the film before it was slowed: every stroke a note of the
// value note. The decision allows for the interval of the rate and 2 %. It is
// an error when the tempo or the note value is none.
func (b TimeBase) Tempo(bpm tempo.BPM, note tempo.NoteValue) (TempoFit, error) {
	if err := note.Validate(); err != nil {
		return TempoFit{}, err
	}
	if !(bpm > 0) || math.IsInf(float64(bpm), 0) {
		return TempoFit{}, fmt.Errorf("the tempo is %g BPM: give quarter notes a minute", float64(bpm))
	}
	f := TempoFit{Known: bpm.NotesPerSecond(note)}
	asked := fmt.Sprintf("%.4g strokes a second of %s notes at %.4g BPM", float64(f.Known), note, float64(bpm))
	if !b.Rate.Known() {
		why := "no rate was found"
		if b.Rate.Absent != nil {
			why = b.Rate.Absent.Why
		}
		f.Ratio = estimate.Missing[float64]("no rate", "rate against the tempo", why)
		f.Text = fmt.Sprintf("The time base is not checked against %s: %s.", asked, why)
		return f, nil
	}
	f.Ratio = estimate.As[float64](b.Rate)
	known := float64(f.Known)
	f.Ratio.Value, f.Ratio.Low, f.Ratio.High = f.Ratio.Value/known, f.Ratio.Low/known, f.Ratio.High/known
	low, high := f.Ratio.Low, f.Ratio.High
	if low != low || high != high {
		low, high = f.Ratio.Value, f.Ratio.Value
	}
	found := fmt.Sprintf("%.4g strokes a second", float64(b.Rate.Value))
	if low < high {
		found += fmt.Sprintf(" (%.4g to %.4g)", float64(b.Rate.Low), float64(b.Rate.High))
	}
	switch {
	case !(low > 0) || math.Log(high/low) > 2*tempoWide:
		f.Text = fmt.Sprintf("The time base cannot be checked against %s: the rate found, %s, is not known well enough.", asked, found)
		return f, nil
	case fits(1, low, high):
		f.Times = 1
	default:
		for _, k := range filmFactors {
			for _, k := range []float64{k, 1 / k} {
				if fits(1/k, low, high) && (f.Times == 0 || off(f.Ratio.Value*k) < off(f.Ratio.Value*f.Times)) {
					f.Times = k
				}
			}
		}
	}
	given := b.SlowedBy
	if given == 0 {
		given = 1
	}
	f.SlowedBy = tidy(f.Times * given)
	f.Text = f.sentence(note, given, found, asked, low, high)
	return f, nil
}

// sentence says what the rate found speaks for.
func (f TempoFit) sentence(note tempo.NoteValue, given float64, found, asked string, low, high float64) string {
	other := ""
	for _, k := range noteFactors {
		switch {
		case fits(k, low, high):
			other = fmt.Sprintf("%.3g strokes were played to each such note", k)
		case fits(1/k, low, high):
			other = fmt.Sprintf("one stroke was played to every %.3g such notes", k)
		default:
			continue
		}
		break
	}
	unless := ""
	if other != "" {
		unless = ", unless " + other
	}
	switch {
	case f.Times == 1:
		return fmt.Sprintf("The take's time agrees with the tempo: %s against %s, %.1f %% off.", found, asked, 100*math.Abs(f.Ratio.Value-1))
	case f.Times > 1:
		return fmt.Sprintf("The film plays %.3g times slower than life%s: %s were found, the tempo makes %s. Set slowed_by to %.3g.", f.SlowedBy, unless, found, asked, f.SlowedBy)
	case f.Times > 0 && f.SlowedBy == 1:
		return fmt.Sprintf("The film plays as in life%s: %s were found with times divided by %.3g, the tempo makes %s. Set slowed_by to 1.", unless, found, given, asked)
	case f.Times > 0 && f.SlowedBy > 1:
		return fmt.Sprintf("The film plays %.3g times slower than life, not %.3g times%s: %s were found, the tempo makes %s. Set slowed_by to %[1]g.", f.SlowedBy, given, unless, found, asked)
	case f.Times > 0:
		return fmt.Sprintf("The take runs %.3g times faster than life%s: %s were found, the tempo makes %s. Check the capture rate (rate) and the unit of the times (time_unit).", 1/f.SlowedBy, unless, found, asked)
	case other != "":
		return fmt.Sprintf("The take's time fits the tempo if %s: %s were found, the tempo makes %s.", other, found, asked)
	}
	if f.near() {
		way := "slower"
		if f.Ratio.Value > 1 {
			way = "faster"
		}
		return fmt.Sprintf("The take is %.0f %% %s than the tempo: %s were found, the tempo makes %s. No slowed film explains that: the player keeps another tempo, or the capture rate is not quite what was given.",
			100*math.Abs(f.Ratio.Value-1), way, found, asked)
	}
	return fmt.Sprintf("The take's time does not fit the tempo: %s were found, the tempo makes %s, %.3g times as many, which no slowed film explains. Check the tempo, the note value and the capture rate.", found, asked, 1/f.Ratio.Value)
}

// near reports whether the rate is off by no more than a player who does not keep
// to the tempo.
func (f TempoFit) near() bool {
	return f.Times == 0 && f.Ratio.Known() && off(f.Ratio.Value) <= tempoNear
}

// fits reports whether a ratio known to lie from low to high is k.
func fits(k, low, high float64) bool { return low/(1+tempoFit) <= k && k <= high*(1+tempoFit) }

// off is how far x is from 1 by ratio.
func off(x float64) float64 { return math.Abs(math.Log(x)) }

// tidy takes away what floating point adds to products of film factors.
func tidy(x float64) float64 { return math.Round(x*1e6) / 1e6 }
