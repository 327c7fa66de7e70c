package trajectory

import (
	"math"
	"slices"
	"testing"
)

func TestValidate(t *testing.T) {
	nan, inf := math.NaN(), math.Inf(1)
	ok := func() Path {
		return Path{Name: "tip", T: []float64{0, 1, 2}, X: []float64{1, nan, 3}, Y: []float64{1, nan, 3}, Z: []float64{1, nan, 3}, Confidence: []float64{0, nan, 1}}
	}
	for _, c := range []struct {
		name   string
		spoil  func(p *Path)
		sample int
		words  []string
	}{
		{"as it is", func(*Path) {}, 0, nil},
		{"planar, no confidence", func(p *Path) { p.Z, p.Confidence = nil, nil }, 0, nil},
		{"empty", func(p *Path) { *p = Path{Name: "tip"} }, -1, []string{"no samples"}},
		{"short x", func(p *Path) { p.X = p.X[:2] }, -1, []string{"x has 2", "time has 3"}},
		{"no y", func(p *Path) { p.Y = nil }, -1, []string{"y has 0"}},
		{"short z", func(p *Path) { p.Z = p.Z[:1] }, -1, []string{"z has 1"}},
		{"short confidence", func(p *Path) { p.Confidence = p.Confidence[:1] }, -1, []string{"confidence has 1"}},
		{"time missing", func(p *Path) { p.T[1] = nan }, 1, []string{"time is NaN"}},
		{"time infinite", func(p *Path) { p.T[2] = inf }, 2, []string{"time is +Inf"}},
		{"time repeated", func(p *Path) { p.T[2] = 1 }, 2, []string{"from 1 s to 1 s", "sample 2 (1.0000 s)"}},
		{"time backwards", func(p *Path) { p.T[1] = -3 }, 1, []string{"from 0 s to -3 s"}},
		{"infinite", func(p *Path) { p.Y[2] = -inf }, 2, []string{"infinite"}},
		{"infinite where missing", func(p *Path) { p.X[1] = inf }, 1, []string{"infinite"}},
		{"half missing", func(p *Path) { p.Y[0] = nan }, 0, []string{"missing"}},
		{"z missing", func(p *Path) { p.Z[0] = nan }, 0, []string{"missing"}},
		{"confidence too high", func(p *Path) { p.Confidence[0] = 1.5 }, 0, []string{"confidence is 1.5"}},
		{"confidence negative", func(p *Path) { p.Confidence[2] = -0.1 }, 2, []string{"confidence is -0.1"}},
	} {
		t.Run(c.name, func(t *testing.T) {
			p := ok()
			c.spoil(&p)
			err := p.Validate()
			if c.words == nil {
				if err != nil {
					t.Error(err)
				}
				return
			}
			dataError(t, err, append(c.words, `"tip"`)...)
			if e, _ := err.(*DataError); e != nil && e.Sample != c.sample {
				t.Errorf("at sample %d, want %d", e.Sample, c.sample)
			}
		})
	}
}

func TestValidateRecording(t *testing.T) {
	T := []float64{0, 1}
	p := func(name string) Path { return Path{Name: name, T: T, X: []float64{1, 2}, Y: []float64{1, 2}} }
	deep := p("c")
	deep.Z = []float64{0, 0}
	short := p("b")
	short.T, short.X, short.Y = short.T[:1], short.X[:1], short.Y[:1]
	bad := p("b")
	bad.X[1] = math.Inf(-1)
	for _, c := range []struct {
		name   string
		points []Path
		words  []string
	}{
		{"good", []Path{p("a"), p("b")}, nil},
		{"none", nil, []string{"no tracked points"}},
		{"no name", []Path{p("a"), p("")}, []string{"no name"}},
		{"same name", []Path{p("a"), p("a")}, []string{`"a"`, "two points"}},
		{"another length", []Path{p("a"), short}, []string{`"b"`, "1 samples", "2"}},
		{"other axes", []Path{p("a"), deep}, []string{`"c"`, "z axis"}},
		{"a bad point", []Path{p("a"), bad}, []string{`"b"`, "infinite"}},
	} {
		rec := &Recording{T: T, Points: c.points}
		err := rec.Validate()
		if c.words == nil {
			if err != nil {
				t.Error(err)
			}
			continue
		}
		dataError(t, err, c.words...)
	}
}

func TestRuns(t *testing.T) {
	nan := math.NaN()
	collect := func(columns ...[]float64) (all [][2]int) {
		for start, end := range Runs(columns...) {
			all = append(all, [2]int{start, end})
		}
		return all
	}
	for _, c := range []struct {
		name    string
		columns [][]float64
		want    [][2]int
	}{
		{"nothing", nil, nil},
		{"nil", [][]float64{nil, nil}, nil},
		{"empty", [][]float64{{}}, nil},
		{"one", [][]float64{{1}}, [][2]int{{0, 1}}},
		{"one missing", [][]float64{{nan}}, nil},
		{"no gap", [][]float64{{1, 2, math.Inf(1)}}, [][2]int{{0, 3}}},
		{"gaps", [][]float64{{nan, 1, 2, nan, nan, 3, nan}}, [][2]int{{1, 3}, {5, 6}}},
		{"gaps in either", [][]float64{{1, nan, 1, 1, 1}, nil, {1, 1, 1, nan, 1}}, [][2]int{{0, 1}, {2, 3}, {4, 5}}},
		{"more columns than axes", [][]float64{{1, 1}, {1, 1}, {1, 1}, {1, 1}, {1, nan}}, [][2]int{{0, 1}}},
	} {
		if got := collect(c.columns...); !slices.Equal(got, c.want) {
			t.Errorf("%s: got %v, want %v", c.name, got, c.want)
		}
	}
	for range Runs([]float64{1, nan, 2}) {
		break // stops without a second yield
	}
	defer func() {
		if recover() == nil {
			t.Error("columns of unequal length do not panic")
		}
	}()
	Runs([]float64{1}, []float64{1, 2})
}

func TestGaps(t *testing.T) {
	T := []float64{0, 1, 2, 3, 4, 5, 7, 8}
	for _, c := range []struct {
		name   string
		hidden [][2]int
		want   Gaps
		share  float64
	}{
		{"none", nil, Gaps{Samples: 8}, 0},
		{"inside", [][2]int{{2, 4}}, Gaps{8, 2, 1, 3, 1}, 0.25},
		{"two, the later longer", [][2]int{{1, 2}, {5, 7}}, Gaps{8, 3, 2, 4, 4}, 0.375},
		{"at the ends", [][2]int{{0, 2}, {7, 8}}, Gaps{8, 3, 2, 2, 0}, 0.375},
		{"all", [][2]int{{0, 8}}, Gaps{8, 8, 1, 8, 0}, 1},
	} {
		p := Path{T: T, X: make([]float64, 8), Y: make([]float64, 8)}
		for _, h := range c.hidden {
			hide(p, h[0], h[1])
		}
		if got := p.Gaps(); got != c.want || got.Share() != c.share {
			t.Errorf("%s: got %+v, want %+v", c.name, got, c.want)
		}
	}
	if got := (Path{}).Gaps(); got != (Gaps{}) || got.Share() != 0 {
		t.Errorf("no samples: %+v", got)
	}
}
