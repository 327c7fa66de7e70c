package c3d

import (
	"encoding/binary"
	"math"
)

// order is how the machine that wrote a file keeps its numbers. The values are
// those that the file gives for it.
type order uint8

const (
	intel order = 84
	dec   order = 85
	mips  order = 86
)

// uint16 returns the word at the beginning of b.
func (o order) uint16(b []byte) uint16 {
	if o == mips {
		return binary.BigEndian.Uint16(b)
	}
	return binary.LittleEndian.Uint16(b)
}

// int16 returns the word at the beginning of b with its sign.
func (o order) int16(b []byte) int16 { return int16(o.uint16(b)) }

// real returns the real at the beginning of b. It is exact.
func (o order) real(b []byte) float64 {
	switch o {
	case mips:
		return float64(math.Float32frombits(binary.BigEndian.Uint32(b)))
	case dec:
		return decReal(binary.LittleEndian.Uint32(b))
	}
	return float64(math.Float32frombits(binary.LittleEndian.Uint32(b)))
}

// decReal returns the value of a DEC real, NaN for the reserved operand.
func decReal(bits uint32) float64 {
	bits = bits<<16 | bits>>16
	const unit = 1 << 23 // of the exponent
	switch e := bits >> 23 & 0xff; {
	case e > 2:
		return float64(math.Float32frombits(bits - 2*unit))
	case e > 0: // a quarter of it is below the range of IEEE 754 reals
		return float64(math.Float32frombits(bits)) / 4
	case bits>>31 == 1:
		return math.NaN()
	}
	return 0
}
