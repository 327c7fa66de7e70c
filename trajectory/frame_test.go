package trajectory

import (
	"math"
	"math/rand/v2"
	"slices"
	"strings"
	"testing"
)

// moved turns, scales and shifts a picture: by an angle that sways, a distance
// that breathes, and a slow walk.
type moved struct{ turn, sway, breath, walk float64 }

func (m moved) at(t, x, y float64) (float64, float64) {
	s, c := math.Sincos(m.turn + m.sway*math.Sin(2*math.Pi*0.4*t))
	k := 1 + m.breath*math.Sin(2*math.Pi*0.15*t+1)
	return 700 + m.walk*math.Sin(2*math.Pi*0.3*t) + k*(c*x-s*y), 400 + 0.5*m.walk*math.Cos(2*math.Pi*0.2*t) + k*(s*x+c*y)
}

// scene is a take seen end-on at 10 px/mm with two tracked marks 50 mm apart:
// at rest, across is to the right and out is down in the picture.
func scene(m moved, noise float64) *Recording {
	const n, rate = 2400, 240.0
	rng := rand.New(rand.NewPCG(11, 5))
	T := seconds(n, rate)
	rec := &Recording{Unit: "px", T: T}
	for _, name := range []string{"tip", "bass", "treble"} {
		p := Path{Name: name, T: T, X: make([]float64, n), Y: make([]float64, n)}
		for i, t := range T {
			x, y := 0.0, 0.0
			switch name {
			case "tip":
				phase := 2 * math.Pi * 4.5 * t
				x, y = 40*math.Cos(phase), 15+12*math.Cos(phase)+3*math.Cos(2*phase)
			case "bass":
				x = -250
			case "treble":
				x = 250
			}
			p.X[i], p.Y[i] = m.at(t, x, y)
			if name != "tip" {
				p.X[i] += noise * rng.NormFloat64()
				p.Y[i] += noise * rng.NormFloat64()
			}
		}
		rec.Points = append(rec.Points, p)
	}
	return rec
}

var tracked = Marks{Bass: Mark{Point: "bass"}, Treble: Mark{Point: "treble"}}

// place returns the tip in the frame of the recording.
func place(t *testing.T, rec *Recording, o FrameOptions) (Placed, *Frame) {
	t.Helper()
	f, err := NewFrame(rec, o)
	if err != nil {
		t.Fatal(err)
	}
	tip, _ := rec.Point("tip")
	p, err := f.Place(Placed{}, tip)
	if err != nil {
		t.Fatal(err)
	}
	return p, f
}

// still is the scene at rest in a fixed frame.
func still(t *testing.T) Placed {
	rec := scene(moved{}, 0)
	p, f := place(t, rec, FrameOptions{
		View: EndOn, Outward: Down, DistanceMM: 50,
		Marks: Marks{Bass: Mark{At: []float64{450, 400}}, Treble: Mark{At: []float64{950, 400}}},
	})
	if f.Follows || f.Unit != "mm" || p.Unit != "mm" || f.UnitsPerMM != 10 {
		t.Fatalf("frame %+v", f)
	}
	tip, _ := rec.Point("tip")
	within(t, "across at the start", p.Across[0], 4, 1e-12)
	within(t, "out at the start", p.Out[0], (tip.Y[0]-400)/10, 1e-12)
	return p
}

func TestFixedFrameDoesNotMindRollScaleOrShift(t *testing.T) {
	want := still(t)
	for _, m := range []moved{{turn: 0.4}, {turn: -2}, {turn: 3, breath: 0}} {
		rec := scene(m, 0)
		bx, by := m.at(0, -250, 0)
		tx, ty := m.at(0, 250, 0)
		got, _ := place(t, rec, FrameOptions{
			View: EndOn, DistanceMM: 50, Orientation: Orientation{YUp: true}, // out is across turned from x to y
			Marks: Marks{Bass: Mark{At: []float64{bx, by}}, Treble: Mark{At: []float64{tx, ty}}},
		})
		columnsWithin(t, "across", got.Across, want.Across, 1e-9)
		columnsWithin(t, "out", got.Out, want.Out, 1e-9)
	}
}

func TestFollowingFrameUndoesMovement(t *testing.T) {
	want := still(t)
	up := Orientation{YUp: true}
	for _, c := range []struct {
		name      string
		m         moved
		noise     float64
		tolerance float64 // mm
		scales    bool
	}{
		{"still", moved{}, 0, 1e-9, false},
		{"still, noisy marks", moved{}, 0.8, 0.09, false},
		{"rolled and swaying", moved{turn: 0.3, sway: 0.05, walk: 80}, 0, 0.002, false},
		{"the same, noisy marks", moved{turn: 0.3, sway: 0.05, walk: 80}, 0.8, 0.09, false},
		{"coming and going", moved{turn: 0.3, sway: 0.05, walk: 80, breath: 0.06}, 0, 0.01, true},
		{"the same, noisy marks", moved{turn: 0.3, sway: 0.05, walk: 80, breath: 0.06}, 0.8, 0.09, true},
		{"half a per cent nearer and farther", moved{breath: 0.005}, 0, 0.03, false},
	} {
		t.Run(c.name, func(t *testing.T) {
			got, f := place(t, scene(c.m, c.noise), FrameOptions{View: EndOn, Orientation: up, DistanceMM: 50, Marks: tracked})
			if !f.Follows || (len(f.scale) > 1) != c.scales {
				t.Errorf("follows %v, %d scales, notes %q", f.Follows, len(f.scale), f.Notes)
			}
			columnsWithin(t, "across", got.Across, want.Across, c.tolerance)
			columnsWithin(t, "out", got.Out, want.Out, c.tolerance)
		})
	}
}

func TestSmoothingOfMarksPays(t *testing.T) {
	want := still(t)
	spread := func(cutoff float64) float64 {
		got, _ := place(t, scene(moved{}, 2), FrameOptions{View: EndOn, Orientation: Orientation{YUp: true}, DistanceMM: 50, Marks: tracked, MarkCutoff: cutoff})
		var s float64
		for i := range got.Out {
			s += (got.Out[i] - want.Out[i]) * (got.Out[i] - want.Out[i])
		}
		return math.Sqrt(s / float64(len(got.Out)))
	}
	// The midpoint of two marks has noise 2/√2 px, 0.141 mm; a second-order
	// zero-phase low-pass at 10 of 240 Hz keeps about 1.04·10/120 of the power.
	raw, smooth := spread(-1), spread(0)
	within(t, "unsmoothed", raw, 0.141, 0.01)
	within(t, "smoothed", smooth, 0.141*math.Sqrt(1.04/12), 0.006)
}

func TestHiddenMarks(t *testing.T) {
	want := still(t)
	m := moved{turn: 0.3, sway: 0.05, walk: 80}
	rec := scene(m, 0.3)
	bass, _ := rec.Point("bass")
	treble, _ := rec.Point("treble")
	hide(bass, 300, 400)     // 0.42 s, the other is seen
	hide(treble, 700, 790)   // 0.38 s, the other is seen
	hide(bass, 1000, 1060)   // both, 0.25 s
	hide(treble, 1000, 1060) //
	hide(bass, 1400, 1700)   // 1.25 s: too long
	hide(treble, 2395, 2400) // at the end: nothing to bridge to
	got, f := place(t, rec, FrameOptions{View: EndOn, Orientation: Orientation{YUp: true}, DistanceMM: 50, Marks: tracked})
	for i := range got.Across {
		missing := math.IsNaN(got.Across[i])
		if should := i >= 1400 && i < 1700 || i >= 2395; missing != should {
			t.Fatalf("sample %d missing: %v", i, missing)
		}
		if missing {
			if !math.IsNaN(got.Out[i]) || !math.IsNaN(f.Across(i)[0]) {
				t.Fatalf("sample %d is half there", i)
			}
			continue
		}
		tolerance := 0.06
		if i >= 995 && i < 1065 {
			tolerance = 0.5 // both hidden while the camera moves by 17 mm
		}
		within(t, "across", got.Across[i], want.Across[i], tolerance)
		within(t, "out", got.Out[i], want.Out[i], tolerance)
		if t.Failed() {
			t.Fatalf("sample %d", i)
		}
	}
	var filled []Edit
	for _, e := range f.Edits {
		if e.Rule == Filled {
			filled = append(filled, e)
		}
	}
	if len(filled) != 4 || filled[0].Point != "bass" || filled[0].Start != 300 || filled[0].End != 400 {
		t.Errorf("filled %+v", filled)
	}
	if len(f.Notes) != 1 || !strings.Contains(f.Notes[0], "305 of 2400") {
		t.Errorf("notes %q", f.Notes)
	}
	got, _ = place(t, rec, FrameOptions{View: EndOn, Marks: tracked, MaxMarkGap: -1})
	if !math.IsNaN(got.Across[350]) || !math.IsNaN(got.Across[1030]) {
		t.Error("gaps are bridged though turned off")
	}
}

func TestMarksAreCleaned(t *testing.T) {
	rec := scene(moved{}, 0.3)
	bass, _ := rec.Point("bass")
	bass.X[500] += 60
	for i := 900; i < 930; i++ {
		bass.Y[i] += 90
	}
	want, _ := place(t, scene(moved{}, 0.3), FrameOptions{View: EndOn, Marks: tracked, DistanceMM: 50})
	got, f := place(t, rec, FrameOptions{View: EndOn, Marks: tracked, DistanceMM: 50})
	columnsWithin(t, "across", got.Across, want.Across, 0.05)
	columnsWithin(t, "out", got.Out, want.Out, 0.05)
	var rules []Rule
	for _, e := range f.Edits {
		rules = append(rules, e.Rule)
	}
	if !slices.Contains(rules, Outlier) || !slices.Contains(rules, Elsewhere) || !slices.Contains(rules, Filled) {
		t.Errorf("edits %+v", f.Edits)
	}
	if bass.X[500] < 450+59 {
		t.Error("the recording was changed")
	}
}

// TestConstantMarks: a mark that was put in by hand is a column of one value.
func TestConstantMarks(t *testing.T) {
	want := still(t)
	rec := scene(moved{}, 0)
	got, f := place(t, rec, FrameOptions{View: EndOn, Outward: Down, Marks: tracked, DistanceMM: 50})
	columnsWithin(t, "out", got.Out, want.Out, 1e-9)
	if len(f.Edits) != 0 {
		t.Errorf("edits %+v", f.Edits)
	}
}

func TestSpatialFollowing(t *testing.T) {
	const n, rate = 1200, 120.0
	T := seconds(n, rate)
	rec := &Recording{Unit: "m", T: T}
	places := map[string][3]float64{"bass": {-40, 0, 0}, "treble": {50, 15, 0}, "nut1": {-20, 600, 5}, "nut2": {22, 590, -5}}
	// The frame by hand: along to the mean of the nut marks, across the rest.
	mid := [3]float64{5, 7.5, 0}
	along := plus([3]float64{1, 595, 0}, mid, -1)
	along = scaled(along, 1/norm(along))
	d := [3]float64{90, 15, 0}
	across := plus(d, along, -dot(d, along))
	across = scaled(across, 1/norm(across))
	out := cross(across, along)
	tip := func(i int) [3]float64 {
		phase := 2 * math.Pi * 2.2 * T[i]
		return [3]float64{40 * math.Cos(phase), -12 * math.Cos(phase), 10 + 4*math.Sin(phase)}
	}
	for _, name := range []string{"tip", "bass", "treble", "nut1", "nut2"} {
		p := Path{Name: name, T: T, X: make([]float64, n), Y: make([]float64, n), Z: make([]float64, n)}
		for i, t := range T {
			v := places[name]
			if name == "tip" {
				v = tip(i)
			}
			s, c := math.Sincos(0.2 * math.Sin(2*math.Pi*0.3*t))
			v = [3]float64{c*v[0] - s*v[2], v[1] + 30*math.Sin(t), s*v[0] + c*v[2]}
			s, c = math.Sincos(1 + 0.1*math.Sin(2*math.Pi*0.2*t))
			v = [3]float64{c*v[0] - s*v[1], s*v[0] + c*v[1], v[2]}
			p.X[i], p.Y[i], p.Z[i] = (300+v[0])/1000, (100+v[1])/1000, (900+v[2])/1000
		}
		rec.Points = append(rec.Points, p)
	}
	o := FrameOptions{Marks: Marks{Bass: Mark{Point: "bass"}, Treble: Mark{Point: "treble"}, Nut: []Mark{{Point: "nut1"}, {Point: "nut2"}}}}
	nut1, _ := rec.Point("nut1")
	hide(nut1, 400, 450)
	got, f := place(t, rec, o)
	if f.View != Spatial || f.Unit != "mm" || f.UnitsPerMM != 1e-3 || f.AxisError != 0 {
		t.Errorf("frame %v %v %v %v", f.View, f.Unit, f.UnitsPerMM, f.AxisError)
	}
	for i := range T {
		v := plus(tip(i), mid, -1)
		within(t, "across", got.Across[i], dot(v, across), 0.02)
		within(t, "along", got.Along[i], dot(v, along), 0.02)
		within(t, "out", got.Out[i], dot(v, out), 0.02)
		if t.Failed() {
			t.Fatalf("sample %d", i)
		}
	}
	for i := 0; i < n; i += 100 {
		c, a, o := f.Across(i), f.Along(i), f.Out(i)
		for _, v := range []float64{dot(c, a), dot(c, o), dot(a, o), norm(c) - 1, norm(o) - 1} {
			within(t, "axes are not orthonormal", v, 0, 1e-9)
		}
	}
	// Calibrated, and a note where the source says otherwise.
	o.DistanceMM = 2 * math.Hypot(90, 15)
	twice, f := place(t, rec, o)
	within(t, "twice the size", twice.Across[100], 2*got.Across[100], 0.05)
	if len(f.Notes) != 1 {
		t.Errorf("notes %q", f.Notes)
	}
}

func TestAxisError(t *testing.T) {
	rec := &Recording{Unit: "px", Points: []Path{{Name: "tip"}}}
	o := FrameOptions{View: EndOn, Marks: Marks{Bass: Mark{At: []float64{0, 0}}, Treble: Mark{At: []float64{300, 400}}}}
	for _, c := range []struct {
		given, want float64 // px, degrees
	}{{0, 0.162056}, {2, 0.324111}, {-1, 0}} {
		o.MarkError = c.given
		f, err := NewFrame(rec, o)
		if err != nil {
			t.Fatal(err)
		}
		// √2·1/500 of a radian is 0.162 degrees.
		within(t, "axis error", f.AxisError.Degrees(), c.want, 1e-5)
		if f.Unit != "px" || f.UnitsPerMM != 0 {
			t.Errorf("unit %q, %v per mm", f.Unit, f.UnitsPerMM)
		}
	}
}

func TestPlaceReusesAndKeeps(t *testing.T) {
	rec := scene(moved{turn: 1}, 0.3)
	f, err := NewFrame(rec, FrameOptions{View: EndOn, Marks: tracked})
	if err != nil {
		t.Fatal(err)
	}
	tip, _ := rec.Point("tip")
	hide(tip, 10, 12)
	before := clone(tip)
	first, err := f.Place(Placed{}, tip)
	if err != nil {
		t.Fatal(err)
	}
	want := slices.Clone(first.Out)
	allocs := testing.AllocsPerRun(5, func() {
		if _, err := f.Place(first, tip); err != nil {
			t.Fatal(err)
		}
	})
	if allocs != 0 {
		t.Errorf("%v allocations with room in dst", allocs)
	}
	columnsWithin(t, "again", first.Out, want, 0)
	columnsWithin(t, "the path", tip.X, before.X, 0)
	if !math.IsNaN(first.Out[11]) || !math.IsNaN(first.Across[11]) {
		t.Error("a missing sample is placed")
	}
}

// Marks are bridged part by part, which must give what bridging the whole
// columns gives: bit by bit, with gaps that touch, overlap and follow closely.
func TestBridgeInParts(t *testing.T) {
	rng := rand.New(rand.NewPCG(5, 6))
	for range 40 {
		var marks, whole []Path
		for range 3 {
			p, _, _ := picking{fs: 100, rate: 0.5, length: 20, noise: 0.8, seconds: 10, seed: rng.Uint64()}.record()
			for range rng.IntN(20) {
				start := rng.IntN(p.Len())
				hide(p, start, min(p.Len(), start+1+rng.IntN(30)))
			}
			marks, whole = append(marks, clone(p)), append(whole, p)
		}
		bridgeMarks(marks, 0.2)
		for j, p := range marks {
			for k, got := range [][]float64{p.X, p.Y} {
				columnsWithin(t, "bridged in parts", got, bridgeColumn(whole, j, k, 0.2), 0)
			}
		}
	}
}

// TestUnitsOfLength: the same place said in millimetres, centimetres and metres
// is placed alike, without a distance between the marks.
func TestUnitsOfLength(t *testing.T) {
	T := seconds(3, 100)
	for unit, size := range map[string]float64{"mm": 1, "cm": 0.1, "m": 1e-3} {
		at := func(x, y float64) Mark { return Mark{At: []float64{x * size, y * size}} }
		p := Path{Name: "tip", T: T, X: []float64{12 * size, 12 * size, 12 * size}, Y: []float64{-7 * size, -7 * size, -7 * size}}
		rec := &Recording{Unit: unit, T: T, Points: []Path{p}}
		f, err := NewFrame(rec, FrameOptions{View: EndOn, Marks: Marks{Bass: at(0, 0), Treble: at(50, 0)}})
		if err != nil {
			t.Fatal(err)
		}
		got, err := f.Place(Placed{}, p)
		if err != nil {
			t.Fatal(err)
		}
		if got.Unit != "mm" || math.Abs(f.UnitsPerMM/size-1) > 1e-12 || f.AxisError != 0 {
			t.Errorf("%s: unit %q, %g per mm, axis error %g", unit, got.Unit, f.UnitsPerMM, f.AxisError)
		}
		if math.Abs(got.Across[1]+13) > 1e-9 || math.Abs(got.Out[1]-7) > 1e-9 {
			t.Errorf("%s: placed at %g, %g, want -13, 7", unit, got.Across[1], got.Out[1])
		}
	}
}
