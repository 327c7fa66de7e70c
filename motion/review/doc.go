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
// guess. [Check] says what a set-up can and cannot measure.
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
// # Views
//
// Lengths and speeds of a view with two axes are those seen in it: an end-on
// view leaves out travel along the strings, a front view travel out of the
// instrument, an oblique view some of each. They compare between takes filmed
// alike.
package review
