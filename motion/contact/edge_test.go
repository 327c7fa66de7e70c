package contact_test

import (
	"errors"
	"math"
	"strings"
	"testing"

	"github.com/plectrace/plectrace/motion"
	"github.com/plectrace/plectrace/motion/contact"
	"github.com/plectrace/plectrace/trajectory"
	"github.com/plectrace/plectrace/variability/circular"
	"gonum.org/v1/gonum/spatial/r3"
)

// pick makes strokes and points on a pick's flat that is turned about out by
// the edge angle and leans toward the treble side, both with a scatter from
// stroke to stroke and a swing within each.
type pick struct {
	edge, lean, scatter, swing float64 // radians
	noise                      float64 // mm
	hz                         float64
}

// points of the flat before it is turned: the tip, and in the plane of along and
// out the base and two shoulders.
var flat = []r3.Vec{{}, {Z: 12}, {Y: -5, Z: 10}, {Y: 5, Z: 10}}

func (q pick) film(seed int) (points []trajectory.Placed, strokes []motion.Stroke, edges, leans []float64) {
	rng := stream("contact/pick", seed)
	const n, duration = 200, 0.1
	for i := range n {
		strokes = append(strokes, motion.Stroke{Direction: motion.Direction(1 + i%2), Start: float64(i) * duration, End: float64(i+1) * duration})
		edges = append(edges, q.edge+q.scatter*rng.NormFloat64())
		leans = append(leans, q.lean+q.scatter*rng.NormFloat64())
	}
	points = make([]trajectory.Placed, len(flat))
	for k := range points {
		points[k] = trajectory.Placed{Name: []string{"tip", "base", "left", "right"}[k], Unit: "mm"}
	}
	for j := 0; float64(j)/q.hz < n*duration; j++ {
		t := float64(j) / q.hz
		i := int(t / duration)
		u := t/duration - float64(i)
		tip := r3.Vec{X: 5 * math.Cos(math.Pi*(float64(i)+u)), Z: -1}
		swing := q.swing * (u - 0.5)
		for k, v := range flat {
			v = r3.NewRotation(leans[i]+swing, r3.Vec{Y: 1}).Rotate(v)
			v = r3.Add(tip, r3.NewRotation(-edges[i]-swing, r3.Vec{Z: 1}).Rotate(v))
			p := &points[k]
			p.T = append(p.T, t)
			p.Across = append(p.Across, v.X+q.noise*rng.NormFloat64())
			p.Along = append(p.Along, v.Y+q.noise*rng.NormFloat64())
			p.Out = append(p.Out, v.Z+q.noise*rng.NormFloat64())
		}
	}
	return points, strokes, edges, leans
}

func view(p []trajectory.Placed, along, out bool) []trajectory.Placed {
	q := append([]trajectory.Placed(nil), p...)
	for i := range q {
		if !along {
			q[i].Along = nil
		}
		if !out {
			q[i].Out = nil
		}
	}
	return q
}

func TestEdgeAngles(t *testing.T) {
	deg := math.Pi / 180
	for _, c := range []struct {
		name       string
		edge, lean float64
		points     []int
		along, out bool
		kind       contact.EdgeKind
	}{
		{"front, shoulders", 20, 0, []int{2, 3}, true, false, contact.EdgeRotation},
		{"front, shoulders the other way", 20, 0, []int{3, 2}, true, false, contact.EdgeRotation},
		{"front, negative, leaning", -35, 15, []int{2, 3}, true, false, contact.EdgeRotation},
		{"end-on, tip and base", 0, -12, []int{0, 1}, false, true, contact.EdgeLean},
		{"three axes, shoulders", 25, 20, []int{2, 3}, true, true, contact.EdgeRotation},
		{"three axes, three points", 25, 20, []int{0, 2, 3}, true, true, contact.EdgeRotation},
		{"three axes, three points, in another order", -40, -30, []int{3, 0, 2}, true, true, contact.EdgeRotation},
	} {
		q := pick{edge: c.edge * deg, lean: c.lean * deg, scatter: 2 * deg, swing: 6 * deg, noise: 0.05, hz: 240}
		all, strokes, edges, leans := q.film(1)
		var points []trajectory.Placed
		for _, k := range c.points {
			points = append(points, all[k])
		}
		e, err := contact.EdgeAngles(view(points, c.along, c.out), strokes, nil)
		if err != nil {
			t.Fatal(err)
		}
		want := edges
		if c.kind == contact.EdgeLean {
			want = leans
		}
		var in covered
		for i, a := range e.Angles {
			in.add(math.Abs(float64(a)-want[i]) < 1.96*float64(e.Noise[i]))
		}
		m, s := e.Median(motion.Down), e.Spread(motion.Up)
		middle := c.edge
		if c.kind == contact.EdgeLean {
			middle = c.lean
		}
		t.Logf("%-44s median %.2f° (%.2f to %.2f), spread %.2f° (%.2f to %.2f), strokes covered %.3f",
			c.name, m.Value.Degrees(), m.Low.Degrees(), m.High.Degrees(), s.Value.Degrees(), s.Low.Degrees(), s.High.Degrees(), in.share())
		if e.Kind != c.kind || !(m.Low.Degrees() <= middle+0.1 && m.High.Degrees() >= middle-0.1) || !(in.share() >= 0.9) ||
			!(s.Low.Degrees() < 2 && s.High.Degrees() > 2) {
			t.Errorf("%s: median %v, want %v; spread %v, want 2; covered %v", c.name, m, middle, s, in.share())
		}
	}
}

func TestEdgeAnglesAbsent(t *testing.T) {
	q := pick{noise: 0.05, hz: 240}
	all, strokes, _, _ := q.film(2)
	// Seen from the front, an upright pick's tip and base are one point.
	e, err := contact.EdgeAngles(view(all[:2], true, false), strokes, nil)
	if err != nil {
		t.Fatal(err)
	}
	known := 0
	for _, a := range e.Angles {
		if a == a {
			known++
		}
	}
	if known > len(strokes)/50 {
		t.Errorf("one point in the picture: %d angles of %d", known, len(strokes))
	}
	e, err = contact.EdgeAngles(all[:2], nil, nil)
	if err != nil || e.Absent == nil || e.Median(motion.Down).Known() || e.Spread(motion.Down).Absent.Code != "no strokes" {
		t.Errorf("no strokes: %+v, %v", e, err)
	}
	short, other := all[1], view(all[1:2], false, true)[0]
	short.T, short.Across, short.Along, short.Out = short.T[:9], short.Across[:9], short.Along[:9], short.Out[:9]
	far, same := all[1], all[0]
	far.Along = append([]float64(nil), far.Along...)
	for i := range far.Along {
		far.Along[i] += 20
	}
	same.Name = "copy"
	for _, c := range []struct {
		points []trajectory.Placed
		says   []string
	}{
		{all[:1], []string{"points on the pick is 1", "two points"}},
		{all, []string{"points on the pick is 4"}},
		{[]trajectory.Placed{all[0], short}, []string{"one recording"}},
		{[]trajectory.Placed{all[0], other}, []string{"one recording"}},
		{view(all[:3], true, false), []string{"three points", "two axes"}},
		{[]trajectory.Placed{all[0], same}, []string{"tip", "copy", "the same"}},
		{[]trajectory.Placed{all[0], all[2], same}, []string{"tip", "copy", "the same"}},
		{[]trajectory.Placed{all[0], far}, []string{"23 mm apart", "within 20 mm of each other"}},
		{[]trajectory.Placed{all[0], all[2], far}, []string{"base", "within 20 mm of each other"}},
	} {
		_, err := contact.EdgeAngles(c.points, strokes, nil)
		var data *trajectory.DataError
		if !errors.As(err, &data) || strings.Contains(err.Error(), "contact:") {
			t.Errorf("%v, want a DataError that says %q", err, c.says)
			continue
		}
		for _, w := range c.says {
			if !strings.Contains(err.Error(), w) {
				t.Errorf("%q does not say %q", err, w)
			}
		}
	}
	// Of pixels nobody knows how long they are.
	pixels := view([]trajectory.Placed{all[0], far}, true, true)
	for i := range pixels {
		pixels[i].Unit = "px"
	}
	if _, err := contact.EdgeAngles(pixels, strokes, nil); err != nil {
		t.Error(err)
	}
	var angle circular.Angle
	if v := e.Median(motion.Up); v.Value != angle || v.Absent == nil {
		t.Errorf("absent: %+v", v)
	}
}
