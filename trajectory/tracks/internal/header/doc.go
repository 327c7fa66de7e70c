// Package header reads the names of columns: which point and axis a column
// holds, or whether it is the time, a frame number or a confidence, and in
// what unit.
//
// Column names one cell; Parse names the columns of a table from its header
// rows. Both work on words, the parts between blanks, points, underscores,
// hyphens, colons, slashes and bars, and before a capital X, Y or Z at the end:
//
//	tip_x  tip.x  tip x  R-A1-X  tipX  x_tip  x (tip)  tip_X (mm)  tip_x_mm
//
// Several rows are joined: the last row names the axes, the nearest row above
// that has names over them the points, and rows above that groups, which
// become part of the name only where it would not be unique without. A name
// holds for the empty cells to the right of it. A first cell such as
// "bodyparts" or "axis" says what its row is.
package header
