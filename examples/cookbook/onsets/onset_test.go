package main

import (
	"bytes"
	"fmt"
	"math"
	"math/rand/v2"
	"testing"

	"github.com/plectrace/plectrace/motion/contact"
	"github.com/plectrace/plectrace/variability/robust"
)

// hear plays the strings and finds the onsets.
func hear(t testing.TB, r playing, o options) (truth []float64, found []contact.Onset) {
	t.Helper()
	x, truth := r.play()
	c, err := listenTo(x, r)
	if err != nil {
		t.Fatal(err)
	}
	return truth, find(c, o)
}

// listenTo reads samples by way of a file, in floating point so that playing
// alone says how they are rounded.
func listenTo(x []float64, r playing) (loudness, error) {
	channels := 1
	if r.stereo {
		channels = 2
	}
	var data []byte
	for _, v := range x {
		data = le.AppendUint32(data, math.Float32bits(float32(v)))
	}
	file := riff(format(3, channels, r.rate, 32, 4), chunk("data", data))
	return listen(bytes.NewReader(file), int64(len(file)), defaults.lowest)
}

// tally adds up the result of searches.
type tally struct {
	notes, found, both int
	off                []float64 // ms, found less true
}

func (s *tally) add(truth []float64, found []contact.Onset) {
	times := make([]float64, len(found))
	for i, o := range found {
		times[i] = o.Time
	}
	s.notes, s.found = s.notes+len(truth), s.found+len(found)
	for i, m := range pairs(truth, times) {
		if m >= 0 {
			s.both++
			s.off = append(s.off, 1000*(times[m]-truth[i]))
		}
	}
}

func (s *tally) f1() float64 { return score(s.notes, s.found, s.both) }

// within returns the share of true onsets that are within ms of the truth.
func (s *tally) within(ms float64) float64 {
	n := 0
	for _, v := range s.off {
		if math.Abs(v) <= ms {
			n++
		}
	}
	return float64(n) / float64(len(s.off))
}

func (s *tally) String() string {
	return fmt.Sprintf("F1 %.3f (%d notes, %d missed, %d extra), ms off: median %+.2f, 90 %% from %+.2f to %+.2f; %.0f %% within 1, %.0f %% within 5, %.0f %% within 10",
		s.f1(), s.notes, s.notes-s.both, s.found-s.both,
		robust.Quantile(0.5, s.off), robust.Quantile(0.05, s.off), robust.Quantile(0.95, s.off), 100*s.within(1), 100*s.within(5), 100*s.within(10))
}

// TestAccuracy plays strings that another program than demo.go makes, one
// trouble at a time: go test -v -run TestAccuracy prints the table.
func TestAccuracy(t *testing.T) {
	for _, c := range []struct {
		name   string
		change func(r *playing)
		f1     float64 // at least
		near   float64 // share within 10 ms, at least
	}{
		{"10 notes/s", func(r *playing) {}, 0.99, 0.97},
		{"5 notes/s", func(r *playing) { r.notes = 5 }, 0.99, 0.97},
		{"14 notes/s", func(r *playing) { r.notes = 14 }, 0.99, 0.97},
		{"14 notes/s, ringing 4 s", func(r *playing) { r.notes, r.ring = 14, 4 }, 0.92, 0.97},
		{"muted, 0.15 s", func(r *playing) { r.ring = 0.15 }, 0.99, 0.97},
		{"low string, 82 Hz", func(r *playing) { r.low, r.ring = 82, 3 }, 0.98, 0.97},
		{"unequal, 6 dB", func(r *playing) { r.spread = 6 }, 0.92, 0.97},
		{"no noise of the plectrum", func(r *playing) { r.touchLevel = 0 }, 0.99, 0.97},
		{"loud scrape, 18 ms before", func(r *playing) { r.touch, r.touchLevel = 0.018, 0.2 }, 0.98, 0.97},
		{"noise at -30 dB", func(r *playing) { r.noise = 30 }, 0.99, 0.97},
		{"noise at -20 dB", func(r *playing) { r.noise = 20 }, 0.98, 0.97},
		{"hum", func(r *playing) { r.hum = 0.5 }, 0.99, 0.97},
		{"a live room", func(r *playing) { r.room = 0.6 }, 0.97, 0.9},
		{"clipped", func(r *playing) { r.gain = 3 }, 0.97, 0.95},
		{"8 kHz, 8 bits", func(r *playing) { r.rate, r.bits, r.codec = 8000, 8, 0 }, 0.98, 0.97},
		{"22 kHz", func(r *playing) { r.rate, r.codec = 22050, 0 }, 0.99, 0.97},
		{"two channels out of phase", func(r *playing) { r.stereo = true }, 0.99, 0.97},
		{"two strings ringing 2 s", func(r *playing) { r.strings, r.ring = 2, 2 }, 0.95, 0.9},
		// Four strings left ringing for seconds are beyond it.
		{"four strings ringing 3 s", func(r *playing) { r.strings, r.ring, r.notes = 4, 3, 12 }, 0.75, 0.8},
	} {
		var s tally
		for seed := range uint64(2) {
			r := typical
			r.seed, r.seconds, r.codec = 100+seed, 4, 15000
			c.change(&r)
			s.add(hear(t, r, defaults))
		}
		t.Logf("%-26s %v", c.name, &s)
		if s.f1() < c.f1 || s.within(10) < c.near || math.Abs(robust.Median(s.off)) > 2 {
			t.Errorf("%s: want F1 %v, %v within 10 ms and a median of 2 ms", c.name, c.f1, c.near)
		}
		if testing.Short() && c.name == "14 notes/s" {
			break
		}
	}
}

// TestAtRandom draws all that playing is made of.
func TestAtRandom(t *testing.T) {
	takes := 60
	if testing.Short() {
		takes = 6
	}
	var s tally
	worst := 1.0
	for i := range takes {
		rng := rand.New(rand.NewPCG(uint64(i), 999))
		in := func(low, high float64) float64 { return low + (high-low)*rng.Float64() }
		r := playing{
			seed: uint64(9000 + i), rate: []int{22050, 44100, 48000}[rng.IntN(3)], seconds: 3,
			notes: in(4, 14), jitter: in(0.02, 0.12), low: in(82, 500), strings: 1, ring: math.Exp(in(math.Log(0.2), math.Log(3))),
			bright: in(1200, 5000), spread: in(1, 4), noise: in(25, 60), hum: in(0, 0.2),
			touch: in(0.003, 0.02), touchLevel: in(0.01, 0.15), room: in(0, 0.4), gain: in(0.1, 1.5), bits: 16,
		}
		var one tally
		truth, found := hear(t, r, defaults)
		one.add(truth, found)
		s.add(truth, found)
		worst = min(worst, one.f1())
	}
	t.Logf("%d takes at random: %v; the worst take %.3f", takes, &s, worst)
	if s.f1() < 0.98 || worst < 0.8 || s.within(10) < 0.95 || math.Abs(robust.Median(s.off)) > 1 {
		t.Errorf("%v; the worst take %.3f", &s, worst)
	}
}

// Levels follow the strength of the notes.
func TestLevels(t *testing.T) {
	r := typical
	r.ring, r.spread, r.codec = 0.15, 0, 0
	_, soft := hear(t, r, defaults)
	r.gain *= math.Pow(10, -12.0/20)
	_, softer := hear(t, r, defaults)
	if len(soft) != len(softer) || len(soft) < 50 {
		t.Fatalf("%d and %d onsets", len(soft), len(softer))
	}
	for i := range soft {
		if d := soft[i].Level - softer[i].Level; math.Abs(d-12) > 0.3 {
			t.Errorf("onset %d: %.2f dB softer, want 12", i, d)
		}
	}
}

func TestNothingToFind(t *testing.T) {
	const rate = 44100
	rng := rand.New(rand.NewPCG(5, 5))
	noise, tone, hum := make([]float64, 20*rate), make([]float64, 5*rate), make([]float64, 5*rate)
	for i := range noise {
		noise[i] = 0.01 * rng.NormFloat64()
	}
	for i := range tone {
		u := float64(i) / rate
		ramp := math.Min(1, 0.2+u/0.5)
		tone[i] = noise[i]/10 + 0.3*ramp*(math.Sin(2*math.Pi*220*u)+0.3*math.Sin(2*math.Pi*1320*u))
		hum[i] = 0.3 * math.Sin(2*math.Pi*50*u)
	}
	quiet := make([]float64, rate)
	for _, c := range []struct {
		name string
		x    []float64
		rate int
	}{
		{"no samples", nil, rate}, {"one sample", quiet[:1], rate}, {"5 ms", noise[:220], rate},
		{"silence", quiet, rate}, {"noise", noise, rate}, {"noise at 8 kHz", noise, 8000}, {"noise at 4 kHz", noise[:40000], 4000},
		{"a tone that swells", tone, rate}, {"hum", hum, rate},
	} {
		co, err := listenTo(c.x, playing{rate: c.rate})
		if err != nil {
			t.Errorf("%s: %v", c.name, err)
			continue
		}
		if found := find(co, defaults); len(found) > 0 {
			t.Errorf("%s: %d onsets, the first %+v", c.name, len(found), found[0])
		}
	}
	// A single note in silence.
	x := make([]float64, rate)
	for i := rate / 2; i < rate; i++ {
		u := float64(i-rate/2) / rate
		x[i] = 0.5 * math.Exp(-u/0.1) * math.Sin(2*math.Pi*880*u)
	}
	co, err := listenTo(x, playing{rate: rate})
	if err != nil {
		t.Fatal(err)
	}
	if found := find(co, defaults); len(found) != 1 || math.Abs(found[0].Time-0.5) > 0.001 {
		t.Errorf("one note: %+v", found)
	}
}

// Later by some time, or at another rate, the onsets are the same.
func TestShiftInTime(t *testing.T) {
	r := typical
	r.seconds, r.codec = 3, 15000
	x, _ := r.play()
	c, err := listenTo(x, r)
	if err != nil {
		t.Fatal(err)
	}
	const later = 12345 // samples
	d, err := listenTo(append(make([]float64, later), x...), r)
	if err != nil {
		t.Fatal(err)
	}
	a, b := find(c, defaults), find(d, defaults)
	if len(a) != len(b) || len(a) < 25 {
		t.Fatalf("%d and %d onsets", len(a), len(b))
	}
	near := 0
	for i := range a {
		// Where a step begins is another now, and another pulse of a note may be
		// the steepest.
		off := math.Abs(b[i].Time - a[i].Time - later/float64(r.rate))
		if off > 0.015 {
			t.Errorf("onset %d: off by %.2f ms", i, 1000*off)
		}
		if off < 0.001 {
			near++
		}
	}
	if float64(near) < 0.9*float64(len(a)) {
		t.Errorf("%d of %d within 1 ms", near, len(a))
	}
}

func TestPairs(t *testing.T) {
	for _, c := range []struct {
		truth, found []float64
		want         []int
	}{
		{nil, []float64{1}, []int{}},
		{[]float64{1, 2}, nil, []int{-1, -1}},
		{[]float64{1, 2, 3}, []float64{0.99, 2.01, 2.5, 3}, []int{0, 1, 3}},
		{[]float64{1, 2}, []float64{1.03}, []int{-1, -1}},
		{[]float64{1}, []float64{0.98, 1.001}, []int{1}},
		{[]float64{1, 1.03}, []float64{1.01, 1.028}, []int{0, 1}},
		{[]float64{1, 1.03}, []float64{0.985, 1.02}, []int{0, 1}},
	} {
		got := pairs(c.truth, c.found)
		if fmt.Sprint(got) != fmt.Sprint(c.want) {
			t.Errorf("%v and %v: %v, want %v", c.truth, c.found, got, c.want)
		}
	}
}

func BenchmarkListen(b *testing.B) {
	x, _ := typical.play()
	file := encode(x, typical.rate)
	b.ReportAllocs()
	for b.Loop() {
		c, err := listen(bytes.NewReader(file), int64(len(file)), defaults.lowest)
		if err != nil {
			b.Fatal(err)
		}
		find(c, defaults)
	}
	b.ReportMetric(float64(len(x))/float64(typical.rate)*float64(b.N)/b.Elapsed().Seconds(), "s-of-sound/s")
}
