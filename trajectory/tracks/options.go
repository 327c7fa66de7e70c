package tracks

import (
	"fmt"
	"math"
)

// Options says what an export does not. The zero value reads a file that has a
// time column, or a rate, and tells the points from its header.
//
// A C3D file states its rate, which counts as its time column, named "time":
// Rate is used where Time is "-" or the file states none. TimeUnit, Delimiter,
// DecimalComma and IgnoreConfidence mean nothing for it, and Header is an error.
type Options struct {
	// Source names the export in messages and in Recording.Source.
	Source string
	// Rate is the number of samples per second of the export. It is needed
	// where there is no time column, and not used where there is one. Times
	// are then frame / Rate where there is a frame column, so that frames
	// left out leave gaps, and row / Rate, from 0, where there is none. Of a
	// marker table 0 is the DataRate above it.
	Rate float64
	// SlowedBy is how many times slower than life the film was saved: times
	// are divided by it, those of the time column and those from Rate. 0 is 1.
	// Film shot at 240 frames/s and saved at 30 is slowed by 8.
	SlowedBy float64
	// Time is the name of the time column; "" finds it by the header, and "-"
	// does without one.
	Time string
	// TimeUnit is the unit of the time column, "s", "ms", "us" or "ns"; "" is
	// the unit that the header states, s where it states none.
	TimeUnit string
	// ByRow counts the rows instead of using the frame column, or the number
	// of the first frame of a C3D file.
	ByRow bool
	// Points are the names of the points to keep, in this order. Columns of
	// other points are passed over without a look at their numbers, and take no
	// memory. Empty keeps all points that have an x and a y, and all of a C3D
	// file that are positions.
	Points []string
	// Header are the names of the columns, in place of those in the text or
	// where it has none: "time", "tip_x", "tip_y". "" passes over a column.
	Header []string
	// Unit is the unit of length, in place of the one that the text states.
	Unit string
	// Delimiter is the separator: ',', '\t', ';', '|', or ' ' for runs of
	// blanks; 0 finds it.
	Delimiter rune
	// DecimalComma reads 1,5 as a number. A decimal comma is also found
	// without, unless there is none in the first rows.
	DecimalComma bool
	// ZeroMissing takes a sample that is exactly 0 on all axes as missing.
	ZeroMissing bool
	// IgnoreConfidence leaves out the confidence columns.
	IgnoreConfidence bool
	// MaxNumbers is how many numbers are kept at most, those of all columns
	// together: eight bytes each, so that an export without end does not fill
	// the memory. 0 is 1<<28, which are 2 GiB (1<<26 where an int has 32 bits),
	// and a negative number no limit.
	MaxNumbers int
}

// slowed returns the divisor of times.
func (o Options) slowed() float64 {
	if o.SlowedBy == 0 {
		return 1
	}
	return o.SlowedBy
}

// most returns the largest count of numbers to keep.
func (o Options) most() int {
	switch {
	case o.MaxNumbers < 0:
		return math.MaxInt
	case o.MaxNumbers == 0:
		return 1 << (26 + 2*(^uint(0)>>63))
	}
	return o.MaxNumbers
}

// perSecond gives the number of time units in a second.
var perSecond = map[string]float64{"": 1, "s": 1, "ms": 1e3, "us": 1e6, "ns": 1e9}

func (o Options) check() error {
	bad := func(msg, hint string) error {
		return &Error{File: o.Source, Rule: "option", Msg: msg, Hint: hint}
	}
	positive := func(v float64) bool { return v >= 0 && !math.IsInf(v, 1) }
	switch {
	case !positive(o.Rate):
		return bad(fmt.Sprintf("a capture rate of %v samples per second makes no sense", o.Rate), "give a positive number")
	case !positive(o.SlowedBy):
		return bad(fmt.Sprintf("film slowed by %v makes no sense", o.SlowedBy), "give a positive number, 8 for 240 frames/s saved at 30")
	case perSecond[o.TimeUnit] == 0:
		return bad(fmt.Sprintf("the time unit %q is not known", o.TimeUnit), "use s, ms, us or ns")
	}
	switch o.Delimiter {
	case 0, ',', '\t', ';', '|', ' ':
	default:
		return bad(fmt.Sprintf("the separator %q is not known", o.Delimiter), "use a comma, a semicolon, a tab, a vertical bar or a blank")
	}
	seen := map[string]bool{}
	for _, p := range o.Points {
		if seen[p] {
			return bad(fmt.Sprintf("the point %q is asked for twice", p), "name every point once")
		}
		seen[p] = true
	}
	return nil
}
