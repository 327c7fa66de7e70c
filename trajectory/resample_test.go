package trajectory

import (
	"math"
	"math/rand/v2"
	"slices"
	"testing"
)

func TestUniformCopiesWhatIsEven(t *testing.T) {
	for _, c := range []struct {
		name string
		time func(frame int) float64
	}{
		{"exact", func(k int) float64 { return float64(k) / 240 }},
		{"in microseconds", func(k int) float64 { return math.Round(float64(k)/240*1e6) / 1e6 }},
		{"in milliseconds", func(k int) float64 { return math.Round(float64(k)/240*1e3) / 1e3 }},
		{"from a late start", func(k int) float64 { return 3600 + float64(k)/59.94 }},
	} {
		t.Run(c.name, func(t *testing.T) {
			const n = 3000
			p := Placed{Name: "tip", Unit: "mm", T: make([]float64, n), Across: make([]float64, n), Out: make([]float64, n)}
			for i := range n {
				p.T[i] = c.time(i)
				p.Across[i], p.Out[i] = math.Sin(float64(i)), math.Cos(float64(i))
			}
			got, edits, err := Uniform(Placed{}, p, UniformOptions{})
			if err != nil || len(edits) != 0 || got.Along != nil || got.Unit != "mm" || got.Name != "tip" {
				t.Fatalf("%v %v %+v", err, edits, got.Along)
			}
			columnsWithin(t, "across", got.Across, p.Across, 0)
			columnsWithin(t, "out", got.Out, p.Out, 0)
			columnsWithin(t, "time", got.T, p.T, 0.001)

			// Frames left out of the file come back, single ones filled.
			lost := func(k int) bool { return k == 50 || k >= 70 && k < 80 }
			q := Placed{}
			for i := range n {
				if !lost(i) {
					q.T, q.Across, q.Out = append(q.T, p.T[i]), append(q.Across, p.Across[i]), append(q.Out, p.Out[i])
				}
			}
			got, edits, err = Uniform(Placed{}, q, UniformOptions{})
			if err != nil {
				t.Fatal(err)
			}
			if len(edits) != 1 || edits[0].Start != 50 || edits[0].End != 51 || edits[0].Rule != Filled {
				t.Fatalf("edits %+v", edits)
			}
			want := slices.Clone(p.Across)
			for k := 70; k < 80; k++ {
				want[k] = math.NaN()
			}
			want[50] = got.Across[50]
			columnsWithin(t, "with lost frames", got.Across, want, 0)
		})
	}
}

// TestUniformAccuracy interpolates a sine of amplitude 1.
func TestUniformAccuracy(t *testing.T) {
	for _, c := range []struct {
		perCycle, jitter float64
		hidden           int
		tolerance        float64
	}{
		{8, 0, 0, 0.002},
		{8, 0, 1, 0.022},
		{8, 0.2, 0, 0.004},
		{8, 0.2, 1, 0.032},
		{16, 0, 1, 0.0012},
		{16, 0.2, 1, 0.002},
		{16, 0, 3, 0.02},
		{33, 0.2, 3, 0.0012},
	} {
		rng := rand.New(rand.NewPCG(1, 2))
		for trial := range 100 {
			const n = 60
			p := Path{T: make([]float64, n), X: make([]float64, n), Y: make([]float64, n)}
			f := func(x float64) float64 { return math.Sin(2*math.Pi*x/c.perCycle + float64(trial)) }
			for i := range n {
				p.T[i] = float64(i) + c.jitter*(rng.Float64()-0.5)
				p.X[i], p.Y[i] = f(p.T[i]), f(p.T[i]+1)
			}
			hide(p, 30, 30+c.hidden)
			q, _, err := Uniform(Path{}, p, UniformOptions{Rate: 2, MaxGap: 5})
			if err != nil {
				t.Fatal(err)
			}
			for k, v := range q.T {
				if v > 2 && v < n-4 { // the ends have fewer neighbours
					within(t, "sine", q.X[k], f(v), c.tolerance)
				}
			}
			if t.Failed() {
				t.Fatalf("%+v", c)
			}
		}
	}
}

func TestUniformIsExactForCubics(t *testing.T) {
	rng := rand.New(rand.NewPCG(5, 2))
	f := func(x float64) float64 { return 2 - x + 0.3*x*x - 0.05*x*x*x }
	const n = 40
	p := Path{T: make([]float64, n), X: make([]float64, n), Y: make([]float64, n), Z: make([]float64, n), Confidence: make([]float64, n)}
	for i := range n {
		p.T[i] = 0.25*float64(i) + 0.1*rng.Float64()
		p.X[i], p.Y[i], p.Z[i] = f(p.T[i]), 1, -p.T[i]
	}
	hide(p, 10, 12)
	q, edits, err := Uniform(Path{}, p, UniformOptions{Rate: 30, MaxGap: 1})
	if err != nil {
		t.Fatal(err)
	}
	if q.Confidence != nil || len(edits) != 1 || q.T[edits[0].Start] < p.T[9] || q.T[edits[0].End-1] > p.T[12] {
		t.Errorf("edits %+v", edits)
	}
	for k, v := range q.T {
		within(t, "step of time", v, p.T[0]+float64(k)/30, 1e-12)
		within(t, "cubic", q.X[k], f(v), 1e-11)
		within(t, "constant", q.Y[k], 1, 1e-13)
		within(t, "line", q.Z[k], -v, 1e-12)
	}
	if last := q.T[len(q.T)-1]; last > p.T[n-1] || last < p.T[n-1]-1.0/30 {
		t.Errorf("ends at %v, the path at %v", last, p.T[n-1])
	}
}

func TestUniformGaps(t *testing.T) {
	p := Path{T: seconds(20, 10), X: make([]float64, 20), Y: make([]float64, 20)}
	hide(p, 0, 2)
	hide(p, 5, 6)
	hide(p, 9, 11)
	hide(p, 18, 20)
	for _, c := range []struct {
		maxGap float64
		want   []int // missing
	}{
		{0, []int{0, 1, 9, 10, 18, 19}},
		{0.3, []int{0, 1, 18, 19}},
		{-1, []int{0, 1, 5, 9, 10, 18, 19}},
	} {
		q, edits, err := Uniform(Path{}, p, UniformOptions{MaxGap: c.maxGap})
		if err != nil {
			t.Fatal(err)
		}
		var got []int
		for k, v := range q.X {
			if v != v {
				got = append(got, k)
			}
		}
		if !slices.Equal(got, c.want) || len(edits) != map[float64]int{0: 1, 0.3: 2, -1: 0}[c.maxGap] {
			t.Errorf("longest gap %v: missing %v, want %v; edits %v", c.maxGap, got, c.want, edits)
		}
	}
	hide(p, 0, 20)
	q, edits, err := Uniform(Path{}, p, UniformOptions{Rate: 7})
	if err != nil || len(edits) != 0 || q.Gaps().Missing != len(q.T) || len(q.T) != 14 {
		t.Errorf("all missing: %v %v %v", q, edits, err)
	}
}

func TestUniformReuses(t *testing.T) {
	p, _, _ := picking{fs: 120, rate: 8, length: 100, noise: 0.5, seed: 1, hidden: 0.02}.record()
	dst, _, err := Uniform(Path{}, p, UniformOptions{})
	if err != nil {
		t.Fatal(err)
	}
	again, _, err := Uniform(dst, p, UniformOptions{})
	if err != nil || &again.X[0] != &dst.X[0] || &again.T[0] != &dst.T[0] {
		t.Errorf("dst with room is not used: %v", err)
	}
}

func TestUniformErrors(t *testing.T) {
	p := Path{Name: "tip", T: seconds(3, 1), X: make([]float64, 3), Y: make([]float64, 3)}
	for _, o := range []UniformOptions{{Rate: -1}, {Rate: math.NaN()}, {Rate: math.Inf(1)}, {MaxGap: math.Inf(1)}, {Rate: 1e9}} {
		_, _, err := Uniform(Path{}, p, o)
		dataError(t, err, `"tip"`, "rate")
	}
	_, _, err := Uniform(Placed{}, Placed{Name: "tip", T: []float64{1}, Across: []float64{1}}, UniformOptions{})
	dataError(t, err, "1 samples")
}

func TestUsualInterval(t *testing.T) {
	for _, c := range []struct {
		name string
		t    []float64
		want float64
	}{
		{"none", nil, math.NaN()},
		{"one", []float64{3}, math.NaN()},
		{"even", []float64{1, 1.5, 2, 2.5}, 0.5},
		{"a lost frame", []float64{0, 1, 2, 4, 5}, 1},
		{"rounded", []float64{0, 4, 8, 13, 17, 21, 25, 29, 33, 38, 42, 46, 50}, 50. / 12},
		{"rounded, lost frames", []float64{0, 4, 8, 13, 17, 25, 29, 33, 38, 42, 50}, (17 + 17.) / 8},
	} {
		within(t, c.name, new(scratch).paceOf(c.t).usual, c.want, 1e-12)
	}
}

// Samples on the new times take a short way, which must give what the long one
// gives: bit by bit.
func TestUniformShortWay(t *testing.T) {
	rng := rand.New(rand.NewPCG(7, 8))
	for range 40 {
		p, _, _ := picking{fs: 100, rate: 6, length: 100, noise: 0.8, seconds: 3, seed: rng.Uint64()}.record()
		for range rng.IntN(20) {
			start := rng.IntN(p.Len())
			hide(p, start, min(p.Len(), start+1+rng.IntN(6)))
		}
		var g grid
		if err := g.begin(new(scratch), p.Name, p.T, UniformOptions{MaxGap: 0.045}, nil); err != nil || !g.same {
			t.Fatal(err, g.same)
		}
		in := [3][]float64{p.X, p.Y}
		var short, long [3][]float64
		g.fill(&short, in)
		edits := g.edits
		g.same, g.edits = false, nil
		if g.fill(&long, in); !slices.Equal(edits, g.edits) {
			t.Errorf("got edits %v, want %v", edits, g.edits)
		}
		for k := range 2 {
			columnsWithin(t, "short way", short[k], long[k], 0)
		}
	}
}
