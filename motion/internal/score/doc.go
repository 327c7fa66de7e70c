// Package score holds the strokes and spans found on a simulated take to the
// truth about it, and draws such takes. Tests of several rooms use it.
package score
