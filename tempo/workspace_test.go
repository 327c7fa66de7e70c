package tempo_test

import (
	"fmt"
	"math"
	"math/rand/v2"
	"testing"

	"github.com/plectrace/plectrace/tempo"
)

// TestWorkspace: used memory gives what new memory does, and allocates nothing for
// columns of lengths that it has seen.
func TestWorkspace(t *testing.T) {
	rng := rand.New(rand.NewPCG(3, 4))
	type take struct {
		columns [][]float64
		hz      float64
	}
	var takes []take
	for k := range 8 {
		x := take{hz: []float64{30, 60, 240}[k%3]}
		for range 1 + k%3 {
			y := make([]float64, 90*(1+k))
			for i := range y {
				y[i] = 0.1 * rng.NormFloat64()
				if k%4 != 3 { // otherwise there is nothing but noise
					y[i] += math.Sin(2 * math.Pi * 5.5 * float64(i) / x.hz)
				}
				if rng.IntN(20) == 0 {
					y[i] = math.NaN()
				}
			}
			x.columns = append(x.columns, y)
		}
		takes = append(takes, x)
	}
	var w tempo.Workspace
	known := 0
	for k, x := range takes {
		got, want := w.Spectral(x.columns, x.hz, tempo.SpectralOptions{}), tempo.Spectral(x.columns, x.hz, tempo.SpectralOptions{})
		if fmt.Sprintf("%+v", got) != fmt.Sprintf("%+v", want) {
			t.Errorf("take %d: %+v, want %+v", k, got, want)
		}
		if got.Known() {
			known++
		}
	}
	if known == 0 || known == len(takes) {
		t.Errorf("%d of %d takes have a rate, want some", known, len(takes))
	}
	for k, x := range takes {
		w.Spectral(x.columns, x.hz, tempo.SpectralOptions{})
		if got := testing.AllocsPerRun(3, func() { w.Spectral(x.columns, x.hz, tempo.SpectralOptions{}) }); got != 0 {
			t.Errorf("take %d: %g allocations", k, got)
		}
	}
}
