// Package series makes series of strokes with a known truth, on which methods
// are calibrated. It is test material: no result of the library comes from it.
//
// A series is the sum of what real ones show: an autoregression, downstrokes
// and upstrokes that differ, a slow drift, spans that switch the level and the
// scatter, and the noise of the measurement.
package series
