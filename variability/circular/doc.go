// Package circular holds the type [Angle] and the statistics of angles, for
// which the ordinary mean is wrong: of 179° and -179° it is 0°.
//
// Two kinds of angle have to be told apart. A direction comes back after a
// full turn: the phase of a stroke in its cycle. An axis comes back after half
// a turn: the path of a stroke, of which a line of 10° and one of 190° are the
// same. [Directional] and [Median] are for directions, [Axial] and
// [MedianAxis] for axes, which are doubled, summarised as directions and
// halved.
//
//	function          formula                                    source
//	Directional       mean atan2(S, C), R = √(C² + S²)           Fisher 1993, 2.3
//	  interval        arcsin(z √(δ/n)), n ≥ 25                   Fisher 1993, (4.22)
//	                  arccos form of the likelihood, n < 25      Upton 1986; Zar 2010
//	  SD              √(-2 ln R)                                 Fisher 1993, (2.12)
//	  RayleighP       exp(√(1+4n+4(n²-n²R²)) - (1+2n))           Wilkie 1983
//	Axial             the same on 2θ, halved                     Fisher 1993, 2.3
//	Median            least mean arc                             Mardia & Jupp 2000
//	A1, A1Inverse     I₁(κ)/I₀(κ) and its root                   Mardia & Jupp 2000
//
// # Missing values
//
// NaN and infinite angles are missing: left out, with N counting the others.
// A mean or median that does not exist, because there are no angles or because
// they cancel, is absent with its reason, and never 0.
package circular
