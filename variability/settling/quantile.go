package settling

import "math"

// z975 bounds an interval of 0.95 of the normal distribution.
const z975 = 1.959963984540054

// student returns the quantile of Student's t with df degrees of freedom at
// which the standard normal one is z, by the expansion of Abramowitz & Stegun
// (1972), 26.7.5. For z up to 2.7 it is 5 % too small with 2 degrees of
// freedom, 1 % with 3 and 0.1 % with 5. A take asks for many.
func student(z, df float64) float64 {
	z2 := z * z
	g1 := (z2 + 1) / 4
	g2 := ((5*z2+16)*z2 + 3) / 96
	g3 := (((3*z2+19)*z2+17)*z2 - 15) / 384
	g4 := ((((79*z2+776)*z2+1482)*z2-1920)*z2 - 945) / 92160
	return z * (1 + (g1+(g2+(g3+g4/df)/df)/df)/df)
}

// chiSquared returns the quantile of χ² with df degrees of freedom at which the
// standard normal one is z, divided by df, by the cube of a normal quantile
// (Wilson & Hilferty 1931). With 5 degrees of freedom it is within 5 % for z up
// to 2, with 2 half of it for z = -2.
func chiSquared(z, df float64) float64 {
	v := 2 / (9 * df)
	u := max(0, 1-v+z*math.Sqrt(v))
	return u * u * u
}
