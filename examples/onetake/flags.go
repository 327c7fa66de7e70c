package main

import (
	"flag"
	"fmt"
	"strconv"
	"strings"

	"github.com/plectrace/plectrace/examples/internal/cli"
	"github.com/plectrace/plectrace/motion/review"
	"github.com/plectrace/plectrace/trajectory"
)

// flags are the flags of the command line. Those of the settings are kept as
// they were given, to be laid over the settings file.
type flags struct {
	set                   *flag.FlagSet
	out, settings         string
	force, check, starter bool
	given                 review.Setup
	bass, treble, nut     string
	view, outward, tipIs  string
}

func newFlags() *flags {
	f := &flags{set: program.Flags()}
	s := f.set
	s.StringVar(&f.out, "out", "", "write to `FOLDER`, which the program makes; otherwise to NAME-review where you are")
	s.BoolVar(&f.force, "force", false, "replace what the program wrote before")
	s.BoolVar(&f.check, "check", false, "only say what this set-up can and cannot measure, and why")
	s.BoolVar(&f.starter, "write-settings", false, "only write a starter for the settings file")
	s.StringVar(&f.settings, "settings", "", "read the settings from `FILE`; otherwise from NAME.take.json beside the export, if it is there")

	g := &f.given
	s.StringVar(&g.Tip, "tip", "", "`NAME` of the point that follows the pick, as in the header without _x and _y")
	s.StringVar(&f.tipIs, "tip-is", "", "`WHAT` that point sits on: pick, the pick's own tip, or marker, a point above it such as a marker up the pick or a thumb. Heights and clearing need pick")
	s.StringVar(&f.bass, "bass", "", "`MARK` on the string plane, bass side: NAME or x,y")
	s.StringVar(&f.treble, "treble", "", "`MARK` on the string plane, treble side: NAME or x,y")
	s.StringVar(&f.nut, "nut", "", "`MARK` toward the nut, for three-axis exports; two marks are joined by +")
	s.Float64Var(&g.Marks.DistanceMM, "distance-mm", 0, "distance from the bass to the treble mark in `MM`, measured on the instrument")
	s.BoolVar(&g.MarksElsewhere, "marks-elsewhere", false, "the marks are not at the picking spot, so heights cannot be told from them")
	s.Float64Var(&g.Rate, "rate", 0, "capture rate in `FRAMES` a second, where the export has no time column")
	s.StringVar(&g.Time, "time", "", "`NAME` of the time column, where the header does not say")
	s.StringVar(&g.TimeUnit, "time-unit", "", "`UNIT` of the time column: s, ms, us or ns")
	s.StringVar(&g.Unit, "unit", "", "`UNIT` of the coordinates, where the header does not say: px, mm, cm or m")
	s.Float64Var(&g.MinConfidence, "min-confidence", 0, "cut samples of the tip that the tracker trusts less than this `SHARE`; 0.6 otherwise, negative to do without confidences")
	s.Float64Var(&g.SlowedBy, "slowed-by", 0, "how many `TIMES` slower than life the film plays: 8 for 240 frames/s saved as a film of 30")
	s.StringVar(&f.view, "view", "", "`VIEW`: end-on (the camera looks along the strings), front (it faces the instrument), oblique, 3-d")
	s.BoolVar(&g.YUp, "y-up", false, "y grows upward in the export; in most pictures it grows downward")
	s.BoolVar(&g.LeftHanded, "left-handed", false, "the instrument is strung left-handed")
	s.BoolVar(&g.Mirrored, "mirrored", false, "the film is mirrored, as from many front cameras")
	s.BoolVar(&g.FromNeck, "from-neck", false, "end-on from the neck, toward the bridge; otherwise from behind the bridge, toward the nut")
	s.StringVar(&f.outward, "outward", "", "`SIDE` of the picture on which the space before the strings lies: up, down, left or right. Use it where you are not sure of the four above: it wins")
	return f
}

// apply lays the flags that were given over s.
func (f *flags) apply(s *review.Setup) error {
	var err error
	fail := func(name string, e error) {
		if err == nil && e != nil {
			err = cli.Usage(fmt.Errorf("-%s: %w", name, e), "see "+program.Name+" -h")
		}
	}
	f.set.Visit(func(fl *flag.Flag) {
		g := &f.given
		switch fl.Name {
		case "tip":
			s.Tip = g.Tip
		case "tip-is":
			fail(fl.Name, s.TipIs.UnmarshalText([]byte(f.tipIs)))
		case "bass":
			s.Marks.Bass = mark(f.bass)
		case "treble":
			s.Marks.Treble = mark(f.treble)
		case "nut":
			s.Marks.Nut = nil
			for _, m := range strings.Split(f.nut, "+") {
				s.Marks.Nut = append(s.Marks.Nut, mark(m))
			}
		case "distance-mm":
			s.Marks.DistanceMM = g.Marks.DistanceMM
		case "marks-elsewhere":
			s.MarksElsewhere = g.MarksElsewhere
		case "rate":
			s.Rate = g.Rate
		case "time":
			s.Time = g.Time
		case "time-unit":
			s.TimeUnit = g.TimeUnit
		case "unit":
			s.Unit = g.Unit
		case "min-confidence":
			s.MinConfidence = g.MinConfidence
		case "slowed-by":
			s.SlowedBy = g.SlowedBy
		case "view":
			fail(fl.Name, s.View.UnmarshalText([]byte(f.view)))
		case "y-up":
			s.YUp = g.YUp
		case "left-handed":
			s.LeftHanded = g.LeftHanded
		case "mirrored":
			s.Mirrored = g.Mirrored
		case "from-neck":
			s.FromNeck = g.FromNeck
		case "outward":
			fail(fl.Name, s.Outward.UnmarshalText([]byte(f.outward)))
		}
	})
	return err
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
