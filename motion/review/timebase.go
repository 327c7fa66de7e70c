package review

import (
	"fmt"
	"math"
	"strings"

	"github.com/plectrace/plectrace/tempo"
	"github.com/plectrace/plectrace/trajectory"
	"github.com/plectrace/plectrace/variability/estimate"
)

// TimeBase is what tells whether a take's seconds are those of life. Phones
// film at 120 or 240 frames/s and save films that play at 24 to 30, as a whole
// or in the middle of the film only; an export from such a film has the film's
// seconds. No number here is a verdict: a player may play slowly, and four times
// slower from one stroke to the next. The film has to be looked at.
type TimeBase struct {
	// Path is the tip's, cleaned and placed; it serves to find where the
	// pace changes.
	Path trajectory.Placed
	// Rate is the rate found, of the strokes or of the spectrum.
	Rate estimate.Value[tempo.NotesPerSecond]
	// FrameRate is the number of samples a second, by the times in Path.
	FrameRate float64
	// SlowedBy is by how much the times have been divided already, as it was
	// given. Zero means that nobody said; 1 that the film plays as in life.
	SlowedBy float64
}

// Rates, in strokes a second, at which the time base is looked at again. Eight
// to 14 strokes a second filmed at 240 frames/s and saved at 30 become 1 to 1.75,
// filmed at 120 frames/s 2 to 3.5, and few people film themselves for how they
// play four notes a second. Nobody plays faster than fastPlay for long. (Common
// practice.)
const (
	slowPlay = 3.6
	fastPlay = 25
)

// savedRate is the lowest rate at which films are commonly saved, less
// rounding; filmRate is the highest of those that play in slow motion.
const savedRate = 23.5

// Questions returns what must be asked before anything else on the page is
// believed, a sentence or two each: none when nothing speaks against the time
// base.
func (b TimeBase) Questions() []string { return b.questions(b.Jumps()) }

func (b TimeBase) questions(js []Jump) []string {
	if len(js) > 0 {
		return []string{jumpQuestion(js)} // one rate means little then
	}
	rate := float64(b.Rate.Value)
	asked := b.SlowedBy == 0 && b.FrameRate >= savedRate && b.FrameRate <= filmRate
	switch {
	case !b.Rate.Known():
	case rate > fastPlay:
		return []string{fmt.Sprintf(
			"%.3g strokes a second: nobody plays that fast. Check the time base (slowed_by, rate); if the times of the export are already those of real life, slowed_by must be left out.", rate)}
	case rate > 0 && rate < slowPlay && asked:
		beyond := ""
		if 8*rate > fastPlay {
			beyond = ", faster than anybody plays"
		}
		return []string{fmt.Sprintf(
			"%.2g strokes a second in a film of %.3g frames a second: does the film play in slow motion? If it plays 4 times slower than life, %.2g strokes a second were played, if 8 times, %.2g%s. Say how many times (slowed_by), or 1 if it plays as in life.",
			rate, b.FrameRate, 4*rate, 8*rate, beyond)}
	}
	return nil
}

// filmFactors are how many times slower than life films play: 60, 120, 240,
// 480 and 960 frames/s saved as 24, 25 or 30 (common practice).
var filmFactors = []float64{2, 2.4, 2.5, 4, 4.8, 5, 8, 9.6, 10, 16, 19.2, 20, 32, 38.4, 40}

// nearestFactor returns the film factor nearest to f by ratio, or f itself to
// two digits when none lies within share of it.
func nearestFactor(f, share float64) float64 {
	best := math.Log1p(share)
	found := 0.0
	for _, k := range filmFactors {
		if d := math.Abs(math.Log(f / k)); d <= best {
			best, found = d, k
		}
	}
	if found == 0 {
		scale := math.Pow(10, 1-math.Floor(math.Log10(f)))
		return math.Round(f*scale) / scale
	}
	return found
}

// Jump is a place in a take where the strokes become several times slower, or
// faster, from one to the next.
type Jump struct {
	// At is when, in the seconds of the path.
	At float64
	// Factor is how many times slower the strokes are after it than before:
	// 8 where slow motion begins, 1/8 where it ends.
	Factor estimate.Value[float64]
	// Stamps says that the samples lie further apart by the same factor on
	// the slow side, as in a film that keeps every frame of it.
	Stamps bool
}

// slower returns by how many times the strokes are slower on the slow side.
func (j Jump) slower() (v, low, high float64) {
	f := j.Factor
	if f.Value < 1 {
		return 1 / f.Value, 1 / f.High, 1 / f.Low
	}
	return f.Value, f.Low, f.High
}

// jumpQuestion asks about all the jumps of a take.
func jumpQuestion(js []Jump) string {
	var slow, cuts []string
	stamps := true
	for i, j := range js {
		cuts = append(cuts, fmt.Sprintf("%.1f s", j.At))
		stamps = stamps && j.Stamps
		var where string
		switch begins := j.Factor.Value > 1; {
		case begins && i+1 < len(js) && js[i+1].Factor.Value < 1:
			where = fmt.Sprintf("from %.1f to %.1f s", j.At, js[i+1].At)
		case begins:
			where = fmt.Sprintf("from %.1f s on", j.At)
		case i == 0:
			where = fmt.Sprintf("up to %.1f s", j.At)
		default:
			continue // told where it began
		}
		v, low, high := j.slower()
		if low == low && high == high {
			where += fmt.Sprintf(" (%.2g times, %.2g to %.2g)", v, low, high)
		} else {
			where += fmt.Sprintf(" (%.2g times)", v)
		}
		slow = append(slow, where)
	}
	frames := ""
	if stamps {
		frames = ", and the frames stand further apart there by as much"
	}
	v, _, _ := js[0].slower()
	return fmt.Sprintf("The strokes are several times slower %s, from one stroke to the next and without becoming longer or shorter%s: does the film play in slow motion there? If so, cut the take at %s and review the parts by themselves, the slow one with slowed_by %g; of the take as a whole no time, rate or speed means anything.",
		strings.Join(slow, " and "), frames, strings.Join(cuts, " and "), nearestFactor(v, 0.08))
}
