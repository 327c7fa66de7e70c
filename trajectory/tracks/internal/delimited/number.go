package delimited

import (
	"math"
	"math/bits"
	"strconv"
)

// Kind says what a cell holds.
type Kind uint8

const (
	Text Kind = iota
	Number
	Missing
	Infinite
)

const (
	maxExact = 1 << 53 // every integer up to here is a float64
	maxPow   = 22      // 10^22 is the largest power of ten that is a float64
	maxCount = 19      // digits, and powers of ten, that always fit a uint64
)

var pow10 = [maxPow + 1]float64{
	1e0, 1e1, 1e2, 1e3, 1e4, 1e5, 1e6, 1e7, 1e8, 1e9, 1e10, 1e11,
	1e12, 1e13, 1e14, 1e15, 1e16, 1e17, 1e18, 1e19, 1e20, 1e21, 1e22,
}

var intPow10 = [maxCount + 1]uint64{
	1e0, 1e1, 1e2, 1e3, 1e4, 1e5, 1e6, 1e7, 1e8, 1e9, 1e10, 1e11,
	1e12, 1e13, 1e14, 1e15, 1e16, 1e17, 1e18, 1e19,
}

// quotient returns w / 10^k rounded to nearest, half to even, for w > 0 and
// 0 <= k <= 19.
func quotient(w uint64, k int) float64 {
	d := intPow10[k]
	// Shift both to their full 64 bits and the quotient into [1/2, 1).
	sw, sd := bits.LeadingZeros64(w), bits.LeadingZeros64(d)
	hi, lo, exp := w<<sw, uint64(0), sd-sw
	d <<= sd
	if hi >= d {
		hi, lo, exp = hi>>1, hi<<63, exp+1
	}
	q, rem := bits.Div64(hi, lo, d) // of 64 significant bits: 11 too many
	const surplus, half = 1<<11 - 1, 1 << 10
	m := q >> 11
	if rest := q & surplus; rest > half || rest == half && (rem != 0 || m&1 == 1) {
		m++
	}
	return float64(m) * math.Float64frombits(uint64(1023+exp-53)<<52)
}

// Parse reads a cell without blanks around it. point is the decimal mark. The
// value is NaN unless the kind is Number.
func Parse(b []byte, point byte) (float64, Kind) {
	if v, ok := parseDecimal(b, point); ok {
		if math.IsInf(v, 0) {
			return math.NaN(), Infinite
		}
		return v, Number
	}
	return math.NaN(), parseWord(b)
}

// parseDecimal reads [+-] digits [point digits] [e [+-] digits], with at least
// one digit before the exponent. Overflow gives an infinity.
func parseDecimal(b []byte, point byte) (v float64, ok bool) {
	i := 0
	neg := false
	if i < len(b) && (b[i] == '-' || b[i] == '+') {
		neg = b[i] == '-'
		i++
	}
	var w uint64
	digits, exp := 0, 0 // digits of w without leading zeros
	seen, behind := false, false
	for ; i < len(b); i++ {
		if c := b[i] - '0'; c <= 9 {
			seen = true
			if digits < maxCount {
				w = w*10 + uint64(c)
			}
			if w > 0 {
				digits++
			}
			if behind {
				exp--
			}
		} else if b[i] == point && !behind {
			behind = true
		} else {
			break
		}
	}
	if !seen {
		return 0, false
	}
	if i < len(b) && b[i]|0x20 == 'e' {
		i++
		down := false
		if i < len(b) && (b[i] == '-' || b[i] == '+') {
			down = b[i] == '-'
			i++
		}
		if i == len(b) {
			return 0, false
		}
		e := 0
		for ; i < len(b) && b[i]-'0' <= 9; i++ {
			if e < 1<<20 {
				e = e*10 + int(b[i]-'0')
			}
		}
		if down {
			e = -e
		}
		exp += e
	}
	if i < len(b) {
		return 0, false
	}
	switch {
	case w == 0:
	case digits > maxCount:
		return parseLong(b, point), true
	case w <= maxExact && -maxPow <= exp && exp < 0:
		v = float64(w) / pow10[-exp]
	case w <= maxExact && 0 <= exp && exp <= maxPow:
		v = float64(w) * pow10[exp]
	case -maxCount <= exp && exp <= 0:
		v = quotient(w, -exp)
	default:
		return parseLong(b, point), true
	}
	if neg {
		v = -v
	}
	return v, true
}

// parseLong hands a well-formed decimal to strconv.
func parseLong(b []byte, point byte) float64 {
	if point != '.' {
		c := make([]byte, 0, 64)
		for _, x := range b {
			if x == point {
				x = '.'
			}
			c = append(c, x)
		}
		b = c
	}
	v, _ := strconv.ParseFloat(string(b), 64) // the only error left is overflow
	return v
}

// parseWord tells the words for a missing value and for infinity from text.
func parseWord(b []byte) Kind {
	if len(b) == 0 {
		return Missing
	}
	if len(b) > len("-infinity") {
		return Text
	}
	var buf [9]byte
	low := buf[:len(b)]
	for i, c := range b {
		if 'A' <= c && c <= 'Z' {
			c += 'a' - 'A'
		}
		low[i] = c
	}
	switch string(low) {
	case "-", "--", "nan", "-nan", "na", "n/a", "null", "none":
		return Missing
	}
	if low[0] == '-' || low[0] == '+' {
		low = low[1:]
	}
	switch string(low) {
	case "inf", "infinity":
		return Infinite
	}
	return Text
}
