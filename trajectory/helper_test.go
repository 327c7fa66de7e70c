package trajectory

import (
	"errors"
	"math"
	"slices"
	"strings"
	"testing"
)

// within fails unless got is within tolerance of want; two NaN agree.
func within(t *testing.T, what string, got, want, tolerance float64) {
	t.Helper()
	if math.IsNaN(got) && math.IsNaN(want) {
		return
	}
	if !(math.Abs(got-want) <= tolerance) {
		t.Errorf("%s: got %v, want %v within %v", what, got, want, tolerance)
	}
}

// columnsWithin fails unless the columns agree sample by sample.
func columnsWithin(t *testing.T, what string, got, want []float64, tolerance float64) {
	t.Helper()
	if len(got) != len(want) {
		t.Errorf("%s: %d samples, want %d", what, len(got), len(want))
		return
	}
	for i := range got {
		if math.IsNaN(got[i]) != math.IsNaN(want[i]) || math.Abs(got[i]-want[i]) > tolerance {
			t.Errorf("%s: sample %d: got %v, want %v within %v", what, i, got[i], want[i], tolerance)
			return
		}
	}
}

// dataError fails unless err is a *DataError that holds all the words.
func dataError(t *testing.T, err error, words ...string) {
	t.Helper()
	var e *DataError
	if !errors.As(err, &e) {
		t.Errorf("got error %v, want a *DataError with %q", err, words)
		return
	}
	for _, w := range words {
		if !strings.Contains(err.Error(), w) {
			t.Errorf("error %q does not say %q", err, w)
		}
	}
	if e.Hint == "" || strings.Contains(err.Error(), "\n") {
		t.Errorf("error %q has no hint or more than one line", err)
	}
}

// seconds returns n times at a rate.
func seconds(n int, rate float64) []float64 {
	t := make([]float64, n)
	for i := range t {
		t[i] = float64(i) / rate
	}
	return t
}

// clone returns a path that shares nothing with p.
func clone(p Path) Path {
	p.T, p.X, p.Y, p.Z, p.Confidence = slices.Clone(p.T), slices.Clone(p.X), slices.Clone(p.Y), slices.Clone(p.Z), slices.Clone(p.Confidence)
	return p
}

// hide makes samples [start, end) missing.
func hide(p Path, start, end int) {
	for _, c := range [][]float64{p.X, p.Y, p.Z} {
		for i := start; i < end && i < len(c); i++ {
			c[i] = math.NaN()
		}
	}
}
