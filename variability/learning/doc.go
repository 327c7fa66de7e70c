// Package learning fits curves of practice: how a measure changes over weeks of
// sessions, whether it levels off, and at which level.
//
// Such series are short, 6 to 100 values, and the question that everybody asks,
// "is the level reached?", is the one that they answer least often. [Fit]
// therefore gives a [Verdict] first, and numbers only as far as it carries:
//
//	TooFew         below 6 values, or values at fewer than 4 places of x
//	NoChange       P above 0.05; Result.Change says how large one may still be
//	Trend          no curve beats a line by more than 4 of AICc
//	StillChanging  a bend, but the level is not in sight: curves without one
//	               are as good (within 2 of AICc), or its interval reaches
//	               farther beyond the values than Options.Reach, or there are
//	               fewer than 10 values
//	Levelling      the level, with its interval
//	Reached        the same, and at least 95 % of the change is done
//
// Every verdict comes with a sentence that says what to do next.
//
//	r, err := learning.Fit(days, settledShare, learning.Options{})
//	fmt.Println(r.Sentence)
//	if r.Plateau.Known() {
//		fmt.Println(r.Plateau.Value, r.Plateau.Low, r.Plateau.High)
//	}
//
// # Formulas
//
//	Constant      A
//	Line          A + B x
//	Logarithm     A + B ln(x + Prior)
//	PowerToZero   B (x + Prior)^-C                 Newell & Rosenbloom (1981)
//	Exponential   A + B exp(-C (x - First))        Heathcote et al. (2000)
//	Power         A + B (x + Prior)^-C             Newell & Rosenbloom (1981)
//
// How they are fitted:
//
//	function                  formula                                  source
//	Fit                       separable least squares, C searched      Golub & Pereyra 1973
//	  intervals               profiles of the sum of squares           Bates & Watts 1988, 6.1
//	  likeness                autoregression, restricted likelihood    Patterson & Thompson 1971
//	  averages                tail areas over curves and ρ             Fletcher & Turek 2011, Turek & Fletcher 2012
//	Curve.AICc                n ln(RSS/n) + 2K + 2K(K+1)/(n-K-1)       Hurvich & Tsai 1989
//	Options.Robust            pseudo-values, 1.345 s                   Huber 1981, 7.4, 7.6, 7.10
//	Options.Errors            1/(τ² + se²)                             Paule & Mandel 1982
//
// All curves but the two straight ones have one parameter that is not linear, C.
// The sum of squares is searched along it, every minimum of a grid being a
// start, so that there are no starting values to choose. On certified data of
// NIST the coefficients come out to 11 digits, the line to 12.
//
// # Likeness of neighbours
//
// A good week is followed by a good week. Taken to be independent, such scatter
// looks like a curve with a level. By default the correlation ρ of neighbours,
// in the order of x, is taken to be anything from 0 to 0.98, weighted by the
// data, and every interval is an average over it; where the data say little
// about ρ, intervals are wide. Options.Independent is ordinary least squares.
// A negative likeness counts as none: alternation does not narrow intervals.
//
// # Infinite bounds and where statements end
//
// A bound is infinite if the data do not close it: a level more than 40 times
// the change in the data away, a rate at which all is over by the third place
// of x, or one that cannot be told from a line or a logarithm. (Then C may be
// as low as 0.) Curves are given within the data only, see Curve.Band. Levels
// and times beyond Options.Reach are absent.
//
// The exponential and the power curve have very different levels. As long as
// one of them is not left without support (10 of AICc), Plateau, Expected, Done,
// Half and NinetyFive have bounds that hold the intervals of both.
//
// # Missing values
//
// NaN in x or y is a missing value; its neighbours in the order of x are joined.
// What cannot be had is absent with its reason. Infinities are errors.
//
// # What to expect
//
// On simulated series, with scatter of standard deviation 1, as measured by
//
//	go test -run Calibrate -v -calibrate 400 -timeout 0 ./variability/learning
//
// (400 series a row for the levels, 150 for Robust; ± 2 %, more where few give a
// level):
//
//   - A level is seen in at most 1 % of straight series: constant, or changing
//     by 5 or 20, with 8 to 80 values and ρ of 0 to 0.9, alternation, switching
//     levels.
//   - A bend is claimed in 0 to 5 % of them at ρ 0 and 0.3 (7 % at 8 values), in
//     up to 10 % at 0.6 and 11 % at 0.9.
//   - A change is seen where there is none in 0 to 3 % up to 40 values and 3 to
//     5 % at 80, up to ρ = 0.6. At ρ = 0.9 it is 10, 9, 8, 5 and 2 % at 8, 12, 20,
//     40 and 80 values, with switching levels 0 to 6 %.
//   - The interval of a line's change holds it in 96 to 100 % up to 40 values
//     and 94 to 97 % at 80, up to ρ = 0.6. At ρ = 0.9 it does in 88, 90 and 93 %
//     at 8, 12 and 20 values: so few cannot show a likeness that strong. With
//     switching levels, which are no autoregression, it does in 93 and 91 % at
//     40 and 80.
//   - The interval of the level of the curve that made the series holds it in
//     91 to 100 %, whether the level was in sight or not.
//   - A level that is given is held by its interval in 84 to 100 % from 20
//     values on, half of the rows above 95 %: intervals that are short by chance
//     are given sooner. At 12 values those of exponentials with a change of 20
//     hold it in 92 to 100 %; with a change of 5, of which 0 to 2 % get a level,
//     8 of the 10 that did at ρ = 0.9 held it. Of power laws of exponent 0.5, which
//     at 12 values have done 71 % of their change, 4 to 10 % seem to level off
//     there up to ρ = 0.6, and 74 to 83 % of those intervals hold the level (at
//     ρ = 0.9, 88 % of 35 %).
//   - How often the level is in sight, with a change of 20 of which 98 % are done
//     exponentially: 7, 41, 91 and 100 % at 12, 20, 40 and 80 values. With a change
//     of 5: 0, 0, 4 and 31 %. With 20 and 86 % done: 2, 15, 66 and 97 %.
//   - With Robust the figures are the same or wider: lines hold in 97 to 100 %,
//     also with one value in ten five times as far off.
//
// Where scatter is known to be independent, Options.Independent sees a given
// change or level with fewer values. It also is about ten times as quick.
//
// # Size
//
// The package is longer than others, about 2000 lines, since curve, scatter and
// verdict are estimated together: the parts are of no use without each other.
//
// # References
//
// Bates, D. M. & Watts, D. G. (1988). Nonlinear Regression Analysis and Its
// Applications. Wiley.
//
// Brent, R. P. (1973). Algorithms for Minimization without Derivatives.
// Prentice-Hall.
//
// Burnham, K. P. & Anderson, D. R. (2002). Model Selection and Multimodel
// Inference, 2nd ed. Springer.
//
// Dowell, M. & Jarratt, P. (1971). A modified regula falsi method for computing
// the root of an equation. BIT 11, 168-174.
//
// Fletcher, D. & Turek, D. (2011). Model-averaged profile likelihood intervals.
// J. Agric. Biol. Environ. Stat. 17, 38-51.
//
// Golub, G. H. & Pereyra, V. (1973). The differentiation of pseudo-inverses and
// nonlinear least squares problems whose variables separate. SIAM J. Numer.
// Anal. 10, 413-432.
//
// Heathcote, A., Brown, S. & Mewhort, D. J. K. (2000). The power law repealed:
// the case for an exponential law of practice. Psychon. Bull. Rev. 7, 185-207.
//
// Huber, P. J. (1981). Robust Statistics. Wiley.
//
// Hurvich, C. M. & Tsai, C.-L. (1989). Regression and time series model
// selection in small samples. Biometrika 76, 297-307.
//
// Newell, A. & Rosenbloom, P. S. (1981). Mechanisms of skill acquisition and the
// law of practice. In J. R. Anderson (ed.), Cognitive Skills and Their
// Acquisition, 1-55. Erlbaum.
//
// Patterson, H. D. & Thompson, R. (1971). Recovery of inter-block information
// when block sizes are unequal. Biometrika 58, 545-554.
//
// Paule, R. C. & Mandel, J. (1982). Consensus values and weighting factors. J.
// Res. Natl. Bur. Stand. 87, 377-385.
//
// Turek, D. & Fletcher, D. (2012). Model-averaged Wald confidence intervals.
// Comput. Stat. Data Anal. 56, 2809-2815.
package learning
