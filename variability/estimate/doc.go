// Package estimate holds what every measured number carries: a [Value] with
// its interval, or the reason why there is none, and the resampling that
// intervals are made from.
//
// A take is a series. Strokes that follow each other resemble each other, so
// that a thousand of them say less about a player than a thousand independent
// ones would. [Mean], [SeriesMedian] and [Bootstrap] take observations in time
// order and bear that; only [MedianInterval] is for independent observations,
// such as one number per take.
//
//	function         formula                               source
//	Mean             x̄ ± t √(V/n)                          Lazarus et al. 2018
//	LongRun          V, mean power of q low cosines        Müller 2007
//	Lag1             r(1) + (1 + 4 r(1))/n                 Kendall 1954
//	Prewhitened      V of x(i) - r x(i-1), over (1-r)²     Andrews & Monahan 1992
//	MedianInterval   order statistics, exact level         David & Nagaraja 2003
//	SeriesMedian     ranks (n ± t √(nV))/2                 Heidelberger & Lewis 1984
//	BlockLength      (2G² n/(4/3 g²))^(1/3)                Politis & White 2004, 2009
//	BlockDraw        circular blocks                       Politis & Romano 1992
//	Bootstrap        percentiles of block draws            Efron & Tibshirani 1993
//	Resample         the same, draws left to the caller    Efron & Tibshirani 1993
//
// # Missing values
//
// NaN is an observation that is missing. Estimates leave it out and N counts
// the others; what nothing is left for is absent with its reason. Only
// [BlockLength], which is about lags, answers NaN with NaN. An interval that
// the data do not bear is Low = High = NaN with Level 0, beside a Value that
// holds.
//
// # Levels
//
// A level of 0 means 0.95. A level outside (0, 1) asks for no interval.
//
// # Randomness
//
// Numbers are drawn from [Stream] only, a generator per named use and seed, so
// that results repeat to the last digit.
package estimate
