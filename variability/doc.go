// Package variability measures how much the strokes of a take differ from one
// another, and whether that changes from its beginning to its end.
//
// What is measured is a list of numbers, one for each stroke or each cycle:
// durations, lengths, path angles. Three things make such lists unlike the
// samples of a textbook, and every estimate here allows for them.
//
//   - Neighbours are alike. A hundred strokes in a row carry the information
//     of fewer independent ones. Intervals use the long-run variance, which
//     counts the likeness of neighbours in. Series are resampled in blocks
//     whose length comes from their own autocorrelation (Politis and White
//     2004), and where there are fewer than 12 blocks nothing is compared.
//   - The tracker adds scatter of its own. Given its size, [Options.Noise],
//     the estimates leave it out.
//   - Downstrokes and upstrokes differ. Mixed, they scatter by that
//     difference and alternate in sign, which hides the autocorrelation.
//     Measure cycles (EarlyLateOptions.Cycles averages each two strokes), or
//     each kind for itself.
//
// Drift is scatter too: a take that slows down evenly has a large spread and
// is perfectly smooth. Packages settling and robust tell drift from scatter.
//
// # Formulas
//
//	SpreadOf         standard deviation, coefficient of variation, scaled MAD
//	AxialSpread      √(-2 ln R)/2 of the doubled angles: Fisher (1993) 3.3, 3.7
//	Autocorrelation  Box, Jenkins & Reinsel (1994) 2.1; NIST StRD, r(1)
//	HedgesG          Hedges (1981)
//	CliffDelta       Cliff (1993), with his interval in EarlyLate
//	BrownForsythe    Brown & Forsythe (1974)
//	Permutation      Efron & Tibshirani (1993) ch. 15, on blocks
//	EarlyLate        all of them, on both ends of a take
//
// Intervals of a spread are Student intervals of its logarithm with a long-run
// variance. On a hundred or more normal values with a lag-1 autocorrelation of
// up to 0.5, those at 95 % held the truth in 92 to 96 % of 1000 simulated takes;
// at 0.8, where few of a hundred values are independent, in 81 to 91 %. With
// long tails (cubes of normal values) they held it in 80 to 87 %, and those of
// Spread.Robust in 94 to 97 %. The interval of the ratio of two spreads is a
// circular block bootstrap of its logarithm, turned about the value and widened
// for the number of blocks (Hesterberg 2015); it held the truth in 91 to 97 %
// up to 0.5, and the test beside it rejected 4 to 8 % at 0.05.
//
// # Missing values
//
// NaN is a missing value and is left out, its neighbours joined; N counts the
// others. [Autocorrelation] keeps its place instead. What cannot be had is
// absent with a reason, or NaN where the result is a plain number. An infinity
// is not a value: [EarlyLate] returns an error, the rest infinities or NaN.
//
// # References
//
// Box, G. E. P., Jenkins, G. M. & Reinsel, G. C. (1994). Time Series Analysis,
// 3rd ed. Prentice Hall.
//
// Brown, M. B. & Forsythe, A. B. (1974). Robust tests for the equality of
// variances. J. Am. Stat. Assoc. 69, 364-367.
//
// Cliff, N. (1993). Dominance statistics: ordinal analyses to answer ordinal
// questions. Psychol. Bull. 114, 494-509.
//
// Efron, B. & Tibshirani, R. J. (1993). An Introduction to the Bootstrap.
// Chapman & Hall.
//
// Fisher, N. I. (1993). Statistical Analysis of Circular Data. Cambridge.
//
// Hedges, L. V. (1981). Distribution theory for Glass's estimator of effect
// size and related estimators. J. Educ. Stat. 6, 107-128.
//
// Hesterberg, T. C. (2015). What teachers should know about the bootstrap. Am.
// Stat. 69, 371-386.
//
// Politis, D. N. & White, H. (2004). Automatic block-length selection for the
// dependent bootstrap. Econom. Rev. 23, 53-70.
package variability
