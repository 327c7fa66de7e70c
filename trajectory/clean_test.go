package trajectory

import (
	"fmt"
	"math"
	"slices"
	"testing"
)

// speeds are the rates of samples and strokes, and the lengths of strokes, to
// try: down to 8.3 samples per cycle, and 58 pixels from sample to sample.
func speeds(yield func(picking) bool) {
	for _, fs := range []float64{60, 120, 240} {
		for _, rate := range []float64{5, 9, 14.5} {
			for _, length := range []float64{60, 240} {
				if !yield(picking{fs: fs, rate: rate, length: length}) {
					return
				}
			}
		}
	}
}

func TestCleanKeepsMovement(t *testing.T) {
	for s := range speeds {
		for k, c := range []picking{
			{}, {bow: 0.1}, {search: 1.7}, {strings: 120}, {rest: true}, {hidden: 0.25, search: 1.7, bow: 0.05},
			{search: 1.7, bow: 0.1, strings: 120, rest: true}, {jitter: 0.3, search: 1.7, bow: 0.05},
			{search: 1.7, rest: true, round: 1},
		} {
			for _, noise := range []float64{0, 0.3, 3} {
				c.fs, c.rate, c.length, c.noise, c.seed, c.seconds = s.fs, s.rate, s.length, noise, uint64(k+1), 12
				p, what, _ := c.record()
				q, edits, err := Clean(Path{}, p, CleanOptions{})
				if err != nil {
					t.Fatal(err)
				}
				lost := 0
				for i := range what {
					if what[i] == good && math.IsNaN(q.X[i]) {
						lost++
					}
				}
				if lost > 0 {
					t.Errorf("%+v: %d good samples cut: %v", c, lost, edits)
				}
			}
		}
	}
}

// TestCleanNoise: of normal noise about a place at rest, and about strokes,
// less than one sample in a thousand is cut.
func TestCleanNoise(t *testing.T) {
	for _, length := range []float64{0, 120} {
		p, _, _ := picking{fs: 240, rate: 9, length: length, noise: 1, seconds: 600, seed: 4}.record()
		q, _, err := Clean(Path{}, p, CleanOptions{})
		if err != nil {
			t.Fatal(err)
		}
		if g := q.Gaps(); g.Share() > 0.001 {
			t.Errorf("length %v: %v of the samples are cut", length, g.Share())
		}
	}
}

// TestCleanFinds counts, over all speeds, how many spoilt samples are found
// and how many good ones are lost with them.
func TestCleanFinds(t *testing.T) {
	for _, c := range []struct {
		name       string
		p          picking
		kind       int
		atLeast    float64 // of the spoilt samples off by more than 40 px, the share found
		atLeastAll float64 // of all spoilt samples
		loseAtMost float64 // of the good samples
	}{
		{"outliers", picking{noise: 0.8, outliers: 0.01}, outlying, 0.98, 0.95, 0.001},
		{"outliers in noise", picking{noise: 3, outliers: 0.01}, outlying, 0.95, 0.65, 0.001},
		{"many outliers", picking{noise: 0.8, outliers: 0.03}, outlying, 0.97, 0.95, 0.006},
		{"outliers and hidden turns", picking{noise: 0.8, outliers: 0.01, hidden: 0.2}, outlying, 0.95, 0.9, 0.003},
		{"something that moves along", picking{noise: 0.8, jumps: 5, offset: true, outliers: 0.002}, away, 0.96, 0.96, 0.002},
		{"something fixed", picking{noise: 0.8, jumps: 5, outliers: 0.002}, away, 0.95, 0.95, 0.003},
		{"repeated positions", picking{noise: 0.8, holds: 8, outliers: 0.002}, held, 1, 0.99, 0.001},
		{"repeated positions to 0.01 px", picking{noise: 0.8, holds: 8, round: 0.01}, held, 1, 0.99, 0.001},
		{"straight lines", picking{noise: 0.8, lines: 8, outliers: 0.002}, drawn, 0.99, 0.97, 0.001},
		{"straight lines to 0.01 px", picking{noise: 0.8, lines: 8, round: 0.01}, drawn, 0.99, 0.95, 0.001},
	} {
		t.Run(c.name, func(t *testing.T) {
			var far, farFound, all, found, kept, lost float64
			for s := range speeds {
				for seed := range uint64(3) {
					c.p.fs, c.p.rate, c.p.length, c.p.seed = s.fs, s.rate, s.length, seed
					c.p.bow, c.p.search, c.p.strings = 0.05, 1.7, 120
					p, what, truth := c.p.record()
					q, _, err := Clean(Path{}, p, CleanOptions{})
					if err != nil {
						t.Fatal(err)
					}
					for i, k := range what {
						cut := 0.0
						if math.IsNaN(q.X[i]) {
							cut = 1
						}
						switch k {
						case c.kind:
							all++
							found += cut
							if math.Hypot(p.X[i]-truth.X[i], p.Y[i]-truth.Y[i]) > 40 {
								far++
								farFound += cut
							}
						case good:
							kept++
							lost += cut
						}
					}
				}
			}
			text := fmt.Sprintf("%.4f of %v beyond 40 px, %.4f of all %v, %.5f of good ones", farFound/far, far, found/all, all, lost/kept)
			if farFound/far < c.atLeast || found/all < c.atLeastAll || lost/kept > c.loseAtMost {
				t.Error(text)
			} else {
				t.Log(text)
			}
		})
	}
}

func TestCleanEdits(t *testing.T) {
	s := picking{fs: 120, rate: 8, length: 120, noise: 0.5, seed: 2, outliers: 0.01, jumps: 3, holds: 3, lines: 3, hidden: 0.1}
	p, _, _ := s.record()
	p.Confidence = make([]float64, p.Len())
	for i := range p.Confidence {
		p.Confidence[i] = 0.9
	}
	for i := 100; i < 110; i++ {
		p.Confidence[i] = 0.59
	}
	p.Confidence[300] = math.NaN()
	before := clone(p)
	q, edits, err := Clean(Path{}, p, CleanOptions{})
	if err != nil {
		t.Fatal(err)
	}
	columnsWithin(t, "the input", p.X, before.X, 0)
	cut := make([]bool, p.Len())
	rules := map[Rule]int{}
	for k, e := range edits {
		rules[e.Rule]++
		if e.Point != "tip" || e.Samples() <= 0 || e.StartTime != p.T[e.Start] || e.EndTime != p.T[e.End-1] {
			t.Errorf("edit %+v", e)
		}
		if k > 0 && e.Start < edits[k-1].End {
			t.Errorf("%+v overlaps %+v", e, edits[k-1])
		}
		for i := e.Start; i < e.End; i++ {
			cut[i] = true
		}
	}
	for i := range q.X {
		if was, is := math.IsNaN(p.X[i]), math.IsNaN(q.X[i]); is != (was || cut[i]) || is != math.IsNaN(q.Y[i]) {
			t.Fatalf("sample %d: missing %v, was %v, cut %v", i, is, was, cut[i])
		}
		if !cut[i] && !math.IsNaN(q.X[i]) && q.X[i] != p.X[i] {
			t.Fatalf("sample %d was changed", i)
		}
	}
	for r := LowConfidence; r < Filled; r++ {
		if rules[r] == 0 {
			t.Errorf("no edit for %v", r)
		}
	}
	if !cut[105] || cut[300] {
		t.Error("confidence: a low one is kept or an unknown one cut")
	}

	// In place, and into what is there.
	again, more, err := Clean(p, p, CleanOptions{})
	if err != nil {
		t.Fatal(err)
	}
	columnsWithin(t, "in place", again.X, q.X, 0)
	if &again.X[0] != &p.X[0] || !slices.Equal(edits, more) {
		t.Error("cleaning in place differs")
	}
}

func TestCleanOff(t *testing.T) {
	p, _, _ := picking{fs: 120, rate: 8, length: 120, noise: 0.5, seed: 2, outliers: 0.01, jumps: 3, holds: 3, lines: 3}.record()
	p.Confidence = make([]float64, p.Len()) // all zero
	q, edits, err := Clean(Path{}, p, CleanOptions{MinConfidence: -1, Threshold: -1, MaxElsewhere: -1, MinFill: -1})
	if err != nil || len(edits) != 0 {
		t.Errorf("edits %v, error %v", edits, err)
	}
	columnsWithin(t, "nothing changes", q.X, p.X, 0)
	_, edits, _ = Clean(Path{}, p, CleanOptions{MinConfidence: -1, MaxElsewhere: -1, MinFill: -1})
	for _, e := range edits {
		if e.Rule != Outlier {
			t.Errorf("%v is off", e.Rule)
		}
	}
	_, _, err = Clean(Path{}, p, CleanOptions{})
	dataError(t, err, `"tip"`, "no sample is left", "low confidence")
}

func TestCleanCases(t *testing.T) {
	nan := math.NaN()
	sine := func(n int) Path {
		p := Path{Name: "p", T: seconds(n, 100), X: make([]float64, n), Y: make([]float64, n)}
		for i := range n {
			p.X[i], p.Y[i] = 50*math.Sin(float64(i)/3), 7*math.Cos(float64(i)/3)
		}
		return p
	}
	for _, c := range []struct {
		name string
		make func() Path
		want [][2]int // cut
	}{
		{"one sample", func() Path { return sine(1) }, nil},
		{"two samples", func() Path { return sine(2) }, nil},
		{"six samples, one far off", func() Path { p := sine(6); p.X[3] += 500; return p }, nil},
		{"one far off", func() Path { p := sine(60); p.X[30] += 500; return p }, [][2]int{{30, 31}}},
		{"two far off, apart", func() Path { p := sine(60); p.X[30] += 500; p.Y[33] += 400; return p }, [][2]int{{30, 31}, {33, 34}}},
		{"two far off, together", func() Path { p := sine(60); p.X[30] += 500; p.X[31] += 480; return p }, [][2]int{{30, 32}}},
		{"far off in space", func() Path { p := sine(60); p.Z = make([]float64, 60); p.Z[20] = 90; return p }, [][2]int{{20, 21}}},
		{"next to a gap", func() Path { p := sine(60); p.X[29] += 300; hide(p, 30, 40); return p }, [][2]int{{29, 30}}},
		{"two next to a gap", func() Path { p := sine(60); hide(p, 30, 40); p.Y[40] += 300; p.Y[41] += 290; return p }, [][2]int{{40, 42}}},
		{"at the start", func() Path { p := sine(60); p.X[0] -= 300; return p }, [][2]int{{0, 1}}},
		{"at the end", func() Path { p := sine(60); p.X[59] -= 300; return p }, [][2]int{{59, 60}}},
		{"one step, for good", func() Path {
			p := sine(200)
			for i := 100; i < 200; i++ {
				p.X[i] += 300
			}
			return p
		}, nil},
		{"away and back", func() Path {
			p := sine(200)
			for i := 100; i < 140; i++ {
				p.X[i] += 300
			}
			return p
		}, [][2]int{{100, 140}}},
		{"away too long", func() Path {
			p := sine(200)
			for i := 100; i < 170; i++ {
				p.X[i] += 300
			}
			return p
		}, nil},
		{"constant", func() Path {
			n := 50
			return Path{Name: "p", T: seconds(n, 100), X: make([]float64, n), Y: make([]float64, n)}
		}, nil},
		{"nothing but gaps around one sample", func() Path { p := sine(9); hide(p, 0, 4); hide(p, 5, 9); return p }, nil},
	} {
		t.Run(c.name, func(t *testing.T) {
			p := c.make()
			q, _, err := Clean(Path{}, p, CleanOptions{})
			if err != nil {
				t.Fatal(err)
			}
			for i := range q.X {
				cut := math.IsNaN(q.X[i]) && !math.IsNaN(p.X[i])
				want := slices.ContainsFunc(c.want, func(r [2]int) bool { return i >= r[0] && i < r[1] })
				if cut != want {
					t.Errorf("sample %d cut: %v", i, cut)
				}
			}
		})
	}
	p := sine(5)
	hide(p, 0, 5)
	_, _, err := Clean(Path{}, p, CleanOptions{})
	dataError(t, err, `"p"`, "every sample is missing")
	p = sine(5)
	p.X[2] = nan
	_, _, err = Clean(Path{}, p, CleanOptions{})
	dataError(t, err, "sample 2", "0.0200 s", "missing")
}

// TestCleanRest: a hand at rest repeats its position where coordinates are
// coarse, or where there is no noise, and is not cut.
func TestCleanRest(t *testing.T) {
	for _, c := range []struct{ noise, round float64 }{{0, 0}, {0.1, 1}, {0.3, 1}, {0.3, 0.5}, {0.8, 1}, {0.3, 0.1}, {0.8, 0.01}} {
		for _, fs := range []float64{60, 240} {
			p, _, _ := picking{fs: fs, rate: 6, length: 100, noise: c.noise, rest: true, round: c.round, seed: 5}.record()
			_, edits, err := Clean(Path{}, p, CleanOptions{})
			if err != nil || len(edits) > 0 {
				t.Errorf("%v samples/s, noise %v, to %v px: %v %v", fs, c.noise, c.round, edits, err)
			}
		}
	}
}
