// Package c3d reads the points of a C3D file: a header of 512 bytes, a section
// of parameters, and frames of points with analog samples between them.
//
// Two steps. Open reads the header and the parameters and says what the file
// holds; File.Read reads the frames of the points that are asked for, in one
// pass, and passes over the rest.
//
// # Layout
//
// Blocks have 512 bytes and count from 1, words have 16 bits. Integers are
// little-endian on Intel and DEC machines and big-endian on MIPS; reals are
// IEEE 754 on Intel and MIPS. A DEC real has its words swapped and, with the
// sign s, the exponent e and the fraction m at the places of IEEE 754,
//
//	(-1)^s * (2^23 + m) * 2^(e - 152)        e > 0
//	0                                        e = 0, s = 0
//	reserved, taken as missing               e = 0, s = 1
//
// which is a quarter of what the same bits are in IEEE 754.
//
// A point is four values. Integers are multiplied by POINT:SCALE; with a
// negative POINT:SCALE the values are reals, scaled already. The fourth value
// tells how the point was seen, and is negative where it was not.
//
// # Missing values
//
// A point is NaN on all axes where its fourth value is negative or no number,
// or an axis is no number. A fourth value of 0 marks a point that was filled
// in or smoothed by whoever wrote the file: it is kept as it is. An infinite
// coordinate is a fault.
//
// # Where numbers come from
//
// The parameters count; the header stands in for those that are missing. Where
// both are there and differ on what the frames look like or where they begin,
// the file cannot be read without a guess, and that is a fault.
//
//	points       POINT:USED, word 2
//	analog       ANALOG:USED * samples per frame, word 3
//	frames       POINT:LONG_FRAMES, POINT:FRAMES; TRIAL:ACTUAL_START_FIELD and
//	             ACTUAL_END_FIELD where 16 bits were not enough; words 4 and 5
//	first frame  TRIAL:ACTUAL_START_FIELD or word 4, whichever agrees with the frames
//	rate         POINT:RATE, words 11 and 12
//	scale        POINT:SCALE, words 7 and 8
//	frames begin POINT:DATA_START, word 9
//	names        POINT:LABELS, LABELS2, LABELS3, ...
//	no position  POINT:ANGLES, FORCES, MOMENTS, POWERS, REACTIONS, SCALARS, ANGLES2, ...
//
// # Memory
//
// Parameters are at most MaxParameters bytes, and points 65535. One buffer holds
// a frame or 256 KiB, whichever is more; a frame is at most 1.3 MB. Columns grow
// with the frames that arrive, whatever number of them the file states.
//
// # References
//
// The C3D file format: a user guide. c3d.org: chapters on the header section,
// the parameter section, the 3D point data section, and the frame count.
package c3d
