package filter_test

import (
	"encoding/json"
	"math"
	"os"
	"testing"

	"github.com/plectrace/plectrace/trajectory/filter"
)

// reference is testdata/reference/filter.json, made by filter.py there with
// scipy 1.10.1 and numpy 1.24.2.
type reference struct {
	Coefficients []struct {
		FS, FC     float64
		B, A       [3]float64
		BCorrected [3]float64 `json:"b_corrected"`
		ACorrected [3]float64 `json:"a_corrected"`
	}
	Filtfilt []struct {
		FS, FC    float64
		Corrected bool
		Padlen    int
		X, Y      []float64
	}
	Causal []struct {
		FS, FC float64
		X, Y   []float64
	}
	Residual struct {
		FS                       float64
		Y, RMS                   []float64
		Intercept, Slope, Cutoff float64
	}
	Gradient []struct{ T, X, Y []float64 }
	Even     struct {
		FS   float64
		X, Y []float64
	}
	SavgolTables []struct {
		Window, Degree, Derivative int
		Numerators                 []float64
		Denominator                float64
	} `json:"savgol_tables"`
	SavgolExact []struct {
		Window, Degree, Derivative int
		Coefficients               []float64
	} `json:"savgol_exact"`
	Savgol []struct {
		Window, Degree, Derivative int
		FS                         float64
		X, Y                       []float64
	}
}

func readReference(t *testing.T) reference {
	t.Helper()
	b, err := os.ReadFile("../../testdata/reference/filter.json")
	if err != nil {
		t.Fatal(err)
	}
	var r reference
	if err := json.Unmarshal(b, &r); err != nil {
		t.Fatal(err)
	}
	return r
}

// near reports whether got is within tol of want, NaN being near NaN only.
func near(got, want, tol float64) bool {
	return math.Abs(got-want) <= tol || math.IsNaN(got) && math.IsNaN(want)
}

func allNear(t *testing.T, name string, got, want []float64, tol float64) {
	t.Helper()
	if len(got) != len(want) {
		t.Errorf("%s: %d samples, want %d", name, len(got), len(want))
		return
	}
	for i := range got {
		if !near(got[i], want[i], tol) {
			t.Errorf("%s: sample %d is %v, want %v", name, i, got[i], want[i])
			return
		}
	}
}

func lowPass(t testing.TB, cutoff, rate float64) filter.Butterworth {
	t.Helper()
	f, err := filter.LowPass(cutoff, rate)
	if err != nil {
		t.Fatal(err)
	}
	return f
}

func once(t testing.TB, cutoff, rate float64) filter.Butterworth {
	t.Helper()
	f, err := filter.Once(cutoff, rate)
	if err != nil {
		t.Fatal(err)
	}
	return f
}
