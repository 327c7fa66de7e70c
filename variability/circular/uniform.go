package circular

import (
	"math"
	"slices"
)

// WatsonU2 tests whether directions, or with o.Axes axes, are spread evenly
// round the circle, against every other distribution, also one with two
// opposite peaks, which RayleighP of [Directional] cannot see. With u the
// angles as shares of a turn, sorted,
//
//	U² = Σ (u[i] - (2i-1)/2n)² - n(mean u - 1/2)² + 1/12n, i = 1 … n
//
// is Statistic (Watson 1961), and P comes from its limiting distribution with
// the modification of Stephens (1970), which is good to three decimal places
// from n = 8 where P is below 0.15:
//
//	P = 2 Σ (-1)^(m-1) exp(-2m²π²x), m = 1, 2, …, x = (U² - 0.1/n + 0.1/n²)(1 + 0.8/n)
//
// The angles have to be independent: a series of strokes looks uneven merely
// because neighbours are alike, so that with o.Series the test is absent, with
// code "series". Rounding to a few values looks uneven too. Fewer than 8 angles
// are refused, with code "too-few".
//
// # References
//
//   - G. S. Watson (1961), Goodness-of-fit tests on a circle. Biometrika 48,
//     109-114.
//   - M. A. Stephens (1970), Use of the Kolmogorov-Smirnov, Cramér-von Mises
//     and related statistics without extensive tables. J. R. Stat. Soc. B 32,
//     115-122.
func WatsonU2(angles []Angle, o Options) Test {
	const what, least = "test of an even spread", 8
	o = o.filled()
	u := wanted(angles, o.fold())
	if o.Series {
		return o.refused("series", what, "the angles follow each other in time; take one for each block or take, or the Rayleigh test of a series")
	}
	if len(u) < least {
		return o.refused("too-few", what, "there are %d angles, fewer than %d", len(u), least)
	}
	var mean float64
	n := float64(len(u))
	for i, t := range u {
		t = math.Mod(t/(2*math.Pi), 1)
		if t < 0 {
			t++
		}
		u[i] = t
		mean += t / n
	}
	slices.Sort(u)
	u2 := 1/(12*n) - n*(mean-0.5)*(mean-0.5)
	for i, x := range u {
		d := x - (float64(i)+0.5)/n
		u2 += d * d
	}
	t := Test{Statistic: u2, N: len(u), Options: o}
	t.P = watsonP((u2 - 0.1/n + 0.1/(n*n)) * (1 + 0.8/n))
	return t
}

// watsonP is the probability of a U² of x or more in the limit. Its series is
// that of Kolmogorov's distribution at π√x.
func watsonP(x float64) float64 {
	if x < 0.02 { // P above 1 - 1e-4; the series converges slowly
		return 1
	}
	var p float64
	for m := 1.0; m < 20; m++ {
		p += 2 * math.Pow(-1, m-1) * math.Exp(-2*m*m*math.Pi*math.Pi*x)
	}
	return min(1, p)
}
