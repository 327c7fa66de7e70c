// Package variability measures how much the strokes of a take differ from one
// another, and whether that changes from its beginning to its end.
//
// What is measured is a list of numbers, one for each stroke or each cycle:
// durations, lengths, path angles. Three things make such lists unlike the
// samples of a textbook, and every estimate here allows for them.
//
//   - Neighbours are alike. A hundred strokes in a row carry the information
//     of fewer independent ones. Intervals and tests use a long-run variance,
//     which counts the likeness of neighbours in.
//   - The tracker adds scatter of its own. Given its size, [Options.Noise],
//     the estimates leave it out.
//   - Downstrokes and upstrokes differ. Mixed, they scatter by that
//     difference and alternate in sign, which hides the autocorrelation.
//     Measure cycles (EarlyLateOptions.Cycles averages each two strokes), or
//     each kind for itself.
//
// With times in seconds and lengths in mm, one for each stroke:
//
//	c, err := variability.EarlyLate(times, lengths, variability.EarlyLateOptions{Cycles: true})
//	if err != nil {
//		return err // the times do not rise, or a value is infinite
//	}
//	fmt.Println(c.Ratio.Value, c.Ratio.Low, c.Ratio.High) // of the late scatter to the early
//
// Drift is scatter too: a take that slows down evenly has a large spread and
// is perfectly smooth. [Trend] and package settling tell drift from scatter.
//
// # Formulas
//
//	function            formula                                source
//	SpreadOf            s, s/mean, 1.4826 median |x - m|       -
//	AxialSpread         √(-2 ln R)/2 of the doubled angles     Fisher 1993, 3.3, 3.7
//	Autocorrelation     Σ d(i) d(i+k)/Σ d(i)²                  Box, Jenkins & Reinsel 1994, 2.1
//	HedgesG             (mean - mean)/s, times 1 - 3/(4df-1)   Hedges 1981
//	CliffDelta          P(x > y) - P(x < y)                    Cliff 1993, with his interval in EarlyLate
//	BrownForsythe       F of |x - median|                      Brown & Forsythe 1974
//	Permutation         share of deals as far apart            Efron & Tibshirani 1993, ch. 15; on blocks
//	EarlyLate           all of them, on both ends of a take    -
//	  Trimmed           20 % trimmed means                     Yuen 1974
//	  ratios            bounds by the distances of both        Zou & Donner 2008
//	Trend               median of slopes; S, Var S             Theil 1950, Sen 1968; Mann 1945, Kendall 1975
//	JointSpread         C without noise, √(tr C/p), |C|^(1/2p)  -
//	  Dimensions        (Σλ)²/Σλ², the participation ratio     -
//	  Robust            minimum covariance determinant         Rousseeuw & Van Driessen 1999, Maronna & Zamar 2002
//	JointRatio          late over early, of the same           Zou & Donner 2008
//	Joint.Ellipse       √(λ χ²), two columns                   -
//	Spearman            r of ranks, exact P to n = 10          interval of Bonett & Wright 2000
//	PartialCorrelation, PartialSpearman  r of what regression leaves  Fisher 1924
//	Repeatability       √MSW, t √2 √MSW, ICC(1,1)              Bland & Altman 1986, Shrout & Fleiss 1979
//	Agreement           ICC(2,1)                               Shrout & Fleiss 1979, interval of Weerahandi 1993
//	SplitHalf           2r/(1+r)                               Spearman 1910, Brown 1910
//	Holm                step-down Bonferroni                   Holm 1979
//	BenjaminiHochberg   step-up, false discovery rate          Benjamini & Hochberg 1995
//
// # The long-run variance
//
// The variance of a mean of n values is V/n, with V the variance that counts
// neighbours in. Every statistic here is, to first order, such a mean of what
// each value adds to it. V is measured on those:
//
//	r  = r(1) + (1 + 4 r(1))/n, within ±0.97
//	e  = d(i) - r d(i-1), d the deviations from the mean
//	V  = (1/q) Σ c(j)²/(1-r)², j = 1 … q, c the low cosine components of e
//	q  = 4, 5 from 67 values, 6 from 100: the degrees of freedom
//
// averaged with the same of the series read backward, by [estimate.Lag1] and
// [estimate.Prewhitened]: the autocorrelation without its bias (Kendall 1954),
// prewhitening (Andrews and Monahan 1992), and cosines (Müller 2007). For a trend the
// line is taken off first, which costs one degree of freedom. So few components make intervals a tenth wider than
// the many of [estimate.LongRun] would in a long series, and are misled less by
// values that wander slowly. Where the terms are squares, r is at least what the
// squares of normal values would have, r² of the values.
//
// # How often intervals hold, and tests reject
//
// Measured on made series, 95 % intervals and tests at 0.05, with
//
//	go test ./variability -run Calibrate -v -calibrate 2000
//
// Series are first-order autoregressions with lag-1 autocorrelation φ, normal
// unless said. "Of so many" is the share of series that get an answer at all;
// answers of series that are asked too much of are those of unusual series, and
// hold the truth more seldom. Of 2000 series the standard error is 0.5 %.
//
// EarlyLate, by the values in each of the two windows:
//
//	                             φ 0 to 0.6    φ 0.9
//	15    Difference, Trimmed    94 to 96      89 to 90
//	      Ratio                  96 to 97      99
//	      Scatter rejects        2 to 3        2
//	33    Difference, Trimmed    96            93 to 94
//	      Ratio                  96 to 97      99
//	      Scatter rejects        3 to 4        1
//	100   Difference, Trimmed    95            95 to 96
//	      Ratio                  96 to 97      98
//	      Scatter rejects        4             2
//	333   Difference, Trimmed    94 to 95      95
//	      Ratio                  96 to 97      95
//	      Scatter rejects        5             4
//
// RobustRatio holds in 95 to 99 %; two thirds or fewer of windows of 15 values get
// one, nearly all of 33, for φ 0.9 two thirds of 33 and all of 100. G and Delta hold
// in 95 to 97 % for φ up to 0.3, and of 33 values and more up to 0.6; 38 % of
// windows of 20 values of 0.6 get one, which holds in 90 %, 6 % of 33 values of
// 0.9, which holds in 61 %. With downstrokes and upstrokes that differ by two
// standard deviations, not averaged to cycles, Difference and Trimmed hold in 90
// to 93 % of windows of 15, 94 to 95 % of 33 and more. Slow drift by two standard
// deviations makes no difference to Ratio and Scatter. With long tails (cubes of
// normal values) Ratio holds in 79, 82, 87, 90 and 94 % of windows of 15, 20, 33,
// 100 and 333, RobustRatio in 96 to 98 %, and Scatter rejects in 2 to 4 %.
//
// What none of this bears is a player who goes from one settled motion to another:
// spans of 60 values on average, searching spans of 30 between them with twice the
// scatter, each on a level of its own that scatters as much as settled values do.
// The two windows then do differ, not because one is early and one late: of
// windows of 15, 20, 33, 100 and 333 values, Difference holds 0 in 89, 86, 77, 64
// and 79 %, Ratio holds 1 in 84, 80, 75, 74 and 90 %, and Scatter rejects in 9, 12,
// 18, 21 and 11 %. Give the changes of span, and compare spans.
//
// Trend rejects in 1 to 3 % of series of 20 and 40 values, 2 to 5 % of 100, 3 to 5
// % of 300, 4 to 5 % of 1000, φ 0 to 0.9; the interval of the slope holds in 95 to
// 98 % where all series get one: from 40 values up to 0.3, from 100 up to 0.6,
// from 300 up to 0.9. Of 20 and 40 values at 0.9 a fifth and a quarter get one,
// which holds in 86 and 92 %. With spans as above it rejects in 2, 4, 15, 16 and 8 %
// of 20, 40, 100, 300 and 1000 values. Of independent values the test rejects in
// 1.7, 1.7, 3, 4.7 and 4.8 % of 5, 6, 8, 12 and 20, which is what so few orders
// allow.
//
// SpreadOf and AxialSpread: SD, CV and the axial SD hold in 93 to 95 % of 20
// values and more for φ 0 and 0.3; for 0.6 in 84 % of 20 (of 51 %), 91 % of 33 (of
// 80 %), 93 % of 100, 94 % of 300; for 0.9 in 79 % of 100 (of 53 %), 92 % of 300.
// Robust holds in 95 to 97 % for φ up to 0.3 and in 92 to 96 % for 0.6, of 12
// values and more; for 0.9 in 58 % of 12, 81 % of 33, 87 % of 100 and 92 % of 300.
// Long tails: SD in 77 to 89 % of 20 to 300 values, Robust in 91 to 96 % of what is
// half of its own distribution.
//
// JointSpread, four columns of variances 4, 1, 1 and 1/4 along their axes, 300
// series (standard error 1.3 %): Total holds in 92 to 96 %, Generalised in 89 to 96
// %, Dimensions and the first Share in 89 to 96 %, of 40 to 1000 strokes wherever
// more than half of the series get an answer (φ up to 0.3 of 40, 0.6 of 100 and
// 300, 0.9 of 1000); Total with Robust in 93 to 97 % of 100 and more. JointRatio
// holds in 92 to 98 % for φ 0 to 0.9, of 40 strokes on each side and more; with
// long tails Total's in 92 to 96 % and Generalised's in 85 to 95 %; with spans as
// above in 73 to 82 % of 40 and 100, 88 to 90 % of 300, 94 % of 1000.
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
// Andrews, D. W. K. & Monahan, J. C. (1992). An improved heteroskedasticity and
// autocorrelation consistent covariance matrix estimator. Econometrica 60,
// 953-966.
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
// Croux, C. & Haesbroeck, G. (1999). Influence function and efficiency of the
// minimum covariance determinant scatter matrix estimator. J. Multivar. Anal. 71,
// 161-190.
//
// Efron, B. & Tibshirani, R. J. (1993). An Introduction to the Bootstrap.
// Chapman & Hall.
//
// Fisher, N. I. (1993). Statistical Analysis of Circular Data. Cambridge.
//
// Hedges, L. V. (1981). Distribution theory for Glass's estimator of effect
// size and related estimators. J. Educ. Stat. 6, 107-128.
//
// Higham, N. J. (1988). Computing a nearest symmetric positive semidefinite
// matrix. Linear Algebra Appl. 103, 103-118.
//
// Hubert, M., Rousseeuw, P. J. & Verdonck, T. (2012). A deterministic algorithm
// for robust location and scatter. J. Comput. Graph. Stat. 21, 618-637.
//
// Kendall, M. G. (1954). Note on bias in the estimation of autocorrelation.
// Biometrika 41, 403-404.
//
// Maronna, R. A. & Zamar, R. H. (2002). Robust estimates of location and
// dispersion for high-dimensional datasets. Technometrics 44, 307-317.
//
// Müller, U. K. (2007). A theory of robust long-run variance estimation. J.
// Econom. 141, 1331-1352.
//
// Rousseeuw, P. J. & Van Driessen, K. (1999). A fast algorithm for the minimum
// covariance determinant estimator. Technometrics 41, 212-223.
//
// Yuen, K. K. (1974). The two-sample trimmed t for unequal population variances.
// Biometrika 61, 165-170.
//
// Zou, G. Y. & Donner, A. (2008). Construction of confidence limits about effect
// measures: a general approach. Stat. Med. 27, 1693-1702.
//
// Those of trends stand in package robust.
//
// # Size
//
// The package is over 1,200 lines and has some 40 exported names. What compares two
// windows, a trend or a joint spread is a page each; rank correlations and
// reliability, for one value of each take or player, are six functions and two
// results more. All of them share the options, the ranks, the treatment of missing
// values and the reasons for absence, which a package of their own would have to
// repeat or export, and a reader who looks for a measure of spread, change or
// agreement has one place to look.
package variability
