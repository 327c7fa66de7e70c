package main

import (
	"errors"
	"flag"
	"fmt"
	"io"
	"path/filepath"
	"strconv"
	"strings"

	"github.com/plectrace/plectrace/examples/internal/cli"
	"github.com/plectrace/plectrace/motion/simulate"
	"github.com/plectrace/plectrace/variability/circular"
)

var program = cli.Program{
	Name:  "simulate",
	Does:  "Writes a take of picking whose truth is known, as a tracker would export it: to try a review on, to teach with, or to test a program. A page beside it shows what was made, and what a review finds of it. Without flags that say what is played or filmed it makes a short demo take.",
	Usage: []string{"[flags]", "-preset NAME|all [flags]", "-list                          list the presets"},
	Examples: []string{
		"",
		"-preset all -out class",
		"-rate 11 -angle 20 -noise 0.8",
		"-plan 0:fresh,4:settled,12:wander -misses 0.03",
		"-view front -skew -17 -drop-outs 0.02 -hide-down 0.7",
		"-distance 600 -scale 9 -raise 15 -card -touch 1 -marker-up 8",
		"-view 3-d -arm 0,0.2,0.2,0.6,0 -skin-error 5",
	},
	Groups: []cli.Group{
		cli.CommonGroup("onsets", "preset", "name", "list"),
		{Title: "The motion:", Flags: []string{"seed", "seconds", "rate", "angle", "skew", "length", "curvature", "depth", "clearing", "down-share", "profile", "lead", "misses"}},
		{Title: "Scatter of settled strokes, as standard deviations (0 for none):", Flags: []string{"jitter", "pulse", "angle-scatter", "length-scatter", "hand-wander"}},
		{Title: "What happens in the take:", Flags: []string{"plan", "pauses", "changes", "angle-drift", "rate-drift", "length-drift"}},
		{Title: "The camera:", Flags: []string{"view", "scale", "roll", "raise", "yaw", "distance", "noise", "noise-colour", "exposure", "readout", "sway", "sway-angle", "y-up", "left-handed", "mirrored", "from-neck"}},
		{Title: "Time and points:", Flags: []string{"frames", "time-jitter", "slowed-by", "slowed", "tracked-marks", "wrist", "marker-up", "marker-across", "pick-edge"}},
		{Title: "Before the playing, and the strings:", Flags: []string{"card", "touch", "touch-string", "crown", "string-drag"}},
		{Title: "The arm:", Flags: []string{"arm", "landmark-noise", "skin-error"}},
		{Title: "The sound (with -onsets):", Flags: []string{"onset-jitter", "onset-offset", "onsets-lost", "onsets-spurious"}},
		{Title: "The tracker's faults:", Flags: []string{"drop-outs", "mark-drop-outs", "hide-down", "hide-up", "outliers", "jumps", "fills", "confidence"}},
	},
	Notes: []string{
		"A plan is a list of START:KIND, in seconds; KIND is settled, or a search: fresh, wander, rate-wander, angle-only, tiny-strokes. Pauses are AT:SECONDS, changes of string AT:BY, where BY counts strings toward the highest-pitched.",
		"The shares of -arm are those of shoulder, elbow, forearm, wrist and fingers, and add up to 1; the arm has a wrist of its own, so leave out -wrist.",
		"With -preset, the other flags change the preset; without, they change a steady take of 20 s. NAME.truth.json has the strokes as they were made; a review should find them in NAME.csv with the set-up in NAME.take.json.",
		"Nobody plays these takes. With real ones take care: fast repeated motion can hurt. Stop at pain, numbness or tingling, rest, and see a clinician if it stays. Nothing here is medical advice.",
	},
}

// demoFlags make the take of a call without flags: searching that settles, a rest,
// and a return that wanders.
const demoFlags = "-seconds 14 -seed 5 -rate 9 -angle 24 -length 9 -plan 0:fresh,3.5:settled,10.5:wander -pauses 8:0.8 -misses 0.02 -noise 0.6 -tracked-marks -wrist 0.4 -drop-outs 0.005"

// steady is the take that flags change where they name no preset.
var steady = simulate.Options{PathAngle: 20 * circular.Degree}

// job is one take to make.
type job struct {
	name    string
	options simulate.Options
	// asked are the flags that ask for it.
	asked string
}

// setup is what the command line asks for.
type setup struct {
	cli.Common
	jobs []job
	list bool
	// onsets asks for a list of onsets beside each take.
	onsets bool
}

// parse reads the command line.
func parse(args []string, out io.Writer) (setup, error) {
	var s setup
	var name, from string
	var changes changes
	fs := program.Flags()
	s.Add(fs, "simulate-out")
	fs.StringVar(&from, "preset", "", "start from this `take` of the evening class: beginner-1, beginner-2, tutor, or all")
	fs.StringVar(&name, "name", "", "`name` of the files; otherwise that of the preset, demo or take")
	fs.BoolVar(&s.onsets, "onsets", false, "write NAME.onsets.csv too, a list of when the strings sound")
	fs.BoolVar(&s.list, "list", false, "only list the presets")
	changes.add(fs)
	rest, err := program.Parse(fs, args, out)
	if err != nil {
		return s, err
	}
	if len(rest) > 0 {
		return s, cli.Usage(fmt.Errorf("%q is no flag", rest[0]), "see simulate -h")
	}
	if s.list {
		return s, s.Alone("with -list")
	}
	if err := s.InFolder("-notebook", s.Notebook); err != nil {
		return s, err
	}
	if err := s.InFolder("-onsets", s.onsets); err != nil {
		return s, err
	}
	switch {
	case from == "all":
		if name != "" {
			return s, cli.Usage(errors.New("-name names one take, and -preset all makes several"), "leave one of them out")
		}
		for _, p := range simulate.Presets() {
			s.jobs = append(s.jobs, changes.job(p.Name, p.Options, "-preset "+p.Name))
		}
	case from != "":
		p, err := preset(from)
		if err != nil {
			return s, cli.Usage(err, "see simulate -list")
		}
		s.jobs = []job{changes.job(p.Name, p.Options, "-preset "+from)}
	case len(changes) == 0:
		demo := program.Flags()
		changes.add(demo)
		if err := demo.Parse(strings.Fields(demoFlags)); err != nil {
			return s, err
		}
		s.jobs = []job{changes.job("demo", steady, "")}
	default:
		s.jobs = []job{changes.job("take", steady, "")}
	}
	if name != "" {
		if name != filepath.Base(name) || !filepath.IsLocal(name) {
			return s, cli.Usage(fmt.Errorf("-name: %q is no name for a file", name), "give one without a folder; -out says where")
		}
		s.jobs[0].name = name
	}
	return s, nil
}

// changes are what the flags change of the options, in their order.
type changes []change

type change struct {
	flag string // as it is given
	set  func(*simulate.Options)
}

// add adds the flags of the options to fs.
func (c *changes) add(fs *flag.FlagSet) {
	for _, f := range optionFlags {
		value := strings.Contains(f.usage, "`")
		read := func(text string) error {
			set, err := f.read(text)
			if err != nil {
				return err
			}
			given := "-" + f.name
			if value {
				given += " " + quoted(text)
			} else if text != "true" {
				given += "=" + text
			}
			*c = append(*c, change{given, set})
			return nil
		}
		if value {
			fs.Func(f.name, f.usage, read)
		} else {
			fs.BoolFunc(f.name, f.usage, read)
		}
	}
}

// job is the take of that name with the changes.
func (c changes) job(name string, o simulate.Options, from string) job {
	j := job{name: name, options: o, asked: from}
	for _, change := range c {
		change.set(&j.options)
		j.asked = strings.TrimSpace(j.asked + " " + change.flag)
	}
	return j
}

// quoted is a value as a command line takes it.
func quoted(text string) string {
	if text == "" || strings.ContainsAny(text, " \t\"'") {
		return strconv.Quote(text)
	}
	return text
}
