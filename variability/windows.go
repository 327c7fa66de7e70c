package variability

import (
	"fmt"
	"math"
	"strings"

	"github.com/plectrace/plectrace/variability/estimate"
	"github.com/plectrace/plectrace/variability/robust"
	"gonum.org/v1/gonum/stat"
)

// windows cuts out the values of both ends of a take, which stops counting at
// the given time, and describes them.
func windows(times, values []float64, stop float64, o EarlyLateOptions) (early, late []float64, c Change) {
	c.Options, c.Tail = o, o.Tail
	n := len(times)
	for n > 0 && times[n-1] > stop {
		n--
	}
	times, values = times[:n], values[:n]
	t, x := known(times, values)
	first, last := ends(times, t, o) // the early window is x[:first], the late one x[last:]
	if first > last {
		size := fmt.Sprintf("%.3g s", o.Seconds)
		if o.Count > 0 {
			size = fmt.Sprintf("%d values", o.Count)
		}
		c.refuse("overlap", fmt.Sprintf("two parts of %s do not fit into the take; ask for shorter ones", size))
		first, last = 0, len(x)
	}
	early, late = x[:first], x[last:]
	c.Early, c.Late = window(t[:first], early, o.Changes), window(t[last:], late, o.Changes)
	c.Warning = straddles(c.Early, c.Late)
	return early, late, c
}

// ends returns where the early window ends in the known values, whose times
// are t, and where the late one begins. It begins before where they overlap.
func ends(times, t []float64, o EarlyLateOptions) (first, last int) {
	n := len(t)
	count := func(k int) (int, int) { return k, n - k }
	switch {
	case n == 0:
		return 0, 0
	case o.Count > 0 && o.Cycles:
		return count(o.Count / 2)
	case o.Count > 0:
		return count(o.Count)
	case o.ByCount && o.Share > 0:
		return count(int(o.Share*float64(n) + 1e-9))
	}
	from, to := times[0], times[len(times)-1]
	span := o.Seconds
	if !(span > 0) {
		span = o.Share * (to - from)
	}
	if 2*span > (to-from)*(1+1e-12) {
		return n, 0
	}
	last = n
	for first < n && t[first] < from+span {
		first++
	}
	for last > first && t[last-1] > to-span {
		last--
	}
	return first, last
}

func window(t, x, changes []float64) Window {
	w := Window{From: math.NaN(), To: math.NaN(), N: len(x), Effective: worth(x), Median: robust.Median(x), Robust: robust.Scale(x)}
	w.Mean, w.SD = stat.MeanStdDev(x, nil)
	if len(x) > 0 {
		w.From, w.To = t[0], t[len(t)-1]
		w.Changes = between(changes, w.From, w.To)
	}
	return w
}

// straddles says which windows hold changes of span, and when.
func straddles(early, late Window) string {
	var parts []string
	for _, w := range []struct {
		name string
		at   []float64
	}{{"early", early.Changes}, {"late", late.Changes}} {
		if len(w.at) == 0 {
			continue
		}
		at := make([]string, len(w.at))
		for i, t := range w.at {
			at[i] = fmt.Sprintf("%.1f", t)
		}
		what, last := "a change", len(at)-1
		if last > 0 {
			what = "changes"
			at[last-1], at = at[last-1]+" and "+at[last], at[:last]
		}
		parts = append(parts, fmt.Sprintf("the %s part holds %s of span at %s s", w.name, what, strings.Join(at, ", ")))
	}
	if parts == nil {
		return ""
	}
	all := strings.Join(parts, ", and ")
	return strings.ToUpper(all[:1]) + all[1:] +
		": what differs may be the spans and not early and late. Compare settled spans, or choose parts within one."
}

// refuse makes all comparisons absent.
func (c *Change) refuse(code, why string) {
	absent := func(what string) estimate.Value[float64] { return estimate.Missing[float64](code, what, why) }
	c.Difference = absent("difference of the means")
	c.Trimmed = absent("difference of the trimmed means")
	c.Ratio = absent("ratio of spreads")
	c.RobustRatio = absent("ratio of robust spreads")
	c.G = absent("standardised difference")
	c.Delta = absent("dominance")
	c.Scatter.Absent = absent("test of equal spread").Absent
}
