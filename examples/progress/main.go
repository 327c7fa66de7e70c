// Command progress follows the takes of players over days and weeks: it reads a list
// of takes, reviews each, and writes a folder with a page, tidy rows and a table of
// trends. Without a list it makes up two players of an evening class.
package main

import (
	"errors"
	"fmt"
	"io"
	"path/filepath"
	"slices"
	"strings"

	"github.com/plectrace/plectrace/examples/internal/cli"
	"github.com/plectrace/plectrace/examples/internal/measured"
	"github.com/plectrace/plectrace/examples/internal/takefile"
	"github.com/plectrace/plectrace/motion/advice"
	"github.com/plectrace/plectrace/motion/progress"
	"github.com/plectrace/plectrace/motion/review"
)

var program = cli.Program{
	Name: "progress",
	Does: "Follows the takes of players over days and weeks: reads a list of takes, reviews each, and says for every player what the weeks hold, what changes and what cannot be said, whether the slow take is the same motion as the fast one, and what to work on after the latest take. Writes a folder with a page, a row for each take and measure, and a table of trends. Without TAKES it makes up two players.",
	Usage: []string{
		"[flags] [TAKES.csv]",
		"-measures                      list the names that -primary takes",
	},
	Examples: []string{
		"",
		"-out term takes.csv",
		"-player P01 -primary settled_share,length_scatter_share -task one-string takes.csv",
	},
	Groups: []cli.Group{
		cli.CommonGroup("measures"),
		{Title: "What to read:", Flags: []string{"player", "settings"}},
		{Title: "What is asked:", Flags: []string{"primary", "task"}},
	},
	Notes: []string{
		"TAKES.csv has a header and a line for each take: player (a code, not a name), date, session, take, file, setup, stopped_by, grip, comfort (good, tired or pain), and any further columns. Files are relative to the list. Beside each export lie its settings, NAME.take.json for NAME.csv, over what folder.take.json says for all exports of the folder; -settings serves those that have none. A file that cannot be read, and a take that cannot be measured, is named and left out; the others go on.",
		"A further column pace says of a take that its rate was asked for: slow, fast, or ramp for one that changes from slow to fast. Such takes serve the question whether the slow motion is the fast one, and nothing else: what a player was asked to do is no trend. Film slow and fast on one day, two or three takes of each.",
		"A day is one observation, however many takes it has. Trends need takes on five days; three takes of a day, in which nothing is meant to change, tell how far the player's takes differ by themselves.",
		"Name the measures that the question is about with -primary before you look at the takes. With so many measures some rise or fall by chance.",
		"Fast repeated motion can hurt. Stop at pain, numbness or tingling, rest, and see a clinician if it stays. After pain the program lists nothing to work on until a later day is noted as good. Nothing here is medical advice.",
	},
	Samples: []cli.Sample{
		{Title: "A list of takes:", Text: "player,date,session,take,file,setup,stopped_by,grip,comfort,pace\nP01,2026-01-12,,1,p01/jan12-1.csv,class,timer,flat,good,\nP01,2026-01-12,,2,p01/jan12-2.csv,class,timer,flat,good,slow\n"},
	},
}

func main() { cli.Main(program, run) }

// defaultPrimary are the measures that are asked about unless others are named: does
// the motion hold, how fast it is, and how even its path.
const defaultPrimary = "settled_share,notes_per_second,path_angle_scatter_deg"

// flags are those of the command line.
type flags struct {
	cli.Common
	player, settings, primary string
	measures                  bool
	task                      advice.Task
}

// usualFolder is where the program writes unless told otherwise.
const usualFolder = "progress-out"

func parse(args []string, out io.Writer) (f flags, rest []string, err error) {
	s := program.Flags()
	f.Add(s, "to "+usualFolder+" where you are")
	s.BoolVar(&f.measures, "measures", false, "only list the names of the measures")
	s.StringVar(&f.player, "player", "", "follow this player alone: the `CODE` in the list")
	s.StringVar(&f.settings, "settings", "", "settings for the exports that have none beside them, from `FILE`")
	s.StringVar(&f.primary, "primary", defaultPrimary, "`NAMES` of the measures that the question is about, joined by commas")
	s.Func("task", "`WHAT` was to be played: one-string or changing-strings. Without it nothing is said about leaving the string", measured.Task(&f.task))
	rest, err = program.Parse(s, args, out)
	return f, rest, err
}

// agree refuses flags that do nothing beside others.
func (f *flags) agree() error {
	switch {
	case f.measures && (f.JSON || f.Notebook):
		return cli.Usage(errors.New("-json and -notebook do nothing beside -measures"), "leave them out")
	case f.measures:
		return f.Alone("beside -measures")
	}
	return f.InFolder("-notebook", f.Notebook)
}

// run is the program: args are those of the command line, without its name.
func run(args []string, out io.Writer) error {
	f, files, err := parse(args, out)
	if err != nil {
		return err
	}
	if err := f.agree(); err != nil {
		return err
	}
	if f.measures {
		measured.List(out)
		return nil
	}
	j, err := prepare(f, files)
	if err != nil {
		return err
	}
	dir := f.Folder(usualFolder)
	if dir != "" {
		if err := cli.CheckFolder(dir, outputNames, f.Force); err != nil {
			return err
		}
	}
	words := f.Words(out)
	for _, n := range j.roster.Notes {
		fmt.Fprintln(words, n)
	}
	if err := j.measure(f.Meter("Reviewing takes"), words); err != nil {
		return err
	}
	if err := j.follow(); err != nil {
		return err
	}
	var names []string
	if dir != "" {
		if names, err = j.write(dir, f); err != nil {
			return err
		}
	}
	for _, line := range j.summary() {
		fmt.Fprintln(words, line)
	}
	if dir != "" {
		fmt.Fprintf(words, "\nWritten: %s with %s (open it in a browser), %s.\n", dir, names[0], measured.Join(names[1:]))
	}
	return f.PrintJSON(out, j.results())
}

// prepare gathers the takes: those of the list, or those of the demo.
func prepare(f flags, files []string) (*job, error) {
	j := &job{task: f.task}
	var err error
	if j.primary, err = measured.Names("-primary", f.primary); err != nil {
		return nil, err
	}
	switch {
	case len(files) > 1:
		return nil, cli.Usage(fmt.Errorf("%s given", measured.Count(len(files), "file")), "give one list of takes")
	case len(files) == 0:
		j.demo()
	default:
		err = j.read(files[0], f)
	}
	if err != nil {
		return nil, err
	}
	return j, j.choose(f.player)
}

// job is from a list of takes to a folder.
type job struct {
	roster  progress.Roster
	open    takefile.Opener
	setup   *review.Setup
	primary []string
	task    advice.Task
	lead    string

	takes   []*taken // in the order of the list
	players []player
}

// read reads the list.
func (j *job) read(name string, f flags) (err error) {
	if j.setup, err = takefile.Settings(f.settings); err != nil {
		return err
	}
	if j.roster, err = takefile.Roster(name); err != nil {
		return err
	}
	j.open = takefile.Folder(filepath.Dir(name))
	return nil
}

// choose keeps the takes of one player, where one is named, and checks their paces.
func (j *job) choose(player string) error {
	if player != "" {
		if !slices.Contains(j.roster.Players(), player) {
			return cli.Input(fmt.Errorf("the list has no player %q", player), "take one of "+strings.Join(j.roster.Players(), ", "))
		}
		j.roster.Takes = slices.DeleteFunc(j.roster.Takes, func(t progress.Take) bool { return t.Player != player })
	}
	column := slices.IndexFunc(j.roster.Columns, func(c string) bool { return strings.EqualFold(c, "pace") })
	for _, t := range j.roster.Takes {
		k := &taken{Take: t}
		if column >= 0 {
			k.pace = strings.ToLower(strings.TrimSpace(t.Extra[column]))
		}
		if !slices.Contains([]string{"", "own", "slow", "fast", "ramp"}, k.pace) {
			return cli.Input(fmt.Errorf("line %d of the list: the pace is %q", t.Line, t.Extra[column]), "write slow, fast or ramp, or leave it empty for the player's own")
		}
		j.takes = append(j.takes, k)
	}
	if len(j.takes) == 0 {
		return cli.Input(errors.New("the list names no takes"), "add a line for each take")
	}
	return nil
}
