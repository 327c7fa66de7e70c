// Package trajectory holds tracked paths and takes them from the picture to
// the instrument: it says what is wrong with a recording, cuts what was not
// measured, and places points in a frame that lies on the strings.
//
// The usual order of work is
//
//	f, err := trajectory.NewFrame(rec, trajectory.FrameOptions{
//		View:       trajectory.EndOn,
//		Marks:      trajectory.Marks{Bass: trajectory.Mark{Point: "bridge_low"}, Treble: trajectory.Mark{Point: "bridge_high"}},
//		DistanceMM: 52,
//	})
//	tip, ok := rec.Point("tip")
//	tip, edits, err := trajectory.Clean(trajectory.Path{}, tip, trajectory.CleanOptions{})
//	placed, err := f.Place(trajectory.Placed{}, tip)
//	even, filled, err := trajectory.Uniform(trajectory.Placed{}, placed, trajectory.UniformOptions{})
//
// A [Path] is in the frame of its source, pixels as a rule; a [Placed] path is
// in that of the instrument. They are two types so that a program which mixes
// them up does not compile.
//
// # The instrument frame
//
// The origin lies on the string plane at the picking spot. Across points
// toward the highest-pitched string, along toward the nut, and out away from
// the instrument's face. Of a right-handed instrument, out = across x along.
//
//	view      camera                      gives
//	end-on    looks down the strings      across, out
//	front     faces the instrument        across, along
//	oblique   between the two             across, out as they appear in the picture
//	3-d       several, or other sensors   across, along, out
//
// Two marks on the strings give across; which way the other axes point follows
// from [Orientation], the one place where signs are decided. One wrong sign
// there turns every finding about out round, so draw [Frame.Across] and
// [Frame.Out] into the picture and look at them before anything else.
//
// A camera in the hand sways and a player moves. Marks that are tracked are
// followed, sample by sample, after they have been cleaned and smoothed.
// Marks that are fixed suit a camera and an instrument that both stay still.
//
// # Missing samples
//
// A missing sample is NaN on every axis of its point, and an infinity is an
// error. [Runs] finds the stretches without gaps; it is the one function that
// does, and the kernels of package filter are for such stretches only. Nothing
// fills a gap unasked: Clean makes gaps, [Frame.Place] keeps them, and
// [Uniform] bridges the short ones and lists them. Each [Edit] says which
// samples were cut or filled, and why.
//
// Trackers fill gaps too, with straight lines or by repeating themselves, and
// do not say so. Clean finds such fillings. What it cannot tell from movement
// it leaves alone: see there what that is.
//
// # Formulas
//
//	function        formula                                 source
//	Clean           |fifth difference - median| > k MAD     Davies & Gather 1993, 782
//	NewFrame        zero-phase Butterworth of the marks     Winter 2009, 3.4.4.2
//	Uniform         cubic Hermite, slopes of the Lagrange polynomial  -
//	PrincipalAxis   tan 2θ = 2 s(xy)/(s(xx) - s(yy))        Pearson 1901; interval of Jolicoeur & Mosimann 1968
//	PrincipalAxis3  first eigenvector of the covariance     Pearson 1901
//
// # Size
//
// The package is larger than most here because its parts share one idea, a
// column of samples with holes in it, and none is of use without the others.
// In it, cleaning is clean.go, fills.go, stencil.go, walk.go, cluster.go,
// search.go and edges.go; workspace.go keeps its memory; the frame is mark.go,
// orientation.go, frame.go, follow.go and place.go.
//
// # References
//
// Davies, L. & Gather, U. (1993). The identification of multiple outliers.
// J. Am. Stat. Assoc. 88, 782-792.
//
// Jolicoeur, P. & Mosimann, J. E. (1968). Intervalles de confiance pour la
// pente de l'axe majeur d'une distribution normale bidimensionnelle.
// Biometrie-Praximetrie 9, 121-140.
//
// Pearson, K. (1901). On lines and planes of closest fit to systems of points
// in space. Phil. Mag. (6) 2, 559-572.
//
// Winter, D. A. (2009). Biomechanics and Motor Control of Human Movement,
// 4th ed. Wiley.
package trajectory
