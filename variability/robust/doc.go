// Package robust holds summaries and trends that a few wild values do not
// move: a stroke that the tracker lost is one of thousands, and must not
// decide the result.
//
//	m, s := robust.Median(durations), robust.Scale(durations) // s: as a standard deviation
//	line := robust.TheilSen(takes, settledShare)              // one value for each take
//	fmt.Println(line.Slope, line.SlopeLow, line.SlopeHigh)
//
// What there is, and where it is from:
//
//	function            formula                                 source
//	Median              middle value                            -
//	RollingMedian       median of a window about each value     -
//	Select              k-th smallest value                     Hoare 1961
//	Quantile            type 7, (n-1)p                          Hyndman & Fan 1996
//	MAD, Scale          median |x - median|, × 1/Φ⁻¹(3/4)       Hampel 1974
//	TheilSen            median of pairwise slopes               Theil 1950, Sen 1968
//	RepeatedMedian      median over points of median slopes     Siegel 1982
//	SlopesAt            pairwise slopes by rank                 Sen 1968
//	MannKendall         S, Var S with ties, Z, P                Mann 1945, Kendall 1975
//	KendallP            exact P(|S| ≥ s)                        Kendall 1975
//
// Half of the values may be wild before [Median], [MAD] and [RepeatedMedian] follow
// them, three in ten before [TheilSen] does. What that costs: of normal values the median
// scatters by a quarter more than the mean (√(π/2)), [Scale] by two thirds more than the
// standard deviation, a slope of [TheilSen] by a fiftieth more than that of least squares
// (√(π/3)).
//
// Functions do not change their input. Those that end in InPlace may reorder
// or overwrite it and do not allocate.
//
// # Missing values
//
// NaN in gives NaN out, and so does an empty input: what is missing has to be
// left out by the caller, who knows whether it may be. [TheilSen] treats
// infinite values in the same way, which have no slope. To [RollingMedian] a NaN is the
// least of all values.
//
// # Independence
//
// The probability of [MannKendall] and the bounds of [TheilSen] hold for
// independent errors. Strokes that follow each other are not independent; take
// one value per take, or the Trend of package variability.
//
// # Accuracy
//
// All agree with scipy and numpy, or with counts of all orders, to 12 digits
// (testdata/reference/robust.py). The time of [TheilSen] and [RepeatedMedian] grows with n log n
// and n²: BenchmarkTheilSen.
//
// # References
//
// Hampel, F. R. (1974). The influence curve and its role in robust estimation. J. Am.
// Stat. Assoc. 69, 383-393.
//
// Hoare, C. A. R. (1961). Algorithm 65: find. Commun. ACM 4, 321-322.
//
// Hyndman, R. J. & Fan, Y. (1996). Sample quantiles in statistical packages. Am. Stat.
// 50, 361-365.
//
// Kendall, M. G. (1975). Rank Correlation Methods, 4th ed. Griffin.
//
// Mann, H. B. (1945). Nonparametric tests against trend. Econometrica 13, 245-259.
//
// Sen, P. K. (1968). Estimates of the regression coefficient based on Kendall's tau. J.
// Am. Stat. Assoc. 63, 1379-1389.
//
// Siegel, A. F. (1982). Robust regression using repeated medians. Biometrika 69, 242-244.
//
// Theil, H. (1950). A rank-invariant method of linear and polynomial regression analysis.
// Proc. K. Ned. Akad. Wet. 53, 386-392.
package robust
