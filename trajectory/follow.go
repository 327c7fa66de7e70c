package trajectory

import (
	"fmt"
	"math"

	"github.com/plectrace/plectrace/trajectory/filter"
	"github.com/plectrace/plectrace/variability/robust"
)

// slopeTime is the time in seconds next to a gap over which the slope is
// fitted that a bridge starts from.
const slopeTime = 0.12

// locate returns the columns of the bass mark, the treble mark and, for three
// axes, the mean of the nut marks: one sample of each when they are fixed, one
// per sample of the recording when they are tracked.
func (f *Frame) locate(rec *Recording, o FrameOptions) ([][3][]float64, error) {
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
		clean, edits, err := Clean(Path{}, p, CleanOptions{})
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
		smooth(columns, axes, rec.T, o.MarkCutoff)
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
// seen.
func smooth(marks [][3][]float64, axes int, t []float64, cutoff float64) {
	rate := 1 / usualInterval(t)
	lp, err := filter.LowPass(cutoff, rate)
	if err != nil {
		return // negative, or half the sample rate and more: nothing to remove
	}
	var all [][]float64
	for _, m := range marks {
		all = append(all, m[:axes]...)
	}
	var padded []float64
	for start, end := range Runs(all...) {
		for _, c := range all {
			padded = smoothRun(padded, c[start:end], lp, rate/cutoff)
		}
	}
}

// smoothRun smooths x in place, given the period of the cut-off in samples. It
// continues x at both ends by a period and a half, turned about the end of a
// line fitted to half a period: the filter itself would turn it about the end
// sample, noise and all.
func smoothRun(padded, x []float64, lp filter.Butterworth, period float64) []float64 {
	n := len(x)
	pad := min(n-1, int(math.Ceil(1.5*period)))
	half := min(n, max(3, int(math.Round(period/2))))
	padded = resize(padded, n+2*pad)
	copy(padded[pad:], x)
	first, last := endOfLine(x[:half], 0), endOfLine(x[n-half:], half-1)
	for i := 1; i <= pad; i++ {
		padded[pad-i] = 2*first - x[i]
		padded[pad+n-1+i] = 2*last - x[n-1-i]
	}
	lp.ZeroPhase(padded, padded)
	copy(x, padded[pad:pad+n])
	return padded
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
	var edits []Edit
	filled := make([][3][]float64, len(marks))
	for j, p := range marks {
		own := [3][]float64{p.X, p.Y, p.Z}
		var gaps bool
		for _, v := range p.X {
			gaps = gaps || v != v
		}
		if !gaps || maxGap < 0 {
			filled[j] = own
			continue
		}
		for k := range own {
			if own[k] != nil {
				filled[j][k] = bridgeColumn(marks, j, k, maxGap)
			}
		}
		for start, end := range missing(p.X) {
			for from, to := range Runs(filled[j][0][start:end]) {
				edits = append(edits, edit(p, Filled, start+from, start+to))
			}
		}
	}
	for j := range marks {
		marks[j].X, marks[j].Y, marks[j].Z = filled[j][0], filled[j][1], filled[j][2]
	}
	return edits
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

// setScale sets the unit and the scale of the frame, given the distance of the
// bass and the treble mark at every sample of the columns.
func (f *Frame) setScale(rec *Recording, distance []float64) {
	mm := f.Options.DistanceMM
	median := medianSeen(distance)
	switch {
	case mm > 0:
		f.Unit, f.UnitsPerMM = "mm", median/mm
		f.scale = []float64{mm / median}
		if f.Follows && f.View != Spatial && distanceChanges(rec.T, distance, median) {
			for i, d := range distance {
				distance[i] = mm / d
			}
			f.scale = distance
			f.note("the distance of the marks changes over the recording: the scale follows it")
		}
		said := map[string]float64{"mm": 1, "m": 1e-3}[rec.Unit]
		if said > 0 && math.Abs(f.UnitsPerMM/said-1) > 0.05 {
			f.note("the source says that it is in %s, which makes the marks %.4g mm apart, and you gave %.4g mm: yours is used",
				rec.Unit, median/said, mm)
		}
	case rec.Unit == "mm":
		f.Unit, f.UnitsPerMM, f.scale = "mm", 1, []float64{1}
	case rec.Unit == "m":
		f.Unit, f.UnitsPerMM, f.scale = "mm", 1e-3, []float64{1e3}
	default:
		f.Unit, f.scale = rec.Unit, []float64{1}
	}
}

// scaleCutoff is the frequency in hertz up to which a change of the distance
// of two marks may be one of scale.
const scaleCutoff = 1

// distanceChanges reports whether the distance, smoothed to scaleCutoff, leaves
// its median by more than 1 per cent both ways and by more than noise explains.
// If so, distance holds the smoothed distance afterwards.
func distanceChanges(t, distance []float64, median float64) bool {
	rate := 1 / usualInterval(t)
	lp, err := filter.LowPass(scaleCutoff, rate)
	if err != nil {
		return false
	}
	slow := make([]float64, len(distance))
	copy(slow, distance)
	var padded, noise, all []float64
	for start, end := range Runs(slow) {
		run := slow[start:end]
		padded = smoothRun(padded, run, lp, rate/scaleCutoff)
		if float64(end-start) < 2*rate {
			continue // too short for a run smoothed to 1 Hz to say anything
		}
		for i, v := range run {
			all = append(all, v)
			noise = append(noise, distance[start+i]-v)
		}
	}
	if len(all) == 0 {
		return false
	}
	// The noise left is at most that of the band of the marks, over 1 Hz of it.
	left := robust.ScaleInPlace(noise) / 2
	low, high := robust.QuantileInPlace(0.025, all), robust.QuantileInPlace(0.975, all)
	if (high-low)/2 <= max(0.01*median, 4*left) {
		return false
	}
	copy(distance, slow)
	return true
}
