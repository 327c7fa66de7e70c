package c3d

import "fmt"

// Fault is what is wrong with a file, and where.
type Fault struct {
	Rule   string // truncated, damaged, infinite, read, empty, point, size
	Offset int64  // bytes from the beginning of the file, 0 where the fault has no such place
	Point  string // the point, if one is to blame
	Text   string // what is there
	Msg    string
	Hint   string
	Err    error // cause, for failures of the reader
}

func (f *Fault) Error() string { return fmt.Sprintf("byte %d: %s", f.Offset, f.Msg) }

func (f *Fault) Unwrap() error { return f.Err }

const again = "copy the file or export it again"

// damaged is the fault of a file that is not laid out as it should be.
func damaged(offset int64, format string, args ...any) *Fault {
	return &Fault{Rule: "damaged", Offset: offset, Msg: fmt.Sprintf(format, args...), Hint: again}
}

// truncated is the fault of a file that ends at offset.
func truncated(offset int64, format string, args ...any) *Fault {
	return &Fault{Rule: "truncated", Offset: offset, Msg: fmt.Sprintf(format, args...), Hint: again}
}
