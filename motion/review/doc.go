// Package review measures one take, from tracked coordinates to one table of
// measures: it cleans the tip's path, places it in the instrument frame, finds
// its strokes, tells where the motion is settled, and says what could not be
// had and why.
//
//	setup, err := review.ParseSetup(file) // NAME.take.json
//	rec, err := tracks.ReadFile("lesson.csv", options)
//	r, err := review.Run(rec, setup, review.Options{})
//	for i, m := range review.Measures() {
//		fmt.Println(m.Title, r.Values[i])
//	}
//	r.WriteJSON(w)
//
// A [Setup] is what a person must say about the film; [Setup.Guess] fills in
// what the names of an export's points make safe to assume, and reports every
// guess. [Check] says what a set-up can and cannot measure; [Plan] says it
// before anything is filmed.
//
// The table behind [Measures] is the one place that knows which measures
// there are: files, pages and comparisons go through it.
//
// # Results in files
//
// [Review.WriteStrokes] writes a line for each stroke, [Review.WriteSpans] one
// for each settled or searching span, [Review.WriteJSON] the review itself,
// with "schema": [Schema]. Columns and keys are only ever added. What is absent
// is an empty field or null, never a number.
//
// # Centres and intervals
//
// Downstrokes and upstrokes differ in most players, so angles are averaged over
// a downstroke and the upstroke after it before their median is taken, and
// scatter is taken about the median of each direction, with the measured noise
// removed. The interval of an angle also holds the error that the marks have on
// the frame, which no number of strokes averages out. Intervals bear the
// autocorrelation of strokes (see package estimate). From a handful of strokes
// there is a centre without an interval (Low and High are NaN) and no scatter.
//
// # What an end-on picture hides
//
// A stroke also runs along the strings. Seen by a camera that is raised over the
// string plane that turns its angle in the picture,
//
//	tan(seen) = tan(true) + tan(skew) tan(raise)
//
// and nothing in the picture tells by how much. Span.PictureAngle and the measure
// picture_angle_deg are what is seen, good for comparing takes of one set-up;
// Span.PathAngle and path_angle_deg hold the true angle in their interval; an
// oblique view has none. It
// narrows with a card (raise), and with a front-on take (skew). See
// trajectory/camera.
//
// # Heights
//
// A raised camera sees a tip that plays further along the strings further out.
// Known, raise and skew correct the heights of the turns and the rise of a stroke;
// not known, they widen them by what a camera held level may be off, and no more:
// heights of a raised camera that nobody speaks of are wrong.
//
// Heights need to know where the tip is and where the strings are: the pick's
// own tip and marks on the strings, or a card, or a moment at which the tip rests
// on a string (Capture.TouchS), whatever point is tracked. The inner strings lie
// higher on a crowned fingerboard: without its radius and the string played the
// intervals of heights are wider, where the strings are described at all.
//
// # Time
//
// Review.History tells how the take settles, Review.Exploring what its searching
// spans are made of, Review.Pace how the rate goes over time, and Review.Joint how
// the strokes scatter in all their quantities at once. Where the film's own pace
// changes within the take they say nothing, with the reason: see [Jump].
//
// Notes are held against a metronome by the onsets, where there are any, and
// otherwise by the turns at which downstrokes begin: a turn is no note, so that of
// early and late nothing is said then. A player who is a few per cent off the tempo
// that was heard is told so in a note; only what a film could explain is asked.
//
// [Review.Summary] keeps what comparisons, progress and studies need when the
// samples are let go.
//
// # Formulas
//
// Those of the measures stand in the packages that measure. Of this one are
//
//	function         formula                                  source
//	Plan.Allows      2.2, 4, 8, 15 samples a stroke           as packages tempo and motion need
//	  noise          1.82 σ/(L√n) of an angle, 2.7 of a length, 2.9 of a duration
//	Review.Adequacy  1 - sin(b)/b, what blur takes off a stroke of which the tip goes
//	                 the share b while the shutter is open
//	TimeBase.Jumps   likeliest path of the pace over a take   Viterbi 1967
//
// # Missing values
//
// A missing sample is NaN on all axes of its point. A measure that cannot be had is
// absent with its reason: Values then hold it, and Review.Missing lists the reasons
// once each. In the columns of strokes it is NaN, in files an empty field or null.
//
// # Accuracy
//
// Of takes drawn at random, whose truth is known, go test -v -run TestAccuracy
// ./motion/review prints by how much strokes, turns, path angles and spans are off;
// the README has its table. The interval of a path angle holds what raise and skew
// hide in all but 2 of 360 takes (-run TestPathAngleCovers).
//
// # Views
//
// Lengths and speeds of a view with two axes are those seen in it: an end-on
// view leaves out travel along the strings, a front view travel out of the
// instrument, an oblique view some of each. They compare between takes filmed
// alike.
//
// # Size
//
// The package is over 1,200 lines because it is where all that is measured on a
// take meets; what it holds itself is what the settings file says, what the set-up
// allows, the time base, and the table.
//
// # References
//
// Viterbi, A. J. (1967). Error bounds for convolutional codes and an asymptotically
// optimum decoding algorithm. IEEE Trans. Inform. Theory 13, 260-269.
package review
