package main

import (
	"fmt"
	"io"
	"math"

	"github.com/plectrace/plectrace/examples/cookbook/internal/recipe"
	"github.com/plectrace/plectrace/examples/internal/cli"
)

var program = cli.Program{
	Name:  "onsets",
	Does:  "Lists the moments at which notes begin in a WAV file, by the rise of its power, as a table of times and levels.",
	Usage: []string{"[flags] FILE.wav > ONSETS.csv", "[flags]"},
	Examples: []string{
		"",
		"lesson.wav > lesson.onsets.csv",
		"-shift -0.35 -out lesson-sound lesson.wav",
		"-rise 4 -gap 0.06 -json lesson.wav",
	},
	Groups: []cli.Group{
		{Title: "What counts as an onset:", Flags: []string{"rise", "gap", "lowest", "shift"}},
		recipe.Group(),
	},
	Notes: []string{
		"Without FILE the program makes a sound of its own, plucked strings at the times at which an invented beginner struck them, and tells how many it finds.",
		"The table has a line for each onset: time_s, in seconds from the start of the sound, and level_db, the level of the attack against full scale. Levels compare within one recording, made with the gain fixed.",
		"Film and sound often start at different moments. Clap once before the camera: -shift is the time of the clap in the film less its time in the sound.",
		"Listen for what the program cannot tell from notes: a foot, a knock on the instrument, another player. More than one string left ringing hides soft notes; a higher -rise drops doubtful onsets, a lower one finds softer ones.",
		recipe.Care,
	},
}

// setup is what the command line asks for.
type setup struct {
	recipe.Flags
	shift float64 // seconds
	find  options
}

// parse reads the command line.
func parse(args []string, out io.Writer) (s setup, files []string, err error) {
	s.find = defaults
	fs := program.Flags()
	fs.Float64Var(&s.shift, "shift", 0, "add so many `seconds` to every time")
	fs.Float64Var(&s.find.rise, "rise", s.find.rise, "by how many `dB` the power must rise within 12 ms: the root mean square over the octaves of the sound, less what noise does by chance. Among clear notes half of it will do")
	fs.Float64Var(&s.find.gap, "gap", s.find.gap, "least `seconds` between two onsets; the one that brings more power stays")
	fs.Float64Var(&s.find.lowest, "lowest", s.find.lowest, "`Hz` at which the lowest octave begins; what is below is left out")
	s.Add(fs)
	if files, err = program.Parse(fs, args, out); err != nil {
		return s, nil, err
	}
	usage := func(format string, args ...any) error {
		return cli.Usage(fmt.Errorf(format, args...), "see onsets -h")
	}
	switch {
	case len(files) > 1:
		return s, nil, usage("%q is one file too many", files[1])
	case math.IsNaN(s.shift) || math.IsInf(s.shift, 0):
		return s, nil, usage("-shift %v is no time", s.shift)
	case !(s.find.rise > 0 && s.find.rise <= 60):
		return s, nil, usage("-rise %v is not between 0 and 60 dB", s.find.rise)
	case !(s.find.gap >= 0.01 && s.find.gap <= 5):
		return s, nil, usage("-gap %v is not between 0.01 and 5 s", s.find.gap)
	case !(s.find.lowest >= 20 && s.find.lowest <= 8000):
		return s, nil, usage("-lowest %v is not between 20 and 8000 Hz", s.find.lowest)
	}
	return s, files, s.Check("onsets.csv")
}
