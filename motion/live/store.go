package live

import "math"

// store holds the last samples in columns without a break, so that a stretch of
// them is a slice. What is older falls out when a column is full.
type store struct {
	first int // number of the first sample that is held
	t     []float64
	raw   [3][]float64 // the tip as it came, NaN where missing
	tip   [3][]float64 // what is left of it
	marks [][3][]float64
	place [3][]float64 // the tip in the instrument frame, as of when it came
	way   []float64    // travel along the local axis
}

func (s *store) columns() int { return 11 + 3*len(s.marks) }

// column returns column c, in the order of files.
func (s *store) column(c int) *[]float64 {
	switch {
	case c == 0:
		return &s.t
	case c < 4:
		return &s.tip[c-1]
	case c < 7:
		return &s.place[c-4]
	case c < 10:
		return &s.raw[c-7]
	case c == 10:
		return &s.way
	}
	return &s.marks[(c-11)/3][(c-11)%3]
}

func (s *store) len() int { return len(s.t) }

// next is the number of the next sample.
func (s *store) next() int { return s.first + len(s.t) }

// drop lets the first n samples go.
func (s *store) drop(n int) {
	for c := range s.columns() {
		x := s.column(c)
		*x = (*x)[:copy(*x, (*x)[n:])]
	}
	s.first += n
}

// clear lets all go.
func (s *store) clear() {
	s.drop(s.len())
	s.first = 0
}

// room makes room for one more sample: at most of them are held, and those of the
// last seconds at the least, unless they are more than half of that.
func (s *store) room(seconds float64, most int) {
	n := s.len()
	if n < cap(s.t) {
		return
	}
	old := 0 // samples that are older
	for old < n && s.t[old] < s.t[n-1]-seconds {
		old++
	}
	if n >= most {
		s.drop(max(old, most/2))
		return
	}
	if old >= n/3 {
		s.drop(old)
		return
	}
	size := min(most, max(512, 2*n))
	for c := range s.columns() {
		x := s.column(c)
		*x = append(make([]float64, 0, size), *x...)
	}
}

// push appends a sample.
func (s *store) push(t float64, tip [3]float64, marks [][3]float64) {
	s.t = append(s.t, t)
	for a := range tip {
		s.raw[a], s.tip[a] = append(s.raw[a], tip[a]), append(s.tip[a], tip[a])
		s.place[a] = append(s.place[a], math.NaN())
		for k := range s.marks {
			s.marks[k][a] = append(s.marks[k][a], marks[k][a])
		}
	}
	s.way = append(s.way, math.NaN())
}

// at returns where sample number i is held; ok is false where it is not.
func (s *store) at(i int) (k int, ok bool) {
	k = i - s.first
	return k, k >= 0 && k < s.len()
}
