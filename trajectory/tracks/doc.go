// Package tracks reads and writes tracking exports: delimited text as trackers
// and motion-capture systems write it, among it TRC marker tables, and C3D
// files. What a file is shows in its content; its name does not count.
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
// # What is understood of text
//
//   - Separators: comma, semicolon, tab, vertical bar, runs of blanks. Quotes
//     as in RFC 4180. Line ends LF, CRLF or CR. Blank lines, lines that begin
//     with #, a UTF-8 byte order mark and separators at the end of a row do
//     not count. Names that are not UTF-8 are taken for ISO 8859-1.
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
// # Marker tables
//
// A TRC file is delimited text of three axes, with lines above that are held
// against it. Units is the unit of length, and DataRate the rate where there is
// no time column or Options.Time does without. Fewer rows than NumFrames mean
// that the end is cut off, which is an error; more are read. NumMarkers has to
// be the number of names and that of columns for them.
//
// # C3D files
//
// Integers and reals of Intel, DEC and MIPS machines are read, from 1 to 65535
// points and up to 2^31-1 frames. Analog samples are passed over.
//
//   - A point has the three axes of the file, in POINT:UNITS if they are mm,
//     cm, m or a spelling of them, otherwise in no known unit. Residuals are
//     no confidences and are not kept.
//   - Names are POINT:LABELS, LABELS2, LABELS3 and so on. The seventh point of
//     a frame is "point 7" where it has no label, and "tip (point 7)" where
//     the label tip is taken.
//   - Points that POINT:ANGLES, FORCES, MOMENTS, POWERS, REACTIONS or SCALARS
//     list are no positions. They are left out; Layout.Columns has them without
//     a role, and to ask for one is an error.
//   - Frame 1 is at 0 s, the first frame in the file at (number - 1) / rate,
//     so that a part of a take keeps its times. Where the numbers of the first
//     and last frame do not agree with that of the frames, the first is at 0.
//   - A sample is missing where its residual is negative, or an axis or the
//     residual is no number. One of residual 0 was filled in or smoothed by
//     the system; it is kept as it is, since many write nothing else.
//   - The parameters count, and the header where they are silent. A file whose
//     parameters and header differ on where its samples are is an error, and
//     one that ends before its last frame, too. If they differ by more than
//     0.1 % on the rate, it takes Options.Rate.
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
// Every error is an *Error with file, line and column or, in a C3D file, byte,
// the offending text and a hint. Rows too short or too long, text in a column of numbers, two columns
// for one thing, points in different units and steps of time too long for
// seconds are errors, not guesses.
//
// # Limits
//
// Whatever is beyond one of them is an error, and is found without reading on.
//
//	the beginning    the header and the first row of numbers are among the first 200
//	                 rows and in the first 1 MiB
//	a row            1 MiB, and with quotes as well
//	numbers kept     Options.MaxNumbers of all columns, 2^28 unless stated: 100 minutes
//	                 of 61 spatial points at 240 samples per second
//	points           as many as a row has room for; 65535 of a C3D file
//	a pipe           Read and ReadFile read it, InspectFile does not: its beginning
//	                 could not be read again
//
// Of a file that grows while it is read, what is there counts. A last row without
// all its cells is an error; one that is cut off within its last number is not known
// from a shorter number.
//
// # Cost
//
// Text is parsed in blocks of 256 KiB; what is allocated beyond them is about
// the columns of the points kept. Of a text of 2 GiB with ten points (12.6 million
// samples) the times and one point take 290 MiB: reading them from a file took 294 MiB
// in all, and from a pipe, whose length is not known and whose columns grow by half,
// up to 3.5 times their size.
//
// Of a C3D file at most 1 MiB of parameters, the names of at most 65535 points
// and a buffer for a frame or 256 KiB are kept beyond the columns. Columns are
// not allocated on the word of the file: they have its length to go by, or grow
// by half as it arrives. A small file that claims to be large costs 32 MB at
// most until that shows.
//
// # Size
//
// The package is larger than most here. The formats share the options, the
// layout, the errors and the rules of what a sample is; how they are taken
// apart is in internal/delimited, internal/header and internal/c3d.
//
// # References
//
//	quoting            Read, Write   Shafranovich, Y. (2005). RFC 4180, section 2
//	C3D                Read          The C3D file format: a user guide. c3d.org
//	decimal to binary  Read          Clinger, W. D. (1990). How to read floating point
//	                                 numbers accurately. PLDI '90, 92-101
//	binary to decimal  Write         package strconv, shortest form
package tracks
