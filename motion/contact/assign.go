package contact

import "math"

// moments are those at which a stroke may sound: from the first string that it
// reaches to the last. window is how far from them its onset may lie.
type moments struct{ first, last, window float64 }

// off returns by how much t is later than the nearest moment.
func (m moments) off(t float64) float64 { return t - math.Max(m.first, math.Min(t, m.last)) }

// assigner matches two sorted lists one to one.
type assigner struct {
	from   []int // first of the band of each row, and where its values start
	start  []int
	value  []float64
	choice []int8
	pair   []int
	least  []float64 // where each row's columns may start
}

const (
	skipRow int8 = iota
	skipColumn
	take
)

// assign returns for each of rows the index of its partner in columns, -1 for
// none: of all ways to pair them in order, one to one, that with the largest
// sum of
//
//	1 - (Δ/w)², |Δ| < w
//
// by dynamic programming over the columns within reach of each row, where Δ is
// the way from a column to the nearest moment of the row and w the row's window.
// Columns are taken as shift earlier than they are, and increase. The result is
// valid until the next call.
//
// See T. H. Cormen et al., Introduction to Algorithms, 3rd ed. (2009), 15.4,
// of which this is the weighted form.
func (a *assigner) assign(rows []moments, columns []float64, shift float64) []int {
	n := len(rows)
	a.from, a.start = resize(a.from, n), resize(a.start, n+1)
	a.value, a.choice = a.value[:0], a.choice[:0]
	// No row leaves out columns that a later one, with a wider window, reaches.
	a.least = resize(a.least, n)
	for i, least := n-1, math.Inf(1); i >= 0; i-- {
		least = math.Min(least, rows[i].first-rows[i].window)
		a.least[i] = least
	}
	lo, hi := 0, 0
	// before returns the best of the rows so far and the columns before j.
	before := func(i, j int) float64 {
		if i < 0 {
			return 0
		}
		at, last := a.start[i]+j-a.from[i], a.start[i+1]-1
		return a.value[min(at, last)]
	}
	for i, r := range rows {
		for lo < len(columns) && columns[lo]-shift <= a.least[i] {
			lo++
		}
		hi = max(hi, lo)
		for hi < len(columns) && columns[hi]-shift < r.last+r.window {
			hi++
		}
		a.from[i], a.start[i] = lo, len(a.value)
		a.start[i+1] = a.start[i]
		for j := lo; j <= hi; j++ { // the columns before j
			best, how := before(i-1, j), skipRow
			if j > lo {
				if v := a.value[len(a.value)-1]; v > best {
					best, how = v, skipColumn
				}
				d := r.off(columns[j-1]-shift) / r.window
				if v := before(i-1, j-1) + 1 - d*d; d*d < 1 && v > best {
					best, how = v, take
				}
			}
			a.value, a.choice = append(a.value, best), append(a.choice, how)
		}
		a.start[i+1] = len(a.value)
	}
	a.pair = resize(a.pair, n)
	j := math.MaxInt
	for i := n - 1; i >= 0; i-- {
		a.pair[i] = -1
		j = min(j, a.from[i]+a.start[i+1]-a.start[i]-1)
		for a.choice[a.start[i]+j-a.from[i]] == skipColumn {
			j--
		}
		if a.choice[a.start[i]+j-a.from[i]] == take {
			j--
			a.pair[i] = j
		}
	}
	return a.pair
}

func resize[T any](x []T, n int) []T {
	if cap(x) < n {
		return make([]T, n)
	}
	return x[:n]
}
