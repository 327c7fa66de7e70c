package c3d

import (
	"fmt"
	"io"
	"math"
)

// buffer is the number of bytes that are read at a time, or a frame if that is
// more.
const buffer = 256 << 10

// Columns are the coordinates of a point, frame by frame.
type Columns struct{ X, Y, Z []float64 }

// Read reads all frames and returns the columns of the points whose indices
// are given. length is the length of the file as far as it is known, -1 where
// it is not; it saves growing the columns. More frames than most are a fault. The
// error is a *Fault. A file is read once.
func (f *File) Read(points []int, length int64, most int) ([]Columns, error) {
	r, end, err := f.in.from(f.start)
	if err != nil {
		return nil, err
	}
	if end >= 0 {
		return nil, truncated(end, "the file ends before its frames, which begin at byte %d", f.start)
	}
	frame := (4*len(f.Points) + f.analog) * f.size
	buf := make([]byte, min(int64(f.Frames), int64(max(1, buffer/frame)))*int64(frame))
	columns := make([]Columns, len(points))
	expected := min(f.expected(length, frame), most)
	for at := 0; at < f.Frames; {
		want := min(f.Frames-at, len(buf)/frame)
		got, err := readFull(r, buf[:want*frame])
		if err != nil && err != io.EOF {
			return nil, failed(err)
		}
		n := got / frame
		if n > most-at {
			return nil, &Fault{Rule: "size", Offset: f.start + int64(most)*int64(frame),
				Msg:  fmt.Sprintf("there are more than %d frames with %d points each to keep", most, len(points)),
				Hint: "choose fewer points, or export a shorter part"}
		}
		for i := range columns {
			columns[i].grow(at+n, expected)
		}
		base := f.start + int64(at)*int64(frame)
		if err := f.decode(columns, points, buf[:n*frame], at, base); err != nil {
			return nil, err
		}
		at += n
		if n < want {
			return nil, truncated(base+int64(got), "the file ends in frame %d of %d", at+1, f.Frames)
		}
	}
	for i := range columns {
		columns[i].clip()
	}
	return columns, f.more(r, int64(frame))
}

// expected returns the number of frames to make room for at once, which is
// never more than the file has bytes for.
func (f *File) expected(length int64, frame int) int {
	return int(max(0, min(int64(f.Frames), (length-f.start)/int64(frame))))
}

// more looks at what comes behind the last frame: the rest of a block, or
// frames that the number of them was too small to tell.
func (f *File) more(r io.Reader, frame int64) error {
	if !f.narrow {
		return nil
	}
	allowed := frame << 16 // 16 bits are off by that much
	if f.full {
		allowed = frame + block
	}
	rest, err := discard(r, allowed)
	if err != nil {
		return err
	}
	if rest < allowed {
		return nil
	}
	e := damaged(f.start+int64(f.Frames)*frame, "the file states %d frames and goes on behind them", f.Frames)
	e.Hint = "export it in shorter takes, or with the number of frames in POINT:LONG_FRAMES"
	return e
}

// grow makes columns n long. Their capacity is at least expected.
func (c *Columns) grow(n, expected int) {
	for _, col := range []*[]float64{&c.X, &c.Y, &c.Z} {
		if n > cap(*col) {
			bigger := make([]float64, n, max(n, expected, cap(*col)+cap(*col)/2))
			copy(bigger, *col)
			*col = bigger
		}
		*col = (*col)[:n]
	}
}

// clip gives back the memory behind the end of the columns if it is much.
func (c *Columns) clip() {
	for _, col := range []*[]float64{&c.X, &c.Y, &c.Z} {
		if n := len(*col); cap(*col)-n > n/8+64 {
			*col = append(make([]float64, 0, n), *col...)
		}
	}
}

// decode turns whole frames into samples from at. base is their offset.
func (f *File) decode(columns []Columns, points []int, frames []byte, at int, base int64) error {
	frame := (4*len(f.Points) + f.analog) * f.size
	n := len(frames) / frame
	if n == 0 {
		return nil
	}
	infinite, first := -1, n // the point and frame of the first infinity
	for i, k := range points {
		c := columns[i]
		x, y, z := c.X[at:at+n], c.Y[at:at+n], c.Z[at:at+n]
		if f.scale > 0 {
			f.integers(x, y, z, frames[4*k*f.size:], frame)
		} else if bad := f.reals(x, y, z, frames[4*k*f.size:], frame); bad >= 0 && bad < first {
			infinite, first = k, bad
		}
	}
	if infinite < 0 {
		return nil
	}
	e := &Fault{Rule: "infinite", Point: f.Points[infinite].Name,
		Msg:  fmt.Sprintf("a coordinate of frame %d is infinite", int64(at+first)+f.First),
		Hint: "mark missing samples as invalid (a negative residual)"}
	place := first*frame + 4*infinite*f.size
	for axis := range 3 {
		if v := f.order.real(frames[place+axis*f.size:]); math.IsInf(v, 0) {
			e.Offset, e.Text = base+int64(place+axis*f.size), fmt.Sprint(v)
			break
		}
	}
	return e
}

// integers decodes the point at the beginning of b in every frame.
func (f *File) integers(x, y, z []float64, b []byte, frame int) {
	o, scale, nan := f.order, f.scale, math.NaN()
	y, z = y[:len(x)], z[:len(x)]
	for i := range x {
		p := b[i*frame:][:8]
		if o.int16(p[6:]) < 0 {
			x[i], y[i], z[i] = nan, nan, nan
			continue
		}
		x[i] = scale * float64(o.int16(p))
		y[i] = scale * float64(o.int16(p[2:]))
		z[i] = scale * float64(o.int16(p[4:]))
	}
}

// reals is integers for reals. It returns the first frame with an infinity, -1
// without.
func (f *File) reals(x, y, z []float64, b []byte, frame int) (infinite int) {
	o, nan := f.order, math.NaN()
	y, z = y[:len(x)], z[:len(x)]
	for i := range x {
		p := b[i*frame:][:16]
		u, v, w := o.real(p), o.real(p[4:]), o.real(p[8:])
		if sum := (u - u) + (v - v) + (w - w); sum != 0 || !(o.real(p[12:]) >= 0) {
			// An axis is no finite number, or the point was not seen.
			seen := o.real(p[12:]) >= 0
			if seen && (math.IsInf(u, 0) || math.IsInf(v, 0) || math.IsInf(w, 0)) {
				return i
			}
			u, v, w = nan, nan, nan
		}
		x[i], y[i], z[i] = u, v, w
	}
	return -1
}
