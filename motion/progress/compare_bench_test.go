package progress

import (
	"testing"

	"github.com/plectrace/plectrace/motion/review"
	"github.com/plectrace/plectrace/variability/estimate"
)

// fullTake is a take that has every measure.
func fullTake(day, i int) Take {
	t := madeTake("rise", day, 1, 0.1)
	for k := range review.Measures() {
		x := 0.5 + 0.01*float64(k) + 0.02*float64((i*7+k*3)%11)
		t.Summary.Values[k] = estimate.Value[float64]{Value: x, Low: x - 0.02, High: x + 0.02, Level: 0.95, N: 100}
	}
	return t
}

func BenchmarkRepeatability(b *testing.B) {
	var takes []Take
	for i := range 30 {
		takes = append(takes, fullTake(i/3, i))
	}
	b.ReportAllocs()
	for b.Loop() {
		if _, err := Repeatability(takes, RepeatOptions{}); err != nil {
			b.Fatal(err)
		}
	}
}

func BenchmarkCompare(b *testing.B) {
	var takes []Take
	for i := range 9 {
		takes = append(takes, fullTake(i/3, i))
	}
	r, err := Repeatability(takes, RepeatOptions{})
	if err != nil {
		b.Fatal(err)
	}
	first, second := fullTake(20, 20), fullTake(21, 21)
	b.ReportAllocs()
	for b.Loop() {
		if _, err := Compare(first, second, CompareOptions{Repeats: &r}); err != nil {
			b.Fatal(err)
		}
	}
}

func BenchmarkAgree(b *testing.B) {
	rng := estimate.Stream(1, "agree")
	truth := madeTruth(rng, 200, 0.5)
	first, second := viewed(rng, truth, 0.3, 0.1), viewed(rng, truth, 0.3, 0.1)
	b.ReportAllocs()
	for b.Loop() {
		if _, err := Agree(first, second); err != nil {
			b.Fatal(err)
		}
	}
}
