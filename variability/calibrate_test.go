package variability_test

import (
	"flag"
	"fmt"
	"math"
	"slices"
	"strings"
	"testing"

	"github.com/plectrace/plectrace/variability/estimate"
	"github.com/plectrace/plectrace/variability/internal/series"
)

// calibrate is the number of made series in each row of the calibration
// tables. 0 makes few, and checks that the figures of the package comment hold
// to within what so few can tell. The figures there come from
//
//	go test ./variability -run Calibrate -v -calibrate 4000
var calibrate = flag.Int("calibrate", 0, "number of made series in each row of the calibration; 0 makes few")

// takes is the number of series in a row, and the seed of the first: those of
// the figures differ from those that the methods were chosen with (from 1000000).
func takes(quick int) (n int, seed uint64) {
	if *calibrate > 0 {
		return *calibrate, 3_000_000
	}
	return quick, 2_000_000
}

// row counts, over made series, how often an interval held the truth or a test
// rejected at 0.05, and how often there was one.
type row struct {
	hits, given map[string]int
	names       []string
}

func (r *row) add(name string, given, hit bool) {
	if r.hits == nil {
		r.hits, r.given = map[string]int{}, map[string]int{}
	}
	if !slices.Contains(r.names, name) {
		r.names = append(r.names, name)
	}
	if given {
		r.given[name]++
		if hit {
			r.hits[name]++
		}
	}
}

// interval counts an interval that should hold a truth.
func (r *row) interval(name string, v estimate.Value[float64], truth float64) {
	r.add(name, v.Known() && v.Level > 0, v.Low <= truth && truth <= v.High)
}

// per returns the share of hits, in per cent.
func (r *row) per(name string) float64 { return 100 * float64(r.hits[name]) / float64(r.given[name]) }

// log prints the row: per cent of hits, and how many series were answered when
// that is not all.
func (r *row) log(t *testing.T, spec fmt.Stringer, n, takes int) {
	t.Helper()
	var b strings.Builder
	for _, name := range r.names {
		fmt.Fprintf(&b, "  %s %.1f", name, r.per(name))
		if r.given[name] < takes {
			fmt.Fprintf(&b, " (of %.0f %%)", 100*float64(r.given[name])/float64(takes))
		}
	}
	t.Logf("%5d %s:%s", n, spec, b.String())
}

// within checks that the share of hits is between low and high, in per cent,
// to within three standard errors of so many series.
func (r *row) within(t *testing.T, name, what string, low, high float64) {
	t.Helper()
	n := float64(r.given[name])
	if n == 0 {
		t.Errorf("%s, %s: no series gave an answer", what, name)
		return
	}
	error3 := func(p float64) float64 { return 300 * math.Sqrt(p/100*(1-p/100)/n) }
	if p := r.per(name); p < low-error3(low) || p > high+error3(high) {
		t.Errorf("%s, %s: %.1f %%, want %v to %v", what, name, p, low, high)
	}
}

// nulls are series in which nothing changes.
var nulls = []series.Spec{
	{},
	{Phi: 0.3},
	{Phi: 0.6},
	{Phi: 0.9},
	{Phi: 0.3, Alternate: 2},
	{Phi: 0.3, Drift: 2},
	{Phi: 0.3, Cube: true},
	{Phi: 0.3, Spans: series.Spans{Settled: 60, Searching: 30, Level: 0.3, Scatter: 2}},
	{Phi: 0.3, Spans: series.Spans{Settled: 60, Searching: 30, Level: 1, Scatter: 2}},
}

// nullSpec is an autoregression.
func nullSpec(phi float64) series.Spec { return series.Spec{Phi: phi} }
