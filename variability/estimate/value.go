package estimate

// Value is an estimated quantity with its interval, or the reason why there
// is none. Its zero value means "not measured".
//
// Low and High bound the interval at confidence Level (0.95 unless the maker
// says otherwise) and N is the number of observations behind it. When only
// the point estimate is defensible, Low and High are NaN and Level is 0.
type Value[T ~float64] struct {
	Value, Low, High T
	Level            float64
	N                int
	Absent           *Absence
}

// Absence says what could not be had and why, in words for the reader of a
// result. Code is a short stable key for programs.
type Absence struct {
	Code string `json:"code"`
	What string `json:"what"`
	Why  string `json:"why"`
}

// Known reports whether v holds a measured value.
func (v Value[T]) Known() bool { return v.Absent == nil && v.N > 0 }

// Missing returns a Value that is absent for the given reason.
func Missing[T ~float64](code, what, why string) Value[T] {
	return Value[T]{Absent: &Absence{Code: code, What: what, Why: why}}
}

// As returns v as a value of another type with the same unit, for instance a
// Value[float64] of radians as a Value[circular.Angle].
func As[To, From ~float64](v Value[From]) Value[To] {
	return Value[To]{
		Value: To(v.Value), Low: To(v.Low), High: To(v.High),
		Level: v.Level, N: v.N, Absent: v.Absent,
	}
}
