package drive

import (
	"fmt"
	"math"
	"strings"

	"gonum.org/v1/gonum/floats"
	"gonum.org/v1/gonum/spatial/r3"
	"gonum.org/v1/gonum/stat/distuv"

	"github.com/plectrace/plectrace/variability/estimate"
	"github.com/plectrace/plectrace/variability/robust"
)

// finite is the half-width that every interval has: the sizes of the movements
// are finite, and the chain is worked out for small ones.
const finite = 0.005

// strokeRow is what one stroke says: the travel of each stage, and that of its
// window.
type strokeRow struct {
	travel          [nStages]float64
	variance        [landmarks]float64
	amplitude, bias float64
	all             bool
}

// run fills in the shares of d.
func (a *analysis) run(d *Drive) {
	n, _ := a.seen(landmarkUnknown)
	if n < 2*minCycles {
		d.Absent = &estimate.Absence{Code: codeFewCycles, What: "drive", Why: fmt.Sprintf(
			"%d strokes of even playing in which the landmarks were seen; it takes %d", n, 2*minCycles)}
		d.SameLeading.Absent = d.Absent
		return
	}
	for l, p := range a.points {
		if p != nil && a.chain.has[l] {
			p.noise = noiseLevel(p.cols)
		}
	}
	mean, axis, size, noise := a.typical()
	d.Axis = [3]float64{axis.X, axis.Y, axis.Z}
	a.chain.settle(&mean, axis)
	typical := a.chain.work(&mean, axis)
	bodies := a.stiffness(&mean, noise)
	d.Misfit = misfit(bodies)

	var rows []strokeRow
	var gain [nStages]float64
	var tt float64
	for _, w := range a.use {
		p, b, g := a.poseOf(w), a.beats[w], float64(a.windows[w].n())
		q := a.chain.work(&p, b.axis)
		if !a.complete(q) {
			continue
		}
		tt += g * (b.amplitude*b.amplitude - b.bias)
		for s, v := range q.travel {
			gain[s] += g * b.amplitude * v
		}
		for i := a.windows[w].from; i < a.windows[w].to; i++ {
			ps, all, variance := a.strokePose(p, w, i)
			q := a.chain.work(&ps, b.axis)
			if !a.complete(q) {
				continue
			}
			rows = append(rows, strokeRow{q.travel, variance, b.amplitude, b.bias, all})
			d.Strokes = append(d.Strokes, i)
		}
	}
	if len(rows) < 2*minCycles {
		d.Absent = &estimate.Absence{Code: codeFewCycles, What: "drive", Why: "the arm was too straight to tell its joints apart"}
		d.SameLeading.Absent = d.Absent
		d.Strokes = nil
		return
	}
	floats.Scale(1/tt, gain[:])
	gain[whole] = 1

	slope := a.slopes(mean, axis, size)
	from := still
	for s := upper; s <= whole; s++ {
		if !a.chain.known[s] {
			continue
		}
		sh := Share{}
		for j := from + 1; j <= s; j++ {
			sh.Joints = append(sh.Joints, joints[j])
		}
		sh.Why = a.together(sh.Joints)
		var steep [landmarks]r3.Vec
		for l := range steep {
			steep[l] = r3.Sub(slope[s][l], slope[from][l])
		}
		slide := slideBound(bodies, &steep, size, d.Options.LandmarkError, a.chain.assumed(&mean, size))
		a.value(&sh, rows, gain, from, s, tt/float64(n), slide, (typical.guess[from]+typical.guess[s])/size)
		a.scatter(&sh, rows, from, s, &steep)
		d.Shares = append(d.Shares, sh)
		from = s
	}
	if len(d.Shares) == 1 {
		d.Absent = &estimate.Absence{Code: "one_group", What: "drive", Why: "the landmarks do not tell any joint from another: " + d.Shares[0].Why}
		d.SameLeading.Absent = d.Absent
		d.Shares, d.Strokes = nil, nil
		return
	}
	for _, sh := range d.Shares {
		if why := sh.Value.Absent; why != nil && why.Code == "implausible" {
			d.Absent = &estimate.Absence{Code: why.Code, What: "drive", Why: why.What + ": " + why.Why}
			d.SameLeading.Absent = d.Absent
			d.Shares, d.Strokes = nil, nil
			return
		}
	}
	a.lead(d)
	a.notes(d, len(bodies) == 0, typical.astray/size)
}

func (a *analysis) complete(q reach) bool {
	for s, known := range a.chain.known {
		if known && math.IsNaN(q.travel[s]) {
			return false
		}
	}
	return true
}

// Shares that lie beyond these by more than the noise, whatever slides, are no
// arm's: joints work against each other by a third of the tip's travel at the
// most (common practice), and landmarks that slide together make such shares.
const leastShare, mostShare = -0.35, 1.35

// value fills in the share of what lies between two stages.
func (a *analysis) value(sh *Share, rows []strokeRow, gain [nStages]float64, from, to stage, tt float64,
	slide, guess float64) {
	xs := make([]float64, len(rows))
	v := gain[to] - gain[from]
	for i, r := range rows {
		tip := r.amplitude*r.travel[whole] - r.bias
		part := r.amplitude * (r.travel[to] - r.travel[from])
		if to == whole {
			part -= r.bias
		}
		xs[i] = (part - v*tip) / tt
	}
	m := estimate.Mean(xs, 0)
	random := (m.High - m.Low) / 2
	half := math.Hypot(math.Hypot(random, slide), finite) + guess
	sure := math.Hypot(random, finite)
	if sh.Joints[0] != AtShoulder || len(sh.Joints) > 1 {
		sure += guess // of the levers, which the elbow's own travel does not need
	}
	if v+sure < leastShare || v-sure > mostShare {
		sh.Value = estimate.Missing[float64]("implausible", "share of "+names(sh.Joints), fmt.Sprintf(
			"it comes out as %.0f %%, which no arm does: the landmarks slide over the bones, or are not what they are said to be", 100*v))
		return
	}
	if !(half <= maxHalfWidth) {
		why := "its interval would reach more than 0.5 to either side: "
		switch {
		case guess > math.Hypot(random, slide):
			why += "the levers of the arm are not seen"
		case slide > random:
			why += "the landmarks move against the bones in step with the strokes"
		default:
			why += "too much noise for the strokes there are"
		}
		sh.Value = estimate.Missing[float64]("uncertain", "share of "+names(sh.Joints), why)
		return
	}
	sh.Value = estimate.Value[float64]{Value: v, Low: v - half, High: v + half, Level: m.Level, N: len(rows)}
}

// scatter fills in the strokes' own shares and how far they scatter.
func (a *analysis) scatter(sh *Share, rows []strokeRow, from, to stage, steep *[landmarks]r3.Vec) {
	sh.PerStroke = make([]float64, len(rows))
	var seen, noise []float64
	for i, r := range rows {
		sh.PerStroke[i] = math.NaN()
		if !r.all || !(r.travel[whole] > 0.2*r.amplitude) {
			continue
		}
		sh.PerStroke[i] = (r.travel[to] - r.travel[from]) / r.travel[whole]
		seen = append(seen, sh.PerStroke[i])
		v := 0.0
		for l, s2 := range r.variance {
			v += s2 * r3.Norm2(steep[l])
		}
		noise = append(noise, v)
	}
	what := "scatter of the share of " + names(sh.Joints)
	switch {
	case sh.Value.Absent != nil:
		sh.Scatter = estimate.Missing[float64](sh.Value.Absent.Code, what, "the share itself could not be had")
		return
	case len(seen) < 2*minCycles:
		sh.Scatter = estimate.Missing[float64](codeFewCycles, what, "too few strokes in which every landmark was seen")
		return
	}
	mid := robust.Median(seen)
	for i, x := range seen {
		seen[i] = math.Abs(x-mid) / distuv.UnitNormal.Quantile(0.75)
	}
	m := estimate.SeriesMedian(seen, 0)
	n2 := robust.Median(noise)
	if !(m.Value*m.Value > 2*n2) {
		sh.Scatter = estimate.Missing[float64]("noise", what, fmt.Sprintf(
			"the strokes differ by no more than measurement noise makes them (%.2g)", math.Sqrt(n2)))
		return
	}
	less := func(x float64) float64 { return math.Sqrt(max(0, x*x-n2)) }
	sh.Scatter = estimate.Value[float64]{Value: less(m.Value), Low: less(m.Low), High: less(m.High), Level: m.Level, N: len(seen)}
	if math.IsNaN(m.Low) || math.IsNaN(m.High) {
		sh.Scatter.Low, sh.Scatter.High = math.NaN(), math.NaN()
	}
}

// slopes returns by how much the share of each stage changes with the in-phase
// half-travel of each landmark, by differences: the chain is linear in them,
// but for the axis, which turns with the tip's.
func (a *analysis) slopes(p pose, axis r3.Vec, size float64) *[nStages][landmarks]r3.Vec {
	var out [nStages][landmarks]r3.Vec
	step := 0.01 * size
	for l, pt := range a.points {
		if pt == nil || !a.chain.has[l] {
			continue
		}
		for k, col := range pt.cols {
			if col == nil {
				continue
			}
			var e [3]float64
			e[k] = step
			var share [2][nStages]float64
			for side, sign := range [2]float64{1, -1} {
				q, turned := p, axis
				q.by[l] = r3.Add(q.by[l], r3.Scale(sign, vec(e)))
				if Landmark(l) == Tip {
					turned = r3.Unit(r3.Add(r3.Scale(size, axis), r3.Scale(sign, vec(e))))
				}
				if a.middle {
					midWrist(&q)
				}
				r := a.chain.work(&q, turned)
				for s, v := range r.travel {
					share[side][s] = v / r.travel[whole]
				}
			}
			for s := range out {
				v := (share[0][s] - share[1][s]) / (2 * step)
				switch k {
				case 0:
					out[s][l].X = v
				case 1:
					out[s][l].Y = v
				case 2:
					out[s][l].Z = v
				}
			}
		}
	}
	return &out
}

// lead finds the leading joint.
func (a *analysis) lead(d *Drive) {
	const what = "strokes with the same leading joint"
	best := -1
	for i, s := range d.Shares {
		if s.Value.Absent == nil && (best < 0 || s.Value.Value > d.Shares[best].Value.Value) {
			best = i
		}
	}
	clear := best >= 0
	for i, s := range d.Shares {
		if clear && i != best && !(d.Shares[best].Value.Low > 0.5) {
			clear = s.Value.Absent == nil && s.Value.High < d.Shares[best].Value.Low
		}
	}
	if !clear {
		d.SameLeading = estimate.Missing[float64]("no_leader", what, "the intervals leave open which joint leads")
		return
	}
	d.Leading = best
	var xs []float64
	for i := range d.Strokes {
		x := 1.0
		for _, s := range d.Shares {
			if math.IsNaN(s.PerStroke[i]) {
				x = math.NaN()
			} else if s.PerStroke[i] > d.Shares[best].PerStroke[i] {
				x = 0
			}
		}
		if x == x {
			xs = append(xs, x)
		}
	}
	if len(xs) < 2*minCycles {
		d.SameLeading = estimate.Missing[float64](codeFewCycles, what, "too few strokes in which every landmark was seen")
		return
	}
	m := estimate.Mean(xs, 0)
	m.Low, m.High = max(0, m.Low), min(1, m.High)
	d.SameLeading = m
}

func names(j []Joint) string {
	s := make([]string, len(j))
	for i := range j {
		s[i] = j[i].String()
	}
	return strings.Join(s, " or ")
}
