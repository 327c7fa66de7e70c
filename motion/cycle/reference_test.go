package cycle_test

import (
	"bytes"
	"math"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"

	"github.com/plectrace/plectrace/motion"
	"github.com/plectrace/plectrace/motion/cycle"
	"github.com/plectrace/plectrace/trajectory"
	"github.com/plectrace/plectrace/variability/circular"
	"github.com/plectrace/plectrace/variability/estimate"
)

var tutor = maker{seed: 1, hz: 240, rate: 11, strokes: 161, angle: 17, skew: 8, down: 0.03, up: 0.02, jitter: 0.02, scatter: 0.2, noise: 0.05, share: 0.48}

func cycleOf(t testing.TB, m maker, view trajectory.View) cycle.Cycle {
	t.Helper()
	m.view = view
	c, _, err := m.fitted(cycle.Options{View: view})
	if err != nil || c.Absent != nil {
		t.Fatal(err, c.Absent)
	}
	return c
}

func referenceOf(t testing.TB, m maker, view trajectory.View) cycle.Reference {
	t.Helper()
	r, err := cycle.FromCycle(cycleOf(t, m, view), "the tutor", cycle.Margins{})
	if err != nil {
		t.Fatal(err)
	}
	return r
}

func TestReferenceRoundTrip(t *testing.T) {
	zero := circular.Angle(0)
	flat := 0.0
	for name, r := range map[string]cycle.Reference{
		"end-on": referenceOf(t, tutor, trajectory.EndOn),
		"3-d":    referenceOf(t, tutor, trajectory.Spatial),
		"front":  referenceOf(t, tutor, trajectory.Front),
		"zeros": {PathAngle: &zero, Curvature: &flat, Clearing: motion.ClearsBoth, View: trajectory.Oblique, Setup: "lamp < stand & phone",
			Margins: cycle.Margins{PathAngle: 2 * circular.Degree, Skew: -1 * circular.Degree}},
	} {
		b, err := r.JSON()
		if err != nil {
			t.Errorf("%s: %v", name, err)
			continue
		}
		got, err := cycle.ParseReference(bytes.NewReader(b))
		if err != nil {
			t.Errorf("%s: %v\n%s", name, err, b)
			continue
		}
		close := cmp.Comparer(func(a, b float64) bool { return math.Abs(a-b) <= 1e-5*math.Max(math.Abs(a), math.Abs(b)) })
		angles := cmp.Comparer(func(a, b circular.Angle) bool {
			return math.Abs(float64(a-b)) <= 1e-5*math.Max(math.Abs(float64(a)), math.Abs(float64(b)))
		})
		if d := cmp.Diff(r, got, close, angles); d != "" {
			t.Errorf("%s (-want +got):\n%s", name, d)
		}
		again, err := got.JSON()
		if err != nil || !bytes.Equal(again, b) {
			t.Errorf("%s: written again it differs: %v\n%s\n%s", name, err, b, again)
		}
	}
}

func TestParseReferenceErrors(t *testing.T) {
	for _, c := range []struct{ name, text, want string }{
		{"empty", "", "the text ends too early"},
		{"cut", `{"angle_deg": 1`, "the text ends too early"},
		{"unknown key", "{\n\"angle_deg\": 17,\n\"angel_deg\": 17\n}", "line 3"},
		{"unknown key within", `{"shape": {"down_share": 0.5, "acros": []}}`, "acros"},
		{"wrong kind", `{"angle_deg": "17"}`, "angle_deg cannot be a text"},
		{"no object", `[1, 2]`, "the file cannot be a list"},
		{"schema", `{"schema": "plectrace/take/1"}`, `reads "plectrace/reference/1"`},
		{"more after", "{}\n{}", "more text follows"},
		{"nothing", `null`, "states nothing to compare"},
		{"a note only", `{"schema": "plectrace/reference/1", "note": "the tutor"}`, "states nothing to compare"},
		{"view", `{"view": "sideways"}`, "sideways"},
		{"clearing", `{"clearing": "sometimes"}`, "sometimes"},
		{"angle", `{"angle_deg": 91}`, "angle_deg is 91"},
		{"minus ninety", `{"angle_deg": -90}`, "angle_deg is -90"},
		{"too large a number", `{"curvature_per_mm": 1e999}`, "cannot be"},
		{"negative error", `{"error_95": {"shape": -1}}`, "cannot be below 0"},
		{"share", `{"shape": {"down_share": 1.5, "across": [[1, 0]], "out": [[0, 1]]}}`, "down_share is 1.5"},
		{"one axis", `{"shape": {"down_share": 0.5, "across": [[1, 0]]}}`, "needs across and one of along and out"},
		{"no length", `{"shape": {"down_share": 0.5, "across": [[0, 0]], "out": [[0, 0]]}}`, "no length"},
		{"huge", `{"shape": {"down_share": 0.5, "across": [[1e300, 0]], "out": [[0, 0]]}}`, "its unit is the length"},
		{"harmonics", `{"shape": {"down_share": 0.5, "across": [` + strings.Repeat("[1,0],", 64) + `[1,0]], "out": [[0, 1]]}}`, "at most 64"},
		{"three in a pair", `{"shape": {"down_share": 0.5, "across": [[1, 0]], "out": {"a": 1}}}`, "cannot be"},
		{"long", `{"note": "` + strings.Repeat("x", 1<<20) + `"}`, "over 1 MiB"},
	} {
		_, err := cycle.ParseReference(strings.NewReader(c.text))
		if err == nil || !strings.Contains(err.Error(), c.want) {
			t.Errorf("%s: error %v, want one with %q", c.name, err, c.want)
		}
	}
	nan := math.NaN()
	if _, err := (cycle.Reference{Curvature: &nan}).JSON(); err == nil {
		t.Error("a reference with a NaN is written")
	}
}

func FuzzParseReference(f *testing.F) {
	f.Add([]byte(`{"schema": "plectrace/reference/1", "angle_deg": 17, "margin": {"angle_deg": 2}}`))
	f.Add([]byte(`{"view": "end-on", "shape": {"down_share": 0.48, "across": [[-0.5, 0], [0.01, 0]], "out": [[0, 0.1]]}}`))
	b, err := referenceOf(f, tutor, trajectory.Spatial).JSON()
	if err != nil {
		f.Fatal(err)
	}
	f.Add(b)
	c := cycleOf(f, tutor, trajectory.EndOn)
	f.Fuzz(func(t *testing.T, b []byte) {
		r, err := cycle.ParseReference(bytes.NewReader(b))
		if err != nil {
			return
		}
		out, err := r.JSON()
		if err != nil {
			t.Fatalf("read but not written: %v", err)
		}
		if _, err := cycle.ParseReference(bytes.NewReader(out)); err != nil {
			// A number at its bound may be rounded beyond it.
			t.Skip(err)
		}
		for _, k := range r.Distance(c).Components {
			if v := k.Difference; v.Known() && (math.IsNaN(v.Value) || v.Low > v.High) {
				t.Errorf("%s: %+v", k.Name, v)
			}
		}
	})
}

// TestDistance: two takes of one motion, and of others.
func TestDistance(t *testing.T) {
	ref := referenceOf(t, tutor, trajectory.EndOn)
	for _, c := range []struct {
		name string
		f    func(m *maker)
		want map[string]cycle.Answer
		all  cycle.Answer
	}{
		{"the same", func(m *maker) {}, map[string]cycle.Answer{"path angle": cycle.Inside, "curvature": cycle.Inside, "cycle shape": cycle.Inside, "clearing": cycle.Inside}, cycle.Inside},
		{"slower", func(m *maker) { m.rate = 6 }, map[string]cycle.Answer{"cycle shape": cycle.Inside}, cycle.Inside},
		{"larger", func(m *maker) { m.length, m.down, m.up = 15, 0.02, 0.0133 }, map[string]cycle.Answer{"cycle shape": cycle.Inside, "path angle": cycle.Inside}, cycle.Inside},
		{"steeper", func(m *maker) { m.angle = 30 }, map[string]cycle.Answer{"path angle": cycle.Outside}, cycle.Outside},
		{"bent the other way", func(m *maker) { m.down, m.up = -0.02, -0.03 }, map[string]cycle.Answer{"curvature": cycle.Outside, "path angle": cycle.Inside}, cycle.Outside},
		{"above the strings", func(m *maker) { m.height = 5 }, map[string]cycle.Answer{"clearing": cycle.Outside, "cycle shape": cycle.Inside}, cycle.Outside},
		{"few strokes", func(m *maker) { m.strokes, m.scatter = 15, 0.8 }, map[string]cycle.Answer{"path angle": cycle.CannotSay}, cycle.CannotSay},
	} {
		m := tutor
		m.seed = 42
		c.f(&m)
		d := ref.Distance(cycleOf(t, m, trajectory.EndOn))
		if d.Answer != c.all {
			t.Errorf("%s: %v, want %v: %+v", c.name, d.Answer, c.all, d.Components)
		}
		for name, want := range c.want {
			k, ok := d.Component(name)
			if !ok || k.Answer != want {
				t.Errorf("%s: %s is %v, want %v: %+v", c.name, name, k.Answer, want, k)
			}
		}
	}
}

// TestDistanceViews: what two views do not share is left out, with a reason,
// and does not count.
func TestDistanceViews(t *testing.T) {
	m := tutor
	m.seed = 7
	end, front, spatial := cycleOf(t, m, trajectory.EndOn), cycleOf(t, m, trajectory.Front), cycleOf(t, m, trajectory.Spatial)
	unsaid, oblique := end, end
	unsaid.Options.View = trajectory.ViewUnknown
	oblique.Options.View = trajectory.Oblique
	near := oblique
	near.Options.Setup = "near"
	inNumbers, err := cycle.ParseReference(strings.NewReader(`{"angle_deg": 17, "skew_deg": 8}`))
	if err != nil {
		t.Fatal(err)
	}
	ofOblique, err := cycle.FromCycle(near, "", cycle.Margins{})
	if err != nil {
		t.Fatal(err)
	}
	ofSpatial := referenceOf(t, tutor, trajectory.Spatial)
	for _, c := range []struct {
		name string
		ref  cycle.Reference
		c    cycle.Cycle
		left []string // codes, "" for components that count
		want cycle.Answer
	}{
		{"3-d, end-on", ofSpatial, end, []string{"", "view", "", "margin", "", ""}, cycle.Inside},
		{"3-d, front", ofSpatial, front, []string{"view", "", "view", "view", "view", ""}, cycle.Inside},
		{"3-d, 3-d", ofSpatial, spatial, []string{"", "", "", "margin", "", ""}, cycle.Inside},
		{"end-on, front", referenceOf(t, tutor, trajectory.EndOn), front, []string{"view", "view", "view", "view", "view"}, cycle.CannotSay},
		{"in numbers, end-on", inNumbers, end, []string{"", "view"}, cycle.Inside},
		{"in numbers, unsaid", inNumbers, unsaid, []string{"view", "view"}, cycle.CannotSay},
		{"in numbers, oblique", inNumbers, oblique, []string{"setup", "setup"}, cycle.CannotSay},
		{"oblique, another setup", ofOblique, oblique, []string{"setup", "setup", "setup", "", "setup"}, cycle.Inside},
		{"oblique, one setup", ofOblique, near, []string{"", "", "margin", "", ""}, cycle.Inside},
	} {
		d := c.ref.Distance(c.c)
		var left []string
		for _, k := range d.Components {
			code := ""
			if k.LeftOut != nil {
				code = k.LeftOut.Code
				if k.LeftOut.Why == "" {
					t.Errorf("%s: %s is left out without a reason", c.name, k.Name)
				}
			}
			left = append(left, code)
		}
		if diff := cmp.Diff(c.left, left); diff != "" {
			t.Errorf("%s: left out (-want +got):\n%s", c.name, diff)
		}
		if d.Answer != c.want {
			t.Errorf("%s: %v, want %v: %+v", c.name, d.Answer, c.want, d.Components)
		}
	}
}

// TestAnswerRates counts answers against the truth: with the path angle at the
// margin itself either firm answer is wrong in one of two at 2.5 per cent each,
// and far from it the answer is the right one.
func TestAnswerRates(t *testing.T) {
	seventeen := 17 * circular.Degree
	ref := cycle.Reference{PathAngle: &seventeen, View: trajectory.EndOn, Margins: cycle.Margins{PathAngle: 3 * circular.Degree}}
	takes := 60
	if testing.Short() {
		takes = 15
	}
	for _, c := range []struct {
		off                 float64 // degrees
		inside, outside     int     // at least
		notInside, notOutsd int     // at most
	}{
		{0, takes * 9 / 10, 0, takes, 0},
		{3, 0, 0, takes/10 + 1, takes/10 + 1},
		{6, 0, takes * 9 / 10, 0, takes},
	} {
		var n [3]int
		for seed := range takes {
			m := maker{seed: uint64(seed) + 500, hz: 120, rate: 11, strokes: 81, angle: 17 + c.off, down: 0.02, up: 0.02, jitter: 0.03, scatter: 0.25, noise: 0.05}
			d := ref.Distance(cycleOf(t, m, trajectory.EndOn))
			n[d.Answer]++
		}
		t.Logf("%g degrees off, margin 3: %d inside, %d outside, %d cannot say", c.off, n[cycle.Inside], n[cycle.Outside], n[cycle.CannotSay])
		if n[cycle.Inside] < c.inside || n[cycle.Outside] < c.outside || n[cycle.Inside] > c.notInside || n[cycle.Outside] > c.notOutsd {
			t.Errorf("%g degrees off: %v", c.off, n)
		}
	}
}

// TestShapeDistance: the distance of two noisy takes of one motion is not drawn
// up by the noise, and its interval holds the truth.
func TestShapeDistance(t *testing.T) {
	takes := 24
	if testing.Short() {
		takes = 8
	}
	for _, off := range []float64{0, 2, 6} {
		var square, sum, cover float64
		for seed := range takes {
			m := maker{seed: uint64(seed) + 900, hz: 120, rate: 11, strokes: 61, angle: 17, down: 0.02, up: 0.02, jitter: 0.03, scatter: 0.3, noise: 0.1}
			ref := referenceOf(t, m, trajectory.EndOn)
			_, a := m.make()
			m.seed, m.angle, m.rate = m.seed+1000, m.angle+off, 8
			c := cycleOf(t, m, trajectory.EndOn)
			_, b := m.make()
			// The mean square about the mean, of the difference.
			var diff, squares [3]float64
			for k := range 500 {
				x, y := a.place(float64(k)/500), b.place(float64(k)/500)
				for _, i := range []int{0, 2} {
					e := x[i]/a.length - y[i]/b.length
					diff[i] += e / 500
					squares[i] += e * e / 500
				}
			}
			square = squares[0] + squares[2] - diff[0]*diff[0] - diff[2]*diff[2]
			k, _ := ref.Distance(c).Component("cycle shape")
			sum += k.Difference.Value / float64(takes)
			if v := k.Difference; v.Low <= math.Sqrt(square)+1e-9 && math.Sqrt(square) <= v.High {
				cover += 1 / float64(takes)
			}
		}
		t.Logf("%g degrees off: shape distance %.4f, true %.4f, %.2f of the intervals hold it", off, sum, math.Sqrt(square), cover)
		if math.Abs(sum-math.Sqrt(square)) > 0.004 || cover < 0.8 {
			t.Errorf("%g degrees off: shape distance %.4f, true %.4f, coverage %.2f", off, sum, math.Sqrt(square), cover)
		}
	}
}

func TestFollow(t *testing.T) {
	seventeen := 17 * circular.Degree
	ref := cycle.Reference{PathAngle: &seventeen, View: trajectory.EndOn}
	span := func(start, end, angle, half float64) cycle.Cycle {
		deg := circular.Degree.Radians()
		return cycle.Cycle{
			Options: cycle.Options{View: trajectory.EndOn}, Start: start, End: end,
			Period:    estimate.Value[float64]{Value: 0.2, N: 9},
			Rate:      estimate.Value[float64]{Value: 10 + start, N: 9},
			PathAngle: estimate.As[circular.Angle](estimate.Value[float64]{Value: angle * deg, Low: (angle - half) * deg, High: (angle + half) * deg, Level: 0.95, N: 9}),
		}
	}
	for _, c := range []struct {
		name                   string
		spans                  []cycle.Cycle
		first, rate            float64
		total, longest, unsaid float64
		censored               bool
	}{
		{"none", nil, math.NaN(), math.NaN(), 0, 0, 0, false},
		{"never", []cycle.Cycle{span(1, 3, 25, 1)}, math.NaN(), math.NaN(), 0, 0, 0, false},
		{"unsaid", []cycle.Cycle{span(1, 3, 17, 9)}, math.NaN(), math.NaN(), 0, 0, 2, false},
		{"second", []cycle.Cycle{span(1, 3, 25, 1), span(4, 7, 17, 1), span(8, 9, 16, 1)}, 4, 14, 4, 3, 0, false},
		{"to the end", []cycle.Cycle{span(1, 3, 17, 1), span(4, 9.9, 17, 1)}, 1, 11, 7.9, 5.9, 0, true},
	} {
		f := ref.Follow(c.spans, 10)
		num := func(v estimate.Value[float64]) float64 {
			if !v.Known() {
				return math.NaN()
			}
			return v.Value
		}
		got := []float64{num(f.First), num(f.FirstRate), f.Total, f.Longest, f.Unsaid}
		want := []float64{c.first, c.rate, c.total, c.longest, c.unsaid}
		for i := range got {
			if math.Abs(got[i]-want[i]) > 1e-9 || math.IsNaN(got[i]) != math.IsNaN(want[i]) {
				t.Errorf("%s: %v, want %v", c.name, got, want)
				break
			}
		}
		if f.Censored != c.censored {
			t.Errorf("%s: censored is %t", c.name, f.Censored)
		}
		if !f.First.Known() && (f.First.Absent == nil || f.First.Absent.Why == "") {
			t.Errorf("%s: no reason", c.name)
		}
	}
}
