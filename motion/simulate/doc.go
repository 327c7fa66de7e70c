// Package simulate makes takes of continuous picking whose truth is known: a
// recording as a tracker would export it, and beside it every turn, stroke and
// settled span as they were made. They serve tests of whatever reads
// recordings, and apps and lessons that need an example.
//
//	take, err := simulate.Make(simulate.Options{Seed: 1, Rate: 11, PathAngle: 20 * circular.Degree})
//	tip, _ := take.Recording.Point("tip") // in pixels, as a tracker has it
//	fmt.Println(len(take.Truth.Strokes), take.Truth.PathAngle.Degrees())
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
// With a CrownRadius the path rides on the strings' heights. With StringDrag a
// string that is reached slows the tip within 1.5 mm of it; turns stay in time
// and in place. Sound, the arm and the pick's edge are laid over the finished
// strokes and change none of them; a card or a touch only makes them later.
//
// # Before the playing
//
//	0 to CardFor            the card stands across the strings, the hand is away
//	then 0.3 s              nobody is in sight (only after a card)
//	then TouchFor           the tip rests on a string
//	then 0.5 s              it goes to the first turn
//
// All of it is one of Truth.Pauses. The card's foot rests on the highest
// strings, which on a crown lie out from the string plane.
//
// # Formula to function
//
//	function             formula                          source
//	HalfCosine           (1-cos πu)/2                     a sine over the cycle
//	MinimumJerk          10u³-15u⁴+6u⁵                    Flash & Hogan 1985
//	Options.Lead         u + a(1-cos 2πu)/2π              the warp of time
//	Options.Raise        tan(seen) = cos r (tan(true) + tan(skew) tan r)
//	                     of a camera from afar that is raised by r
//	Options.Distance     x = f X/Z, y = f Y/Z, f = Scale times Distance
//	                     a pinhole: Hartley & Zisserman 2004, ch. 6
//	Options.Card         85.60 x 53.98 mm                 ID-1 of ISO/IEC 7810
//	Options.CrownRadius, Truth.Strings  √(R²-y²) - √(R²-y₀²)  geometry of a circle
//	Truth.Shares         ∫ c·(ω x r) dt / |c|²            of the stroke c, by a joint
//	                     that turns by ω at r from the tip
//	Options.NoiseColour  e = a e₋₁ + √(1-a²) z            autoregression of order 1
//
// # The camera
//
// Pictures are taken from afar (orthographic), or with a Distance by a pinhole
// camera without lens distortion; the sway moves the picture as a whole. The
// camera is raised toward out and turned by the yaw about it, in a front view
// toward along and about it. In a picture that is not rolled, across
// points right and the second axis (out, in a front view along) up; mirrored
// film, a left-handed instrument and a camera at the neck each turn right and
// left about. The middle of the strings lies at (960, 540) px, or where SpotX
// and SpotY put it. Pictures have no border: what lies outside 1920 x 1080 px
// is tracked all the same.
//
// # The arm
//
// A chain of rigid parts carries the tip: shoulder, elbow, forearm, wrist and
// fingers. Each joint goes its share of the tip's way along the strokes' axis,
// to first order, and the fingers do what that leaves over, so that the tip's
// path is the one that it has without an arm. The hand's wander and moves to
// other strings are the whole arm's. Truth has the shares that came of it. In
// mm: upper arm 300, forearm 250, wrist to knuckles 80, across the wrist 56,
// knuckles to tip about 57; the forearm at ForearmAngle to along and 5 degrees
// down to the strings. Points lie on the joints themselves.
//
// # Missing data and special cases
//
// A lost sample is NaN on all axes of its point, and so is one that is not in
// sight. NaN or infinite options are errors, never panics. Rates and angles in
// [Truth] are NaN when there are no strokes to take them from.
//
// # Random numbers
//
// Every use has a stream of its own ([estimate.Stream] of Options.Seed), and
// turns draw the same numbers whether an option uses them or not: adding
// drop-outs, or a wrist, leaves the strokes as they were. Equal options give
// equal takes, to the last bit on one kind of machine; elsewhere the last
// rounded digit may differ, where products and sums are fused.
//
// # Size
//
// The package holds more than 1,200 lines because one take needs all of it:
// the motion, the camera, the clock and the tracker each know of the others
// only through Options, and none is of use without them.
//
// # Limits
//
// What is not simulated: lens distortion, focus, strings that swing, the flex of
// the pick, the string's push on the path (it only slows the tip), landmarks
// beside their joints, and an upper arm that turns: the shoulder's share moves
// elbow and shoulder alike. That a method passes on such takes is no proof that it
// will on the film of a player.
//
// # References
//
// Flash, T. & Hogan, N. (1985). The coordination of arm movements. J. Neurosci. 5,
// 1688-1703.
//
// Hartley, R. & Zisserman, A. (2004). Multiple View Geometry in Computer Vision,
// 2nd ed. Cambridge.
package simulate
