package drive_test

import (
	"errors"
	"maps"
	"math"
	"math/rand/v2"
	"slices"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"

	"github.com/plectrace/plectrace/motion"
	"github.com/plectrace/plectrace/motion/drive"
	"github.com/plectrace/plectrace/trajectory"
)

// plain returns a take of 10 s with given weights.
func plain(weight map[drive.Joint]float64, edit func(p *playing)) take {
	rng := rand.New(rand.NewPCG(11, 5))
	p := playing{seconds: 10, fps: 120, hz: 4.5, half: 5, noise: 0.3, wander: 0.03, weight: weight, keep: everything}
	if edit != nil {
		edit(&p)
	}
	return newArm(rng).play(p, rng)
}

func analyze(t *testing.T, points map[drive.Landmark]trajectory.Placed, s []motion.Stroke, o drive.Options) *drive.Drive {
	t.Helper()
	d, err := drive.Analyze(points, s, o)
	if err != nil {
		t.Fatal(err)
	}
	return d
}

// groups returns the joints of each share.
func groups(d *drive.Drive) [][]drive.Joint {
	var out [][]drive.Joint
	for _, s := range d.Shares {
		out = append(out, s.Joints)
	}
	return out
}

// TestGroups says which joints which landmarks tell apart.
func TestGroups(t *testing.T) {
	const sh, el, fo, wr, fi = drive.AtShoulder, drive.AtElbow, drive.AtForearm, drive.AtWrist, drive.AtFingers
	type set = []drive.Landmark
	k := plain(map[drive.Joint]float64{el: 0.5, wr: 0.5}, nil)
	s := k.strokes()
	for _, c := range []struct {
		name  string
		marks set
		view  trajectory.View
		want  [][]drive.Joint
		why   string // of the first share of several joints
	}{
		{name: "all", marks: everything, want: [][]drive.Joint{{sh}, {el}, {fo}, {wr}, {fi}}},
		{name: "sides of the wrist stand for it", marks: without(drive.Wrist, drive.Forearm), want: [][]drive.Joint{{sh}, {el}, {fo}, {wr}, {fi}}},
		{name: "no shoulder", marks: without(drive.Shoulder), want: [][]drive.Joint{{sh}, {el}, {fo}, {wr}, {fi}}},
		{name: "line for a forearm", marks: without(drive.WristInner, drive.WristOuter, drive.Forearm),
			want: [][]drive.Joint{{sh}, {el}, {fo, wr}, {fi}}, why: "second point of the forearm"},
		{name: "line for a hand", marks: without(drive.Knuckle(2), drive.Knuckle(3), drive.Knuckle(4)),
			want: [][]drive.Joint{{sh}, {el}, {fo}, {wr, fi}}, why: "three points of the hand"},
		{name: "lines", marks: set{drive.Shoulder, drive.Elbow, drive.Wrist, drive.Knuckle(1), drive.Tip},
			want: [][]drive.Joint{{sh}, {el}, {fo, wr, fi}}, why: "three points of the hand"},
		{name: "no elbow", marks: without(drive.Shoulder, drive.Elbow),
			want: [][]drive.Joint{{sh, el}, {fo}, {wr}, {fi}}, why: "no landmark at the elbow"},
		{name: "wrist", marks: set{drive.Wrist, drive.Tip}, want: [][]drive.Joint{{sh, el}, {fo, wr, fi}}, why: "no landmark at the elbow"},
		{name: "no wrist", marks: set{drive.Elbow, drive.Knuckle(1), drive.Knuckle(2), drive.Knuckle(3), drive.Tip},
			want: [][]drive.Joint{{sh}, {el, fo, wr}, {fi}}, why: "no landmark at the wrist"},
		{name: "front", marks: everything, view: trajectory.Front, want: [][]drive.Joint{{sh}, {el}, {fo, wr, fi}}, why: "one picture"},
		{name: "end-on, no elbow", marks: without(drive.Elbow, drive.Shoulder), view: trajectory.EndOn,
			want: [][]drive.Joint{{sh, el}, {fo, wr, fi}}, why: "no landmark at the elbow"},
	} {
		seen := k
		if c.view != trajectory.ViewUnknown {
			seen = k.picture(c.view == trajectory.Front)
		}
		points := map[drive.Landmark]trajectory.Placed{}
		for _, l := range c.marks {
			points[l] = seen.points[l]
		}
		d := analyze(t, points, s, drive.Options{LandmarkError: -1})
		if diff := cmp.Diff(c.want, groups(d)); diff != "" {
			t.Errorf("%s: groups (-want +got)\n%s", c.name, diff)
			continue
		}
		why, sum := "", 0.0
		for _, s := range d.Shares {
			if (s.Why == "") != (len(s.Joints) == 1) {
				t.Errorf("%s: %v together because %q", c.name, s.Joints, s.Why)
			}
			if why == "" {
				why = s.Why
			}
			sum += s.Value.Value
			if s.Value.Absent != nil {
				sum = math.NaN()
			}
			if len(s.PerStroke) != len(d.Strokes) {
				t.Errorf("%s: %d values for %d strokes", c.name, len(s.PerStroke), len(d.Strokes))
			}
		}
		if !strings.Contains(why, c.why) {
			t.Errorf("%s: why %q, want %q in it", c.name, why, c.why)
		}
		if math.Abs(sum-1) > 1e-9 {
			t.Errorf("%s: shares add up to %g", c.name, sum)
		}
	}
}

// TestOneGroup: a share that holds all joints says nothing.
func TestOneGroup(t *testing.T) {
	k := plain(map[drive.Joint]float64{drive.AtElbow: 0.5, drive.AtWrist: 0.5}, nil)
	d := analyze(t, map[drive.Landmark]trajectory.Placed{drive.Tip: k.points[drive.Tip]}, k.strokes(), drive.Options{})
	if d.Absent == nil || d.Absent.Code != "one_group" || !strings.HasPrefix(d.Absent.Why, "the landmarks do not tell any joint from another") ||
		len(d.Shares) != 0 || d.Leading != -1 || d.SameLeading.Absent == nil || len(d.Strokes) != 0 {
		t.Errorf("tip alone: %+v", d)
	}
}

// TestOnePointTwice: a landmark that is another point says nothing.
func TestOnePointTwice(t *testing.T) {
	k := plain(map[drive.Joint]float64{drive.AtElbow: 0.5, drive.AtWrist: 0.5}, func(p *playing) { p.gaps = 0.1 })
	s := k.strokes()
	for _, c := range []struct {
		name   string
		put    map[drive.Landmark]drive.Landmark
		unused map[drive.Landmark]string
	}{
		{"the tip as knuckle", map[drive.Landmark]drive.Landmark{drive.Knuckle(1): drive.Tip}, map[drive.Landmark]string{drive.Knuckle(1): "those of the tip"}},
		{"the shoulder as forearm", map[drive.Landmark]drive.Landmark{drive.Forearm: drive.Shoulder}, map[drive.Landmark]string{drive.Forearm: "those of the shoulder", drive.Shoulder: "those of the forearm"}},
	} {
		points := maps.Clone(k.points)
		for l, from := range c.put {
			points[l] = k.points[from]
		}
		d := analyze(t, points, s, drive.Options{})
		if len(d.Unused) != len(c.unused) || d.Absent != nil {
			t.Errorf("%s: unused %v, absent %v", c.name, d.Unused, d.Absent)
		}
		for l, why := range c.unused {
			if !strings.Contains(d.Unused[l], why) || slices.Contains(d.Used, l) {
				t.Errorf("%s: %s unused as %q, used %v", c.name, l, d.Unused[l], d.Used)
			}
			if _, ok := d.Carries[l]; ok {
				t.Errorf("%s: %s has a carry", c.name, l)
			}
		}
	}
	// Two that are never seen are not one point.
	points := maps.Clone(k.points)
	for _, l := range []drive.Landmark{drive.Forearm, drive.Shoulder} {
		p := points[l]
		nan := slices.Repeat([]float64{math.NaN()}, len(p.T))
		p.Across, p.Along, p.Out = nan, nan, nan
		points[l] = p
	}
	if d := analyze(t, points, s, drive.Options{}); !strings.Contains(d.Unused[drive.Forearm], "0 strokes") {
		t.Errorf("never seen: %v", d.Unused)
	}
}

// TestStraightElbow: bending of a straight arm is not told from its turning.
func TestStraightElbow(t *testing.T) {
	k := plain(map[drive.Joint]float64{drive.AtWrist: 1}, nil)
	n := k.points[drive.Elbow]
	s := n
	cols := func(p trajectory.Placed) [3][]float64 { return [3][]float64{p.Across, p.Along, p.Out} }
	var out [3][]float64
	for d, e := range cols(n) {
		w := cols(k.points[drive.Wrist])[d]
		out[d] = make([]float64, len(e))
		for i := range e {
			out[d][i] = e[i] + 1.2*(e[i]-w[i])
		}
	}
	s.Across, s.Along, s.Out = out[0], out[1], out[2]
	k.points[drive.Shoulder] = s
	d := analyze(t, k.points, k.strokes(), drive.Options{})
	want := [][]drive.Joint{{drive.AtShoulder, drive.AtElbow, drive.AtForearm}, {drive.AtWrist}, {drive.AtFingers}}
	if diff := cmp.Diff(want, groups(d)); diff != "" {
		t.Fatal(diff)
	}
	if !strings.Contains(d.Shares[0].Why, "too straight") {
		t.Error(d.Shares[0].Why)
	}
	if v := d.Shares[1].Value.Value; math.Abs(v-1) > 0.05 {
		t.Errorf("wrist %.3f, want 1", v)
	}
}

func TestLeadingAndScatter(t *testing.T) {
	k := plain(map[drive.Joint]float64{drive.AtElbow: 0.5, drive.AtWrist: 0.5}, func(p *playing) { p.wander, p.seconds = 0.2, 30 })
	d := analyze(t, k.points, k.strokes(), drive.Options{LandmarkError: 0.8})
	if d.Leading != -1 || d.SameLeading.Absent == nil {
		t.Errorf("leading %d %v in wide intervals", d.Leading, d.SameLeading)
	}
	d = analyze(t, k.points, k.strokes(), drive.Options{})
	// Sizes differ by 0.2 between cycles and are drawn straight from one to the
	// next, which leaves 2/3 of the variance; each joint makes half, and the two
	// wrist coordinates share theirs: 0.25 × 0.2 × √(2/3) × √(1 + 1/2) = 0.050,
	// and less for the mean over a stroke.
	elbow := d.Shares[1]
	if v := elbow.Scatter.Value; elbow.Scatter.Absent != nil || v < 0.033 || v > 0.06 {
		t.Errorf("scatter of the elbow's share %+v, want about 0.045", elbow.Scatter)
	}
	if s := d.Shares[2].Scatter; s.Known() && s.Value > 0.02 {
		t.Errorf("scatter of forearm rotation %+v, want none", s)
	}

	k = plain(map[drive.Joint]float64{drive.AtElbow: 0.3, drive.AtWrist: 0.7}, nil)
	d = analyze(t, k.points, k.strokes(), drive.Options{})
	if d.Leading != 3 || !(d.SameLeading.Value > 0.95) || d.SameLeading.High > 1 {
		t.Errorf("leading %d in %+v, want the wrist in all", d.Leading, d.SameLeading)
	}
	// The columns of the strokes agree with the take.
	for _, s := range d.Shares {
		sum, n := 0.0, 0.0
		for _, x := range s.PerStroke {
			if x == x {
				sum, n = sum+x, n+1
			}
		}
		if math.Abs(sum/n-s.Value.Value) > 0.02 {
			t.Errorf("%v: strokes' mean %.3f, share %.3f", s.Joints, sum/n, s.Value.Value)
		}
	}
}

// TestStatedSlide: a stated slide widens the intervals, and a great one leaves
// none.
func TestStatedSlide(t *testing.T) {
	k := plain(map[drive.Joint]float64{drive.AtElbow: 0.3, drive.AtWrist: 0.7}, nil)
	s := k.strokes()
	last := 0.0
	for _, e := range []float64{-1, 0.05, 0.1, 0.2} {
		d := analyze(t, k.points, s, drive.Options{LandmarkError: e})
		w := d.Shares[3].Value
		if width := w.High - w.Low; w.Absent != nil || !(width > last) {
			t.Errorf("slide %g mm: %+v after a width of %g", e, w, last)
		} else {
			last = width
		}
	}
	d := analyze(t, k.points, s, drive.Options{LandmarkError: 10})
	for _, s := range d.Shares {
		if s.Value.Absent == nil || s.Value.Absent.Code != "uncertain" || s.Scatter.Absent == nil {
			t.Errorf("slide 10 mm: %v %+v", s.Joints, s.Value)
		}
	}
	if d.Leading != -1 {
		t.Error("a leading joint without shares")
	}
}

func TestMisfit(t *testing.T) {
	k := plain(map[drive.Joint]float64{drive.AtElbow: 1}, func(p *playing) { p.slide = map[drive.Landmark]float64{drive.Knuckle(2): 3} })
	d := analyze(t, k.points, k.strokes(), drive.Options{})
	// 3 mm, in part hidden by the fit, over 9 + 6 + 1 + 1 + 3 degrees of freedom.
	if !(d.Misfit > 0.2 && d.Misfit < 0.7) {
		t.Errorf("misfit %.3f mm", d.Misfit)
	}
	k = plain(map[drive.Joint]float64{drive.AtElbow: 1}, nil)
	if d := analyze(t, k.points, k.strokes(), drive.Options{}); !(d.Misfit < 0.03) {
		t.Errorf("misfit %.3f mm of rigid segments", d.Misfit)
	}
	only := map[drive.Landmark]trajectory.Placed{drive.Wrist: k.points[drive.Wrist], drive.Tip: k.points[drive.Tip]}
	d = analyze(t, only, k.strokes(), drive.Options{})
	if !math.IsNaN(d.Misfit) || !slices.ContainsFunc(d.Notes, func(s string) bool { return strings.Contains(s, "a tenth") }) {
		t.Errorf("misfit %g, notes %q", d.Misfit, d.Notes)
	}
}

// TestHiddenLandmarks: what is hardly seen is left out, with the reason.
func TestHiddenLandmarks(t *testing.T) {
	k := plain(map[drive.Joint]float64{drive.AtElbow: 0.6, drive.AtWrist: 0.4}, nil)
	s := k.strokes()
	p := k.points[drive.Forearm]
	for _, x := range []*[]float64{&p.Across, &p.Along, &p.Out} {
		*x = slices.Clone(*x)
		for i := range *x {
			if i > 300 {
				(*x)[i] = math.NaN()
			}
		}
	}
	k.points[drive.Forearm] = p
	d := analyze(t, k.points, s, drive.Options{})
	if d.Unused[drive.Forearm] == "" || slices.Contains(d.Used, drive.Forearm) || len(d.Unused) != 1 {
		t.Errorf("used %v, unused %v", d.Used, d.Unused)
	}
	if v, want := d.Shares[1].Value.Value, k.share[drive.AtElbow]; math.Abs(v-want) > 0.02 {
		t.Errorf("elbow %.3f, want %.3f", v, want)
	}
}

// TestNeverTogether: of two landmarks that are hidden at different times the
// one seen less gives way.
func TestNeverTogether(t *testing.T) {
	k := plain(map[drive.Joint]float64{drive.AtElbow: 0.6, drive.AtWrist: 0.4}, nil)
	s := k.strokes()
	hide := func(l drive.Landmark, from, to int) {
		p := k.points[l]
		for _, x := range []*[]float64{&p.Across, &p.Along, &p.Out} {
			*x = slices.Clone(*x)
			for i := from; i < to; i++ {
				(*x)[i] = math.NaN()
			}
		}
		k.points[l] = p
	}
	hide(drive.Forearm, 0, 500)
	hide(drive.Knuckle(1), 750, 1200)
	d := analyze(t, k.points, s, drive.Options{})
	if !strings.Contains(d.Unused[drive.Forearm], "while the other landmarks") || len(d.Unused) != 1 {
		t.Errorf("unused %v, want the forearm", d.Unused)
	}
	if v, want := d.Shares[1].Value.Value, k.share[drive.AtElbow]; math.Abs(v-want) > 0.02 {
		t.Errorf("elbow %.3f, want %.3f", v, want)
	}
}

func TestAbsent(t *testing.T) {
	k := plain(map[drive.Joint]float64{drive.AtElbow: 1}, nil)
	s := k.strokes()
	for _, n := range []int{0, 1, 11} {
		d := analyze(t, k.points, s[:n], drive.Options{})
		if d.Absent == nil || len(d.Shares) != 0 || d.Leading != -1 || d.SameLeading.Absent == nil {
			t.Errorf("%d strokes: %+v", n, d)
		}
		c, err := drive.CarryOf(k.points[drive.Wrist], k.points[drive.Tip], s[:n])
		if err != nil || c.Value.Absent == nil || c.Lag.Absent == nil || !math.IsNaN(c.Coherence) {
			t.Errorf("%d strokes: %+v, %v", n, c, err)
		}
		if n == 0 && c.Over(2) != nil {
			t.Error("carry over time without strokes")
		}
	}
}

func TestErrors(t *testing.T) {
	k := plain(map[drive.Joint]float64{drive.AtElbow: 1}, nil)
	s := k.strokes()
	tip, wrist := k.points[drive.Tip], k.points[drive.Wrist]
	short := wrist
	short.T = short.T[1:]
	short.Across, short.Along, short.Out = short.Across[1:], short.Along[1:], short.Out[1:]
	late := wrist
	late.T = slices.Clone(wrist.T)
	late.T[3] += 1e-3
	flat := wrist
	flat.Out = nil
	infinite := wrist
	infinite.Across = slices.Clone(wrist.Across)
	infinite.Across[0] = math.Inf(1)
	type points = map[drive.Landmark]trajectory.Placed
	for _, c := range []struct {
		name, rule string
		points     points
	}{
		{"no tip", "no landmark is the tip", points{drive.Wrist: wrist}},
		{"unknown", "no known landmark", points{drive.Tip: tip, drive.Knuckle(12): wrist}},
		{"fewer samples", "another number of samples", points{drive.Tip: tip, drive.Wrist: short}},
		{"other times", "another time here", points{drive.Tip: tip, drive.Wrist: late}},
		{"other axes", "other axes", points{drive.Tip: tip, drive.Wrist: flat}},
		{"infinite", "", points{drive.Tip: tip, drive.Wrist: infinite}},
	} {
		_, err := drive.Analyze(c.points, s, drive.Options{})
		var data *trajectory.DataError
		if !errors.As(err, &data) || !strings.Contains(data.Rule, c.rule) {
			t.Errorf("%s: %v", c.name, err)
		}
		if w, ok := c.points[drive.Wrist]; ok && len(c.points) > 1 {
			if _, err := drive.CarryOf(w, tip, s); !errors.As(err, &data) {
				t.Errorf("carry, %s: %v", c.name, err)
			}
		}
	}
}

func BenchmarkAnalyze(b *testing.B) {
	k := plain(map[drive.Joint]float64{drive.AtElbow: 0.5, drive.AtWrist: 0.5}, func(p *playing) { p.seconds = 60 })
	s := k.strokes()
	b.ReportAllocs()
	for b.Loop() {
		if _, err := drive.Analyze(k.points, s, drive.Options{}); err != nil {
			b.Fatal(err)
		}
	}
}
