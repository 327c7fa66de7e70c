// Command live follows the strokes of a take while it is played: it reads samples as
// lines from standard input, or replays a file at its own speed, shows what holds on a
// terminal, and writes the review of what was heard when it ends. Without arguments it
// replays a bundled demo take.
package main

import (
	"flag"
	"fmt"
	"io"
	"math"
	"os"
	"os/signal"
	"strconv"

	"github.com/plectrace/plectrace/examples/internal/cli"
	"github.com/plectrace/plectrace/examples/internal/measured"
	"github.com/plectrace/plectrace/examples/internal/onepage"
	"github.com/plectrace/plectrace/motion/live"
)

var program = cli.Program{
	Name: "live",
	Does: "Follows the strokes of a take while it is played: samples come as lines from standard input (-), or from a file that is replayed at its own speed. It shows the rate, the path angle, whether the motion is settled, and the playing time, and says when it is time for a rest. At the end of the lines, or at Ctrl-C, it reviews what was heard and writes a folder. Without - or -replay it replays a bundled demo take.",
	Usage: []string{
		"[flags] -                read lines from standard input",
		"[flags] -replay FILE     replay a file",
		"[flags]                  replay the demo take",
	},
	Examples: []string{
		"",
		"-speed 4 -replay lesson.csv",
		"-settings lesson.take.json -rest 15 -out lesson -",
		"-json -replay lesson.csv",
	},
	Groups: []cli.Group{
		cli.CommonGroup("settings"),
		{Title: "What is followed:", Flags: []string{"replay", "speed", "rest", "keep"}},
		{Title: "The player:", Flags: []string{"task", "comfort"}},
	},
	Notes: []string{
		"Lines are delimited text below its header, as in a tracking export: a column for each axis of each point, such as tip_x and tip_y, and time_s, a frame number, or a rate in the settings. Or each line is a JSON object with those names, all of which the first line must have: {\"time_s\": 0.5, \"tip_x\": 212.4, \"tip_y\": 640.1, \"tip_confidence\": 0.9}. A point that is not seen is empty, nan or null. Tracked marks come with every sample. -replay also takes C3D and TRC files.",
		"A line that cannot be read is told with its number and left out; the others count. So is a sample whose time was there already, lies up to a second back, or so far off that no other bears it out. Where three in a row agree on a time far back, the clock began anew: what follows is put two seconds after what came before, and that is told. The header may come again; another header ends the take.",
		"Settings are those of onetake: folder.take.json and NAME.take.json beside a file that is replayed, or -settings. What is left open is guessed from the header where that is safe, and every guess is printed. The corners of a card must be places in the picture, not tracked points.",
		"On a terminal the display is renewed in place, with the latest strokes as soon as they are seen to have ended; elsewhere each change is a line, with what holds every five seconds. What is shown at once is revised when more has been seen, some two seconds later. The review at the end is that of onetake for the same samples. The samples of the last two hours are kept for it (-keep). An hour of four points at 240 frames/s took 0.5 GB of memory with its review, measured.",
		"A second Ctrl-C, during the review, ends at once and writes nothing. If the folder cannot be written when standard input ends, the review goes to one for temporary files, which is named.",
		"With -json each event is a JSON object on a line of its own: \"event\" says what it tells, \"t_s\" the time that it is about and \"told_s\" that of the sample that told it. The first names the source and the unit of lengths, the last is the review, {\"event\": \"review\", \"review\": {...}}; \"notes\" in both say what was assumed and left out. \"clock\" tells that the clock began anew: its times plus \"shift_s\" are those told from there on. null stands for what could not be had. An oblique view shows no path angle: the angle is picture_angle_deg there.",
		"Fast repeated motion can hurt. " + live.Caution + " The rest after 25 minutes is common practice and no medical rule; nothing here is medical advice.",
	},
}

func main() { cli.Main(program, run) }

// run is the program: args are those of the command line, without its name.
func run(args []string, out io.Writer) error {
	interrupt := make(chan os.Signal, 1)
	signal.Notify(interrupt, ends...)
	outlive()
	defer signal.Stop(interrupt)
	return runWith(args, os.Stdin, out, os.Stderr, interrupt)
}

type flags struct {
	cli.Common
	set      *flag.FlagSet
	about    onepage.About // the task and the player
	settings string
	replay   string
	speed    float64
	speeds   bool    // was given
	rest     float64 // seconds, negative for never
	keep     float64 // seconds, 0 for all
}

func newFlags() *flags {
	f := &flags{set: program.Flags(), speed: 1, keep: 2 * 60 * 60}
	f.Add(f.set, "to NAME-live-review where you are")
	f.set.StringVar(&f.settings, "settings", "", "read the settings from `FILE` in place of folder.take.json and NAME.take.json beside the file that is replayed")
	f.set.StringVar(&f.replay, "replay", "", "replay the lines of `FILE` as if they came now")
	f.set.Func("speed", "replay so many `TIMES` as fast as it was played; 0 is as fast as can be. 1 otherwise, and 0 for the demo take where its display is no terminal", func(v string) error {
		x, err := strconv.ParseFloat(v, 64)
		if err != nil || !(x >= 0) || math.IsInf(x, 0) {
			return fmt.Errorf("%q is no factor of speed, 0 or more", v)
		}
		f.speed, f.speeds = x, true
		return nil
	})
	f.set.Func("rest", "suggest a rest after so many `MINUTES` of playing; 0 is never, 25 otherwise", func(v string) error {
		x, err := strconv.ParseFloat(v, 64)
		if err != nil || !(x >= 0) || math.IsInf(x, 0) {
			return fmt.Errorf("%q is no number of minutes, 0 or more", v)
		}
		if f.rest = 60 * x; x == 0 {
			f.rest = -1
		}
		return nil
	})
	f.set.Func("keep", "keep the last so many `MINUTES` for the review; 0 keeps all, 120 otherwise", func(v string) error {
		x, err := strconv.ParseFloat(v, 64)
		if err != nil || !(x >= 0) || math.IsInf(x, 0) {
			return fmt.Errorf("%q is no number of minutes, 0 or more", v)
		}
		f.keep = 60 * x
		return nil
	})
	f.set.Func("task", "`WHAT` was to be played: one-string or changing-strings; what to work on depends on it", measured.Task(&f.about.Task))
	f.set.Func("comfort", "`HOW` the player felt: good, tired or pain. With pain the page says to stop, and gives nothing to work on", measured.Comfort(&f.about.Comfort))
	return f
}

// runWith is run with what the world gives: standard input, a place for what is wrong
// with single lines, and interrupts.
func runWith(args []string, in io.Reader, out, complaints io.Writer, interrupt <-chan os.Signal) error {
	f := newFlags()
	rest, err := program.Parse(f.set, args, out)
	if err != nil {
		return err
	}
	if err := f.InFolder("-notebook", f.Notebook); err != nil {
		return err
	}
	src, err := f.source(rest, in)
	if err != nil {
		return err
	}
	defer src.lines.Close()
	dir := f.Folder(src.base + "live-review")
	if dir != "" {
		place, err := cli.StageFolder(dir, names, f.Force)
		if err != nil { // now, and not when the take has been played
			return err
		}
		place.Discard()
	}
	s := newSession(src, f, out, complaints)
	if err := s.listen(interrupt); err != nil {
		return err
	}
	return s.finish(dir, f, interrupt)
}
