// Package tempo turns strokes into rates: note values and tempi on the side of
// music, notes per second on the side of measurement, and the two estimates of
// a take's rate.
//
// A cycle is a down- and an upstroke, which are two notes if every stroke
// sounds. Rates are [NotesPerSecond] throughout; a frequency in Hz is always
// one of cycles, half the rate. Sixteenths at 165 BPM are 11 notes per second
// and 5.5 Hz.
//
//	function                 formula                                  source
//	BPM.NotesPerSecond       b/60 · notes per quarter                 common practice
//	NoteValue.Fraction       2^-h (2 - 2^-d) normal/actual            MusicXML 4.0
//	BPM.Micros, FromMicros   60e6/b                                   Standard MIDI Files 1.0
//	FromTurns, FromSpans     2/mean of the cycles near the median     Huber 1964; Wing & Kristofferson 1973
//	Spectral                 peak of the velocity spectrum            Lomb 1976, Scargle 1982
//	LombScargle              floating mean, standard normalisation    Zechmeister & Kürster 2009
//
// [FromTurns] needs the times of turns and is exact about them; [Spectral]
// needs none and checks on it. Where the two disagree by more than their
// intervals, turns were missed or found twice.
//
// # Missing values
//
// In a list of turns NaN is a break, never bridged. In sampled columns NaN is a
// missing sample. A rate that cannot be had is absent with its reason; one
// whose interval cannot be had has Low = High = NaN and Level 0.
//
// # References
//
//   - MusicXML 4.0, W3C Community Group: note-type-value, time-modification.
//   - Standard MIDI Files 1.0, MIDI Manufacturers Association: Set Tempo.
//   - A. M. Wing and A. B. Kristofferson (1973), Response delays and the timing
//     of discrete motor responses. Perception & Psychophysics 14, 5-12.
package tempo
