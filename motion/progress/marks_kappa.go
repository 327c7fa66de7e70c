package progress

import "math"

// kappaTable is a square table of shares, and what it shows.
type kappaTable struct {
	p                     [][]float64
	rows, cols            []float64
	agreed, chance, kappa float64
}

// newKappaTable returns the table of shares of a table of times or counts, which
// must not be all zero.
func newKappaTable(table [][]float64) *kappaTable {
	n := len(table)
	k := &kappaTable{p: make([][]float64, n), rows: make([]float64, n), cols: make([]float64, n)}
	total := 0.0
	for _, row := range table {
		for _, x := range row {
			total += x
		}
	}
	for i, row := range table {
		k.p[i] = make([]float64, n)
		for j, x := range row {
			k.p[i][j] = x / total
			k.rows[i] += x / total
			k.cols[j] += x / total
		}
	}
	for i := range table {
		k.agreed += k.p[i][i]
		k.chance += k.rows[i] * k.cols[i]
	}
	k.kappa = (k.agreed - k.chance) / (1 - k.chance)
	return k
}

// addsToAgreed and addsToKappa return what a moment of cell i, j adds to the
// share agreed and to kappa, to first order; both are zero in the mean.
func (k *kappaTable) addsToAgreed(i, j int) float64 {
	if i == j {
		return 1 - k.agreed
	}
	return -k.agreed
}

func (k *kappaTable) addsToKappa(i, j int) float64 {
	rest := 1 - k.chance
	byChance := k.cols[i] + k.rows[j] - 2*k.chance
	return k.addsToAgreed(i, j)/rest - (1-k.agreed)*byChance/(rest*rest)
}

// serialError returns the standard error of the mean over time of what the parts
// of one take add, with its degrees of freedom. The times at which one of the
// two judged nothing are joined.
//
//	c(j) = √(2/T) ∫ x(t) cos(πjt/T) dt, V = (1/q) Σ c(j)², j = 1 … q
func serialError(takes []jointTake, adds func(jointPart) float64, total float64, spans int) (se float64, df int) {
	q := min(max(spans/6, 4), 48)
	c := make([]float64, q)
	at := 0.0
	for _, t := range takes {
		for _, p := range t.parts {
			x := adds(p)
			for j := range c {
				w := math.Pi * float64(j+1) / total
				c[j] += x * (math.Sin(w*(at+p.length())) - math.Sin(w*at)) / w
			}
			at += p.length()
		}
	}
	v := 0.0
	for _, cj := range c {
		v += cj * cj * 2 / total
	}
	n := float64(spans)
	return math.Sqrt(v / float64(q) / total * n / (n - 2)), q
}

// takesError is serialError by whole takes, which are independent. A take that
// nobody judged does not count.
func takesError(takes []jointTake, adds func(jointPart) float64, total float64) (se float64, df int) {
	n, sum := 0, 0.0
	for _, t := range takes {
		if len(t.parts) == 0 {
			continue
		}
		own := 0.0
		for _, p := range t.parts {
			own += adds(p) * p.length()
		}
		n++
		sum += own * own // their mean is zero
	}
	return math.Sqrt(sum*float64(n)/float64(n-2)) / total, n - 1
}

// belowOne returns the 95 % interval of a number that is at most 1 by its
// standard error, symmetric in the logarithm of what is left to 1, and cut at
// least. There is none where the error is zero.
func belowOne(x, se float64, df int, least float64) (low, high, level float64) {
	rest := 1 - x
	if !(se > 0) || !(rest > 0) {
		return math.NaN(), math.NaN(), 0
	}
	f := math.Exp(studentAt(float64(df), 0.95) * se / rest)
	return math.Max(least, 1-rest*f), 1 - rest/f, 0.95
}
