package variability

import (
	"math"
	"testing"
)

// By hand: of the 20 ways to choose three of 1 … 6, {1,2,3} and {4,5,6} are the
// two that are farthest apart.
func TestDealSixValues(t *testing.T) {
	p, least := deal([]float64{1, 2, 3}, []float64{4, 5, 6}, 1, Options{}.filled())
	if math.Abs(p-0.1) > 1e-15 || math.Abs(least-0.05) > 1e-15 {
		t.Errorf("p %v, least %v; want 0.1, 0.05", p, least)
	}
	// In pairs, (1,2) and (4,3) against (6,5) and (8,7): 6 ways, 2 as far apart.
	p, least = deal([]float64{1, 2, 4, 3}, []float64{6, 5, 8, 7}, 2, Options{}.filled())
	if math.Abs(p-1./3) > 1e-15 || math.Abs(least-1./6) > 1e-15 {
		t.Errorf("in pairs: p %v, least %v; want 1/3, 1/6", p, least)
	}
}
