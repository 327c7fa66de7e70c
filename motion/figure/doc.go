// Package figure draws what was measured on takes, as SVG or PNG.
//
//	f := figure.RateOverTime{T: times, Rate: rates}
//	svg := figure.SVG(f, figure.Options{Width: 608})
//	png := figure.PNG(f, figure.Options{Width: 800, PixelsPerUnit: 3})
//
// Each figure is a struct of plain columns, in the units that its fields state.
// It is drawn for a width of at least 320 units (343 for a telephone, 608 for a
// screen), in texts 14 units high; ticks, keys and names follow the width, and
// what is too long for a line is broken or cut short. An SVG is one svg element: a
// view box that scales, and nothing but shapes and texts in a common sans-serif
// family, so that it can stand in a page as it is. Package figure/take fills the
// figures of one take from its review.
//
//	figure              shows
//	Picture             the tip's path in the film, with the signs to check first
//	Paths               the path in the across/out plane at equal scales
//	MeanCycle           the mean cycle with its band, against a reference
//	TurnScatter         where the strokes turn, on each side
//	StrokesOverTime     the tip across the strings, in settled and searching
//	RateOverTime        notes per second, with BPM of a note value beside it
//	AngleOverTime       path angles, as a band when their noise is large
//	CarryOverTime       how far the hand goes along with the tip
//	DriveOverTime       what moves the tip, a row for each joint
//	Shares              what moves the tip over a take
//	SpansOverTake       settled and searching spans, and a viewer's marks
//	EarlyLate           distributions of two parts of a take, in pairs
//	RateAgainstScatter  the way from slow and uneven to fast and even
//	SamplesOverTime     columns of numbers as they were recorded
//	OverDates           a measure over days or weeks with its trend
//	CohortScatter       a study: early variability against later gain
//
// # Missing data
//
// NaN, an infinity, and a number beyond 1e12 in size are missing: lines break
// there, points are left out. A figure with nothing to draw says so in its
// place. Slices of one figure that belong together must be of equal length;
// otherwise drawing it panics. Inputs are never changed.
//
// A scale holds all but the outermost hundredth of the values on each side,
// with room around them, so that a few odd ones do not flatten the rest. What
// lies beyond stands at the edge of the scale: over time as a wedge that points
// outward, with its line in the key. Every player of a study and every take of a
// way is on the scale.
//
// # Colours and size
//
// Colours are from the palette of Okabe and Ito (2008), "Color universal
// design", with black and greys. What must be told apart also differs in shape,
// width, dashes or lightness, so that a grey print says the same; tests hold the
// pairs to a distance of 18 in CIELAB for full colour vision and for the severest
// deficiencies (Machado et al. 2009), and texts to a contrast of 4.5 to 1. A line
// of any number of samples is drawn with at most two points in a column 1.25 units
// wide (the least and the greatest), which keeps every peak, and without the gaps
// that are narrower, which cannot be seen; and so are dots in
// columns of 2.5 units: ten minutes at 240 samples a second stay below 30 kB and
// 80 bytes a unit of width. Coordinates are rounded to a tenth of a unit: equal
// input gives equal bytes.
//
// # Size
//
// The package is larger than most and exports more than 30 names: a figure is a
// name, and what all figures share (sheet, axes, key, lines, dots) is of no use to
// anyone else, and is tested through them.
package figure
