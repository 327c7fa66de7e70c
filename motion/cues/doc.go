// Package cues makes captions of a review, so that any video player shows over
// the film what was measured while it happens.
//
//	r, err := review.Run(rec, setup, review.Options{})
//	t, err := cues.Of(r, cues.Options{Offset: 12.5}) // the take begins 12.5 s into the film
//	for _, n := range t.Notes {
//		fmt.Println(n) // what is not shown, and why
//	}
//	err = t.WriteVTT(w)
//
// A player that finds lesson.vtt beside lesson.mp4 usually offers it by itself; in
// a page it is the source of a track element:
//
//	<video controls src="lesson.mp4"><track default src="lesson.vtt"></video>
//
// # What stands where
//
// At the bottom stand the settled and searching spans and the pauses, one at a
// time, for as long as they last:
//
//	settled 2: 11.0 notes/s, 165 BPM (16ths)
//	held 7.6 s, 84 strokes, path angle 21°
//
// Settled spans are numbered as on the page of one take. A span's identifier,
// span-3, says which of spans.csv it is. A span with which the take, or its
// part between two breaks, begins or ends may have lasted longer: it is "7.6 s
// seen", not "held 7.6 s".
//
// At the top stand the strokes that miss the strings or do not sound, with their
// numbers in strokes.csv, and above them the string that is played, where that
// changes. A stroke that misses is not told to be silent, too, and one that seems to
// miss but sounds is not told to miss.
//
// Nothing stands in the middle of the picture, where the hand is. A player that
// knows nothing of places stacks them all at the bottom.
//
// # Missing values
//
// What a review does not know has no caption: a span without a rate or an angle shows
// the rest, a take without spans none. Track.Notes says what is left out, and why.
//
// # Time
//
// A [Cue] has the film's time. A take's seconds are those of life; a film that
// plays 8 times slower shows them 8 times later:
//
//	film = take · SlowedBy + Offset
//
// Seconds and rates within a text are those of life. Where the pace of the film
// changes within the take (see review.Jump) there are neither spans nor rates, and
// a caption at each change says so.
//
// # What can be read
//
// A caption has at most two lines of 42 characters, stands for a second at least,
// and holds no more than 20 characters for each second that it stands (common
// practice of subtitling, from memory). What does not fit is left out from the
// end. Strokes that would follow each other faster share a caption, for up to 7 s;
// between two such captions there is half a second, or nothing.
// A span too short to be read is not shown, and Track.Notes says so.
//
// # The format
//
// The format is that of the W3C's "WebVTT: The Web Video Text Tracks Format". What
// is used of it, by the headings of its chapter on syntax:
//
//	WebVTT file structure        the header, comment blocks (NOTE), cue blocks with
//	                             identifiers, timestamps always with hours
//	WebVTT caption or subtitle
//	cue text                     text spans and the references &amp; &lt; &gt;
//	WebVTT cue settings          line: 0 is the first line from the top, -1 the last
//
// There are no styles, regions or tags. A comment block in the file says how the
// captions were made, and to stop at pain; players do not show it.
package cues
