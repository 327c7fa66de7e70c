// Package circular holds the type [Angle] and the statistics of angles, for
// which the ordinary mean is wrong: of 179° and -179° it is 0°.
//
//	angles := []circular.Angle{21 * circular.Degree, 24 * circular.Degree, 19 * circular.Degree}
//	s := circular.Axial(angles, circular.Options{}) // path angles: lines, not arrows
//	fmt.Println(s.Mean.Value.Degrees(), s.SD.Degrees())
//
// Two kinds of angle have to be told apart. A direction comes back after a
// full turn: the phase of a stroke in its cycle. An axis comes back after half
// a turn: the path of a stroke, of which a line of 10° and one of 190° are the
// same. Axes are doubled, treated as directions, and what is an angle in the
// result is halved. [Directional] and [Median] are for directions, [Axial] and
// [MedianAxis] for axes; all else takes [Options] with Axes.
//
//	function          formula                                    source
//	Directional       mean atan2(S, C), R = √(C² + S²)           Fisher 1993, 2.3
//	  interval        arcsin(z √(δ/n)), n ≥ 25                   Fisher 1993, (4.22)
//	                  arccos form of the likelihood, n < 25      Upton 1986; Zar 2010
//	  SD              √(-2 ln R)                                 Fisher 1993, (2.12)
//	  Dispersion      (1 - ρ₂)/(2R²)                             Fisher 1993, (2.28)
//	  KappaSmall      κ - 2/(nκ), (n-1)³κ/(n³+n)                 Fisher 1993, (4.41)
//	  RayleighP       exp(√(1+4n+4(n²-n²R²)) - (1+2n))           Wilkie 1983
//	                  Hotelling's T² of (C, S), for a series     -
//	Axial             the same on 2θ, halved                     Fisher 1993, 2.3
//	Grouped           R (w/2)/sin(w/2)                           Zar 2010, 26.7
//	Median            least mean arc                             Mardia & Jupp 2000
//	Quantile          type 7 about the median                    Hyndman & Fan 1996
//	ShortestArc       a turn less the widest gap                 Mardia & Jupp 2000, 2.3.2
//	MeanTest          the interval turned round                  Zar 2010, 27.1.3
//	VTest             V √(2/n), P by a Fourier series            Zar 2010, 27.1.2
//	WatsonU2          U² of the angles as shares of a turn       Watson 1961, Stephens 1970
//	WatsonWilliams    F of resultants, K = 1 + 3/(8κ)            Zar 2010, 27.4
//	EqualConcentration  F of |sin(θ - mean)|                     Fisher 1993, 5.4.4
//	EqualMeans        2(Σw - |Σ w exp(iθ)|), Welch's F           Fisher 1993, 5.3.4
//	MeanDifference    d ± t √(V/n + V/m)                         Welch 1951
//	CorrelationT      4(AB - CD)/√(…)                            Fisher & Lee 1983
//	CorrelationSine   Σ sin sin/√(Σ sin² Σ sin²)                 Jammalamadaka & SenGupta 2001
//	CorrelationLinear  R² on cosine and sine                      Mardia 1976
//	A1, A1Inverse     I₁(κ)/I₀(κ) and its root                   Mardia & Jupp 2000
//
// # Strokes are no sample
//
// Strokes that follow each other are alike, and tests for independent angles
// find in them what is not there. With Options.Series, intervals and tests take
// the long-run variance of what each angle adds to the result: the lag-1
// autocorrelation without its bias, [estimate.Lag1], is taken off, and four to six
// low cosines of what is left give the variance, see [estimate.Prewhitened]. Cosines
// and sines of one list share their autocorrelation. A series has at least 15 angles. The
// measures of association, and all with Options.Block, permute blocks of neighbours in
// place of single angles, at least 12. Tests that cannot bear a series refuse it. Downstrokes and upstrokes differ: give one kind, or the
// means of cycles. Two takes are two observations.
//
// # How often tests reject what is true
//
// At 0.05, of 2000 samples, of EqualMeans and what compares groups 1000 (standard
// error 0.5 and 0.7 %), by
//
//	go test -run Calibration -calibrate 2000 -v ./variability/circular
//
// Independent von Mises samples, n 8 to 60 or 100:
//
//	MeanTest            3.6 to 7 % for κ 0.5 to 5; for κ 20 5.5 to 6.2 %, 7.5 % of n = 8
//	VTest               4.7 to 5.9 %
//	WatsonU2            4.0 to 5.3 %
//	RayleighP           4.2 to 5.0 %
//	WatsonWilliams      3.8 to 7.4 %, κ 2 to 20, where there is no Doubt
//	EqualConcentration  4.5 to 6.8 %, κ 1 to 20
//	EqualMeans          3.4 to 7.2 %, also with fourfold κ in the longer group
//	MeanDifference      its interval misses in 3.9 to 5.9 %, n from 6, κ 1 to 20
//	Correlation…        4.5 to 5.1 %, n 8 and 20
//
// Series: first-order autoregressions with lag-1 autocorrelation φ, with and without
// downstrokes and upstrokes that differ by two standard deviations:
//
//	                    φ 0 to 0.6                φ 0.9
//	MeanTest            3.9 to 6.5 %, n ≥ 60      7.7, 4.3, 4.0 % of n = 60, 240, 1000
//	VTest               4.1 to 6.0 %              6.5, 4.3, 4.2 %
//	RayleighP           3.5 to 5.2 %              none of 60, 6.7 % of 240, 4.8 % of 1000
//	MeanDifference      3.6 to 6.1 %, n, n/2      6.7 (of 81 %), 3.5, 4.3 %
//	EqualMeans          2.8 to 6.1 %, two, three  3.1 to 6.0 %
//	EqualConcentration  3.9 to 7.1 %              6.0, 8.2, 7.2 % of n = 60, 120, 480
//	Correlation…        4.0 to 7.2 %, n ≥ 120     none of 120, 7.1 to 7.8 % of 480
//
// A slow drift by one standard deviation makes tests of a mean cautious (below 3 %);
// two columns that both drift go together for that alone, and are found to (12 % of
// 120, 29 % of 480). What none of this bears is a level that jumps between spans:
// with spans of 60 and 20 strokes on average, on levels that scatter by half of what
// strokes do, MeanTest rejects in 22, 21 and 7 % of n = 60, 240 and 1000,
// MeanDifference and EqualMeans in 10 to 39 %, EqualConcentration in 10 to 16 %,
// EqualMeans in blocks of 6 in 35 to 42 %, the correlations in 6 to 10 %. Test spans
// on one level, or one value of each take.
//
// # Missing values
//
// NaN and infinite angles are missing: left out, with N counting the others. Pairs
// lose both. A mean, median or test that does not exist, because there are too few
// angles or because they cancel, is absent with its reason, and never 0.
//
// # Size
//
// The package is over 1,200 lines, half of them comments that state a formula: what
// is for axes and what is for series is done once for all methods, which is why they
// live together.
package circular
