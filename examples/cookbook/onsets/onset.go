package main

import (
	"cmp"
	"math"
	"slices"

	"github.com/plectrace/plectrace/motion/contact"
	"github.com/plectrace/plectrace/variability/robust"
)

// options of the search for onsets; see the flags.
type options struct {
	lowest float64 // Hz
	rise   float64 // dB
	gap    float64 // seconds
}

var defaults = options{lowest: 500, rise: 2, gap: 0.040}

const (
	// window is over how many steps the power is averaged before and after a
	// moment. It spans a period of the lowest string of a guitar, 12 ms: the
	// power of a low note comes in pulses.
	window = 12
	// octaveRange is the power that counts in an octave, as a share of its
	// highest; an octave counts if its highest is emptyOctave of that of the
	// strongest octave.
	octaveRange = 1e-5
	emptyOctave = 1e-6
	// onsetRange is how far below the usual attack one may be, in dB.
	onsetRange = 35
	// neighbourhood is the number of steps on either side over which peaks of
	// the rise are held against each other, fewNotes how many of them must be
	// notes without doubt, and doubtful the share of their median below which
	// a peak is none.
	neighbourhood = 1000
	fewNotes      = 4
	doubtful      = 0.25
	// search is how many steps off the peak of the rise the onset may lie, and
	// edge the steps averaged on either side of it.
	search = 12
	edge   = 3
	// The onset is the first edge that is steep enough, as a share of the
	// steepest in squares of decibels, and with enough power after it, as a
	// share of the highest: a low note comes in pulses of which the second may
	// be the stronger, and the plectrum scrapes the string beforehand.
	steepEnough = 0.6
	loudEnough  = 0.1
	// chances is how many standard deviations of the power of noise do not
	// count as a rise.
	chances = 2.5
)

func decibels(power float64) float64 { return 10 * math.Log10(power) }

// sums returns the running sum of x: sums[j]-sums[i] is that of x[i:j].
func sums(x []float32) []float64 {
	s := make([]float64, len(x)+1)
	for i, v := range x {
		s[i+1] = s[i] + float64(v)
	}
	return s
}

// mean returns the mean of the values [from, to) whose running sum is s.
func mean(s []float64, from, to int) float64 {
	from, to = max(from, 0), min(to, len(s)-1)
	if from >= to {
		return 0
	}
	return (s[to] - s[from]) / float64(to-from)
}

// smallest is a power below that of any sound: it keeps logarithms finite.
const smallest = 1e-14

// unrestOfNoise returns the standard deviation, in dB, of the ratio of the power
// of noise of some bandwidth in Hz in two neighbouring windows of some seconds.
// The power in one has 2·width·seconds degrees of freedom.
func unrestOfNoise(width, seconds float64) float64 {
	return 10 / math.Ln10 * math.Sqrt(2/(width*seconds))
}

// rises returns how the power in the window after each step exceeds that in
// the window before it: the root mean square over the octaves of the rise in
// decibels, as far as it exceeds what noise does by chance. What rings on falls
// in all octaves, or stays; a new note rises in some of them, at least where its
// attack is.
func rises(c loudness) []float64 {
	var running [][]float64
	var tops []float64
	var loudest float64
	for _, b := range c.bands {
		s := sums(b)
		var top float64
		for k := range b {
			top = max(top, mean(s, k, k+window))
		}
		running, tops = append(running, s), append(tops, top)
		loudest = max(loudest, top)
	}
	rise := make([]float64, len(c.bands[0]))
	used := 0
	for i, s := range running {
		if tops[i] < emptyOctave*loudest {
			continue
		}
		used++
		floor := tops[i]*octaveRange + smallest
		chance := chances * unrestOfNoise(c.width[i], window*c.step)
		for k := window; k+window <= len(rise); k++ {
			if r := decibels((mean(s, k, k+window)+floor)/(mean(s, k-window, k)+floor)) - chance; r > 0 {
				rise[k] += r * r
			}
		}
	}
	for k, v := range rise {
		rise[k] = math.Sqrt(v / float64(used))
	}
	return rise
}

// peak is a local maximum of the rise.
type peak struct {
	at   int     // step
	rise float64 // dB
	gain float64 // of power
}

// sift leaves of the peaks, all of at least half of the rise asked for, those
// that count in their neighbourhood. Where there are notes, which rise by what
// was asked for, weaker ones count down to half of it; but where notes rise by
// much, what rises by a small part of that is no note.
func sift(peaks []peak, asked float64) []peak {
	var kept []peak
	var strong []float64
	from, to := 0, 0
	for _, p := range peaks {
		for peaks[from].at < p.at-neighbourhood {
			from++
		}
		for to < len(peaks) && peaks[to].at <= p.at+neighbourhood {
			to++
		}
		strong = strong[:0]
		for _, q := range peaks[from:to] {
			if q.rise >= asked {
				strong = append(strong, q.rise)
			}
		}
		least := asked
		if len(strong) >= fewNotes {
			least = max(asked/2, doubtful*robust.MedianInPlace(strong))
		}
		if p.rise >= least {
			kept = append(kept, p)
		}
	}
	return kept
}

// find returns the onsets, in order, with the levels of their attacks in decibels to
// full scale.
func find(c loudness, o options) []contact.Onset {
	if len(c.bands) == 0 || len(c.bands[0]) == 0 {
		return nil
	}
	rise := rises(c)
	total := make([]float32, len(rise))
	for _, b := range c.bands {
		for k, v := range b {
			total[k] += v
		}
	}
	s := sums(total)

	var peaks []peak
	for k := 1; k+1 < len(rise); k++ {
		if rise[k] >= o.rise/2 && rise[k] >= rise[k-1] && rise[k] > rise[k+1] {
			peaks = append(peaks, peak{k, rise[k], mean(s, k, k+window) - mean(s, k-window, k)})
		}
	}
	peaks = sift(peaks, o.rise)
	// Of two that are too close the one that brings more power is the note: the
	// plectrum scrapes the string before it lets go.
	slices.SortStableFunc(peaks, func(a, b peak) int { return cmp.Compare(b.gain, a.gain) })
	gap := int(math.Ceil(o.gap / c.step))
	taken := make([]bool, len(rise)) // steps that an onset has around it
	var kept []int
	for _, p := range peaks {
		if taken[p.at] {
			continue
		}
		kept = append(kept, p.at)
		for k := max(0, p.at-gap+1); k < min(len(taken), p.at+gap); k++ {
			taken[k] = true
		}
	}
	slices.Sort(kept)

	found := make([]contact.Onset, len(kept))
	levels := make([]float64, len(kept))
	for i, k := range kept {
		var top float64
		for j := k; j < k+2*window; j++ {
			top = max(top, mean(s, j, j+window))
		}
		levels[i] = decibels(top + smallest)
		found[i] = contact.Onset{Time: refine(c, s, k) * c.step, Level: levels[i]}
	}
	if len(levels) == 0 {
		return nil
	}
	least := robust.MedianInPlace(levels) - onsetRange
	slices.SortStableFunc(found, func(a, b contact.Onset) int { return cmp.Compare(a.Time, b.Time) })
	return slices.DeleteFunc(found, func(n contact.Onset) bool { return n.Level < least })
}

// refine returns the step, and fraction of one, at which the note about a peak of
// the rise begins: where the octaves rise steeply for the first time. total is
// the running sum of the power of all octaves.
func refine(c loudness, total []float64, peak int) float64 {
	first := max(0, peak-search-edge)
	last := min(len(c.bands[0]), peak+search+edge+1)
	steep := make([]float64, last-first)
	for _, b := range c.bands {
		s := sums(b[first:last])
		// What is far below the power hereabouts does not count.
		floor := 1e-3*mean(s, 0, last-first) + smallest
		for k := edge; k+edge <= len(steep); k++ {
			if r := math.Log((mean(s, k, k+edge) + floor) / (mean(s, k-edge, k) + floor)); r > 0 {
				steep[k] += r * r
			}
		}
	}
	var most float64
	for _, v := range steep {
		most = max(most, v)
	}
	var loud float64
	for k := range steep {
		loud = max(loud, mean(total, first+k, first+k+edge))
	}
	best := peak - first
	for k := 1; k+1 < len(steep); k++ {
		if steep[k] >= steepEnough*most && steep[k] >= steep[k-1] && steep[k] > steep[k+1] && mean(total, first+k, first+k+edge) >= loudEnough*loud {
			best = k
			break
		}
	}
	// The onset is within the step in which the power begins to rise: on average
	// in its middle.
	at := float64(first+best) + 0.5
	if best > 0 && best+1 < len(steep) { // the top of the parabola through three
		l, m, r := steep[best-1], steep[best], steep[best+1]
		if d := l - 2*m + r; d < 0 {
			at += (l - r) / (2 * d)
		}
	}
	return at
}
