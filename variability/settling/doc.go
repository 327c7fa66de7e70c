// Package settling divides a take into settled spans, runs of strokes that keep
// one motion within stated tolerances, and the searching spans between, and
// says how a take settles and what its searching is made of.
//
// [Find] takes the strokes with three measurements each (angle, duration,
// length) and the noise of these. What it calls settled is this:
//
//   - The scatter of every measurement about the span's centre, less the
//     noise, is within its [Tolerances].
//   - The centre stays put. It neither drifts by more than a tolerance over
//     the span, be it there and back, nor wanders by more than half of one, in
//     any measurement. Where it switches
//     abruptly from one plateau to another there are two spans; a slow drift
//     is not settled, however little it moves from stroke to stroke, and is
//     not cut into pieces that each look still.
//   - The span lasts at least Tolerances.MinSpan.
//   - It is told from its surroundings by more than chance. A take of one and
//     the same scatter throughout is one span or none.
//
// Downstrokes and upstrokes differ in all three measurements and have centres
// of their own, so that alternation is not scatter. One or two strokes in a
// row that stand out, as a change of string makes them, do not end a span;
// a break does.
//
// [Watch] says the same while a take is played, by the strokes so far.
//
// [HistoryOf] tells from the result how long the player keeps and how long
// searches, how often and how abruptly that changes, whether one motion is
// kept or several, and whether spans grow. [Explore] tells which measurements
// the searching varies, and whether each stroke is a draw of its own or wanders
// on from the one before. Both describe spans that Find has made out of these
// very measurements: that searching scatters more than settled is no finding,
// and nothing here tests it.
//
//	r := settling.Find(strokes, settling.Options{})
//	if r.Absent != nil {
//		fmt.Println(r.Absent.Why) // too few strokes, or more noise than half a tolerance
//	}
//	for _, s := range r.Spans {
//		fmt.Println(s.Settled, s.Start, s.End)
//	}
//	h := settling.HistoryOf(strokes, r, settling.HistoryOptions{})
//
// # Method of Find
//
// All measurements are taken in units of their tolerances, duration and length
// as logarithms.
//
//	trace.go    two-state hidden Markov chain, searching or settled, whose
//	            settled state carries the centre of the span so far: Viterbi
//	            search with a beam (Rabiner 1989; Adams & MacKay 2007 for
//	            chains that carry a parameter from change to change)
//	model.go    settled strokes are normal about the centre; searching ones a
//	            first-order autoregression, from drawn afresh to wandering.
//	            Both are fitted to the take and the search repeated (Viterbi
//	            training: Juang & Rabiner 1990)
//	line.go     each run as a centre that is constant or a polynomial in time
//	            (Forsythe 1957), by BIC (Schwarz 1978), odd strokes left out
//	join.go     neighbouring runs that one line describes as well are one;
//	            a take that one state describes as well is one
//	plateau.go  runs whose centre switches (Scott & Knott 1974; BIC against
//	            the smooth line and against a wandering centre)
//	local.go    how far centres over windows of a second are apart within a line
//	verdict.go  scatter, drift and wander against the tolerances
//	still.go    what is refused since its centre moves about is settled before and
//	            after a short searching, if that is where it moves
//	again.go    what is refused for the scatter of some measurements and not of others
//	            is searched by these alone, and the model learned anew from that
//	edges.go    the same chain with the centres known puts the ends of the
//	            spans and gives the posterior probabilities
//	doubt.go    what would be a span, or none, if the limits were held a little
//	            looser or closer: with the ends the interval of Share
//	hmm.go      forward-backward and Viterbi recursions
//	watch.go    the chain of trace.go stroke by stroke, for Watch
//
// The time taken is proportional to the number of strokes, but for sorting, and
// longer where a take is searched again. Most of it goes into the searches of
// doubt.go: for 216 strokes HistoryOf takes a sixth of it, Explore a tenth ("go test
// -bench Find").
//
// # Formulas of HistoryOf and Explore
//
//	function                 formula                                   source
//	Length.Seconds           Π (1 - d/n) down to 1/2                   Kaplan & Meier 1958
//	  its interval           |log(-log S) - log(log 2)| ≤ z √G/|log S|  Brookmeyer & Crowley 1982
//	History.LeavesPerMinute  n/T × exp(±t CV/√n)                       Cox 1962
//	  under five gaps        exact Poisson                             Garwood 1936
//	History.HoldTrend        median slope; S over breaks, exact        Theil 1950; Kendall 1975;
//	                                                                   Hirsch, Slack & Smith 1982
//	Likeness.Distance        max |a - b|, Welch's t, Bonferroni        Welch 1947
//	Hold.Onset               s.d. that falls in a line, likelihood     -
//	Explored.Scatter         Σ x²/Σ (1 - S/n), S sum of covariances    -
//	  its interval           χ² with 2/(relative error)²               Satterthwaite 1946
//	Explored.Ratio           each bound by the distances of both       Donner & Zou 2012
//	Explored.Memory          root of E(Σxx')/E(Σx²) = seen             Kendall 1954, Marriott & Pope 1954
//
// The file of each: survival.go, stretch.go, trend.go, motion.go, onset.go,
// scatter.go, memory.go.
//
// # What to expect of Find
//
// On simulated takes of 15 to 20 s at 5 to 14.5 strokes a second with one to
// five settled spans (scatter 0.8 to 2 degrees, 2 to 5 % and 3 to 8 %; searching
// 5 to 12 degrees, 12 to 25 % and 18 to 35 %, in all three measurements or in
// two, drawn afresh or wandering with a serial correlation of 0.3 to 0.9), found
// and true settled time overlap by at least 90 % of their union in 98 % of takes,
// and in 92 % where changes of string pull one or two strokes up to 36 times a
// minute. Takes that never settle have no settled span in 99 %; 2000 takes of one
// scatter, from 0.2 to 3 tolerances, were one span or none in 99.8 %.
//
// Takes made in another way (of 18 to 40 s, spans that begin and end by chance,
// scatters of 0.25 to 0.6 and 1.5 to 3.2 tolerances with long tails, changes of
// string as often as said, searching with a serial correlation r): shares of the
// true settled spans of a second or more that settled time overlaps by half, by
// their seconds; of the takes in which every one is; and of the takes that never
// settle, with a slow drift, in which none is found. 1000 takes each, 500 with changes of
// string, "go test -run TestFound -v -calibrate 1000". At least one span was found in 99 % of the
// takes that settle, in every row.
//
//	r     strings/min   all   1-1.5   1.5-2   over 2   every one   never
//	0          0        0.99   0.96    0.99    1.00      0.96      1.00
//	0.3        0        0.99   0.97    0.99    1.00      0.97      1.00
//	0.6        0        0.99   0.97    0.99    1.00      0.98      1.00
//	0.9        0        0.97   0.85    0.94    1.00      0.90      1.00
//	0         18        0.97   0.91    0.96    0.99      0.91      1.00
//	0.3       18        0.98   0.91    0.97    0.99      0.92      1.00
//	0.6       18        0.98   0.91    0.96    0.99      0.92      1.00
//	0.9       18        0.96   0.82    0.96    0.99      0.87      0.98
//	0         36        0.96   0.84    0.92    0.98      0.85      1.00
//	0.3       36        0.95   0.85    0.93    0.98      0.85      1.00
//	0.6       36        0.95   0.79    0.96    0.98      0.84      1.00
//	0.9       36        0.94   0.75    0.93    0.98      0.80      0.95
//
// A stretch of searching between two spans of one motion (scatter a third of the
// tolerances, searching six times that) is seen as such in 57 to 91 % of takes when
// it lasts 1.5 s, 96 to 100 % at 2.5 s, 99 to 100 % at 3.5 s; less where the
// settled strokes wander too ("go test -run TestShortSearch -v"). Otherwise it
// passes for strokes that stand out, and the take for settled throughout.
//
// Hard are few strokes a second (one stroke more or less is a tenth of a short
// span), searching that wanders so slowly, over seconds, that it keeps still for
// one (92 % at 0.9). One that wanders so in one measurement alone may be taken for
// plateaus of a second or two, and settled throughout.
//
// Six seconds that are settled between as many that search in one measurement alone,
// drawn afresh, are found in 40, 40 and 35 of 40 takes (angle, duration, length), and
// none in takes that search so throughout ("go test -run TestOneMeasurement -v").
//
// A rate that goes up and down in a sine of 4 to 10 s, over 2.5 or 4 tolerances, is
// settled for less than a quarter of the time in 100 of 100 takes, one of a third of a
// tolerance throughout in 100 ("go test -run TestSlowWander -v"). Over one to two
// tolerances it is either. A stretch that keeps together but for this is in
// Result.Moving in half of the takes; in the others nothing keeps together.
//
// The interval of Share holds the ends of the spans, what would be a span or none if
// the limits were held looser or closer by a standard error, 3 nats or a stroke at
// either end, and one more span of the least length where there is room for it, since
// a take in twenty or more has one that is not found. At 0.95 it holds the truth, true
// spans of a second or more, in these shares of the takes of the second kind ("go test
// -run TestShareCover -v -calibrate 300"; it is .08 to .09 wide):
//
//	r                          0    0.3   0.6   0.9
//	no changes of string      .97   .94   .97   .97
//	18 changes a minute       .96   .94   .96   .94
//
// and in .93 of 240 takes of package simulate that a review sees by its tracker
// ("go test ./motion/review -run TestShareCover -v -calibrate 60"; .12 wide). Of the 17
// that miss 15 lie above: searching that happens to keep still for a second is settled
// by the words above and searching by the simulator.
//
// # What to expect of HistoryOf and Explore
//
// Shares of intervals at 0.95 that hold the truth, on takes of the second kind
// with r of 0, 0.3, 0.6 and 0.9, with the true spans and with those of Find;
// "go test -run Cover -v -calibrate 600" (History 400, Likeness 300, Onset 150):
//
//	                     true spans            spans of Find
//	scatter              .97 .97 .97 .95       .97 .97 .97 .95
//	ratio                .97 .97 .97 .96       .95 .95 .97 .96
//	share                .96 .96 .98 .99       .96 .97 .97 .98
//	memory of one        .96 .95 .94 .96       .96 .95 .94 .94
//	memory of all        .96 .97 .95 .96       .96 .97 .93 .91
//	median hold          .98 .95 .97 .97       .92 .96 .95 .96
//	median search        .96 .96 .95 .95       .94 .96 .96 .96
//	leaves per minute    .96 .97 .95 .96       .94 .97 .95 .95
//	share of a third                           .95 .97 .96 .90
//
// Low are thirds at 0.9, where Find misses short spans. A median
// length has an interval in about half of takes of 20 to 120 s; the median
// itself is some 8 % long, as the middle of a few skewed lengths is.
//
// The verdict on searching, of all measurements together, is fresh in 92, 81, 1
// and 0 % of takes and wander in 0, 0, 10 and 89 % with true spans (memories of
// 0, 0.09, 0.36 and 0.81); of one measurement alone fresh in 67, 43, 2 and 0 %,
// wander in 0, 0, 8 and 66 %.
//
// Trends are found in 2 to 5 % of takes without one (exact p of few spans cannot
// reach 5 %).
//
// The distance of two motions is, for strokes of a hold with a serial correlation
// of 0, 0.3 and 0.6, held by .95, .93 and .90 of intervals if it is none, and
// by .96 to .99 from half a tolerance on. Of motions one tolerance apart in one
// measurement 0 to 1 % are called the same and 1 to 3 % another. The same motion
// is told in 73, 71 and 59 % of pairs, one two tolerances away in 96, 96 and 89 %.
//
// The strokes to take hold are held by .98 or more of intervals for a fall over 0
// or 2 strokes, .96 or more over 5, .86 to .95 over 10. The intervals are wide,
// and absent in a fifth of holds at r = 0, in most at 0.9; slow falls are told
// too short (7.5 for 10 at r = 0, 3 to 4 at 0.9).
//
// # Missing values
//
// A measurement that is NaN, infinite, or a duration or length not above zero,
// is missing in that stroke and the stroke's others count. A noise that is NaN
// is not known and counts as none. See [Find] for when there is no result; then
// there is no history and no exploration either. What a take does not bear is
// absent by itself, with its reason: a median with more than half of the spans
// cut off, a trend's p below five whole spans, the exploration below 25
// searching strokes. Spans that the take or a break cuts off are flagged; they
// count as at least so long, or not at all, as each field says.
//
// # Size
//
// The package is larger than others here, in lines and in names, because
// history and exploration need what Find knows of the strokes (measurements in
// tolerances without the direction effect, breaks, noise), which is nobody
// else's business.
//
// # References
//
// Abramowitz, M. & Stegun, I. A. (1972). Handbook of Mathematical Functions.
// National Bureau of Standards. (26.7.5)
//
// Adams, R. P. & MacKay, D. J. C. (2007). Bayesian online changepoint
// detection. arXiv:0710.3742.
//
// Brookmeyer, R. & Crowley, J. (1982). A confidence interval for the median
// survival time. Biometrics 38, 29-41.
//
// Cox, D. R. (1962). Renewal Theory. Methuen.
//
// Donner, A. & Zou, G. Y. (2012). Closed-form confidence intervals for
// functions of the normal mean and standard deviation. Stat. Methods Med. Res.
// 21, 347-359.
//
// Forsythe, G. E. (1957). Generation and use of orthogonal polynomials for
// data-fitting with a digital computer. J. SIAM 5, 74-88.
//
// Garwood, F. (1936). Fiducial limits for the Poisson distribution. Biometrika
// 28, 437-442.
//
// Hirsch, R. M., Slack, J. R. & Smith, R. A. (1982). Techniques of trend
// analysis for monthly water quality data. Water Resour. Res. 18, 107-121.
//
// Juang, B. H. & Rabiner, L. R. (1990). The segmental k-means algorithm for
// estimating parameters of hidden Markov models. IEEE Trans. ASSP 38,
// 1639-1641.
//
// Kaplan, E. L. & Meier, P. (1958). Nonparametric estimation from incomplete
// observations. JASA 53, 457-481.
//
// Kendall, M. G. (1954). Note on bias in the estimation of autocorrelation.
// Biometrika 41, 403-404.
//
// Kendall, M. G. (1975). Rank Correlation Methods, 4th ed. Griffin.
//
// Marriott, F. H. C. & Pope, J. A. (1954). Bias in the estimation of
// autocorrelations. Biometrika 41, 390-402.
//
// Rabiner, L. R. (1989). A tutorial on hidden Markov models and selected
// applications in speech recognition. Proc. IEEE 77, 257-286.
//
// Satterthwaite, F. E. (1946). An approximate distribution of estimates of
// variance components. Biometrics Bull. 2, 110-114.
//
// Schwarz, G. (1978). Estimating the dimension of a model. Ann. Stat. 6,
// 461-464.
//
// Scott, A. J. & Knott, M. (1974). A cluster analysis method for grouping means
// in the analysis of variance. Biometrics 30, 507-512.
//
// Theil, H. (1950). A rank-invariant method of linear and polynomial regression
// analysis. Proc. K. Ned. Akad. Wet. 53, 386-392.
//
// Welch, B. L. (1947). The generalization of Student's problem when several
// different population variances are involved. Biometrika 34, 28-35.
//
// Wilson, E. B. & Hilferty, M. M. (1931). The distribution of chi-square. PNAS
// 17, 684-688.
package settling
