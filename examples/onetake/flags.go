package main

import (
	"errors"
	"flag"
	"fmt"
	"math"
	"strconv"
	"strings"

	"github.com/plectrace/plectrace/examples/internal/cli"
	"github.com/plectrace/plectrace/examples/internal/measured"
	"github.com/plectrace/plectrace/examples/internal/onepage"
	"github.com/plectrace/plectrace/motion/cohort"
	"github.com/plectrace/plectrace/motion/drive"
	"github.com/plectrace/plectrace/motion/review"
	"github.com/plectrace/plectrace/tempo"
	"github.com/plectrace/plectrace/trajectory"
)

// flags are the flags of the command line. Those of the settings are kept as
// they were given, in order, to be laid over the settings file.
type flags struct {
	cli.Common
	set            *flag.FlagSet
	settings       string
	check, starter bool
	captions       bool
	offset         float64 // of the captions
	shifted        bool    // the offset was given
	onsets         string
	reference      string
	keepReference  string
	rate           bool          // was given
	about          onepage.About // the task and the player
	given          []func(*review.Setup)
}

func newFlags() *flags {
	f := &flags{set: program.Flags()}
	s := f.set
	f.Add(s, "to NAME-review where you are")
	s.BoolVar(&f.captions, "captions", false, "also write captions.vtt: what was measured, as captions for a video player to show over the film")
	s.Func("captions-offset", "the take begins so many `SECONDS` into the film; 0 otherwise", f.setOffset)
	s.BoolVar(&f.check, "check", false, "only say what this set-up can and cannot measure, and why")
	s.BoolVar(&f.starter, "write-settings", false, "only write a starter for the settings file")
	s.StringVar(&f.settings, "settings", "", "read the settings from `FILE` in place of folder.take.json and NAME.take.json beside the export; for a FOLDER, in place of the folder.take.json in it")

	f.text("tip", "`NAME` of the point that follows the pick, as in the header without _x and _y", func(s *review.Setup, v string) { s.Tip = v })
	f.word("tip-is", "`WHAT` that point sits on: pick, the pick's own tip, or marker, a point above it such as a marker up the pick or a thumb. Heights and clearing need pick, or a time at which the tip rests on a string",
		func(s *review.Setup, v []byte) error { return s.TipIs.UnmarshalText(v) })
	f.text("bass", "`MARK` on the string plane, bass side: NAME or x,y", func(s *review.Setup, v string) { s.Marks.Bass = mark(v) })
	f.text("treble", "`MARK` on the string plane, treble side: NAME or x,y", func(s *review.Setup, v string) { s.Marks.Treble = mark(v) })
	f.text("nut", "`MARK` toward the nut, for three-axis exports; two marks are joined by +", func(s *review.Setup, v string) { s.Marks.Nut = marks(v, "+") })
	f.number("distance-mm", "distance from the bass to the treble mark in `MM`, measured on the instrument", func(s *review.Setup, v float64) { s.Marks.DistanceMM = v })
	f.truth("marks-elsewhere", "the marks are not at the picking spot, so heights cannot be told from them", func(s *review.Setup, v bool) { s.MarksElsewhere = v })
	f.text("unit", "`UNIT` of the coordinates, where the header does not say: px, mm, cm or m", func(s *review.Setup, v string) { s.Unit = v })
	f.number("min-confidence", "cut samples of the tip that the tracker trusts less than this `SHARE`; 0.6 otherwise, negative to do without confidences",
		func(s *review.Setup, v float64) { s.MinConfidence = v })

	f.number("rate", "capture rate in `FRAMES` a second, where the export has no time column", func(s *review.Setup, v float64) { s.Rate = v })
	f.text("time", "`NAME` of the time column, where the header does not say", func(s *review.Setup, v string) { s.Time = v })
	f.text("time-unit", "`UNIT` of the time column: s, ms, us or ns", func(s *review.Setup, v string) { s.TimeUnit = v })
	f.number("slowed-by", "how many `TIMES` slower than life the film plays: 8 for 240 frames/s saved as a film of 30", func(s *review.Setup, v float64) { s.SlowedBy = v })
	f.number("exposure-s", "for how many `SECONDS` a frame is exposed: 0.001 for 1/1000. It says how much the picture is blurred", func(s *review.Setup, v float64) { s.ExposureS = v })
	f.number("tempo-bpm", "`BPM` of a tempo that is heard on the film: checks the time base", func(s *review.Setup, v float64) { s.TempoBPM = v })
	f.word("tempo-note", "note `VALUE` of a stroke in that tempo: 16th, if not given", setNote)

	f.word("view", "`VIEW`: end-on (the camera looks along the strings), front (it faces the instrument), oblique, 3-d",
		func(s *review.Setup, v []byte) error { return s.View.UnmarshalText(v) })
	f.truth("y-up", "y grows upward in the export; in most pictures it grows downward", func(s *review.Setup, v bool) { s.YUp = v })
	f.truth("left-handed", "the instrument is strung left-handed", func(s *review.Setup, v bool) { s.LeftHanded = v })
	f.truth("mirrored", "the film is mirrored, as from many front cameras", func(s *review.Setup, v bool) { s.Mirrored = v })
	f.truth("from-neck", "end-on from the neck, toward the bridge; otherwise from behind the bridge, toward the nut", func(s *review.Setup, v bool) { s.FromNeck = v })
	f.word("outward", "`SIDE` of the picture on which the space before the strings lies: up, down, left or right. Use it where you are not sure of the four above: it wins",
		func(s *review.Setup, v []byte) error { return s.Outward.UnmarshalText(v) })
	f.text("card", "the four `CORNERS` of a bank or library card that stands upright across the strings at the picking spot, joined by +: foot on the bass side, foot on the treble side, top on the treble side, top on the bass side; each NAME or x,y. It takes the place of the marks",
		func(s *review.Setup, v string) { s.Card.Corners = marks(v, "+") })
	f.number("raise-deg", "how many `DEGREES` the camera looks down on the strings; without it, and without a card, 0 to 25 is allowed for", func(s *review.Setup, v float64) { s.RaiseDeg = &v })
	f.number("skew-deg", "skew of the player's strokes in `DEGREES`, from the review of a front-on take", func(s *review.Setup, v float64) { s.SkewDeg = &v })

	f.text("setup", "`NAME` of the arrangement of camera, marks and points, where several takes share one", func(s *review.Setup, v string) { s.SetupName = v })

	f.whole("strings", "`NUMBER` of strings, or of pairs of strings; the marks then lie on the outer ones", func(s *review.Setup, v int) { s.StringCount = v })
	f.number("pair-gap-mm", "distance in `MM` between the two strings of a pair, where they come in pairs, as on a mandolin", func(s *review.Setup, v float64) { s.PairGapMM = v })
	f.number("crown-radius-mm", "radius of the fingerboard's crown in `MM`: 305 for 12 inches, -1 when it is flat", func(s *review.Setup, v float64) { s.CrownRadiusMM = v })
	f.whole("string-played", "`NUMBER` of the string that the take is played on; 1 is the highest-pitched", func(s *review.Setup, v int) { s.StringPlayed = v })
	f.number("touch-s", "a time in `SECONDS` at which the tip rests on a string: heights then count from there, whatever point is tracked", func(s *review.Setup, v float64) { s.TouchS = &v })
	f.whole("touch-string", "`NUMBER` of the string it rests on then", func(s *review.Setup, v int) { s.TouchString = v })
	s.StringVar(&f.onsets, "onsets", "", "read the times at which notes sound from `FILE`, delimited text with a column time_s and perhaps level_db")

	f.number("click-s", "the time in `SECONDS` of a click of that tempo's metronome, by the clock of the onsets: tells early and late", func(s *review.Setup, v float64) { s.ClickS = &v })
	f.number("onset-lag-s", "by how many `SECONDS` the sound lags behind the film; without it up to 0.1 is sought", func(s *review.Setup, v float64) { s.OnsetLagS = &v })

	f.word("landmarks", "tracked points of the arm, as `WHERE=NAME` joined by +, such as wrist=w1+elbow=e1; they tell what carries the tip", setLandmarks)
	f.text("pick-points", "`NAMES` of two tracked points on the pick's flat, joined by +: side by side in a front view, one above the other end-on", func(s *review.Setup, v string) { s.PickPoints = strings.Split(v, "+") })
	s.Func("task", "`WHAT` was to be played: one-string or changing-strings; what to work on depends on it", measured.Task(&f.about.Task))
	s.Func("comfort", "`HOW` the player felt at the take: good, tired or pain. With pain the page says to stop, and gives nothing to work on", measured.Comfort(&f.about.Comfort))

	s.StringVar(&f.reference, "reference", "", "compare each span with the reference motion in `FILE`")
	s.StringVar(&f.keepReference, "keep-reference", "", "also write the settled motion of this take to `FILE`, as a reference for others")
	return f
}

// setOffset reads the offset of the captions.
func (f *flags) setOffset(v string) error {
	x, err := strconv.ParseFloat(v, 64)
	if err != nil || math.IsNaN(x) || math.IsInf(x, 0) {
		return fmt.Errorf("%q is not a number of seconds", v)
	}
	f.offset, f.shifted = x, true
	return nil
}

// agree refuses flags that do nothing beside others.
func (f *flags) agree() error {
	switch {
	case f.check && f.starter:
		return cli.Usage(errors.New("-check and -write-settings are two calls"), "give one of them")
	case f.check:
		if err := f.Alone("beside -check"); err != nil {
			return err
		}
	case f.starter && (f.Out != "" || f.JSON):
		return cli.Usage(errors.New("-out and -json do nothing beside -write-settings"), "leave them out; -settings says which file to write")
	}
	only := f.check || f.starter
	switch writes := f.Notebook || f.captions; {
	case f.shifted && !f.captions:
		return cli.Usage(errors.New("-captions-offset does nothing without -captions"), "add -captions")
	case writes && only:
		return cli.Usage(errors.New("-notebook and -captions do nothing beside -check and -write-settings"), "leave them out")
	case writes && f.JSON && f.Out == "":
		return cli.Usage(errors.New("-notebook and -captions write into the folder of the review, and -json alone writes none"), "add -out FOLDER")
	case f.keepReference != "" && only:
		return cli.Usage(errors.New("-keep-reference does nothing beside -check and -write-settings"), "leave it out")
	}
	return nil
}

// oneTakeOnly refuses the flags that are of one take, for a folder of them.
func (f *flags) oneTakeOnly() error {
	for _, g := range []struct {
		given      bool
		name, next string
	}{
		{f.check, "-check", "name one of the exports"},
		{f.starter, "-write-settings", "name one of the exports, and with -settings FOLDER/" + cohort.SharedSettings + " the file that all of them share"},
		{f.onsets != "", "-onsets", "name the export that the list belongs to"},
		{f.keepReference != "", "-keep-reference", "name the export whose motion to keep"},
	} {
		if g.given {
			return cli.Usage(fmt.Errorf("%s is for one take, not for a folder", g.name), g.next)
		}
	}
	return nil
}

func (f *flags) text(name, usage string, set func(*review.Setup, string)) {
	f.set.Func(name, usage, func(v string) error {
		f.given = append(f.given, func(s *review.Setup) { set(s, v) })
		return nil
	})
}

// word is a flag whose text is read by set, which says what is wrong with it.
func (f *flags) word(name, usage string, set func(*review.Setup, []byte) error) {
	f.set.Func(name, usage, func(v string) error {
		if err := set(&review.Setup{}, []byte(v)); err != nil {
			return err
		}
		f.given = append(f.given, func(s *review.Setup) { set(s, []byte(v)) })
		return nil
	})
}

func (f *flags) number(name, usage string, set func(*review.Setup, float64)) {
	f.set.Func(name, usage, func(v string) error {
		x, err := strconv.ParseFloat(v, 64)
		if err != nil {
			return fmt.Errorf("%q is not a number", v)
		}
		f.rate = f.rate || name == "rate"
		f.given = append(f.given, func(s *review.Setup) { set(s, x) })
		return nil
	})
}

func (f *flags) whole(name, usage string, set func(*review.Setup, int)) {
	f.set.Func(name, usage, func(v string) error {
		x, err := strconv.Atoi(v)
		if err != nil {
			return fmt.Errorf("%q is not a whole number", v)
		}
		f.given = append(f.given, func(s *review.Setup) { set(s, x) })
		return nil
	})
}

func (f *flags) truth(name, usage string, set func(*review.Setup, bool)) {
	f.set.BoolFunc(name, usage, func(v string) error {
		yes, err := strconv.ParseBool(v)
		if err != nil {
			return fmt.Errorf("%q is neither true nor false", v)
		}
		f.given = append(f.given, func(s *review.Setup) { set(s, yes) })
		return nil
	})
}

// apply lays the flags that were given over s.
func (f *flags) apply(s *review.Setup) {
	for _, set := range f.given {
		set(s)
	}
}

func setNote(s *review.Setup, v []byte) error {
	var n tempo.NoteValue
	if err := n.UnmarshalText(v); err != nil {
		return err
	}
	s.TempoNote = &n
	return nil
}

// setLandmarks reads WHERE=NAME joined by +.
func setLandmarks(s *review.Setup, v []byte) error {
	s.Landmarks = map[drive.Landmark]string{}
	for _, part := range strings.Split(string(v), "+") {
		where, name, ok := strings.Cut(part, "=")
		if !ok || name == "" {
			return fmt.Errorf("%q is not of the form WHERE=NAME", part)
		}
		var l drive.Landmark
		if err := l.UnmarshalText([]byte(where)); err != nil {
			return err
		}
		s.Landmarks[l] = name
	}
	return nil
}

// marks reads marks joined by sep.
func marks(text, sep string) []trajectory.Mark {
	var ms []trajectory.Mark
	for _, m := range strings.Split(text, sep) {
		ms = append(ms, mark(m))
	}
	return ms
}

// mark reads a mark: two or three numbers joined by commas, or a name.
func mark(text string) trajectory.Mark {
	parts := strings.Split(text, ",")
	if len(parts) < 2 || len(parts) > 3 {
		return trajectory.Mark{Point: strings.TrimSpace(text)}
	}
	var at []float64
	for _, p := range parts {
		x, err := strconv.ParseFloat(strings.TrimSpace(p), 64)
		if err != nil {
			return trajectory.Mark{Point: strings.TrimSpace(text)}
		}
		at = append(at, x)
	}
	return trajectory.Mark{At: at}
}
