package trajectory

// Path is one tracked point over time in the frame of its source: pixels of
// a picture, or the axes of a motion-capture volume.
//
// T, X, Y and Confidence (when present) have equal length; Z is nil for a
// planar source. T is in seconds and strictly increasing. A missing sample is
// NaN on every axis at once. Confidence is in [0, 1], nil where the source has
// none, NaN where it gave none for a sample.
type Path struct {
	Name       string
	T          []float64
	X, Y, Z    []float64
	Confidence []float64
}

// Len returns the number of samples, missing ones included.
func (p Path) Len() int { return len(p.T) }

// Planar reports whether the path has two axes.
func (p Path) Planar() bool { return p.Z == nil }

// part returns samples [start, end) of the path, which it shares.
func (p Path) part(start, end int) Path {
	q := Path{Name: p.Name, T: p.T[start:end], X: p.X[start:end], Y: p.Y[start:end]}
	if p.Z != nil {
		q.Z = p.Z[start:end]
	}
	return q
}

// Recording is the set of points that one tracker export holds, on one time
// base. The points share the slice T.
type Recording struct {
	// Source names where the samples came from, for messages.
	Source string
	// Unit is the length unit of the coordinates as far as the source says:
	// "px", "mm", "cm", "m" or "" for unknown.
	Unit   string
	T      []float64
	Points []Path
}

// Point returns the point of that name.
func (r *Recording) Point(name string) (Path, bool) {
	for _, p := range r.Points {
		if p.Name == name {
			return p, true
		}
	}
	return Path{}, false
}
