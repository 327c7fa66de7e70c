package simulate

import (
	"math"
	"reflect"
	"testing"

	"github.com/plectrace/plectrace/trajectory"
	"gonum.org/v1/gonum/spatial/r3"
)

func count(tr Truth, kind string) (runs, samples int) {
	for _, f := range tr.Faults {
		if f.Kind == kind {
			runs++
			samples += f.Last - f.First + 1
		}
	}
	return runs, samples
}

func TestDropOuts(t *testing.T) {
	for _, share := range []float64{0.01, 0.1, 0.3} {
		k := mustMake(t, Options{Duration: 120, DropOuts: share, MarkDropOuts: share / 2, TrackMarks: true, Wrist: true})
		n := float64(len(k.Recording.T))
		for _, p := range k.Recording.Points {
			want := share
			if p.Name == "bass" || p.Name == "treble" {
				want /= 2
			}
			near(t, p.Name, float64(missing(p))/n/want, 1, 0.2)
			for i := range p.X {
				if math.IsNaN(p.X[i]) != math.IsNaN(p.Y[i]) {
					t.Fatal("missing on one axis alone")
				}
			}
		}
		_, samples := count(k.Truth, "drop-out")
		if tip, _ := k.Recording.Point("tip"); samples != missing(tip) {
			t.Errorf("%d samples are missing, truth says %d", missing(tip), samples)
		}
	}
	k := mustMake(t, Options{DropOuts: 0.1})
	for _, f := range k.Truth.Faults {
		if n := f.Last - f.First + 1; n > 6 {
			t.Errorf("a drop-out of %d samples", n)
		}
	}
}

func TestOutliersAndJumps(t *testing.T) {
	for _, view := range []trajectory.View{trajectory.EndOn, trajectory.Spatial} {
		clean := point(t, mustMake(t, exact(Options{View: view, Duration: 60})), "tip")
		o := exact(Options{View: view, Duration: 60, Outliers: 0.01, Jumps: 8})
		k := mustMake(t, o)
		tip := point(t, k, "tip")
		unit := 20.0
		if view == trajectory.Spatial {
			unit = 10
		}
		bad := map[int]bool{}
		for _, f := range k.Truth.Faults {
			n := f.Last - f.First + 1
			for i := f.First; i <= f.Last; i++ {
				bad[i] = true
				d := r3.Norm(r3.Sub(tip[i], clean[i]))
				if f.Kind == "outlier" && (d < unit-1e-9 || d > 4*unit+1e-9) {
					t.Errorf("outlier by %v", d)
				}
				if f.Kind == "jump" && tip[i] != tip[f.First] {
					t.Errorf("the tracker moves while it sits elsewhere")
				}
			}
			if f.Kind == "jump" && (n < 5 || n > 60) {
				t.Errorf("jump of %d samples", n)
			}
		}
		for i := range tip {
			if !bad[i] && tip[i] != clean[i] {
				t.Fatalf("sample %d is bad, and truth does not say so", i)
			}
		}
		if jumps, _ := count(k.Truth, "jump"); jumps < 6 || jumps > 8 { // two in one place count once, or are left out
			t.Errorf("%d jumps", jumps)
		}
		_, n := count(k.Truth, "outlier")
		near(t, "outliers", float64(n)/float64(len(tip)), 0.01, 0.002)
	}
}

func TestHiddenTurns(t *testing.T) {
	k := mustMake(t, Options{HideDown: 0.8})
	hidden := [2]int{}
	all := [2]int{}
	tip, _ := k.Recording.Point("tip")
	for _, u := range k.Truth.Turns {
		i := 0
		if u.AfterDown {
			i = 1
		}
		all[i]++
		gone := math.IsNaN(tip.X[min(int(u.T*240), len(tip.X)-1)]) && math.IsNaN(tip.X[min(int(u.T*240)+1, len(tip.X)-1)])
		if u.Hidden {
			hidden[i]++
		}
		if gone != u.Hidden && u.T < 19.9 {
			t.Errorf("turn at %v s: missing %v, hidden %v", u.T, gone, u.Hidden)
		}
	}
	if hidden[0] != 0 {
		t.Errorf("%d turns after upstrokes are hidden", hidden[0])
	}
	near(t, "share after downstrokes", float64(hidden[1])/float64(all[1]), 0.8, 0.12)
	for _, s := range k.Truth.Strokes {
		n := 0
		for _, u := range k.Truth.Turns {
			if u.Hidden && (u.T == s.Start || u.T == s.End) {
				n++
			}
		}
		if s.Hidden != (n > 0) {
			t.Fatalf("stroke at %v s: hidden %v, hidden turns %d", s.Start, s.Hidden, n)
		}
	}
	// About 40 % of a stroke each time: 0.8 0.4 / 2 strokes.
	near(t, "samples", float64(missing(tip))/float64(tip.Len()), 0.16, 0.03)
	if runs, _ := count(mustMake(t, Options{HideUp: 1, HideFor: 0.2}).Truth, "hidden turn"); runs < 95 {
		t.Errorf("%d of about 100 turns after upstrokes vanish", runs)
	}
}

func TestFills(t *testing.T) {
	lost := mustMake(t, exact(Options{DropOuts: 0.05, HideDown: 0.5}))
	gaps := point(t, lost, "tip")
	for _, c := range []struct{ straight, frozen bool }{{true, false}, {false, true}, {true, true}} {
		k := mustMake(t, exact(Options{DropOuts: 0.05, HideDown: 0.5, StraightFills: c.straight, FrozenFills: c.frozen}))
		tip := point(t, k, "tip")
		filled := 0
		for _, f := range k.Truth.Faults {
			a := tip[f.First-1]
			b := tip[f.Last+1]
			n := float64(f.Last - f.First + 2)
			for i := f.First; i <= f.Last; i++ {
				want := a
				switch f.Kind {
				case "straight fill":
					want = r3.Add(a, r3.Scale(float64(i-f.First+1)/n, r3.Sub(b, a)))
				case "frozen fill":
				default:
					t.Fatalf("%+v: a fault of kind %q", c, f.Kind)
				}
				if r3.Norm(r3.Sub(tip[i], want)) > 1e-9 {
					t.Fatalf("%s at sample %d is %v, want %v", f.Kind, i, tip[i], want)
				}
				if !math.IsNaN(gaps[i].X) {
					t.Fatalf("sample %d was not lost", i)
				}
				filled++
			}
		}
		straightRuns, _ := count(k.Truth, "straight fill")
		frozenRuns, _ := count(k.Truth, "frozen fill")
		if (straightRuns > 50) != c.straight || (frozenRuns > 50) != c.frozen {
			t.Errorf("%+v: %d straight and %d frozen", c, straightRuns, frozenRuns)
		}
		if p, _ := lost.Recording.Point("tip"); filled != missing(p) {
			t.Errorf("%d samples filled of %d", filled, missing(p))
		}
	}
}

func TestConfidence(t *testing.T) {
	k := mustMake(t, Options{Confidence: true, DropOuts: 0.03, Outliers: 0.01, Jumps: 3, StraightFills: true, TrackMarks: true})
	bad := map[int]bool{}
	for _, f := range k.Truth.Faults {
		for i := f.First; i <= f.Last; i++ {
			bad[i] = true
		}
	}
	for i, c := range k.Recording.Points[0].Confidence {
		if c < 0 || c > 1 || bad[i] != (c < 0.6) {
			t.Errorf("sample %d: confidence %v, bad %v", i, c, bad[i])
		}
	}
	for _, p := range k.Recording.Points {
		if len(p.Confidence) != len(p.T) {
			t.Errorf("%s has %d confidences", p.Name, len(p.Confidence))
		}
	}
	if mustMake(t, Options{}).Recording.Points[0].Confidence != nil {
		t.Error("confidence unasked")
	}
}

// What one option draws leaves the rest of the take as it was.
func TestStreamsAreApart(t *testing.T) {
	o := busy()
	base := mustMake(t, o)
	if !same(base, mustMake(t, o)) {
		t.Error("equal options give two takes")
	}
	other := o
	other.Seed++
	if same(base, mustMake(t, other)) {
		t.Error("another seed gives the same take")
	}
	add := o
	add.Wrist, add.TrackMarks, add.Confidence, add.DropOuts, add.Outliers, add.Jumps = true, true, true, 0.02, 0.003, 2
	k := mustMake(t, add)
	for i, u := range k.Truth.Turns {
		if u.Hidden = false; u != base.Truth.Turns[i] {
			t.Fatal("faults move the turns")
		}
	}
	bad := map[int]bool{}
	for _, f := range k.Truth.Faults {
		for i := f.First; i <= f.Last; i++ {
			bad[i] = true
		}
	}
	for i, x := range k.Recording.Points[0].X {
		if !bad[i] && x != base.Recording.Points[0].X[i] {
			t.Fatal("faults change the good samples")
		}
	}
	// More scatter of one kind leaves the draws of the others.
	wide := Options{Seed: 4, AngleScatter: 0.1}
	a, b := mustMake(t, wide).Truth, mustMake(t, Options{Seed: 4}).Truth
	for i := range a.Turns {
		if a.Turns[i].T != b.Turns[i].T {
			t.Fatal("scatter of the angle changes the timing")
		}
	}
}

// same compares takes that may hold NaN.
func same(a, b *Take) bool {
	if len(a.Recording.Points) != len(b.Recording.Points) || !reflect.DeepEqual(a.Truth.Turns, b.Truth.Turns) || !reflect.DeepEqual(a.Truth.Faults, b.Truth.Faults) {
		return false
	}
	for i, p := range a.Recording.Points {
		q := b.Recording.Points[i]
		for j := range p.X {
			if math.Float64bits(p.X[j]) != math.Float64bits(q.X[j]) || math.Float64bits(p.Y[j]) != math.Float64bits(q.Y[j]) || p.T[j] != q.T[j] {
				return false
			}
		}
	}
	return true
}
