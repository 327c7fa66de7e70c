// Package progress holds the takes of one player against each other: a list of
// takes (Roster), many takes over weeks, and the slow take against the fast one.
//
// # Two takes
//
//	r, err := progress.Repeatability(takes, progress.RepeatOptions{})
//	c, err := progress.Compare(before, after, progress.CompareOptions{
//		Repeats: &r, Primary: []string{"picture_angle_deg"}})
//	for _, ch := range c.Changes {
//		fmt.Println(ch.Text)
//	}
//
// [Compare] goes through review.Measures() and holds each on its scale: Ratio
// measures by the logarithm of their factor, Axis measures modulo half a turn,
// the others by their difference. What may not be compared is absent with its
// reason: heights and angles need one named set-up, lengths one view, and all one
// digest of options.
//
// The interval within the takes, from the scatter of their strokes, says whether
// these two takes differ, and no more. Whether the player changed needs repeats: by
// how much takes differ when nothing is changed. Repeats of a day underestimate
// what days differ by, and a change from one day to another is called beyond only
// where repeats of three days or more tell that too. A change has to leave both
// intervals. The smallest change of three takes of one day is 6.1 of their
// standard deviations (t = 4.30 with 2 degrees of freedom), of five such days 3.2
// (t = 2.23), and of means of three takes a side 1.8.
//
// With fifty measures some go beyond by chance. Name those that count beforehand
// (CompareOptions.Primary). Verdicts are adjusted (Holm) among the named ones, and
// among all others. Nothing tells a cause, and "not different" is never said:
// sameness needs a margin, and the whole interval within it.
//
//	function                  formula                                        source
//	Change.Change             b - a, ln(b/a), axial difference               -
//	  its interval            d - √((b-l(b))² + (u(a)-a)²), and so up        Zou & Donner 2008
//	Repeat.Within             √(Σ (x - mean of its day)²/df), chi-square     Bland & Altman 1996
//	Repeat.Between            √((M(days) - M(within))/n₀), Tukey-Williams    Williams 1962
//	Repeat.Smallest           t(df) s √(1/k + 1/k'), Satterthwaite's df      Bland & Altman 1986; Satterthwaite 1946
//	Change.Adjusted           step-down Bonferroni                           Holm 1979
//	Equivalence               two one-sided tests: interval within margin    Schuirmann 1987; Altman & Bland 1995
//	Comparison.Motion         as cycle.Reference.Distance, of two references  package cycle
//
// # Marks of a viewer
//
// [ReadMarks] reads what a viewer says a take is, moment by moment, and [Agree]
// and [AgreeTakes] hold that against another viewer's marks, or against the
// program's spans ([SpanMarks]), over the time that both judged.
//
//	function                  formula                                        source
//	Agreement.Kappa           (p₀ - pₑ)/(1 - pₑ), p shares of time           Cohen 1960
//	  its interval            what moments, or takes, add to first order     Fleiss, Cohen & Everitt 1969
//	Agreement.Prevalence      p₁₁ - p₂₂                                      Byrt, Bishop & Carlin 1993
//	Agreement.Bias            p₁· - p·₁                                      the same
//	Agreement.Adjusted        2p₀ - 1                                        the same
//	Agreement.Overlap         time of both over time of either               Jaccard 1912
//
// # Calibration of these
//
// 10,000 simulated players each (go test -run SmallestChange -calibrate 10000), with
// repeats of one to ten days of one to three takes, sides of one or three takes,
// and days that differ by nothing to twice as much as takes: without a change 3.6
// to 5.9 % went beyond the repeats, intervals at 95 % held the change in 93.7 to
// 95.7 %, and 3.8 to 5.1 % of changes at their margin were called inside it. Of
// takes that were among the three repeats of their own day none went beyond: a
// change hides itself there, and is said to.
//
// The interval within the takes is as good as those of its two values. Of medians
// of 120 and 240 strokes alike by 0, 0.3 and 0.6 it held the difference in 96.7,
// 96.5 and 96.2 %, by 0.9 in 89.3 % (go test -run WithinTakes -calibrate 10000).
//
// Intervals of kappa held the long-run kappa of two simulated viewers, who miss
// spans and move their boundaries, in 93.2 to 95.9 % of 2000 cases (30 to 200 spans
// of one take, or 6 to 30 takes; go test -run KappaCoverage -calibrate 2000).
//
// # Missing values of these
//
// A measure that one take lacks is absent from the comparison with that take's
// reason; repeats leave out takes that lack it. Ratio measures of zero have no
// logarithm and are left out alike. Repeats that all have one value tell nothing
// and are absent, never a smallest change of zero or of what rounding leaves. Time that a viewer left
// unmarked counts for nobody, and is stated.
//
// # Literature of these
//
// D. G. Altman and J. M. Bland, Absence of evidence is not evidence of absence, BMJ
// 311 (1995) 485. J. M. Bland and D. G. Altman, Statistical methods for assessing
// agreement between two methods of clinical measurement, Lancet i (1986) 307-310;
// Measurement error, BMJ 312 (1996) 1654; Measuring agreement in method comparison
// studies, Stat. Methods Med. Res. 8 (1999) 135-160. T. Byrt, J. Bishop and J. B.
// Carlin, Bias, prevalence and kappa, J. Clin. Epidemiol. 46 (1993) 423-429. J.
// Cohen, A coefficient of agreement for nominal scales, Educ. Psychol. Meas. 20
// (1960) 37-46. J. L. Fleiss, J. Cohen and B. S. Everitt, Large sample standard
// errors of kappa and weighted kappa, Psychol. Bull. 72 (1969) 323-327. S. Holm, A
// simple sequentially rejective multiple test procedure, Scand. J. Stat. 6 (1979)
// 65-70. P. Jaccard, The distribution of the flora in the alpine zone, New Phytol.
// 11 (1912) 37-50. F. E. Satterthwaite, An approximate distribution of estimates of
// variance components, Biometrics Bull. 2 (1946) 110-114. D. J. Schuirmann, A
// comparison of the two one-sided tests procedure and the power approach, J.
// Pharmacokinet. Biopharm. 15 (1987) 657-680. J. S. Williams, A confidence interval
// for variance components, Biometrika 49 (1962) 278-281. G. Y. Zou and A. Donner,
// Construction of confidence limits about effect measures, Stat. Med. 27 (2008)
// 1693-1702.
//
// # A list of takes
//
//	roster, err := progress.ReadRoster(file, "takes.csv")
//	for _, player := range roster.Players() {
//		takes := roster.Of(player) // set the Summary of each from its review
//		p, err := progress.OfPlayer(takes, progress.Options{Primary: []string{"settled_share"}})
//		...
//	}
//
// [ReadRoster] says what a list may hold. Paths in it are relative to its folder;
// nothing here opens them. Takes at which pain was noted come first in the Notes
// of every result, with what to do; nothing here is medical advice.
//
// # Many takes
//
// [OfPlayer] follows every measure of review.Measures() over days. A day is one
// observation, however many takes it has: their mean on the measure's scale.
// Measures that compare within one set-up only are followed set-up by set-up, and
// takes reviewed with other options apart. The primary measures are adjusted among
// themselves, the others among themselves.
//
// [RateAndScatter] asks whether the player got fast first and even later, or the
// other way round. Rate (its logarithm) and scatter (of durations as a share of the
// stroke) over days are each fitted by a parabola, whose middle of the change says
// when it came; which of the two is ahead has an interval. It needs eight days, a
// rate that rises and a scatter that falls. A change that comes all in the first
// days is placed too late by a parabola, in both alike. What goes together within a
// day, the trade of speed for evenness, is told apart from what goes together from
// day to day: WithinDays compares takes of one day only.
//
//	function                      formula                                    source
//	Series.Trend, Series.PerWeek  Theil-Sen, Mann-Kendall on days            package variability
//	Series.Adjusted               step-down; step-up                         Holm 1979; Benjamini & Hochberg 1995
//	Series.Curve                  exponential and power curves               package learning
//	RateAndScatter.RateMiddle     2γ/3β of α + βτ + γτ², τ in [-1, 1]        mean of τ weighed by the slope
//	  its interval, and Ahead's   generalised interval of a ratio            Weerahandi 1993
//	RateAndScatter.WithinDays     Kendall's τ, pairs of one day              Kendall 1938; dealt out by day
//	Week.SettledShare             Σwx/Σw, w the time played                  Cochran 1977, 6.9
//
// # The slow take
//
// [SameMotionInTake] takes a film that gets faster, [SameMotionInTakes] slow and
// fast takes of a day. Both tell path angle, skew, stroke length, carry and cycle
// shape at the slow and the fast rate, and answer inside or outside only where the
// whole interval of the difference is, as package cycle does. That fast strokes are
// shorter is common practice in good players too, so length is told and not judged
// unless its margin is given.
//
//	function                      formula                                    source
//	SameComponent.Difference      slope by log rate, over cycles of a take   least squares
//	  its interval                AR(1), by cycles and blocks of 3 and 6     Kendall 1954; calibrated here
//	  in takes                    the same with days held                    analysis of covariance
//	  of the shape in takes       Σ (slopes of the coefficients)²/2          Parseval
//
// Few samples a stroke make angle and shape worse at the fast end than at the slow
// one. Below 8 at the 90th percentile of the rate nothing is judged, and the mean
// cycles of both thirds are fitted with the same number of harmonics.
//
// # Calibration of these
//
// Intervals of the slope by rate, of nothing (go test -run SlopeCalibration
// -calibrate 2000; 60, 150 and 300 cycles; a ramp, and up and down with time held)
// left it out, instead of in 5 %, in
//
//	2.2 to 3.0 %   independent cycles
//	2.8 to 3.7 %   likeness of neighbours 0.3
//	2.5 to 4.6 %   likeness 0.6, also where the scatter grows threefold
//	2.5 to 7.0 %   likeness 0.9, worst with 60 cycles
//	7.0 to 14.6 %  likeness 0.9 under noise of 1.8 times its variance, best with 300 cycles
//
// The last is a shortfall: a slow wander that noise hides looks like a change with
// the rate. Film longer, and up and down.
//
// Simulated takes of 24 s from 5 to 10 strokes a second (-run SameMotionTable
// -calibrate 100; 12 px/mm, 10 mm, scatter 1.5 degrees a stroke; answers of 100):
//
//	frames/s   noise          same motion            turned by 6 degrees
//	           px          inside outside  ?       inside outside  ?
//	60         0.3 to 2       0      0    100          0      0    100
//	120        0.3 to 2     94-95    0    5-6          0    83-88  12-17
//	240        0.3 to 2     94-95    0    5-6          0    85-87  13-15
//
// At 60 frames/s the fast strokes have 6 samples: refused. Up and down by steps,
// with the angle drifting by 8 degrees in time, 94 of 100 were inside and none
// outside; with the path a third shorter when fast 96 inside and none outside; of
// 100 searching takes whose angle wanders by 8 degrees one was called outside.
//
// Over takes that scatter by 0.8 degrees (-run SameMotionInTakes -calibrate 2000)
// intervals held the truth in 93.8 to 95.4 %, and at the margin 2.2 to 2.5 % were
// called inside and 2.4 to 2.5 % outside. Repeats do not widen a margin: if the
// smallest change of three repeats stood for it, 39 % at the margin would be called
// inside. Intervals of the distance of mean cycles are wide: they held it in 97 to
// 100 % (-run ShapeInTakes -calibrate 3000).
//
// Trends of days that did not change (-run TrendCalibration -calibrate 1500) were
// seen at 0.05 in 1.3 % (6 days, whose P comes in coarse steps), 5.1 % (10 days) and
// 2.0 % (20 days). Below 20 days they are taken to be independent: where they are
// alike by 0.3 a trend is seen in 12 % of 10 days and in 13 % of 19, which is a
// shortfall. From 20 days on the likeness is allowed for: 1.8 to 2.5 % at up to 0.6.
//
// Of players whose rate and evenness came together one was said to come first in
// 2.1 to 3.8 %, and in 4.5 to 6.5 % with days alike by 0.3; with one early and the other
// late the right one was named in 98 to 99 % and the wrong one never, over 20 days
// of three takes (-run OrderCalibration -calibrate 1500). To say that they came
// together takes more days than that. Rate and scatter that do not go together
// within days were told to in 2.9 %, and intervals of WithinDays over 14 days held
// nothing in 94.9 % (-run WithinCalibration). Intervals of the share of a week held
// it in 94.5 to 94.9 % (-run PooledShare -calibrate 10000).
//
// # Missing values of these
//
// A measure that a take lacks is left out of its day; a series without any take is
// absent with the reason. Ratio measures of zero have no logarithm and are left out
// alike. A day whose lines point every way has no mean: its takes are left out, and
// noted. Takes without a date or a review are listed in Progress.LeftOut. Of cycles
// with a hidden turn what depends on its place is left out.
//
// # Literature of these
//
// Y. Benjamini and Y. Hochberg, Controlling the false discovery rate, J. R. Stat.
// Soc. B 57 (1995) 289-300. W. G. Cochran, Sampling Techniques, 3rd ed. (1977). M. G.
// Kendall, A new measure of rank correlation, Biometrika 30 (1938) 81-93; Note on
// bias in the estimation of autocorrelation, Biometrika 41 (1954) 403-404. S.
// Weerahandi, Generalized confidence intervals, J. Am. Stat. Assoc. 88 (1993)
// 899-905.
//
// # Size
//
// The package holds more than 1,200 lines and 30 names because two takes, many
// takes and repeats lean on one notion of what may be compared and of a player's
// own scatter, which would otherwise be exported from a package of its own.
package progress
