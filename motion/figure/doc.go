// Package figure draws what was measured on a take, as SVG.
//
// Each figure is a struct of plain columns, in the units that its fields
// state, and its SVG method returns one svg element: a view box 480 units wide
// that scales to any width, text in a common sans-serif family that stays
// readable on a phone, and nothing but shapes and texts, so that it can stand
// in a page as it is.
//
//	figure            shows
//	Picture           the tip's path in the film, with the signs to check first
//	Paths             the path in the across/out plane at equal scales
//	StrokesOverTime   the tip across the strings, in settled and searching
//	RateOverTime      notes per second, with BPM of sixteenths beside it
//	AngleOverTime     path angles, as a band when their noise is large
//	EarlyLate         distributions of two parts of a take, in pairs
//	TurnScatter       where the strokes turn, on each side
//
// # Missing data
//
// NaN, an infinity, and a number beyond 1e12 in size are missing: lines break
// there, points are left out. A figure with nothing to draw says so in its
// place. Slices of one figure that belong together must be of equal length;
// otherwise its method panics. Inputs are never changed.
//
// A scale holds all but the outermost hundredth of the values on each side,
// with room around them, so that a few odd ones do not flatten the rest. What
// lies beyond stands at the edge of the scale: over time as a wedge that points
// outward, with its line in the key.
//
// # Colours and size
//
// Colours are from the palette of Okabe and Ito (2008), "Color universal
// design", which stays distinct for the colour-blind; settled and searching,
// early and late, and the two sides also differ in lightness, shape or width,
// so that a grey print says the same. A line of any number of samples is drawn
// with at most two points in a column 1.25 units wide (the least and the
// greatest), which keeps every peak. Coordinates are rounded to a tenth of a
// unit: equal input gives equal bytes.
//
// The package is larger than most: what all figures share (sheet, axes, key,
// lines, dots) is of no use to anyone else, and is tested through them.
package figure
