// Package simulate makes takes of continuous picking whose truth is known: a
// recording as a tracker would export it, and beside it every turn, stroke and
// settled span as they were made. They serve tests of whatever reads
// recordings, and apps and lessons that need an example.
//
// # How a take is made
//
// The tip moves in the instrument frame (across, along and out, in mm) from
// turn to turn, one stroke after another. Each turn is drawn about its own side
// of a centre: the middle of the path runs Depth below the string, half the
// Length to either side along an axis that PathAngle and Skew turn. Strokes are
// what lies between neighbouring turns. Two neighbouring strokes share a turn,
// as real ones do, so their angles and lengths are correlated by a half, and
// the downstrokes and the upstrokes of one motion have one axis. Truth gives
// the strokes that came of it, not those that were asked for.
//
// Scatter is stated from stroke to stroke. Turns scatter so that their
// differences do as stated:
//
//	along the axis   σ(turn) = σ(length)/√2
//	across it        σ(turn) = L σ(angle)/√2, in radians and for small angles
//	about a pulse    σ(turn) = σ(duration)/√2
//
// Durations otherwise scatter on their own, and the turns' times add them up.
//
// From turn to turn the tip follows a [Profile] whose velocity is zero at both
// ends, along a parabola with the stated curvature about its chord: down and up
// retrace one path. Acceleration jumps a little at a turn between strokes of
// unequal duration or length, except with [MinimumJerk], where it is zero.
//
// # Formula to function
//
//	(1-cos πu)/2                     [HalfCosine]: a sine over the cycle
//	10u³-15u⁴+6u⁵                    [MinimumJerk]: T. Flash and N. Hogan, "The
//	                                 coordination of arm movements", J. Neurosci.
//	                                 5 (1985) 1688-1703
//	u + a(1-cos 2πu)/2π              Options.Lead: the warp of time
//	tan(seen) = cos r (tan(true) + tan(skew) tan r)
//	                                 Options.Raise: a camera raised by r, of
//	                                 which cos r is 1 to first order
//
// # The camera
//
// Pictures are orthographic: scale, roll, raise and a slow sway, without
// perspective or lens distortion. In a picture that is not rolled, across
// points right and the second axis (out, in a front view along) up; mirrored
// film, a left-handed instrument and a camera at the neck each turn right and
// left about. The middle of the strings lies at (960, 540) px.
//
// # Missing data and special cases
//
// A lost sample is NaN on all axes of its point. NaN or infinite options are
// errors, never panics. Rates and angles in [Truth] are NaN when there are no
// strokes to take them from.
//
// # Random numbers
//
// Every use has a stream of its own ([estimate.Stream] of Options.Seed), and
// turns draw the same numbers whether an option uses them or not: adding
// drop-outs, or a wrist, leaves the strokes as they were. Equal options give
// equal takes, to the last bit on one kind of machine; elsewhere the last
// rounded digit may differ, where products and sums are fused.
//
// # Limits
//
// The package holds more than 1,200 lines because one take needs all of it:
// the motion, the camera, the clock and the tracker each know of the others
// only through Options, and none is of use without them.
//
// What is not simulated: perspective, lens distortion, rolling shutter,
// coloured noise, the flex of the pick and the string's push on it.
package simulate
