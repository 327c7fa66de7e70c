package c3d

import "io"

// input is a reader that remembers its beginning.
type input struct {
	r   io.Reader
	buf []byte // the beginning, as far as it was looked at
	eof bool
}

// upTo reads on until the beginning has n bytes or the file ends, and returns
// it, n bytes at most.
func (in *input) upTo(n int) ([]byte, error) {
	const step = 32 << 10
	for len(in.buf) < n && !in.eof {
		have := len(in.buf)
		in.buf = append(in.buf, make([]byte, min(step, n-have))...)
		m, err := readFull(in.r, in.buf[have:])
		in.buf = in.buf[:have+m]
		if err == io.EOF {
			in.eof = true
		} else if err != nil {
			return nil, failed(err)
		}
	}
	return in.buf[:min(n, len(in.buf))], nil
}

// from returns a reader of what follows the first at bytes. Where the file is
// shorter, end is its length, otherwise -1.
func (in *input) from(at int64) (r io.Reader, end int64, err error) {
	if at <= int64(len(in.buf)) {
		return io.MultiReader(&beginning{in.buf[at:]}, in.r), -1, nil
	}
	left := at - int64(len(in.buf))
	skipped, err := discard(in.r, left)
	if err != nil {
		return nil, 0, err
	}
	if skipped < left {
		return nil, int64(len(in.buf)) + skipped, nil
	}
	return in.r, -1, nil
}

// beginning is a reader of bytes that have been read before.
type beginning struct{ b []byte }

func (r *beginning) Read(p []byte) (int, error) {
	if len(r.b) == 0 {
		return 0, io.EOF
	}
	n := copy(p, r.b)
	r.b = r.b[n:]
	return n, nil
}

// readFull fills p. At the end of the file it returns how much there was, and
// io.EOF.
func readFull(r io.Reader, p []byte) (n int, err error) {
	for idle := 0; n < len(p); {
		m, err := r.Read(p[n:])
		n += m
		switch {
		case err != nil:
			return n, err
		case m > 0:
			idle = 0
		default:
			if idle++; idle == 100 {
				return n, io.ErrNoProgress
			}
		}
	}
	return n, nil
}

// discard passes over n bytes at most and returns how many there were.
func discard(r io.Reader, n int64) (skipped int64, err error) {
	buf := make([]byte, 32<<10)
	for skipped < n {
		m, err := readFull(r, buf[:min(int64(len(buf)), n-skipped)])
		skipped += int64(m)
		if err == io.EOF {
			return skipped, nil
		}
		if err != nil {
			return skipped, failed(err)
		}
	}
	return skipped, nil
}

func failed(err error) *Fault {
	return &Fault{Rule: "read", Msg: "reading failed: " + err.Error(), Err: err}
}
