package progress

import (
	"encoding/json"
	"math"
	"os"
	"testing"

	"gonum.org/v1/gonum/floats/scalar"

	"github.com/plectrace/plectrace/variability/estimate"
)

// TestTakesReference holds lines over takes, the middle of a change, Kendall's
// tau within days and the pooled share against R (testdata/reference/
// progress_takes.R). The tolerance is that of fifteen digits printed, through a
// few sums and a decomposition.
func TestTakesReference(t *testing.T) {
	b, err := os.ReadFile("../../testdata/reference/progress_takes.json")
	if err != nil {
		t.Fatal(err)
	}
	var r struct {
		Takes struct {
			Day, Rate, Angle, Bounds []float64
			Slope, Sigma             float64
			DF                       int
		}
		Both struct {
			Rate, Time, Y []float64
			ByRate        float64 `json:"by_rate"`
			ByTime        float64 `json:"by_time"`
		}
		Bend struct {
			Days, X, Y []float64
			MiddleX    float64 `json:"middle_x"`
			MiddleY    float64 `json:"middle_y"`
		}
		Within struct {
			Day, Rate, Scatter []float64
			Tau                float64
		}
		Pooled struct {
			Seconds, Share []float64
			Mean, Half     float64
		}
	}
	if err := json.Unmarshal(b, &r); err != nil {
		t.Fatal(err)
	}
	same := func(what string, got, want float64) {
		t.Helper()
		if !scalar.EqualWithinAbsOrRel(got, want, 1e-10, 1e-10) {
			t.Errorf("%s: %.12g, want %.12g", what, got, want)
		}
	}

	var takes []Take
	for i, rate := range r.Takes.Rate {
		takes = append(takes, played(int(r.Takes.Day[i]), map[string]float64{"notes_per_second": rate, "picture_angle_deg": r.Takes.Angle[i]}))
	}
	s, err := SameMotionInTakes(takes, SameMotionOptions{})
	if err != nil {
		t.Fatal(err)
	}
	k, _ := s.Component("path angle")
	span := math.Log(11.0 / 5)
	same("difference", k.Difference.Value, r.Takes.Slope*span)
	same("low", k.Difference.Low, r.Takes.Bounds[0]*span)
	same("high", k.Difference.High, r.Takes.Bounds[1]*span)

	f, ok := slopesOf(r.Both.Y, r.Both.Rate, r.Both.Time)
	if !ok {
		t.Fatal("no slopes")
	}
	same("by rate", f.rate, r.Both.ByRate)
	same("by time", f.time, r.Both.ByTime)

	m, ok := bends(r.Bend.Days, r.Bend.X, r.Bend.Y, estimate.Stream(1, "test"))
	if !ok {
		t.Fatal("no bends")
	}
	same("middle of x", m[0].Value, r.Bend.MiddleX)
	same("middle of y", m[1].Value, r.Bend.MiddleY)
	same("ahead", m[2].Value, r.Bend.MiddleY-r.Bend.MiddleX)

	var days []pairDay
	for i, d := range r.Within.Day {
		if i == 0 || d != r.Within.Day[i-1] {
			days = append(days, pairDay{})
		}
		last := &days[len(days)-1]
		last.rate, last.scatter = append(last.rate, r.Within.Rate[i]), append(last.scatter, r.Within.Scatter[i])
	}
	var w RateAndScatter
	w.within(days, 1)
	same("tau within days", w.WithinDays.Value, r.Within.Tau)

	p := pooledShare(r.Pooled.Share, r.Pooled.Seconds)
	same("pooled share", p.Value, r.Pooled.Mean)
	same("its interval", p.High-p.Value, r.Pooled.Half)
}
