// Package delimited turns delimited text into columns of float64, block by
// block.
//
// Three steps, each usable alone:
//
//   - Source buffers an io.Reader in blocks and checks that its beginning is
//     text in an encoding that is read here.
//   - Look finds the dialect (separator and decimal mark) and the first row of
//     numbers from the beginning of the text.
//   - Table.Read parses the rows that follow into columns sized ahead, passing
//     over the columns that nobody asked for.
//
// # Text
//
// The separators are comma, semicolon, tab, vertical bar and runs of blanks.
// Quoting is that of RFC 4180: a cell that begins with a double quote ends at
// the next one that is not doubled, and may hold separators and line ends.
// Beyond RFC 4180, LF, CRLF and a lone CR end a line, blank lines and lines
// that begin with # are passed over, blanks around a cell do not count, and
// rows may end in separators with nothing behind them.
//
// # Numbers
//
// A decimal with a significand w of at most 2^53 and a power of ten q with
// |q| <= 22 is converted by one multiplication or division of two exact
// float64 values, which IEEE 754 rounds correctly:
//
//	w * 10^q,  w / 10^-q
//
// (Clinger, W. D. (1990). How to read floating point numbers accurately. PLDI
// '90, 92-101, doi:10.1145/93542.93557.) Every decimal of at most 15 digits
// is of that kind. With up to 19 digits, as programs print that want a float64
// back, and q in [-19, 0], w / 10^-q is divided in integers and rounded by the
// remainder. The others go to strconv.ParseFloat. Whichever way, the result is
// the nearest float64.
//
// # Size
//
// The package is a little over 1,200 lines: separators, quotes, decimal commas and
// blocks are taken apart in one pass over the bytes, which is what makes it quick.
//
// # Missing values
//
// An empty cell, "-", "--" and, in any case, nan, -nan, na, n/a, null and none
// are NaN. Infinities, written out or by overflow, are faults.
package delimited
