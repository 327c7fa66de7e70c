// Package tracks reads and writes tracking exports: delimited text as trackers
// and motion-capture systems write it.
//
// ReadFile turns an export into a trajectory.Recording. A program that does
// not know the names of the columns looks first:
//
//	layout, err := tracks.InspectFile("take.csv")   // what is in there
//	rec, err := tracks.ReadFile("take.csv", tracks.Options{
//		Points: []string{"tip", "nut", "bridge"}, // parse these only
//		Rate:   240,                              // where there is no time column
//	})
//
// # What is understood
//
//   - Separators: comma, semicolon, tab, vertical bar, runs of blanks. Quotes
//     as in RFC 4180. Line ends LF, CRLF or CR. Blank lines, lines that begin
//     with #, a UTF-8 byte order mark and separators at the end of a row do
//     not count.
//   - Numbers with decimal point or decimal comma, read to the nearest
//     float64.
//   - Columns named by point and axis (tip_x, tip.x, tip x, R-A1-X, x_tip,
//     tip_X (mm)), by two rows (point, axis), by three (group, point, axis),
//     by a comment above the numbers, or by Options.Header. Confidence,
//     likelihood, score and probability columns belong to the point that they
//     name. Rows of units and lines above the header are made out. Columns
//     that are none of this are passed over.
//   - A time column, by its name, with its unit (time, t, time_s, time (ms),
//     timestamp_us, ...) and any steps; or a frame column or none, with
//     Options.Rate.
//
// # Missing data
//
// An empty cell, "-", "--" and, in any case, nan, na, n/a, null and none are
// missing. A sample that lacks one axis is NaN on all axes of its point; its
// confidence stays. Infinity is an error, as is a time that is missing,
// repeated or goes back. The sampling is kept as it is: nothing is filled,
// interpolated or sorted.
//
// # What it says no to
//
// Every error is an *Error with file, line, column, the offending text and a
// hint. Rows too short or too long, text in a column of numbers, two columns
// for one thing, points in different units and steps of time too long for
// seconds are errors, not guesses.
//
// # Cost
//
// Text is parsed in blocks of 256 KiB; what is allocated beyond them is about
// the columns of the points kept. A row is at most 1 MiB long.
//
// # References
//
//	quoting            Read, Write   Shafranovich, Y. (2005). RFC 4180, section 2
//	decimal to binary  Read          Clinger, W. D. (1990). How to read floating point
//	                                 numbers accurately. PLDI '90, 92-101
//	binary to decimal  Write         package strconv, shortest form
package tracks
