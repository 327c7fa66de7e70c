// Package motion finds the strokes of a plectrum in the placed path of its tip
// and measures them: when each turns, which way it goes, how long it is, its
// path angle to the string plane, skew, curvature, the heights of its turns
// and its peak speed; and, over a take, which turns clear the strings and how
// far the turns scatter on each side.
//
//	m, err := motion.Analyze(placed, motion.Options{})
//	for _, s := range m.Strokes {
//		fmt.Println(s.Direction, s.Duration(), s.PathAngle.Degrees())
//	}
//	fmt.Println(m.Clear().Clearing)
//
// # How strokes are found
//
// The path is brought onto an even grid, bridging gaps shorter than a stroke,
// and low-passed (zero-phase Butterworth, at a multiple of the cycle frequency
// that the take itself shows). Its velocity gives the local axis of the motion
// over about a second. The displacement along that axis, less its mean over
// one local cycle, is a swing about zero whatever the hand does meanwhile; it
// reverses where it comes back by more than a share of the local stroke
// length, and never less than the noise. Each turn is then refined: to the
// zero of the velocity along the axis, and to the least-squares fit of the strokes'
// own profile on both sides: each turn by its own fit where the samples bear that
// profile out, all turns of a kind alike where strokes vary by more than the noise.
// That profile is a half-cosine but for what the strokes of a direction, or of both,
// tell from noise. A stretch in which the tip stays slow for most of a stroke is
// a pause: strokes end and begin there, and nothing is found within.
//
// # How strokes are measured
//
// Shape is read off the samples, not the low-passed path. Consecutive strokes
// share a turn, so the places of the turns of a run of strokes are found
// together, by least squares on the samples of all of them: each sample lies
// between the two turns of its stroke by the share of the way gone, and off
// their chord by the bend that strokes of its direction have. Lengths, angles
// and heights follow from the turns. The bend of a single stroke, for its
// curvature, is that of the parabola over its own chord. Strokes on the way to
// another string (1.5 times longer than those around, or shorter) are measured
// alone.
//
//	function          formula                source
//	Stroke.PathAngle  atan(Δout/Δacross)     axial, in (-90, 90] degrees
//	Stroke.Skew       atan(Δalong/Δacross)   axial
//	Stroke.Curvature  8 bulge/chord²         parabola; positive when the middle bulges out
//	ExpectedNoise     of the angle about σ √(3.3/n)/L
//	                  of n samples, L the length, σ the noise of one: least squares
//	Analyze           low-pass, both ways    Winter 2009, 3.4.4
//	  first guess     averaged spectrum      Welch 1967
//	  profile         shrunk means           James & Stein 1961
//
// # Missing values and samples per stroke
//
// Samples per stroke decide: [MinSamplesStrokes] for strokes and their timing,
// [MinSamplesAngles] for angles, [MinSamplesShape] for curvature and heights.
// Heights also need a known zero (see [Options.Relative]). What cannot be had
// is NaN in the strokes, and [Motion.Absent] says why. Missing samples are NaN
// on all axes at once; a stroke one of whose turns fell into a gap counts for
// rate and direction, is marked, and has neither length, angle nor heights
// there. Through a gap of up to [Options].MaxBridge strokes in steady playing
// the strokes are counted, and marked as bridged: directions alternate, so that
// only one number fits.
//
// # A take in pieces
//
// [Analyzer] looks at pieces of a take and keeps what they show of the whole, in
// memory that it uses again. Package live follows a running camera with it.
//
// # Limits
//
// A turn with a sudden change of acceleration in mid-turn (a stroke that
// starts much more sharply than the one before it ended) is drawn toward the
// gentler side, by about 1 % of a stroke where the accelerations differ by a half, and
// by 2 % at the double (TestProfiles). Strokes shorter than an eighth of those around them are not
// told from a wavering of the hand. Strokes that linger at their turns, as
// minimum-jerk movements do, come out up to 1.8 % too long: the share of the way
// gone is read off the low-passed path. The mean cycle of package cycle does
// without it.
//
// A difference between the times of down- and upstrokes comes out a little too small:
// by 1 to 2 % of it in the mean of takes whose strokes run as a half-cosine, start
// early or late, are slowed by a string or have a flat top of speed, and by 4 % where
// the hand lingers at its turns (go test ./motion -run TestUnequalProfiles -v: takes
// that package simulate does not make). By the zero of a low-passed velocity alone it
// would be 14 to 24 %. Next to a pause, and below five samples a stroke, there is only
// that zero.
//
// # Size
//
// The package is over 1,200 lines behind a handful of names: to bring a path onto a
// grid, find its turns, refine them, learn the profile of its strokes and measure these
// are steps over one state, which [Analyzer] keeps.
//
// # References
//
// Butterworth low-pass and its correction for two passes: D. A. Winter,
// Biomechanics and Motor Control of Human Movement, 4th ed. (2009), 3.4.4.
// Averaged spectrum for the first guess of the cycle: P. D. Welch, IEEE Trans.
// Audio Electroacoust. 15 (1967) 70-73. Profile of a stroke as a minimum-jerk
// movement (for tests): T. Flash & N. Hogan, J. Neurosci. 5 (1985) 1688-1703.
package motion
