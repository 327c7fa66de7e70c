package contact

import (
	"fmt"
	"math"
)

// Strings says where the strings lie at the picking spot. Strings are numbered
// as the trade does: string 1 is the highest-pitched. On an instrument with
// pairs of strings (mandolin, bouzouki, twelve-string guitar) the numbers are
// those of the pairs. Lengths are in millimetres. The zero value is no strings.
type Strings struct {
	// Number is the number of strings, or of pairs.
	Number int `json:"string_count"`
	// SpacingMM is the distance between neighbours, from middle to middle of
	// pairs. Across is zero midway between the outer ones.
	SpacingMM float64 `json:"string_spacing_mm,omitempty"`
	// AcrossMM, when given, holds the place across of each, string 1 first,
	// and SpacingMM does not count.
	AcrossMM []float64 `json:"across_mm,omitempty"`
	// PairGapMM is the distance between the two strings of a pair, less than
	// half of that between neighbours. Zero means single strings.
	PairGapMM float64 `json:"pair_gap_mm,omitempty"`
	// CrownRadiusMM is the radius of the fingerboard's crown. Zero means
	// unknown: the heights of the inner strings are then known only within
	// the range from flat to a radius of 184 mm. Negative means flat.
	CrownRadiusMM float64 `json:"crown_radius_mm,omitempty"`
}

// leastCrown is the tightest crown in common use, 7.25 in (common practice;
// others reach from there to 20 in, and classical fingerboards are flat).
const leastCrown = 184

// Within returns s with the spacing that spreads the strings evenly between
// marks on the outer ones, distanceMM apart. A spacing or places that s has
// already stay.
func (s Strings) Within(distanceMM float64) Strings {
	if s.SpacingMM == 0 && len(s.AcrossMM) == 0 && s.Number > 1 {
		s.SpacingMM = distanceMM / float64(s.Number-1)
	}
	return s
}

// maxStrings is more than any instrument that is picked has.
const maxStrings = 40

// Validate reports what s lacks or what cannot be, by the keys that s has in
// JSON.
func (s Strings) Validate() error {
	bad := func(format string, a ...any) error { return fmt.Errorf("strings: "+format, a...) }
	switch {
	case s.Number < 1 || s.Number > maxStrings:
		return bad("string_count is %d; give how many strings, or pairs, there are: 1 to %d", s.Number, maxStrings)
	case len(s.AcrossMM) != 0 && len(s.AcrossMM) != s.Number:
		return bad("across_mm has %d places and string_count is %d; give one place for each", len(s.AcrossMM), s.Number)
	case len(s.AcrossMM) == 0 && s.Number > 1 && s.SpacingMM == 0:
		return bad("string_spacing_mm is not given; measure it from string to string at the picking spot")
	case len(s.AcrossMM) == 0 && s.Number > 1 && !(s.SpacingMM > 0 && s.SpacingMM <= 100):
		return bad("string_spacing_mm is %g; measure it from string to string at the picking spot: more than 0, up to 100", s.SpacingMM)
	case !(s.PairGapMM >= 0 && s.PairGapMM <= 10):
		return bad("pair_gap_mm is %g; give the distance between the two strings of a pair, up to 10, or 0 for single strings", s.PairGapMM)
	case math.IsNaN(s.CrownRadiusMM):
		return bad("crown_radius_mm is no number; give the radius, a negative one where the fingerboard is flat, or 0 where it is not known")
	}
	nearest := math.Inf(1)
	for k := 1; k <= s.Number; k++ {
		y := s.Across(k)
		if !(math.Abs(y) <= 1000) {
			return bad("string %d lies at %g mm across; places are in millimetres from the middle, up to 1000", k, y)
		}
		if k > 1 {
			nearest = math.Min(nearest, s.Across(k-1)-y)
		}
		if !(nearest > 0) {
			return bad("across_mm must fall from string 1, the highest-pitched, on; string %d lies at %g mm", k, y)
		}
	}
	if s.PairGapMM > 0 && !(s.PairGapMM < nearest/2) {
		key := "string_spacing_mm is"
		if len(s.AcrossMM) > 0 {
			key = "the nearest pairs in across_mm are"
		}
		return bad("pair_gap_mm is %.4g and %s %.4g; the gap of a pair is less than half the way from pair to pair", s.PairGapMM, key, nearest)
	}
	if half := (s.Across(1) - s.Across(s.Number)) / 2; s.CrownRadiusMM > 0 && s.CrownRadiusMM < half+s.PairGapMM/2 {
		return bad("crown_radius_mm is %.4g; the outer strings lie %.4g mm apart, and the radius cannot be less than half of that", s.CrownRadiusMM, 2*half+s.PairGapMM)
	}
	return nil
}

// Across returns the place across of string number k, from 1 to Number.
func (s Strings) Across(k int) float64 {
	if len(s.AcrossMM) > 0 {
		return s.AcrossMM[k-1]
	}
	return (float64(s.Number+1)/2 - float64(k)) * s.SpacingMM
}

// Height returns the range in which the height of string number k over the
// string plane lies, which goes through the outer strings:
//
//	h = √(R²-y²) - √(R²-y₁²)
//
// with R the radius of the crown, y the string's place from the middle and y₁
// that of the outer ones. low and high are equal where the crown is known.
func (s Strings) Height(k int) (low, high float64) { return s.heightAt(s.Across(k)) }

func (s Strings) heightAt(across float64) (low, high float64) {
	first, last := s.Across(1), s.Across(s.Number)
	y, outer := across-(first+last)/2, (first-last)/2
	sag := func(r float64) float64 { return math.Sqrt(r*r-y*y) - math.Sqrt(r*r-outer*outer) }
	switch r := s.CrownRadiusMM; {
	case r < 0 || math.IsInf(r, 1):
		return 0, 0
	case r > 0:
		return sag(r), sag(r)
	}
	h := sag(max(leastCrown, math.Abs(outer), math.Abs(y)))
	return min(h, 0), max(h, 0)
}

// line is one string, of a pair perhaps, where the tip may cross it.
type line struct {
	number    int
	of        int // 0: single; 1: the treble one of a pair; 2: the bass one
	across    float64
	low, high float64 // of its height
}

// lines returns the strings from the treble side on.
func (s Strings) lines() []line {
	var ls []line
	add := func(k, of int, y float64) {
		l := line{number: k, of: of, across: y}
		l.low, l.high = s.heightAt(y)
		ls = append(ls, l)
	}
	for k := 1; k <= s.Number; k++ {
		y := s.Across(k)
		if s.PairGapMM == 0 {
			add(k, 0, y)
			continue
		}
		add(k, 1, y+s.PairGapMM/2)
		add(k, 2, y-s.PairGapMM/2)
	}
	return ls
}

// nearest returns the number of the string nearest to a place across.
func (s Strings) nearest(across float64) int {
	best := 1
	for k := 2; k <= s.Number; k++ {
		if math.Abs(s.Across(k)-across) < math.Abs(s.Across(best)-across) {
			best = k
		}
	}
	return best
}
