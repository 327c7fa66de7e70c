// Package turns holds the one turn detector of the module: it finds where an
// oscillating coordinate reverses, sample by sample, with hysteresis.
//
// A reversal counts once the coordinate has come back from its extreme by
// more than a threshold that the caller states for every sample, so that the
// threshold can follow the local size of the motion and never fall below the
// noise. [Detector] keeps no history but the running extreme, so the same
// kernel serves a whole recording and a live stream, whose state can be kept in a file.
//
// [Crossing] refines a turn to a fraction of a sample: the zero of the
// velocity between two samples, by the cubic through the four around it.
package turns
