package c3d

import (
	"bytes"
	"io"
	"math"
	"strconv"
)

const (
	block = 512

	// MaxParameters bounds the parameter section in bytes.
	MaxParameters = 1 << 20

	// maxFrames is the number of frames that the format can have.
	maxFrames = 1<<31 - 1
)

// File is what a C3D file says of itself.
type File struct {
	// Points are the points of a frame, in order. Their names are unique.
	Points []Point
	Frames int     // as stated
	First  int64   // number of the first frame, 1 where the file is not clear
	Rate   float64 // frames per second; 0 where it is not stated, or in two ways
	Unit   string  // POINT:UNITS, as it is written

	in     *input
	params parameters
	order  order
	scale  float64 // of integers; negative: reals
	start  int64   // offset of the first frame
	analog int     // values in a frame behind the points
	size   int     // bytes of a value
	full   bool    // Frames is all that 16 bits can say
	narrow bool    // Frames comes from 16 bits
}

// Is reports whether a file that begins with head, 512 bytes or all there are,
// is meant to be C3D.
func Is(head []byte) bool {
	if len(head) < 2 || head[0] == 0 || head[1] != 'P' {
		return false
	}
	for _, other := range []string{"%PDF", "\x89PNG\r\n\x1a\n"} { // their second byte is a P too
		if bytes.HasPrefix(head, []byte(other)) {
			return false
		}
	}
	text := head[0] >= ' ' || '\t' <= head[0] && head[0] <= '\r'
	return !text || bytes.IndexByte(head, 0) >= 0
}

// header is the first block of a file.
type header struct {
	order
	b []byte
}

// word returns word n, from 1.
func (h header) word(n int) int64 { return int64(h.uint16(h.b[2*n-2:])) }

// number returns the real in words n and n+1.
func (h header) number(n int) float64 { return h.real(h.b[2*n-2:]) }

// offset returns where word n is.
func offset(n int) int64 { return int64(2*n - 2) }

// Open reads the header and the parameters of the file that r is at the
// beginning of. The error is a *Fault.
func Open(r io.Reader) (*File, error) {
	f := &File{in: &input{r: r}}
	h, err := f.open()
	if err != nil {
		return nil, err
	}
	for _, step := range []func(header) error{f.readFormat, f.readFrames, f.readRate, f.readNames} {
		if err := step(h); err != nil {
			return nil, err
		}
	}
	return f, nil
}

// open reads the header and the records of the parameter section.
func (f *File) open() (h header, err error) {
	b, err := f.in.upTo(block)
	if err != nil {
		return h, err
	}
	if len(b) < block {
		return h, truncated(int64(len(b)), "the file ends in its header")
	}
	at := (int(b[0]) - 1) * block
	if at < block {
		return h, damaged(0, "the parameters are said to begin in the header")
	}
	if b, err = f.in.upTo(at + 4); err != nil {
		return h, err
	}
	if len(b) < at+4 {
		return h, truncated(int64(len(b)), "the file ends before its parameters")
	}
	f.order = order(b[at+3])
	if f.order != intel && f.order != dec && f.order != mips {
		e := damaged(int64(at)+3, "this is no known kind of processor (84, 85 or 86)")
		e.Text = strconv.Itoa(int(f.order))
		return h, e
	}
	// The section ends where it says, or with the frames if that is later:
	// the count of blocks is a byte, and some have more.
	h = header{f.order, b[:block]}
	n := max(int(b[at+2])*block, int(h.word(9)-1)*block-at)
	n = min(max(n, block), MaxParameters)
	if b, err = f.in.upTo(at + n); err != nil {
		return h, err
	}
	h.b = b[:block]
	f.params.order = f.order
	return h, f.params.parse(b[at:], int64(at), len(b) == at+n)
}

// agreed returns a parameter that has a copy in word n of the header; either
// may be missing. what says what it is.
func (f *File) agreed(h header, n int, name, what string) (int64, error) {
	v, at, ok, err := f.params.count("POINT", name)
	w := h.word(n)
	switch {
	case err != nil:
		return 0, err
	case !ok || v == 0 && name == "DATA_START":
		return w, nil
	case w != 0 && v != w:
		return 0, damaged(at, "%s is %d by POINT:%s and %d by the header", what, v, name, w)
	}
	return v, nil
}

// readFormat settles what a frame looks like and where the first one is.
func (f *File) readFormat(h header) error {
	used, err := f.agreed(h, 2, "USED", "the number of points")
	if err != nil {
		return err
	}
	if used == 0 {
		return &Fault{Rule: "point", Offset: offset(2), Msg: "there are no points in the file",
			Hint: "export the tracked points; analog samples alone are no motion"}
	}
	if used > math.MaxUint16 {
		return damaged(offset(2), "%d points are more than a file can have", used)
	}
	f.Points = make([]Point, used)
	begin, err := f.agreed(h, 9, "DATA_START", "the first block of the frames")
	if err != nil {
		return err
	}
	if begin <= int64(h.b[0]) || begin > math.MaxUint16 {
		return damaged(offset(9), "the frames are said to begin in block %d, the parameters in block %d", begin, h.b[0])
	}
	f.start = (begin - 1) * block

	scale, at, ok, err := f.params.number("POINT", "SCALE")
	if err != nil {
		return err
	}
	stated := h.number(7)
	if !ok {
		scale, at = stated, offset(7)
	} else if scale*stated < 0 {
		return damaged(at, "the points are integers by one and reals by the other of POINT:SCALE (%v) and the header (%v)", scale, stated)
	}
	if !(scale != 0 && math.Abs(scale) <= math.MaxFloat32) {
		return damaged(at, "a scale of %v makes no sense", scale)
	}
	f.scale = scale
	f.size = 2
	if scale < 0 {
		f.size = 4
	}
	return f.readAnalog(h)
}

// readAnalog settles how many analog values a frame has behind its points.
func (f *File) readAnalog(h header) error {
	stated := h.word(3)
	f.analog = int(stated)
	used, at, ok, err := f.params.count("ANALOG", "USED")
	if err != nil || !ok {
		return err
	}
	samples := max(h.word(10), 1)
	if used > math.MaxUint16 || used*samples == stated {
		return nil
	}
	// Samples per frame may also follow from the rates.
	points, _, ok1, err1 := f.params.number("POINT", "RATE")
	values, _, ok2, err2 := f.params.number("ANALOG", "RATE")
	if ok1 && ok2 && err1 == nil && err2 == nil {
		if q := math.Round(values / points); q >= 1 && q <= math.MaxUint16 {
			samples = int64(q)
		}
	}
	n := used * samples
	switch {
	case n == stated:
		return nil
	case stated != 0 || n > math.MaxUint16:
		return damaged(at, "a frame has %d analog values by the header and %d by ANALOG:USED", stated, n)
	}
	f.analog = int(n)
	return nil
}

// readFrames settles the number of frames and that of the first one.
func (f *File) readFrames(h header) error {
	low, high := h.word(4), h.word(5)
	inHeader := high - low + 1
	frames, _, ok, err := f.params.count("POINT", "FRAMES")
	if err != nil {
		return err
	}
	v, _, _ := f.params.lookup("POINT", "FRAMES")
	f.narrow = !ok || v.kind != 4
	if !ok {
		frames = inHeader
	}
	long, _, okLong, err := f.params.count("POINT", "LONG_FRAMES")
	if err != nil {
		return err
	}
	from, okFrom, err := f.params.long("TRIAL", "ACTUAL_START_FIELD")
	if err != nil {
		return err
	}
	to, okTo, err := f.params.long("TRIAL", "ACTUAL_END_FIELD")
	if err != nil {
		return err
	}
	trial := to - from + 1
	switch {
	case okLong && long >= max(frames, 1):
		frames, f.narrow = long, false
	case f.narrow && okFrom && okTo && trial > frames && trial <= maxFrames &&
		(frames == math.MaxUint16 || !ok || trial%(1<<16) == frames):
		frames, f.narrow = trial, false
	}
	if frames <= 0 {
		return &Fault{Rule: "empty", Offset: offset(4), Msg: "there are no frames in the file", Hint: "check the export; it may have failed"}
	}
	f.full = f.narrow && frames == math.MaxUint16
	f.Frames = int(frames)
	f.First = 1
	switch {
	case okFrom && okTo && trial == frames && from >= 1:
		f.First = from
	case low >= 1 && (inHeader == frames || frames > math.MaxUint16 && high == math.MaxUint16):
		f.First = low
	}
	return nil
}

// readRate settles the rate. Where it is stated in two ways that differ there
// is none.
func (f *File) readRate(h header) error {
	rate, _, _, err := f.params.number("POINT", "RATE")
	if err != nil {
		return err
	}
	stated := h.number(11)
	good := func(x float64) bool { return x > 0 && x <= math.MaxFloat32 }
	switch {
	case good(rate) && good(stated) && math.Abs(rate-stated) > 1e-3*rate:
		rate = 0
	case !good(rate) && good(stated):
		rate = stated
	case !good(rate):
		rate = 0
	}
	// 59.94 and not the real next to it, 59.9399986.
	f.Rate, _ = strconv.ParseFloat(strconv.FormatFloat(rate, 'g', -1, 32), 64)
	v, ok, err := f.params.lookup("POINT", "UNITS")
	if err != nil {
		return err
	}
	if ss := v.texts(); ok && len(ss) > 0 {
		f.Unit = ss[0]
	}
	return nil
}
