package trajectory

import (
	"fmt"
	"math"
	"slices"

	"github.com/plectrace/plectrace/trajectory/filter"
	"github.com/plectrace/plectrace/variability/robust"
)

// slopeTime is the time in seconds next to a gap over which the slope is
// fitted that a bridge starts from.
const slopeTime = 0.12

// locate returns the columns of the bass mark, the treble mark and, for three
// axes, the mean of the nut marks: one sample of each when they are fixed, one
// per sample of the recording when they are tracked.
func (f *Frame) locate(s *scratch, rec *Recording, o FrameOptions) ([][3][]float64, error) {
	all := []Mark{o.Marks.Bass, o.Marks.Treble}
	axes := 2
	if o.View == Spatial {
		all = append(all, o.Marks.Nut...)
		axes = 3
	}
	columns := make([][3][]float64, len(all))
	var paths []Path
	for i, m := range all {
		if tracked := m.Point != ""; i == 0 {
			f.Follows = tracked
		} else if f.Follows != tracked {
			return nil, fault("", "some marks are tracked points and others are fixed places",
				"give all marks as tracked points, or all as places")
		}
		if !f.Follows {
			if len(m.At) != axes || !finite(m.At...) {
				return nil, fault("", fmt.Sprintf("the mark %v is not %d finite numbers", m, axes), "give one coordinate for each axis of the source")
			}
			for k := range axes {
				columns[i][k] = []float64{m.At[k]}
			}
			continue
		}
		if i == 1 && m.Point == all[0].Point {
			return nil, fault(m.Point, "the bass and the treble mark are the same point", "name two points, on either side of the strings")
		}
		p, ok := rec.Point(m.Point)
		if !ok {
			return nil, fault(m.Point, "there is no such point in the recording", "it has "+rec.names())
		}
		clean, edits, err := s.clean(Path{}, p, CleanOptions{})
		if err != nil {
			return nil, err
		}
		f.Edits = append(f.Edits, edits...)
		paths = append(paths, clean)
	}
	if f.Follows {
		f.Edits = append(f.Edits, bridgeMarks(paths, o.MaxMarkGap)...)
		for i, p := range paths {
			columns[i] = [3][]float64{p.X, p.Y, p.Z}
		}
	}
	if axes == 3 {
		columns[2] = meanColumns(columns[2:])
		columns = columns[:3]
	}
	if f.Follows {
		noise := markNoise(columns, axes)
		f.Noise = noise * math.Sqrt(s.smooth(columns, axes, rec.T, o.MarkCutoff)) / math.Sqrt2
	}
	return columns, nil
}

// meanColumns returns the mean of several marks, in the columns of the first.
func meanColumns(marks [][3][]float64) [3][]float64 {
	mean := marks[0]
	for _, m := range marks[1:] {
		for k := range mean {
			for i := range mean[k] {
				mean[k][i] += m[k][i]
			}
		}
	}
	for k := range mean {
		for i := range mean[k] {
			mean[k][i] /= float64(len(marks))
		}
	}
	return mean
}

// smooth runs a zero-phase low-pass over every run in which all marks are
// seen. It returns the share of white noise's variance that is left.
func (s *scratch) smooth(marks [][3][]float64, axes int, t []float64, cutoff float64) float64 {
	s.setTimes(t)
	rate := 1 / s.pace.usual
	lp, err := filter.LowPass(cutoff, rate)
	if err != nil {
		return 1 // negative, or half the sample rate and more: nothing to remove
	}
	var all [][]float64
	for _, m := range marks {
		all = append(all, m[:axes]...)
	}
	for start, end := range Runs(all...) {
		for _, c := range all {
			s.smoothRun(c[start:end], lp, rate/cutoff)
		}
	}
	return filter.NoiseShare(cutoff, rate)
}

// smoothRun smooths x in place, given the period of the cut-off in samples. It
// continues x at both ends by a period and a half, turned about the end of a
// line fitted to half a period: the filter itself would turn it about the end
// sample, noise and all.
func (s *scratch) smoothRun(x []float64, lp filter.Butterworth, period float64) {
	n := len(x)
	period = min(period, float64(2*n)) // longer ones are cut anyway, and no int holds all
	pad := min(n-1, int(math.Ceil(1.5*period)))
	half := min(n, max(3, int(math.Round(period/2))))
	padded := resize(s.padded, n+2*pad)
	s.padded = padded
	copy(padded[pad:], x)
	first, last := endOfLine(x[:half], 0), endOfLine(x[n-half:], half-1)
	for i := 1; i <= pad; i++ {
		padded[pad-i] = 2*first - x[i]
		padded[pad+n-1+i] = 2*last - x[n-1-i]
	}
	lp.ZeroPhase(padded, padded)
	copy(x, padded[pad:pad+n])
}

// endOfLine returns the height at index i of the line fitted to x.
func endOfLine(x []float64, i int) float64 {
	n := float64(len(x))
	var sum, slope, squares float64
	for k, v := range x {
		u := float64(k) - (n-1)/2
		sum += v
		slope += u * v
		squares += u * u
	}
	if squares == 0 {
		return sum / n
	}
	return sum/n + slope/squares*(float64(i)-(n-1)/2)
}

// bridgeMarks fills the gaps of up to maxGap seconds in the marks, in place,
// and returns what it filled. A hidden mark is where the marks that are seen
// put it with their interpolated difference to it, or else where a cubic over
// its own gap puts it.
func bridgeMarks(marks []Path, maxGap float64) []Edit {
	if maxGap < 0 || len(marks) == 0 {
		return nil
	}
	seen := make([][]float64, len(marks))
	for j, p := range marks {
		seen[j] = p.X
	}
	edits := make([][]Edit, len(marks))
	part, filled := make([]Path, len(marks)), make([][3][]float64, len(marks))
	for start, end := range gapParts(marks[0].T, seen) {
		for j, p := range marks {
			part[j] = p.part(start, end)
		}
		for j, p := range part {
			for k, col := range [3][]float64{p.X, p.Y, p.Z} {
				filled[j][k] = nil
				if col != nil {
					filled[j][k] = bridgeColumn(part, j, k, maxGap)
				}
			}
			for a, b := range missing(p.X) {
				for from, to := range Runs(filled[j][0][a:b]) {
					edits[j] = append(edits[j], edit(marks[j], Filled, start+a+from, start+a+to))
				}
			}
		}
		for j, p := range part {
			copy(p.X, filled[j][0])
			copy(p.Y, filled[j][1])
			copy(p.Z, filled[j][2])
		}
	}
	return slices.Concat(edits...)
}

// bridgeColumn returns axis k of mark j with its gaps filled.
func bridgeColumn(marks []Path, j, k int, maxGap float64) []float64 {
	axis := func(p Path) []float64 { return [3][]float64{p.X, p.Y, p.Z}[k] }
	t, x := marks[j].T, axis(marks[j])
	out := append([]float64(nil), x...)
	bridge(t, out, maxGap)
	sum, count := make([]float64, len(x)), make([]int, len(x))
	difference := make([]float64, len(x))
	for o := range marks {
		if o == j {
			continue
		}
		y := axis(marks[o])
		for i := range x {
			difference[i] = x[i] - y[i]
		}
		bridge(t, difference, maxGap)
		for i := range x {
			if v := y[i] + difference[i]; v == v {
				sum[i] += v
				count[i]++
			}
		}
	}
	for i := range x {
		if x[i] != x[i] && count[i] > 0 {
			out[i] = sum[i] / float64(count[i])
		}
	}
	return out
}

// bridge fills the gaps of x that last up to maxGap seconds, between the last
// sample seen and the next, by a cubic that leaves and arrives with the slopes
// fitted to what is seen within slopeTime of the gap.
func bridge(t, x []float64, maxGap float64) {
	last := 0
	for start, end := range Runs(x) {
		if a, b := last-1, start; last > 0 && t[b]-t[a] <= maxGap {
			h := t[b] - t[a]
			secant := (x[b] - x[a]) / h
			m0 := edgeSlope(t, x, a, -1, secant)
			m1 := edgeSlope(t, x, b, +1, secant)
			for i := a + 1; i < b; i++ {
				x[i] = hermite((t[i]-t[a])/h, x[a], x[b], m0*h, m1*h)
			}
		}
		last = end
	}
}

// edgeSlope returns the least-squares slope of the samples from i on in steps
// of dir, up to a missing one or to slopeTime away; fewer than three give the
// fallback.
func edgeSlope(t, x []float64, i, dir int, fallback float64) float64 {
	var n, st, sx, stt, stx float64
	t0, x0 := t[i], x[i]
	for ; i >= 0 && i < len(x) && x[i] == x[i] && math.Abs(t[i]-t0) <= slopeTime; i += dir {
		dt, dx := t[i]-t0, x[i]-x0
		n++
		st += dt
		sx += dx
		stt += dt * dt
		stx += dt * dx
	}
	if n < 3 {
		return fallback
	}
	return (n*stx - st*sx) / (n*stt - st*st)
}

// hermite returns the cubic on [0, 1] from x0 to x1 with slopes m0 and m1.
func hermite(u, x0, x1, m0, m1 float64) float64 {
	v := 1 - u
	return v*v*((1+2*u)*x0+u*m0) + u*u*((1+2*v)*x1-v*m1)
}

// perMM holds the units of length that need no distance between marks, as the
// number of them in a millimetre.
var perMM = map[string]float64{"mm": 1, "cm": 0.1, "m": 1e-3}

// setScale sets the unit and the scale of the frame, given the distance of the
// bass and the treble mark at every sample of the columns, and its median.
func (f *Frame) setScale(s *scratch, rec *Recording, distance []float64, median float64) {
	mm := f.Options.DistanceMM
	switch {
	case mm > 0:
		f.Unit, f.UnitsPerMM = "mm", median/mm
		f.scale = []float64{mm / median}
		if f.Follows && f.View != Spatial && s.distanceChanges(rec.T, distance, median) {
			for i, d := range distance {
				distance[i] = mm / d
			}
			f.scale = distance
			f.note("the distance of the marks changes over the recording: the scale follows it")
		}
		said := perMM[rec.Unit]
		if said > 0 && math.Abs(f.UnitsPerMM/said-1) > 0.05 {
			f.note("the source says that it is in %s, which makes the marks %.4g mm apart, and you gave %.4g mm: yours is used",
				rec.Unit, median/said, mm)
		}
	case perMM[rec.Unit] > 0:
		f.Unit, f.UnitsPerMM = "mm", perMM[rec.Unit]
		f.scale = []float64{1 / f.UnitsPerMM}
	default:
		f.Unit, f.scale = rec.Unit, []float64{1}
	}
}

// scaleCutoff is the frequency in hertz up to which a change of the distance
// of two marks may be one of scale.
const scaleCutoff = 1

// maxRanked is about the most samples, evenly spread, from which distanceChanges
// takes a scale and quantiles. So many leave an error of 1 per cent in the scale,
// and put the 2.5 per cent quantile between those of 2.4 and 2.6.
const maxRanked = 16384

// distanceChanges reports whether the distance, smoothed to scaleCutoff, leaves
// its median by more than 1 per cent both ways and by more than noise explains.
// If so, distance holds the smoothed distance afterwards.
func (s *scratch) distanceChanges(t, distance []float64, median float64) bool {
	s.setTimes(t)
	rate := 1 / s.pace.usual
	lp, err := filter.LowPass(scaleCutoff, rate)
	if err != nil {
		return false
	}
	slow := resize(s.walk.step, len(distance)) // the walks are over
	copy(slow, distance)
	low, high, n := math.Inf(1), math.Inf(-1), 0
	for start, end := range Runs(distance) {
		run := slow[start:end]
		s.smoothRun(run, lp, rate/scaleCutoff)
		if !long(run, rate) {
			continue
		}
		for _, v := range run {
			if v < low {
				low = v
			}
			if v > high {
				high = v
			}
		}
		n += len(run)
	}
	if n == 0 || (high-low)/2 <= 0.01*median {
		return false
	}
	stride := (n + maxRanked - 1) / maxRanked
	noise, all := make([]float64, 0, n/stride+1), make([]float64, 0, n/stride+1)
	next := 0 // samples of long runs to the next one that is taken
	for start, end := range Runs(distance) {
		if !long(slow[start:end], rate) {
			continue
		}
		i := start + next
		for ; i < end; i += stride {
			all = append(all, slow[i])
			noise = append(noise, distance[i]-slow[i])
		}
		next = i - end
	}
	// The noise left is at most that of the band of the marks, over 1 Hz of it.
	left := robust.ScaleInPlace(noise) / 2
	low, high = robust.QuantileInPlace(0.025, all), robust.QuantileInPlace(0.975, all)
	if (high-low)/2 <= max(0.01*median, 4*left) {
		return false
	}
	copy(distance, slow)
	return true
}

// long reports whether a run is long enough for it, smoothed to scaleCutoff, to
// say anything.
func long(run []float64, rate float64) bool { return float64(len(run)) >= 2*rate }
