// Package cohort is a study of many players: every take measured, every take that
// is left out told with its reason, tidy rows for a statistics program, and one
// question that the package answers itself: how the variability of a player's
// early takes goes with what the player gains later.
//
//	study, err := cohort.NewStudy(plan, roster.Columns, nil)
//	for _, take := range roster.Takes {
//		study.Add(cohort.Measure(take, open, cohort.Options{}))
//	}
//	for _, a := range study.Associations() {
//		fmt.Println(a.Predictor, a.Outcome, a.Slope, a.P)
//	}
//
// [Measure] depends on nothing but its arguments: takes may be measured at the same
// time, on several machines, and put together by [RowWriter] and [RowReader]. A
// [Study] keeps one number a measure and take, half a kilobyte, so that memory does
// not follow the takes' samples.
//
// # Rows
//
// One measurement a line, long format: first the columns of the list of takes
// (player, date, session, take, file, setup, stopped_by, grip, comfort and any
// further ones), then
//
//	view, measure, unit             how it was filmed; name and unit of the measure
//	estimate, low, high, level, n   six significant digits; n counts what the codebook says
//	flags                           review.Summary.Flags, joined by ;
//	absent, why                     the reason, where the estimate is empty
//	seconds, strokes                of the take
//	lost, samples_per_second, samples_per_stroke, length_unit
//	version, options, content       of this module, of the review's options, of the export
//
// In a mixed model the player is a random effect, the session (date and session)
// within the player, and the class where players come in classes; what the study
// is about is fixed. In R, with package lme4 and values above zero,
//
//	lmer(log(estimate) ~ week + (1 + week | player) + (1 | player:date), subset(rows, measure == "duration_scatter_share"))
//
// Nothing about a person is in the rows but what the list of takes holds.
//
// # Leaving takes out
//
// Rules are data ([Rule]), asked in one order ([Exclusions.Rules]); a take is left
// out by the first that it breaks, and [Study.Flow] counts as flow diagrams of
// studies do (von Elm et al. 2007, item 13). The thresholds are common practice.
// They belong into the [Plan], before the data are seen.
//
// # Early variability against later gain
//
// Three things make such associations out of nothing, and each is met by design.
//
// Regression to the mean. Gain is late less baseline, so the luck of the baseline
// takes stands in the gain with its sign turned. If the predictor comes from those
// takes too, a bad day, scattered and unsettled, is followed by "gain" with no
// change in the player. The windows of a plan share no take, and by default no
// day: the predictor comes from the first days, the baseline from the next, the
// end from the last.
//
// Unequal starts. Players who begin lower have more to gain. Predictor and gain are
// compared at equal baseline. (Given the baseline, gain and late outcome have the
// same slope and partial correlation.)
//
// Error of measurement. A baseline known with error holds the players only half
// equal, and what is left associates the predictor with the gain wherever it goes
// with the true baseline. An error in the predictor weakens what is there. The
// days of a window show how large both are: variances are replaced by the
// covariances of a window's days, whose errors are independent, which is
// errors-in-variables regression (Fuller 1987) and, for correlations, Spearman's
// correction for attenuation (1904). What all players learn alike within a window
// is no error, and taken out.
//
// Measures of scatter have the noise of the tracker removed already
// (review.Measure); what is taken out here is how the days of one player differ.
// A duration scatter in seconds falls as the rate rises, so ask about it as a share
// of the stroke (duration_scatter_share). A settled share is found with tolerances
// of scatter, so that on one take the two are one fact. On disjoint takes they are
// two, but much alike: an association of the two says that players differ lastingly.
//
//	function              formula                                       source
//	Association.Slope     C(v,l|b)/C(v,v|b),                            Fuller 1987, 2.2
//	                      C(x,y|b) = c(x,y) - c(x,b) c(y,b)/c(b,b)
//	  its interval        (C(v,l|b) - β C(v,v|b))² ≤ t² Var             Fieller 1954
//	Association.Partial   C(v,l|b)/√(C(v,v|b) C(l,l|b)), z of Fisher    Spearman 1904
//	Association.P         C(v,l|b)/se, t with G-3 degrees of freedom    -
//	  standard errors     influence functions added up within groups    Liang & Zeger 1986
//	Association.LateReliability  mean covariance of days over variance of mean  Cronbach 1951
//	Association.Adjusted  stepwise Bonferroni                           Holm 1979
//	Association.Answer    interval within, beyond or across the margin  Schuirmann 1987
//	Group.ICC             one-way analysis of variance, F               Shrout & Fleiss 1979
//	                      with unequal numbers of takes                 Thomas & Hultquist 1978
//	Group.Centre          order statistics; signs added up within groups  as estimate.MedianInterval
//
// c(x,y) are covariances over players of the means of the windows, c(v,v), c(b,b)
// and c(l,l) those of the days of a window with each other; v is the predictor, b
// the baseline, l the late outcome, n players in G groups. For windows of two
// days the reliability is the split-half coefficient of Spearman and Brown for
// halves of unequal variance; for more it is the mean over all splits.
//
// Ratios (scatters, rates, lengths) are compared by their logarithms, shares and
// differences as they are. A share near 1 can hardly grow; that is in the baseline,
// and the correlation of ranks stands beside it.
//
// # What is refused
//
// Fewer than 12 players with all their windows, or 12 groups; a window of one day,
// whose error nobody knows; a window whose variance over players, error taken out,
// is not twice its standard error. Measures that compare within one set-up or view
// only (review.Alike) are absent where takes were filmed otherwise. Without a
// primary question named in the plan all is exploratory.
//
// # Missing values
//
// A take without the predictor or without the outcome does not count for that
// question; a ratio of zero, a scatter below the noise, has no logarithm, and
// Zeros counts it. A take without a date is neither early nor late, and Study.Notes
// counts it. A player with fewer days than the windows need is left out, and
// Short counts that. Nothing is filled in. What cannot be had is absent with its
// reason.
//
// # Calibration
//
// Simulated studies, 2000 of each kind: 20, 50, 100 and 200 players, windows of two
// days with reliabilities of 0.5, 0.7 and 0.9, true predictor and true baseline
// uncorrelated or correlated by -0.6, no slope or one of 0.4; 30, 60 and 200 players
// of skewed distributions with errors of long tails; 12 to 40 classes of 5 or 6
// whose players have 30 % of their variance in common. Wherever at least half of
// the studies were answered rather than refused,
//
//	                        measured        wanted
//	rejects a true null     2.9 to 5.8 %    5 % (12 classes: 3.0 %)
//	interval of the slope   94.1 to 97.2 %  95 %
//	Partial                 94.1 to 99.4 %  95 % (where at least half have one)
//	reliability             93.0 to 96.1 %  95 % (skewed: 89.4 to 93.1 %)
//	ICC                     94.9 to 95.3 %  95 %
//	median over players     95.6 to 96.4 %  at least 95 %, alone and in classes
//
// Where fewer are answered it comes from lucky ones: the slope then covers in 93 to
// 100 %, Partial in as few as 88 %. Refused were, uncorrelated and correlated, with
// a reliability of 0.9 15 and 32 % of studies of 20 players and none of 50; with 0.7
// 75 and 88 % of 20, 7 and 39 % of 50, 0 and 6 % of 100; with 0.5 97 and 98 % of 20,
// 68 and 85 % of 50, 19 and 57 % of 100, 1 and 25 % of 200: a small study needs more
// days a window. With a slope of 0.4 and 0.7, 100 players find it in nine studies of
// ten, 50 in half.
//
// Left in, the errors make associations: Observed, whose interval is for what was
// measured, excludes zero in 5 to 7 % of studies without an association where
// predictor and baseline are uncorrelated, and in 7 to 33 % where they are not, the
// more the larger the study; Rank in 4 to 6 and 6 to 30 %. With early takes that are
// those of the baseline too, the correlation with plain gain is "significant" in
// 90 % of studies of 100 players who do not differ in gain at all; Observed in 27 %,
// and P is below 0.05 in 3.6 %.
//
//	go test ./motion/cohort -run 'Calibration|Naive' -calibrate 2000 -v
//
// # Size
//
// The package is over 1,200 lines because it takes takes from the list to the
// answer: measuring and rows, rules and plan, the one analysis, and what is written
// of them. They share the record of a take and little else.
//
// # References
//
// Cronbach, L. J. (1951). Coefficient alpha and the internal structure of tests.
// Psychometrika 16, 297-334.
//
// Fieller, E. C. (1954). Some problems in interval estimation. J. R. Stat. Soc. B
// 16, 175-185.
//
// Fuller, W. A. (1987). Measurement Error Models. Wiley.
//
// Holm, S. (1979). A simple sequentially rejective multiple test procedure. Scand.
// J. Stat. 6, 65-70.
//
// Liang, K.-Y. & Zeger, S. L. (1986). Longitudinal data analysis using generalized
// linear models. Biometrika 73, 13-22.
//
// Schuirmann, D. J. (1987). A comparison of the two one-sided tests procedure and
// the power approach for assessing the equivalence of average bioavailability. J.
// Pharmacokinet. Biopharm. 15, 657-680.
//
// Shrout, P. E. & Fleiss, J. L. (1979). Intraclass correlations: uses in assessing
// rater reliability. Psychol. Bull. 86, 420-428.
//
// Spearman, C. (1904). The proof and measurement of association between two things.
// Am. J. Psychol. 15, 72-101.
//
// Thomas, J. D. & Hultquist, R. A. (1978). Interval estimation for the unbalanced
// case of the one-way random effects model. Ann. Stat. 6, 582-587.
//
// von Elm, E. et al. (2007). The Strengthening the Reporting of Observational
// Studies in Epidemiology (STROBE) statement. Lancet 370, 1453-1457.
package cohort
