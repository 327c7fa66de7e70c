// Package cycle finds the mean cycle of a run of strokes, how evenly the single
// cycles keep to it, how smooth they are, and how far it lies from a reference
// motion.
//
//	m, err := motion.Analyze(placed, motion.Options{})
//	c, err := cycle.Fit(placed, m, m.Strokes[s.First:s.Last+1], cycle.Options{View: trajectory.EndOn})
//	fmt.Println(c.PathAngle.Value.Degrees(), c.Curvature.Value, c.Evenness.Value)
//
// # The mean cycle
//
// A cycle is a downstroke and the upstroke after it. Each stroke counts evenly
// in time: the downstroke from phase 0 to its mean share of the cycle, the
// upstroke from there to 1, so that the turns of all cycles fall together and
// the mean keeps the ratio of their durations. On every axis the samples are
// the harmonics of the phase about a centre of each cycle's own, found by least
// squares on the samples themselves, not on a smoothed path: a low-pass that
// serves the search for turns keeps two thirds of the curvature of fast
// strokes. Many cycles fill the phases, so that four or five samples in a stroke
// are enough, and gaps do no harm while each phase is seen in three cycles.
// The number of harmonics is the one that predicts a left-out cycle best, and
// up to four more where they cost little: too few would bend the path by more
// than the interval knows of. It stays below two thirds of the samples in a
// cycle: the errors of the turns' times go with where the samples lie beside
// them, come again from sample to sample, and would be fitted.
//
// A second and a third round take the hand's centre through the cycles (local
// lines over half a second to each side, begun anew at a change of string) out
// of the samples, and move all turns together so that phase 0 and the share are
// the turns of the mean cycle itself.
//
// Intervals are at 95 % and bear the likeness of neighbouring cycles: what each
// cycle pulls the result by (the infinitesimal jackknife, by the slopes of the
// result by the coefficients) is a series in time, whose long-run variance gives
// the error, with Student's t for its degrees of freedom (estimate.LongRun).
// Cycle.DownShare and Cycle.Band also hold where the harmonics that are left out
// may move the turns: half as much again as the upper half of those fitted does.
//
//	function              formula                                source
//	Fit                   x(φ) = c + Σ a cos 2πhφ + b sin 2πhφ   least squares
//	Options.Harmonics     least Σ (left-out error)²              Stone 1974; Takeuchi 1976
//	  intervals           n (θ with a cycle twice - θ)           Efron & Tibshirani 1993; Müller 2007
//	  slow centre         local lines, tricube weights           Cleveland 1979
//	Cycle.Curvature       8 bulge/chord², parabola on the chord  as package motion
//	Cycle.LoopWidth       (1/2)∮(x dy - y dx)/chord              Green
//	Cycle.Evenness        √(Σr² - noise²), noise by differences  Gasser et al. 1986
//	SpectralArcLength     -Σ √((Δf/(f₁-f₀))² + ΔM²)              Balasubramanian et al. 2015
//	LogDimensionlessJerk  -ln (T³/v² ∫ |d²v/dt²|² dt)            Balasubramanian et al. 2015
//	Reference.Distance    interval within, beyond the margin     Schuirmann 1987
//	  of the shape        mean square, less its variance         -
//
// # Evenness
//
// [Cycle.Evenness] is the root mean square distance of the path of single
// cycles from the mean one. What is faster than the slow centre counts,
// the scatter of the centre included; what is slower is drift. Scatter that is
// alike from cycle to cycle is partly taken for drift: with a correlation of one
// half between like turns that follow each other, Evenness is some 15 % too
// low. The hand's own moves within half a second are not told from it. The noise
// of the samples is taken away as white noise: a tracker that smooths leaves
// some of it in. The errors of the turns' times count as they are stated in
// motion.StrokeNoise.
//
// # Smoothness
//
// Both indices were made for single movements from rest to rest. Of strokes,
// they depend on how many of them they are taken over, on the filter, and on
// the noise; over a single stroke they tell the filter. [Smooth] takes them over
// stretches of the same number of strokes and says which filter was used. The
// published cut-off of 10 Hz for the spectrum takes the strokes themselves away
// from 10 a second on: the spectral arc length is absent then. The jerk is that
// of the velocity as a vector, since a speed has a kink at every turn.
//
// # References
//
// A [Reference] is kept from a tutor's take ([FromCycle]) or written by hand as
// JSON ([ParseReference]). [Reference.Distance] answers inside or outside only
// where a whole interval is, and [Reference.Follow] says when in a take it was
// first inside and for how long. Angles compare between end-on and 3-d views; a
// front view compares skew and the shape across and along; an oblique view
// compares only within one setup. What the views do not share is left out, and
// said. The overall answer is outside if any one component is; each is wrong
// about 1 time in 40 at its margin.
//
// # Missing values
//
// Missing samples are NaN on all axes at once. A phase that is seen in fewer
// than three cycles has no place: [Cycle.At] is NaN there, and what depends on
// it is absent, with the reason. Axes that the view lacks are NaN.
//
// # Limits
//
// The exposure of the frames averages the path: at 1/60 s and 11 strokes a
// second lengths lose 1.4 % and curvature 3 to 5 %. Tell it (Options.Exposure).
// The path is that of the tracked point. With nine in ten of the turns on one
// side hidden, curvature is known to 15 %. At a turn where the acceleration jumps
// (strokes of unequal duration) the turn of the mean cycle lies toward the
// gentler side: with a downstroke of 0.45 of the cycle its share comes out at
// 0.454, which its interval bears. Where the acceleration is zero at the turn
// (minimum jerk) the share is known to 0.01 only. At 4 to 5 samples a stroke the
// intervals of evenness hold the truth in 9 of 10 takes instead of 19 of 20, and
// so they do at 3 strokes a second over 20 s. Of a very even player (scatter of
// turns below 0.05 mm) evenness comes out 10 % too high, and its interval holds
// the truth in 3 of 4 takes. Of a hand that wanders what it does within half a
// second is in the evenness. Curvature is that of the mean path: with lengths
// that scatter by 8 % it is 0.6 % more than the mean of the strokes'. Intervals
// suppose that the run of strokes is of one kind: over a search the mean cycle
// is a mean of many.
//
// # Size
//
// The package holds more than 1,200 lines because a reference is held against
// the curve of a cycle and what each cycle pulls it by, which no other package
// should know of.
//
// # References
//
// S. Balasubramanian, A. Melendez-Calderon, A. Roby-Brami and E. Burdet, On the
// analysis of movement smoothness, J. NeuroEng. Rehabil. 12 (2015) 112.
// W. S. Cleveland, Robust locally weighted regression and smoothing
// scatterplots, J. Am. Stat. Assoc. 74 (1979) 829-836.
// B. Efron and R. J. Tibshirani, An Introduction to the Bootstrap (1993), ch. 11.
// T. Gasser, L. Sroka and C. Jennen-Steinmetz, Residual variance and residual
// pattern in nonlinear regression, Biometrika 73 (1986) 625-633.
// U. K. Müller, A theory of robust long-run variance estimation, J. Econometrics
// 141 (2007) 1331-1352.
// D. J. Schuirmann, A comparison of the two one-sided tests procedure and the
// power approach, J. Pharmacokinet. Biopharm. 15 (1987) 657-680.
// M. Stone, Cross-validatory choice and assessment of statistical predictions,
// J. R. Stat. Soc. B 36 (1974) 111-147.
// K. Takeuchi, Distribution of informational statistics and a criterion of model
// fitting, Suri-Kagaku 153 (1976) 12-18 (in Japanese; the criterion from memory).
package cycle
