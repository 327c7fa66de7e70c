package drive

import (
	"fmt"
	"math"
	"slices"

	"gonum.org/v1/gonum/spatial/r3"

	"github.com/plectrace/plectrace/motion"
	"github.com/plectrace/plectrace/trajectory"
	"github.com/plectrace/plectrace/variability/estimate"
)

// Options say what is known of the landmarks beforehand.
type Options struct {
	// LandmarkError is how far a landmark may slide against the bone in step
	// with the stroke, as half-travel in the unit of the points. It widens the
	// intervals. Zero means what the landmarks themselves show: how far the
	// segments that they form fail to keep their shape, and a tenth of the
	// tip's half-travel where nothing shows it. Negative means that they do not
	// slide.
	LandmarkError float64 `json:"landmark_error,omitempty"`
}

// Share is what one joint, or several that cannot be told apart, contribute to
// the tip's travel.
type Share struct {
	// Joints has more than one entry when the landmarks or the view do not
	// tell those joints apart.
	Joints []Joint
	// Value is the share of the tip's travel along the stroke's axis, at the
	// cycle frequency and in phase with it. It can be negative, where a joint
	// works against the others, and then others exceed 1.
	Value estimate.Value[float64]
	// Scatter is the standard deviation (robust) of the share between strokes,
	// less what measurement noise makes of it.
	Scatter estimate.Value[float64]
	// PerStroke holds the share in each of Drive.Strokes, NaN where a landmark
	// was hidden for most of the stroke.
	PerStroke []float64
	// Why says why joints are together, "" for one joint.
	Why string
}

// Drive is which joints move the tip.
type Drive struct {
	Options Options
	// Shares follow the arm from the shoulder to the fingers. Their values, as
	// measured, add up to 1. It is empty when nothing could be had, and when the
	// landmarks do not tell any joint from another; Absent says why.
	Shares []Share
	Absent *estimate.Absence
	// Leading is the index in Shares of what contributes most, and -1 when the
	// intervals leave that open.
	Leading int
	// SameLeading is the share of strokes in which the leading joint
	// contributes most.
	SameLeading estimate.Value[float64]
	// Strokes are the indices of the strokes that the shares were read from.
	Strokes []int
	// Used are the landmarks used. Unused says of the others why they are not.
	Used   []Landmark
	Unused map[Landmark]string
	// Carries are those of all landmarks but the tip, as CarryOf returns them,
	// and but for those that are another point sample for sample.
	Carries map[Landmark]Carry
	// Axis is the tip's own axis as a unit vector (across, along, out).
	Axis [3]float64
	// Misfit is how far a landmark moves in phase with the strokes against the
	// rigid segment that it belongs to: root mean square on one axis, as
	// half-travel in the unit of the points. It is the error that is left when
	// the chain is closed. NaN when no segment has enough points to show it.
	Misfit float64
	// Posture is how the forearm lies.
	Posture Posture
	// Notes tell the reader what the shares rest on.
	Notes []string
}

// maxHalfWidth is the half-width of an interval beyond which a share is absent.
const maxHalfWidth = 0.5

// Analyze returns which joints move the tip, from landmarks in the instrument
// frame, all on the time base of Tip, which has to be among them; strokes are
// those found on it. Landmarks may have any number of missing samples; those
// that are seen in less than half of the strokes are not used, nor is one whose
// samples are those of the tip, nor are two that have the same samples.
//
// Too few strokes or landmarks are not errors: Absent then says why. The error
// is a *trajectory.DataError: no tip, an unknown landmark, a path that is not
// valid, or paths on different time bases or axes.
func Analyze(points map[Landmark]trajectory.Placed, strokes []motion.Stroke, o Options) (*Drive, error) {
	d := &Drive{Options: o, Leading: -1, Misfit: math.NaN(), Carries: map[Landmark]Carry{}, Unused: map[Landmark]string{}}
	list, err := check(points)
	if err != nil {
		return nil, err
	}
	tip := points[Tip]
	list = distinct(points, list, d.Unused)
	f := newFitter(newPhases(strokes), tip.T)
	a := &analysis{fitter: f}
	var fits []*point
	for _, l := range list {
		p := points[l]
		a.points[l] = &point{cols: [3][]float64{p.Across, p.Along, p.Out}}
		fits = append(fits, a.points[l])
	}
	f.fit(fits...)
	a.beats = f.beats(a.points[Tip])
	for _, l := range list {
		if l != Tip {
			d.Carries[l] = f.carry(a.points[l], a.points[Tip], a.beats)
		}
	}
	a.chain.planar = tip.Along == nil || tip.Out == nil
	a.chain.front = tip.Out == nil
	d.Posture = a.posture()
	for _, l := range list {
		a.chain.has[l] = true
	}
	a.choose(d, list)
	a.run(d)
	return d, nil
}

// check returns the landmarks in order.
func check(points map[Landmark]trajectory.Placed) ([]Landmark, error) {
	tip, ok := points[Tip]
	if !ok {
		return nil, &trajectory.DataError{Sample: -1, Time: math.NaN(), Rule: "no landmark is the tip",
			Hint: "give the point that the strokes were found on as tip"}
	}
	tc, tt, err := columns(tip)
	if err != nil {
		return nil, err
	}
	var list []Landmark
	for l := range points {
		list = append(list, l)
	}
	slices.Sort(list)
	for _, l := range list {
		if !l.known() {
			return nil, &trajectory.DataError{Point: points[l].Name, Sample: -1, Time: math.NaN(),
				Rule: "the point is no known landmark", Hint: "use one of the landmarks of package drive"}
		}
		c, t, err := columns(points[l])
		if err != nil {
			return nil, err
		}
		if err := oneBase(l.String(), c, t, tc, tt); err != nil {
			return nil, err
		}
	}
	return list, nil
}

// distinct returns the landmarks of list without those whose samples are another's:
// one point that serves as two, which says nothing of the other. unused takes the
// reasons.
func distinct(points map[Landmark]trajectory.Placed, list []Landmark, unused map[Landmark]string) []Landmark {
	for i, l := range list {
		for _, k := range list[:i] {
			if same(points[k], points[l]) {
				for _, pair := range [2][2]Landmark{{k, l}, {l, k}} {
					if pair[0] != Tip {
						unused[pair[0]] = fmt.Sprintf("its samples are those of the %s: one point is given as both", pair[1])
					}
				}
			}
		}
	}
	var out []Landmark
	for _, l := range list {
		if unused[l] == "" {
			out = append(out, l)
		}
	}
	return out
}

// same reports whether the samples of two points are the same, of which there
// are some.
func same(p, q trajectory.Placed) bool {
	seen := false
	for _, c := range [3][2][]float64{{p.Across, q.Across}, {p.Along, q.Along}, {p.Out, q.Out}} {
		for i, x := range c[0] {
			switch y := c[1][i]; {
			case x == x && x == y:
				seen = true
			case x == x || y == y:
				return false
			}
		}
	}
	return seen
}

// analysis is one take under way.
type analysis struct {
	*fitter
	points [landmarks]*point
	beats  []beat
	chain  chain
	middle bool // the wrist is the middle of its sides
	use    []int
}

// seen returns in how many strokes the landmarks of the chain are seen, with
// the windows that those lie in; only counts landmark l alone.
func (a *analysis) seen(only Landmark) (strokes int, windows []int) {
	for w := range a.windows {
		ok := a.beats[w].ok
		for l, p := range a.points {
			if p != nil && (only == landmarkUnknown && a.chain.has[l] || Landmark(l) == only) {
				ok = ok && p.waves[w].ok
			}
		}
		if ok {
			strokes += a.windows[w].n()
			windows = append(windows, w)
		}
	}
	return strokes, windows
}

// choose leaves out the landmarks that are seen too rarely, and of the others
// as many as it takes for the rest to be seen together.
func (a *analysis) choose(d *Drive, list []Landmark) {
	best, _ := a.seen(Tip)
	need := max(2*minCycles, best/2)
	for _, l := range list {
		if n, _ := a.seen(l); l != Tip && n < need {
			a.chain.has[l] = false
			d.Unused[l] = fmt.Sprintf("seen well enough in %d strokes of %d", n, best)
		}
	}
	for {
		n, windows := a.seen(landmarkUnknown)
		a.use = windows
		if n >= need || best < 2*minCycles {
			break
		}
		worst, least := Tip, math.MaxInt
		for _, l := range list {
			if n, _ := a.seen(l); l != Tip && a.chain.has[l] && n < least {
				worst, least = l, n
			}
		}
		a.chain.has[worst] = false
		d.Unused[worst] = "hidden too often while the other landmarks are seen"
	}
	for _, l := range list {
		if a.chain.has[l] {
			d.Used = append(d.Used, l)
		}
	}
	if !a.chain.has[Wrist] && a.chain.has[WristInner] && a.chain.has[WristOuter] {
		a.chain.has[Wrist], a.middle = true, true
		a.points[Wrist] = nil // not used even if given
	}
}

// poseOf returns the pose of window w, in phase with its beat.
func (a *analysis) poseOf(w int) (p pose) {
	for l, q := range a.points {
		if q != nil && a.chain.has[l] {
			p.at[l] = q.waves[w].mean
			p.by[l], _ = a.beats[w].inPhase(q.waves[w])
		}
	}
	if a.middle {
		midWrist(&p)
	}
	return p
}

// strokePose adds to the pose of window w what stroke i alone says. all reports
// whether every landmark was seen in it.
func (a *analysis) strokePose(p pose, w, i int) (q pose, all bool, variance [landmarks]float64) {
	all = true
	for l, pt := range a.points {
		if pt == nil || !a.chain.has[l] {
			continue
		}
		more, v, ok := a.ofStroke(pt, a.beats[w], i)
		if !ok {
			all = false
			continue
		}
		p.by[l] = r3.Add(p.by[l], more)
		s := min(pt.noise, pt.waves[w].sigma)
		variance[l] = v * s * s
	}
	if a.middle {
		midWrist(&p)
	}
	return p, all, variance
}

// typical returns the mean pose, axis and half-travel of the take, and the
// variance on one axis that noise gives each landmark's mean half-travel.
func (a *analysis) typical() (p pose, axis r3.Vec, amplitude float64, noise [landmarks]float64) {
	var size, weight float64
	for _, w := range a.use {
		b, g := a.beats[w], float64(a.windows[w].n())
		q := a.poseOf(w)
		size += g
		weight += g * b.amplitude
		axis = r3.Add(axis, r3.Scale(g*b.amplitude, b.axis))
		for l, pt := range a.points {
			p.at[l] = r3.Add(p.at[l], r3.Scale(g, q.at[l]))
			p.by[l] = r3.Add(p.by[l], r3.Scale(g*b.amplitude, q.by[l]))
			if pt != nil && a.chain.has[l] {
				f := pt.waves[w]
				s := g * b.amplitude * min(pt.noise, f.sigma)
				noise[l] += s * s * (f.vcos + f.vsin) / 2
			}
		}
	}
	for l := range p.at {
		p.at[l] = r3.Scale(1/size, p.at[l])
		p.by[l] = r3.Scale(1/weight, p.by[l])
		noise[l] /= weight * weight
	}
	if a.middle {
		noise[Wrist] = (noise[WristInner] + noise[WristOuter]) / 4
	}
	return p, r3.Unit(axis), weight / size, noise
}
