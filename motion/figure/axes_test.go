package figure

import (
	"math"
	"math/rand/v2"
	"slices"
	"testing"
	"time"

	"gonum.org/v1/plot/vg"

	"github.com/plectrace/plectrace/tempo"
)

// TestEqualScales checks that a millimetre is as long across as outward.
func TestEqualScales(t *testing.T) {
	for _, a := range []axes{
		{in: rect(0, 0, 400, 100), x: interval{-3, 3}, y: interval{0, 1}},
		{in: rect(10, 20, 110, 320), x: interval{5, 6}, y: interval{-1, 9}},
		{in: rect(0, 0, 100, 100), x: interval{1e9, 1e9 + 5}, y: interval{0, 5}, flip: true},
	} {
		e := a.equal()
		perX := float64(e.in.Size().X) / e.x.size()
		perY := float64(e.in.Size().Y) / e.y.size()
		if math.Abs(perX-perY) > 1e-6*perX { // differences of numbers near 1e9 keep 7 digits
			t.Errorf("%v: %v units across and %v outward", a, perX, perY)
		}
		if e.x.lo > a.x.lo || e.x.hi < a.x.hi || e.y.lo > a.y.lo || e.y.hi < a.y.hi {
			t.Errorf("%v: no longer holds its data: %v, %v", a, e.x, e.y)
		}
	}
}

// TestSigns checks which way up a film is shown, and its arrows with it.
func TestSigns(t *testing.T) {
	film := axes{in: rect(0, 0, 100, 100), x: interval{0, 100}, y: interval{0, 100}, flip: true}
	if got, want := film.at(20, 30), (vg.Point{X: 20, Y: 70}); got != want {
		t.Errorf("y downward: (20, 30) is drawn at %v, want %v", got, want)
	}
	if d, ok := film.direction(Arrow{"outward", 0, -5}); !ok || d != (vg.Point{X: 0, Y: 1}) {
		t.Errorf("y downward: an arrow to lesser y points to %v, want up", d)
	}
	film.flip = false
	if d, ok := film.direction(Arrow{"outward", 0, 5}); !ok || d != (vg.Point{X: 0, Y: 1}) {
		t.Errorf("y upward: an arrow to greater y points to %v, want up", d)
	}
}

// TestSixteenths holds the second reading of the rate against common practice:
// sixteenths at 165 BPM are 11 notes a second, at 200 BPM 13 1/3.
func TestSixteenths(t *testing.T) {
	for _, c := range []struct{ bpm, rate float64 }{{165, 11}, {200, 40.0 / 3}} {
		if got := beats(c.rate, tempo.Sixteenth); math.Abs(got-c.bpm) > 1e-9 {
			t.Errorf("%v notes a second read %v BPM, want %v", c.rate, got, c.bpm)
		}
	}
}

// TestBandOver checks when a band takes the place of the points.
func TestBandOver(t *testing.T) {
	x := []float64{1, 2, 3}
	for _, c := range []struct {
		half, over float64
		want       bool
	}{
		{0.5, 0, false}, {1.5, 0, true}, {1.5, 2, false}, {0.5, 0.2, true}, {90, -1, false}, {math.NaN(), 0, false},
	} {
		f := AngleOverTime{T: x, Angle: x, Low: moved(x, -c.half), High: moved(x, c.half), BandOver: c.over}
		if got := f.wide(); got != c.want {
			t.Errorf("half-width %v, BandOver %v: band %t, want %t", c.half, c.over, got, c.want)
		}
	}
}

func moved(values []float64, d float64) []float64 {
	out := slices.Clone(values)
	for i := range out {
		out[i] += d
	}
	return out
}

// TestFit checks that texts are cut and broken to a width, and lose nothing else.
func TestFit(t *testing.T) {
	const text = "across the strings (treble side right), mm"
	for width := vg.Length(20); width < 400; width += 7 {
		got := fit(text, width)
		if slack*textWidth(got) > width {
			t.Errorf("%q is wider than %v", got, width)
		}
		var all string
		for _, line := range wrap(text, width) {
			if slack*textWidth(line) > width {
				t.Errorf("line %q is wider than %v", line, width)
			}
			all += " " + line
		}
		if width > slack*textWidth("(treble") && all != " "+text {
			t.Errorf("in lines of %v: %q", width, all)
		}
	}
	if got := fit(text, 1000); got != text {
		t.Errorf("with room: %q", got)
	}
}

// TestHull holds hulls against their definition: a corner turns left, and every
// point lies to the left of every side.
func TestHull(t *testing.T) {
	rng := rand.New(rand.NewPCG(3, 3))
	left := func(a, b, p vg.Point) float64 { return float64((b.X-a.X)*(p.Y-a.Y) - (b.Y-a.Y)*(p.X-a.X)) }
	for n := 3; n < 40; n++ {
		pts := make([]vg.Point, n)
		for i := range pts {
			pts[i] = vg.Point{X: vg.Length(rng.IntN(12)), Y: vg.Length(rng.IntN(12))}
		}
		h := hull(slices.Clone(pts))
		for i, a := range h {
			b, c := h[(i+1)%len(h)], h[(i+2)%len(h)]
			if len(h) > 2 && left(a, b, c) <= 0 {
				t.Errorf("%d points: no turn to the left at %v", n, b)
			}
			for _, p := range pts {
				if len(h) > 2 && left(a, b, p) < 0 {
					t.Errorf("%d points: %v lies outside of %v", n, p, h)
				}
			}
		}
	}
}

// TestDateTicks holds the ticks of dates against the calendar: weeks begin on
// Mondays (ISO 8601), and none lies outside.
func TestDateTicks(t *testing.T) {
	on := func(y int, m time.Month, d int) float64 { return day(time.Date(y, m, d, 0, 0, 0, 0, time.UTC)) }
	for _, c := range []struct {
		from, to float64
		n        float64
		want     []string
		label    string
	}{
		// 1 September 2025 was a Monday.
		{on(2025, 9, 2), on(2025, 9, 6), 5, []string{"2 Sep", "3 Sep", "4 Sep", "5 Sep", "6 Sep"}, "date, 2025"},
		{on(2025, 9, 2), on(2025, 9, 24), 4, []string{"8 Sep", "15 Sep", "22 Sep"}, "date, 2025"},
		{on(2025, 11, 20), on(2026, 2, 10), 3, []string{"1 Dec", "1 Jan", "1 Feb"}, "date, 2025 to 2026"},
		{on(2025, 2, 10), on(2025, 11, 20), 4, []string{"Apr 2025", "Jul 2025", "Oct 2025"}, "date"},
		{on(2019, 6, 1), on(2025, 6, 1), 4, []string{"2020", "2022", "2024"}, "date"},
		{on(2024, 2, 28), on(2024, 3, 1), 5, []string{"28 Feb", "29 Feb", "1 Mar"}, "date, 2024"},
	} {
		marks, label := dateTicks(interval{c.from, c.to}, c.n)
		var got []string
		for _, m := range marks {
			got = append(got, m.label)
			if m.value < c.from || m.value > c.to {
				t.Errorf("%s lies outside", m.label)
			}
		}
		if !slices.Equal(got, c.want) || label != c.label {
			t.Errorf("%v to %v: %q, %q, want %q, %q", date(c.from), date(c.to), got, label, c.want, c.label)
		}
	}
	if marks, _ := dateTicks(interval{-1e12, 1e12}, 5); len(marks) > 100 {
		t.Errorf("%d ticks over all time", len(marks))
	}
}

// TestDay checks that a day is the calendar's, whatever the zone, and the zero
// date missing.
func TestDay(t *testing.T) {
	zone := time.FixedZone("ahead", 11*3600)
	if got, want := day(time.Date(2025, 3, 30, 0, 0, 0, 0, zone)), day(time.Date(2025, 3, 30, 0, 0, 0, 0, time.UTC)); got != want {
		t.Errorf("a day ahead of UTC is %v, want %v", got, want)
	}
	if !math.IsNaN(day(time.Time{})) {
		t.Error("the zero date is a day")
	}
}
