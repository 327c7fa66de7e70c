// Package drive finds what carries the tip: how much of its travel a hand point
// shares (carry), and which joints make it (drive).
//
//	c, err := drive.CarryOf(wrist, tip, m.Strokes)
//	fmt.Println(c.Value.Value, c.Value.Low, c.Value.High)
//
//	d, err := drive.Analyze(map[drive.Landmark]trajectory.Placed{
//		drive.Elbow: elbow, drive.Wrist: wrist, drive.Forearm: forearm,
//		drive.Knuckle(1): index, drive.Knuckle(2): little, drive.Tip: tip,
//	}, m.Strokes, drive.Options{})
//	for _, s := range d.Shares {
//		fmt.Println(s.Joints, s.Value.Value)
//	}
//
// # Travel in phase
//
// Strokes say where in its cycle the hand is at every sample. Up to eight of
// them at a time (a window) are fitted to the raw samples of a point: a mean, a
// slope and a bend for what the hand does besides, and three harmonics of the
// cycle. Least squares on the samples that are there bears gaps, changing rate,
// and points that are hidden in the same part of every stroke, which would bias
// a mean over the seen ones. The tip's fundamental has an axis and a phase; what
// the fundamental of another point has along that axis and in that phase is its
// travel in phase. Single strokes come from the residuals of that fit. Strokes
// of another length than those around them, as on the way to another string,
// through a gap or with no neighbour, are left out.
//
//	function         formula                    source
//	CarryOf          Σ H T / Σ (T² - noise)     in-phase transfer Re S_ht / S_tt
//	  interval       mean of the strokes' deviations from it, estimate.Mean
//	Carry.Lag        arg S_ht                   Bendat & Piersol 2010
//	Carry.Coherence  |S_ht|² / (S_hh S_tt)      Bendat & Piersol 2010
//
// # Joints
//
// A segment's landmarks, with where they are and by how far they move in phase,
// give the displacement of a rigid body by least squares. Its rotation is exact
// for any angle. Let C(s) be how far along the stroke the tip would go if it
// were fixed to segment s. Then the joint between two segments contributes the
// difference, and all of them add up to the tip's own travel:
//
//	shoulder          C(upper arm)
//	elbow             C(forearm without rotation about its length) - C(upper arm)
//	forearm rotation  C(forearm) - C(forearm without)
//	wrist             C(hand) - C(forearm)
//	fingers and grip  tip - C(hand)
//
// This is what freezing the other joints gives. Where the upper arm is seen to
// move, the elbow is a hinge across it and the forearm, and what of the
// forearm's swing lies out of their plane comes from the upper arm. Where it is
// still, all swing about the elbow is the elbow's.
//
//	function           formula                      source
//	Analyze            spin = J⁻¹ Σ r × d           Spoor & Veldpaus 1980; Söderkvist & Wedin 1993
//	  any angle        spin = tan(θ/2) n            Rodrigues 1840
//	Share.Value        differences of C(s), over the tip's travel  rigid bodies in a chain
//	  its interval     t(n) √(misfit/n) |slope|     landmarks that slide, see below
//
// # What tells joints apart
//
//	shoulder, elbow    Elbow and Wrist; Shoulder too, or the turning of the upper arm about its length counts as elbow
//	forearm rotation   Forearm, or WristInner and WristOuter, beside Elbow
//	wrist, fingers     Wrist and two knuckles off one line with it, or three knuckles
//
// Joints that the landmarks do not tell apart have one share together, and the
// share says why; where none is told from another there are no shares. A point
// that is given as two landmarks, or as a landmark and the tip, is left out. Without an elbow the share of the arm is read from the wrist,
// with an interval that holds wherever the arm turns. One picture shows neither
// how far a point lies in front of another nor what turns about an axis in the
// picture: beyond the wrist all is one share, and end-on the elbow's has a wide
// interval.
//
// # Landmarks that slide
//
// Skin moves over bone in step with the stroke, and no averaging removes that.
// What shows of it is how far the landmarks of a segment fail to keep their
// distances at the cycle frequency, beyond noise. Intervals then hold if
// landmarks slide by like amounts in any directions, and mostly if a single one
// does: where that is one of two points of the wrist, an interval in ten or so
// is too narrow. Landmarks that all slide together, as one rigid piece, do not
// show: state Options.LandmarkError where that is to be feared. A share whose
// interval would reach further than 0.5 is absent, and all of them are where one
// comes out as no arm's can be.
//
// # Missing values
//
// A missing sample is NaN on all axes. What could not be had of a whole take is
// absent with its reason; in columns of strokes it is NaN. It is never 0.
//
// # Accuracy
//
// Forty simulated takes of each of 14 kinds, in three axes, with noise of 0.5 mm: shares
// are off by 0.005 on average and by 0.075 at worst, and 97 % of intervals hold them
// (DRIVE_TAKES=40 go test ./motion/drive -run TestAccuracy -v). Of landmarks that slide by 5 to 15 mm nearly all
// shares are absent, and 98 % of the intervals of the others hold (-run
// SlidingLandmarks, likewise).
//
// # Limits
//
// A joint centre that is off by a tenth of a lever shifts shares by about that
// tenth. Shares are of travel in phase with the tip: a joint that works a
// quarter cycle off has none. Where hidden samples leave too little of a cycle
// for three harmonics, fewer are fitted, and the hidden part is taken to follow
// them.
//
// Seen end-on, the two sides of the wrist turn in the picture when the forearm
// rotates, by an amount that depends on the angle between forearm and camera to
// its square; as that is not known, no share is made of it.
//
// # Size
//
// The package is larger than most here because carry and drive share one fit of
// the cycle: that is windows.go, layout.go and harmonics.go. Analyze gives the
// carry of every landmark along with the shares, from one fit of each. Segments are segment.go and
// chain.go, uncertainty shares.go and slide.go.
//
// # References
//
// Bendat, J. S. & Piersol, A. G. (2010). Random Data, 4th ed. Wiley.
//
// Rodrigues, O. (1840). Des lois géométriques qui régissent les déplacements
// d'un système solide. J. Math. Pures Appl. 5, 380-440.
//
// Söderkvist, I. & Wedin, P.-Å. (1993). Determining the movements of the
// skeleton using well-configured markers. J. Biomech. 26, 1473-1477.
//
// Spoor, C. W. & Veldpaus, F. E. (1980). Rigid body motion calculated from
// spatial co-ordinates of markers. J. Biomech. 13, 391-393.
package drive
