// Package robust holds summaries and trends that a few wild values do not
// move: a stroke that the tracker lost is one of thousands, and must not
// decide the result.
//
//	function            formula                                 source
//	Median              middle value                            -
//	Select              k-th smallest value                     Hoare 1961
//	Quantile            type 7, (n-1)p                          Hyndman & Fan 1996
//	MAD, Scale          median |x - median|, × 1/Φ⁻¹(3/4)       Hampel 1974
//	TheilSen            median of pairwise slopes               Theil 1950, Sen 1968
//	RepeatedMedian      median over points of median slopes     Siegel 1982
//	SlopesAt            pairwise slopes by rank                 Sen 1968
//	MannKendall         S, Var S with ties, Z, P                Mann 1945, Kendall 1975
//	KendallP            exact P(|S| ≥ s)                        Kendall 1975
//
// Functions do not change their input. Those that end in InPlace may reorder
// or overwrite it and do not allocate.
//
// # Missing values
//
// NaN in gives NaN out, and so does an empty input: what is missing has to be
// left out by the caller, who knows whether it may be. [TheilSen] treats
// infinite values in the same way, which have no slope.
//
// # Independence
//
// The probability of [MannKendall] and the bounds of [TheilSen] hold for
// independent errors. Strokes that follow each other are not independent; take
// one value per take, or the Trend of package variability.
package robust
