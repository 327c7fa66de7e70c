// Package contact tells what the strokes of a plectrum do at the strings: which
// strings each of them reaches and which it misses, how deep and when it passes
// them, how far it travels past them, whether the string slows the pick, which
// strokes sounded by a list of onsets, and how the pick's edge is turned.
//
//	m, err := motion.Analyze(placed, motion.Options{HeightError: 0.1})
//	guitar := contact.Strings{Number: 6, CrownRadiusMM: 305}.Within(52)
//	c, err := contact.Find(m, placed, guitar, contact.Options{})
//	for i, s := range c.Strokes {
//		fmt.Println(i+1, s.Direction, s.Numbers(), s.Depth, s.FollowThrough)
//	}
//	missed := c.Missed()
//
// # What each result needs
//
//	strings reached, depth    heights with a zero: the tip itself, or a touch
//	                          (FindTouch); a view that shows out; marks at the
//	                          picking spot; MinSamplesReached samples per stroke
//	follow-through            places across with a zero: the same, in any view
//	crossing speed, slowing   motion.MinSamplesShape samples per stroke
//	struck, levels            a list of onsets; no heights
//	edge angle                two points on the pick, or three (EdgeAngles)
//
// What cannot be had is NaN or unknown in the strokes, and Contacts.Absent,
// Match.Absent, Touch.Absent or Edges.Absent says why; summaries are then absent
// for the same reason. Lengths are in millimetres: paths in another unit have no
// contacts.
//
// # Strings
//
// The string plane goes through the tops of the outer strings: put the marks
// there. A mark at the middle of a string lies lower by the string's radius, 0.1
// to 0.6 mm (common practice), which belongs into motion.Options.HeightError.
// Where the crown of the fingerboard is not known, an inner string may lie
// anywhere from that plane to where a radius of 184 mm puts it.
//
// # Reached, missed, cannot say
//
// A stroke reached a string if the tip passed its place across below its top.
// The tip's height there is that of a weighted parabola through the stroke's own
// samples, out over across; the samples are those of the raw path, since a
// low-pass would flatten it. Few samples per stroke lean on the bend that the
// other strokes of the direction have. Its error is that of the samples' noise,
// measured on the strokes and widened where it is slow, together with those of
// the string plane and of the crown. The probability that follows makes the
// answer: yes from Options.Certainty up, no below its complement, otherwise
// unknown. Strings that only the unseen part of a stroke may have reached leave
// it unknown as well. A pair counts as reached with either of its strings;
// Crossing.Of says which.
//
// # Does the string slow the pick
//
// The mean cycle of a take holds whatever the string does to every stroke, and
// cannot show it. Slowing is measured against the strokes' own speed on both
// sides of the string instead: in the plane of place and squared speed, where an
// undisturbed stroke is a smooth curve, a parabola for a free oscillation, and
// its timing does not matter. The curve is fitted without the string's reach and
// read within it.
//
// # Onsets
//
// Onsets and strokes are paired one to one and in order, so that the sum of
// 1-(Δ/w)² is greatest. The window w of a stroke narrows to five times the scatter
// that the pairs show, and no further than to five times the error of the stroke's
// own moment at the string; where a turn is hidden, or the stroke's times are out
// of line with those of the others, it stays half a stroke. A lag of the sound is
// found by laying the onsets over the strokes at every lag at which many of them
// meet, and taking the likeliest; where a lag a stroke longer or shorter is about
// as likely, as in very even playing, it is undecided, and so is which strokes are
// silent. A note that is missing from the list makes its stroke silent: reached
// and struck stand side by side in Agreement, and neither corrects the other.
//
// That a film is bad makes no stroke silent. One whose moment is badly known, with
// an onset left over near it, may have made that one; one that is hidden where it
// passes the string is unknown unless an onset is its own, and left out of the
// share of silent strokes. With a fifth of the samples lost and filled with
// repeated values, 1 stroke in 4,000 is called silent wrongly, and the share of
// silent strokes is off by 0.001 on average.
//
// # Formula to function
//
//	function         formula                               source
//	Strings.Height   √(R²-y²) - √(R²-y₁²)                  geometry of a circle
//	Find             parabola, weights (1-|u|³)³           Cleveland 1979
//	Crossing.P       Φ((top-out)/σ)                        averaged over an unknown crown
//	Contacts.Missed, Match.Silent  exact binomial interval  Clopper & Pearson 1934
//	Contacts.Depth, Contacts.FollowThrough  medians over strokes  estimate.SeriesMedian
//	Contacts.DepthSpread, Contacts.FollowThroughSpread  1.4826 median |x-m|  Hall & Welsh 1985
//	MatchOnsets      max Σ 1-(Δ/w)², in order              common subsequence, Cormen et al. 2009, 15.4
//	EdgeAngles       atan(Δacross/Δalong); of three points  the trace of the plane u × v
//
// Shares and spreads have the intervals of as many independent strokes as
// estimate.LongRun leaves.
//
// # Missing values
//
// NaN samples are left out. A stroke that lies in a gap as a whole is unknown.
// NaN onsets are an error; NaN levels are not known.
//
// # Limits
//
// Crossing.DepthError is stated too surely where the path changes its shape. On
// made-up paths with white noise its 95 % intervals hold the depth in 87 to 90 %
// of crossings: 94 % of plain ones in mid-stroke, about 75 % beside a lifted
// stroke or near a turn (240 frames/s). With noise correlated by 0.5 from sample
// to sample they hold it in 78 to 85 %. The errors themselves are 0.02 to 0.03 mm
// (root of the mean square) at 120 and 240 frames/s and 0.05 to 0.06 mm at 60,
// less than a string plane is commonly known to. Intervals of the moments at the
// string hold 95 to 98 %, with such noise 86 to 97 %.
//
// A pick that bends at the string, and a string that gives way, are not told
// from depth. A marker up the pick follows the tip only as long as the pick
// keeps its tilt. Of two strings sounded by one stroke one onset is paired, the
// other is extra.
//
// # Size
//
// The package holds more than 1,200 lines: strings, crossings, onsets, touch and
// edge share the strokes' moments at the string.
//
// # References
//
//   - W. S. Cleveland (1979), Robust locally weighted regression. J. Am. Stat.
//     Assoc. 74, 829-836.
//   - C. J. Clopper and E. S. Pearson (1934), The use of confidence or fiducial
//     limits. Biometrika 26, 404-413.
//   - T. H. Cormen, C. E. Leiserson, R. L. Rivest and C. Stein (2009),
//     Introduction to Algorithms, 3rd ed.
//   - P. Hall and A. H. Welsh (1985), Limit theorems for the median deviation.
//     Ann. Inst. Stat. Math. 37, 27-36.
package contact
