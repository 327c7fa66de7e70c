package trajectory

import (
	"slices"
	"testing"
)

// dirty is a short path with all that Clean cuts, drop-outs, and times that are even,
// jittered or with frames lost.
func dirty(seed uint64) Path {
	o := picking{fs: 240, rate: 9, length: 120, noise: 0.8, seconds: 6, seed: seed, outliers: 0.004, jumps: 1, lines: 2, holds: 2, hidden: 0.02}
	if seed%3 == 1 {
		o.jitter = 0.15
	}
	p, _, _ := o.record()
	if seed%3 == 2 {
		for _, c := range []*[]float64{&p.T, &p.X, &p.Y} {
			*c = slices.Delete(*c, 300, 310)
		}
	}
	return p
}

// TestWorkspace: used memory gives what new memory does, and allocates nothing.
func TestWorkspace(t *testing.T) {
	var w Workspace
	var paths []Path
	for seed := range uint64(12) {
		paths = append(paths, dirty(seed))
	}
	var clean Path
	var even Placed
	edited, filled := 0, 0
	all := func(check bool) {
		for i, p := range paths {
			got, edits, err := w.Clean(clean, p, CleanOptions{})
			if err != nil {
				t.Fatal(err)
			}
			clean = got
			q := Placed{Name: p.Name, T: p.T, Across: got.X, Out: got.Y, Unit: "px"}
			uniform, fills, err := w.Uniform(even, q, UniformOptions{})
			if err != nil {
				t.Fatal(err)
			}
			even = uniform
			if !check {
				continue
			}
			edited, filled = edited+len(edits), filled+len(fills)
			want, wantEdits, _ := Clean(Path{}, p, CleanOptions{})
			columnsWithin(t, "x", got.X, want.X, 0)
			columnsWithin(t, "y", got.Y, want.Y, 0)
			wantEven, wantFills, _ := Uniform(Placed{}, q, UniformOptions{})
			columnsWithin(t, "t", uniform.T, wantEven.T, 0)
			columnsWithin(t, "across", uniform.Across, wantEven.Across, 0)
			columnsWithin(t, "out", uniform.Out, wantEven.Out, 0)
			if !slices.Equal(edits, wantEdits) || !slices.Equal(fills, wantFills) {
				t.Errorf("path %d: edits %v and %v, want %v and %v", i, edits, fills, wantEdits, wantFills)
			}
		}
	}
	all(true)
	if edited < 60 || filled < 20 {
		t.Errorf("only %d cuts and %d fillings: the paths do not ask for much", edited, filled)
	}
	if got := testing.AllocsPerRun(5, func() { all(false) }); got != 0 {
		t.Errorf("%g allocations", got)
	}
}
