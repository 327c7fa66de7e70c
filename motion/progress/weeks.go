package progress

import (
	"math"
	"time"

	"gonum.org/v1/gonum/stat"

	"github.com/plectrace/plectrace/motion/review"
	"github.com/plectrace/plectrace/variability/estimate"
	"github.com/plectrace/plectrace/variability/robust"
)

// Week is what the takes of one calendar week (ISO 8601, from Monday) add up to.
type Week struct {
	// Monday is its first day.
	Monday time.Time
	// Takes and Days are counted, Pain are the takes at which it was felt.
	Takes, Days, Pain int
	// Minutes is the time played: from the first stroke to the last of each
	// take.
	Minutes float64
	// SettledShare is the share of that time that is settled, with an interval
	// that takes the takes as the observations.
	SettledShare estimate.Value[float64]
	// SettledRate is the median of the takes' rates of settled spans.
	SettledRate estimate.Value[float64]
	// Longest is how long the longest settled span lasted, in seconds, by its
	// whole cycles that could be measured: at least that. NaN without one.
	Longest float64
}

// weeksOf sums up the weeks. takes are in order of time.
func weeksOf(takes []Take, o Options) []Week {
	var out []Week
	for i := 0; i < len(takes); {
		monday := mondayOf(takes[i].Date)
		from := i
		for ; i < len(takes) && mondayOf(takes[i].Date).Equal(monday); i++ {
		}
		out = append(out, weekOf(monday, takes[from:i], o))
	}
	return out
}

func mondayOf(t time.Time) time.Time {
	d := dayOf(t)
	return d.AddDate(0, 0, -(int(d.Weekday())+6)%7)
}

func weekOf(monday time.Time, takes []Take, o Options) Week {
	w := Week{Monday: monday, Takes: len(takes), Longest: math.NaN()}
	days := map[time.Time]bool{}
	var share, seconds, rates []float64
	for _, t := range takes {
		days[dayOf(t.Date)] = true
		if t.Comfort == ComfortPain {
			w.Pain++
		}
		s := t.Summary
		w.Minutes += s.Seconds / 60
		if v := s.Value(o.SettledShare); v.Known() && s.Seconds > 0 {
			share, seconds = append(share, v.Value), append(seconds, s.Seconds)
		}
		if v := toScale(review.Ratio, s.Value(o.SettledRate)); v == v {
			rates = append(rates, math.Exp(v))
		}
		if m := s.Motion; m != nil && m.Rate > 0 {
			if long := 2 * float64(m.Cycles) / m.Rate; !(long <= w.Longest) {
				w.Longest = long
			}
		}
	}
	w.Days = len(days)
	w.SettledShare = pooledShare(share, seconds)
	if len(rates) == 0 {
		w.SettledRate = estimate.Missing[float64]("none", "rate of the settled spans", "no take of the week has it")
	} else {
		w.SettledRate = estimate.Value[float64]{Value: robust.Median(rates), Low: math.NaN(), High: math.NaN(), N: len(rates)}
		if m := estimate.MedianInterval(rates, 0.95); m.Level > 0 {
			w.SettledRate = m
		}
	}
	return w
}

// pooledShare returns Σ w x / Σ w with the interval of a ratio estimate over
// takes, from three of them on:
//
//	± t(k-1) √(k/(k-1) Σ w² (x - mean)²) / Σ w
//
// W. G. Cochran (1977), Sampling Techniques, 3rd ed., (6.9). Takes that all have
// one share have no interval.
func pooledShare(x, w []float64) estimate.Value[float64] {
	if len(x) == 0 {
		return estimate.Missing[float64]("none", "settled share", "no take of the week has it")
	}
	mean := stat.Mean(x, w)
	var sum, squares float64
	for i := range x {
		sum += w[i]
		squares += w[i] * w[i] * (x[i] - mean) * (x[i] - mean)
	}
	k := float64(len(x))
	half := math.NaN()
	if k >= 3 && squares > 0 {
		half = studentAt(k-1, 0.95) * math.Sqrt(k/(k-1)*squares) / sum
	}
	v := interval(mean, half, len(x))
	v.Low, v.High = math.Max(0, v.Low), math.Min(1, v.High)
	return v
}
