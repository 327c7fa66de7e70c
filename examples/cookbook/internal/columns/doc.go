// Package columns reads numbers from the columns of delimited text, for programs of
// the cookbook whose columns are no coordinates of points; those are read by package
// tracks.
//
// Separators are commas, semicolons and tabs, told by the first line; a decimal comma
// is understood where the separator is another. A first line that holds text and no
// number names the columns. Blank lines and lines that begin with # do not count. Cells
// that are empty, "-", "--", nan, na, n/a, null or none, in any case, are missing.
package columns
