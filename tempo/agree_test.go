package tempo_test

import (
	"encoding/json"
	"fmt"
	"math"
	"strings"
	"testing"

	"github.com/plectrace/plectrace/tempo"
	"github.com/plectrace/plectrace/variability/estimate"
)

func rate(v, half float64) estimate.Value[tempo.NotesPerSecond] {
	return estimate.Value[tempo.NotesPerSecond]{Value: tempo.NotesPerSecond(v), Low: tempo.NotesPerSecond(v - half), High: tempo.NotesPerSecond(v + half), Level: 0.95, N: 20}
}

// byTurns are n values, first and second by turns.
func byTurns(n int, first, second float64) []float64 {
	x := make([]float64, n)
	for i := range x {
		x[i] = first
		if i%2 == 1 {
			x[i] = second
		}
	}
	return x
}

func TestAgree(t *testing.T) {
	nan := math.NaN()
	even, back := byTurns(40, 10, 9), byTurns(40, 10, 1.5)
	unsaid := func(v float64) estimate.Value[tempo.NotesPerSecond] {
		return estimate.Value[tempo.NotesPerSecond]{Value: tempo.NotesPerSecond(v), Low: tempo.NotesPerSecond(nan), High: tempo.NotesPerSecond(nan), N: 20}
	}
	for _, c := range []struct {
		name              string
		strokes, spectral estimate.Value[tempo.NotesPerSecond]
		e                 tempo.Evidence
		want              tempo.Verdict
		of, to            int
	}{
		{"the same", rate(10, 0.1), rate(10.05, 0.1), tempo.Evidence{}, tempo.RatesAgree, 1, 1},
		{"1.5 % apart, exact", rate(10, 0.001), rate(10.15, 0.001), tempo.Evidence{}, tempo.RatesAgree, 1, 1},
		{"6 % apart, exact", rate(10, 0.001), rate(10.6, 0.001), tempo.Evidence{Lengths: even}, tempo.CannotSay, 0, 0},
		{"6 % apart, wide", rate(10, 0.6), rate(10.6, 0.1), tempo.Evidence{}, tempo.RatesAgree, 1, 1},
		{"4 % apart, no interval", unsaid(10), rate(10.4, 0.001), tempo.Evidence{}, tempo.RatesAgree, 1, 1},

		{"twice as many strokes, alike", rate(20, 0.1), rate(10, 0.1), tempo.Evidence{Lengths: even}, tempo.SpectrumWrong, 2, 1},
		{"twice as many, short ways back", rate(20, 0.1), rate(10, 0.1), tempo.Evidence{Lengths: back}, tempo.TurnsWrong, 2, 1},
		{"twice as many, short ones by their durations", rate(20, 0.1), rate(10, 0.1), tempo.Evidence{Durations: back}, tempo.TurnsWrong, 2, 1},
		{"twice as many, alike but many repairs", rate(20, 0.1), rate(10, 0.1), tempo.Evidence{Lengths: even, RepairedShare: 0.3}, tempo.CannotSay, 2, 1},
		{"twice as many, many repairs", rate(20, 0.1), rate(10, 0.1), tempo.Evidence{RepairedShare: 0.3}, tempo.TurnsWrong, 2, 1},
		{"twice as many, nothing known", rate(20, 0.1), rate(10, 0.1), tempo.Evidence{}, tempo.CannotSay, 2, 1},
		{"1.37 as many, alike", rate(13.7, 0.01), rate(10, 0.01), tempo.Evidence{Lengths: even}, tempo.CannotSay, 0, 0},
		{"three halves, short ones", rate(15, 0.05), rate(10, 0.05), tempo.Evidence{Lengths: back}, tempo.TurnsWrong, 3, 2},

		{"half as many, many repairs", rate(5, 0.1), rate(10, 0.1), tempo.Evidence{RepairedShare: 0.3}, tempo.TurnsWrong, 1, 2},
		{"half as many, few samples", rate(5, 0.1), rate(10, 0.1), tempo.Evidence{SamplesPerStroke: 6, RepairedShare: 0.01}, tempo.TurnsWrong, 1, 2},
		{"half as many, many samples", rate(5, 0.1), rate(10, 0.1), tempo.Evidence{SamplesPerStroke: 24, RepairedShare: 0.01}, tempo.SpectrumWrong, 1, 2},
		{"half as many, samples between", rate(5, 0.1), rate(10, 0.1), tempo.Evidence{SamplesPerStroke: 12, RepairedShare: 0.01}, tempo.CannotSay, 1, 2},
		{"half as many, nothing known", rate(5, 0.1), rate(10, 0.1), tempo.Evidence{}, tempo.CannotSay, 1, 2},
		{"two thirds, many samples", rate(6, 0.05), rate(9, 0.05), tempo.Evidence{SamplesPerStroke: 40, RepairedShare: 0.01}, tempo.SpectrumWrong, 2, 3},

		{"no spectrum", rate(6, 0.05), estimate.Missing[tempo.NotesPerSecond]("x", "rate", "too short"), tempo.Evidence{}, tempo.CannotSay, 0, 0},
		{"nothing", estimate.Value[tempo.NotesPerSecond]{}, estimate.Value[tempo.NotesPerSecond]{}, tempo.Evidence{}, tempo.CannotSay, 0, 0},
		{"no rate", rate(6, 0.05), unsaid(0), tempo.Evidence{}, tempo.CannotSay, 0, 0},
	} {
		a := tempo.Agree(c.strokes, c.spectral, c.e)
		if a.Verdict != c.want || a.Of != c.of || a.To != c.to {
			t.Errorf("%s: %v, %d to %d, want %v, %d to %d", c.name, a.Verdict, a.Of, a.To, c.want, c.of, c.to)
		}
		if a.Why == "" || strings.Contains(a.Why, "%!") || a.Ratio.Known() == (a.Ratio.Absent != nil) {
			t.Errorf("%s: %+v", c.name, a)
		}
		if a.Ratio.Known() && !near(a.Ratio.Value, float64(c.strokes.Value/c.spectral.Value), 1e-12) {
			t.Errorf("%s: ratio %v", c.name, a.Ratio.Value)
		}
	}
}

// The ratio's interval is that of two independent rates, on the logarithmic scale.
func TestAgreeInterval(t *testing.T) {
	a := tempo.Agree(rate(20, 0.6), rate(10, 0.4), tempo.Evidence{})
	half := math.Hypot(math.Log(20.6/19.4)/2, math.Log(10.4/9.6)/2)
	if !near(a.Ratio.Low, 2*math.Exp(-half), 1e-12) || !near(a.Ratio.High, 2*math.Exp(half), 1e-12) || a.Ratio.Level != 0.95 {
		t.Errorf("%+v", a.Ratio)
	}
}

func TestVerdictText(t *testing.T) {
	for v := tempo.CannotSay; v <= tempo.SpectrumWrong; v++ {
		text, err := json.Marshal(v)
		if err != nil || string(text) != fmt.Sprintf("%q", v) {
			t.Errorf("%v is written %s, %v", v, text, err)
		}
		var back tempo.Verdict
		if err := json.Unmarshal(text, &back); err != nil || back != v {
			t.Errorf("%s is read as %v, %v", text, back, err)
		}
	}
	var v tempo.Verdict
	if err := v.UnmarshalText([]byte("perhaps")); err == nil {
		t.Error("an unknown verdict is read")
	}
	if _, err := tempo.Verdict(9).MarshalText(); err == nil || tempo.Verdict(9).String() != "Verdict(9)" || tempo.Verdict(-1).String() != "Verdict(-1)" {
		t.Error("an unknown verdict is written")
	}
}

// A pick that falters at the string makes three strokes of one, two of them
// short.
func ExampleAgree() {
	lengths := byTurns(60, 9, 1.2) // mm
	a := tempo.Agree(rate(20, 0.3), rate(10, 0.2), tempo.Evidence{Lengths: lengths})
	fmt.Printf("%d to %d: %v\n", a.Of, a.To, a.Verdict)
	// Output: 2 to 1: turns wrong
}
