// Package take turns the review of one take into the figures of package figure:
//
//	r, err := review.Run(rec, setup, review.Options{})
//	svg := figure.SVG(take.Path(r), figure.Options{Width: 608})
//
// Each function fills one figure with the columns that the review holds, and
// draws nothing itself: change a field before you draw, or take the columns
// elsewhere. r is what review.Run returned.
//
//	function    shows                                          needs
//	Film        the tip in the film, with the signs to check   nothing
//	Path        the path along the strings, its axis           a view that shows out
//	Cycle       the mean cycle of the longest settled span     a settled span
//	Turns       where the strokes turn                         strokes
//	Strokes     the tip across the strings over time           strokes
//	Rate        the rate over time, its curve                  strokes, one pace of the film
//	Angle       path angles over time                          a path angle
//	Carry       carry of the hand over time                    a tracked point of the arm
//	Drive       what moves the tip, stroke by stroke           landmarks of the arm
//	Shares      what moves the tip over the take               landmarks of the arm
//	Spans       settled and searching spans                    spans, one pace of the film
//	EarlyLate   the first third beside the last                strokes, one pace of the film
//
// # Missing data
//
// What a take does not give leaves the figure empty, and an empty figure says
// "Nothing to show" where it is drawn. The reason stands in Review.Missing, or,
// where the film's pace changes within the take, in Review.Questions. Values
// that are missing for single strokes are NaN in the columns.
//
// Lengths are in the review's unit (Review.UnitOf), times in seconds, angles in
// degrees. The columns of the path are those of the review itself, not copies.
package take
