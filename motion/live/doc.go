// Package live follows the strokes of a running camera: samples go in one at a time
// or in blocks, and what they tell comes out as events.
//
//	t, err := live.New(live.Options{Frame: trajectory.FrameOptions{View: trajectory.EndOn, Marks: marks, DistanceMM: 52}})
//	for sample := range camera {
//		events, err = t.Push(events[:0], sample)
//		for _, e := range events {
//			switch e.Kind {
//			case live.Provisional: // at once
//			case live.Final:       // for good
//			}
//		}
//	}
//
// There is no goroutine, no clock and no callback: a [Tracker] knows the time from
// the samples alone, and two that are given the same samples tell the same. It
// keeps the samples of [Options].Window, and older ones only in room that is not yet
// needed: never more than [Options].MaxSamples. It can be saved as
// JSON at any moment and goes on, restored, to the last digit as it would have
// (json.Marshal and json.Unmarshal).
//
// # Two answers
//
// A stroke is told twice. The provisional one comes as soon as the tip has come
// back from its turn by 7 % of a stroke, or by five standard deviations of the noise
// where that is more, and rests on nothing later. The final one comes from package
// motion, which every 0.3 s looks again at what is not final yet and 16 strokes before
// it (at the beginning at six seconds), with what the take has shown so far (see
// motion.Analyzer): it is what an analysis of the whole take finds, with its angles,
// heights and noise. A provisional stroke that the final look does not confirm is
// withdrawn.
//
//	event               tells                                     comes after (median, 19 of 20)
//	Turn                T, Direction of the stroke that ends      0.22, 0.36 strokes
//	Provisional         Stroke (turns, length, angle), Number     0.22, 0.36 strokes
//	Rate                NotesPerSecond                            with each provisional stroke
//	Final               Stroke in full, Number, Confirms          0.8 to 1 s; the first 24 later
//	Withdrawn           Stroke (turns), Number                    as Final
//	HiddenTurn          Stroke, Number, with T the turn           as Final
//	PathAngle           Angle, median of nine strokes             as Final
//	Settled, Searching  P, Since                                  1.3 s of settled strokes, and as Final
//	Pause               T and Seconds of a rest                   as Final
//	Gap                 Samples and Seconds without a tip         when it is seen again
//	Cut                 Samples taken for the tracker's mistakes  the next look, 0.3 s
//	Moved               the tip went elsewhere and stayed         60 samples
//	Repeated, Late      a sample was left out                     at once
//	FrameRate           Hz, where the camera's rate changes       12 frames
//	Rest                Seconds played; see Caution               as Final
//
// The delays of provisional strokes are those of the takes below, 5 to 14.5 strokes
// a second at 120 frames/s and more, and 0.25 and 0.45 at 3 px of noise; at 60, where
// a sample is up to a quarter of a stroke, they are 0.25 to 0.33 and 0.38 to 0.54. In
// half a stroke come 97.6 % of those whose turn is seen. Of the others 44 % lie before a
// stroke that is 1.4 times as long in time or more, since the delay counts in the stroke
// that has ended (in strokes of the median duration 98.8 % come in half a one); 18 % are
// no turns by the whole take; 17 % are strokes of less than ten samples; 9 % lie at a gap.
// A turn that is hidden is told when the tip is seen again. What would be a stroke of
// less than 1/24 s and 0.3 strokes is not told. Provisional turns lie 0.2 to 0.8 ms from
// the final ones in the median at up to 0.8 px of noise, and 1 to 3 ms at 3 px. One final
// stroke in 45 has no provisional one before it (one in ten at 60 frames/s and 3 px), and
// one provisional stroke in 80 is withdrawn. [Counts] holds what no event tells: single
// missing samples, those held back or doubtful.
//
// A stroke is final once seven strokes like it, and half a second, lie behind it
// (at most 2.5 s). More would hardly change it: with 3, 5, 7, 10 and 14 strokes, 99 %
// of turns are within 0.61, 0.60, 0.57, 0.56 and 0.55 ms of those of the whole take, at
// 240 frames/s and 0.8 px. Finals wait longer where the tracker may be sitting elsewhere, and for the
// first 24 strokes, for which there is no profile to go by yet: up to Window less
// half a second. [Tracker.Flush] makes all final at once.
//
// # How far finals are those of the whole take
//
// Shares of turns within 1 ms and of angles within 0.5 degrees of those of
// motion.Analyze on the whole take, cleaned as a whole; strokes that only one of
// the two has; 8 takes each drawn at random (5 to 14.5 strokes/s, drop-outs,
// outliers, jumps and fillings of the tracker, changes of string, pauses, swaying
// cameras with tracked marks, searching of four sorts); go test -run
// TestFinalsOfRandomTakes -v:
//
//	                  0.3 px                  0.8 px                  3 px
//	frames/s   turns angles strokes    turns angles strokes    turns angles strokes
//	 60        0.996 1.000  6 of 1523  0.983 1.000  2 of 1257  0.981 0.992  2 of 1456
//	120        0.995 1.000  0 of 1468  0.997 0.998  2 of 1371  0.979 0.984  4 of 1313
//	240        0.995 1.000  4 of 1484  0.995 0.999  4 of 1348  0.990 0.996  2 of 1603
//	480        0.998 1.000  1 of 1512  0.997 1.000  0 of 1256  0.999 0.999  0 of 1246
//
// What is left differs because the whole take is not known yet: its noise, the
// profile of its strokes and its fastest stretch set the search. Where the profile
// is no half-cosine, or a window of noise looks as if it were none, all turns lie
// otherwise. Of the sets of takes of one kind at 240 frames/s all have 0.998 and more of
// their turns within 1 ms up to 0.8 px of noise, but the take beginner-1, whose strokes
// are few and all unlike each other (0.988); at 3 px all have 0.96 and more. The strokes
// that differ lie in gaps of several strokes that are counted through (Stroke.Bridged), and at the first
// sample. By kind of take: go test -run TestFinalsOfKinds -v.
//
// # Settled and searching
//
// See settling.Watch: in takes that never settle it says settled 0.00, 0.00, 0.01
// and 0.50 times a minute of searching for a serial correlation of 0, 0.3, 0.6 and
// 0.9, takes settled back 0.00 to 0.03 times a minute of settled spans, and tells 99.6 %
// of those of three seconds and more, 1.3 s after their first stroke in the median and
// 2.2 s in nine of ten; the delay of final strokes comes on top (go test ./variability/settling -run TestWatch -v
// -calibrate 400).
//
// # What a setup allows
//
// [Options.Allows] says beforehand what can be told, from frame rate, rate and
// view. Below [motion.MinSamplesStrokes] samples a stroke only a rate is given,
// once a second, from the spectrum of the window.
//
// # Playing time
//
// [Now] has the playing time since the last rest. [Rest] suggests one after
// [Options].RestAfter, and again. It is not a warning that knows anything of the
// player: show [Caution] with it.
//
// # Cost
//
// A sample at 240 frames/s costs 12 to 17 times what it costs offline, and 10 times
// where the times jitter, which costs more offline too: by processor time, in the same
// run. Each is looked at some ten times. It is not even: but for one in 72, at which
// the look is, a sample costs about as much as offline (go test -bench . says
// how many times, by the clock).
//
// After two windows nothing is allocated, whatever the tracker does, but where a
// column must grow for more samples than a window ever had (TestAllocates).
//
// # Errors
//
// A sample that cannot be is an error that says where and why, a
// *trajectory.DataError, and leaves the tracker as it was; so is a block of
// [Tracker.PushAll] of which one cannot be. A time that was there already, or lies
// up to a second back, is left out and told. One that lies further back is an
// error: call [Tracker.Reset] where a clock begins anew.
//
// # Missing values
//
// A missing sample is NaN on all axes. Strokes go on through a gap as package motion
// bridges it; [Gap] tells the samples that no tip was seen, and a turn in it is a
// [HiddenTurn]. What cannot be told of a stroke is NaN in it.
//
// # Size
//
// The package is larger than most here, and has more names, because each kind of
// event is one and because a tracker is of one piece: early.go and turn.go tell at
// once; window.go, cut.go, marks.go and place.go make the window ready for package
// motion; final.go tells what that finds; store.go and state.go keep it all.
//
// # Limits
//
// Strokes shorter than an eighth of those before are taken for a wavering of the
// hand until Reset. A mark that the tracker loses is bridged by straight lines, not
// by cubics as offline. The scale of tracked marks is the mean so far of their
// distance; it does not follow a camera that comes nearer, but slowly. An oblique
// view has no heights, and its path angle is that in its picture, which compares only
// within one setup.
package live
