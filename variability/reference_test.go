package variability_test

import (
	"bufio"
	"encoding/json"
	"math"
	"os"
	"strconv"
	"strings"
	"testing"

	"gonum.org/v1/gonum/floats/scalar"

	"github.com/plectrace/plectrace/variability/internal/series"
)

// reference is testdata/reference/variability.json, made by variability.py
// there with scipy 1.10.1 and numpy 1.24.2.
type reference struct {
	Pairs []struct {
		Name     string
		A, B     []float64
		Levene   float64
		P        float64
		G, Delta float64
		CV, MAD  [2]float64
	}
	Mouse struct{ Hits, Total float64 }
}

func readReference(t *testing.T) (r reference) {
	t.Helper()
	b, err := os.ReadFile("../testdata/reference/variability.json")
	if err != nil {
		t.Fatal(err)
	}
	if err := json.Unmarshal(b, &r); err != nil {
		t.Fatal(err)
	}
	return r
}

// nistSet is a data set of the NIST Statistical Reference Datasets with its
// certified values, from the file as published.
type nistSet struct {
	name         string
	mean, sd, r1 float64
	y            []float64
}

func readNIST(t *testing.T, name string) nistSet {
	t.Helper()
	f, err := os.Open("../testdata/reference/nist/" + name + ".dat")
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	set := nistSet{name: name}
	data := false
	for s := bufio.NewScanner(f); s.Scan(); {
		line := strings.TrimSpace(s.Text())
		last := line[strings.LastIndex(line, " ")+1:]
		v, err := strconv.ParseFloat(last, 64)
		switch {
		case strings.HasPrefix(line, "------"):
			data = true
		case err != nil:
		case data:
			set.y = append(set.y, v)
		case strings.Contains(line, "ybar:"):
			set.mean = v
		case strings.Contains(line, " s: "):
			set.sd = v
		case strings.Contains(line, "r(1):"):
			set.r1 = v
		}
	}
	if len(set.y) < 50 || set.sd == 0 || set.r1 == 0 {
		t.Fatalf("%s: read %d values, sd %v, r(1) %v", name, len(set.y), set.sd, set.r1)
	}
	return set
}

// near reports whether got is within the tolerance of want, absolute or
// relative to want, NaN being near NaN only.
func near(got, want, tol float64) bool {
	return scalar.Same(got, want) || math.Abs(got-want) <= tol*max(1, math.Abs(want))
}

// autoregression returns n values of unit variance with autocorrelation phi at
// lag 1.
func autoregression(n int, phi float64, seed uint64) []float64 {
	return series.Spec{Phi: phi}.Make(n, seed)
}

// each returns f of all values.
func each(xs []float64, f func(float64) float64) []float64 {
	y := make([]float64, len(xs))
	for i, x := range xs {
		y[i] = f(x)
	}
	return y
}
