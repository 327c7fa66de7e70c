// Command twotakes holds two takes against each other: it says first what may be
// compared, then what differs, and what can be said of the player. Without files it
// compares two bundled demo takes.
package main

import (
	"errors"
	"fmt"
	"io"
	"strings"
	"time"

	"github.com/plectrace/plectrace/examples/internal/cli"
	"github.com/plectrace/plectrace/examples/internal/measured"
	"github.com/plectrace/plectrace/motion/progress"
	"github.com/plectrace/plectrace/motion/review"
)

var program = cli.Program{
	Name: "twotakes",
	Does: "Holds two takes against each other: says first what may be compared, then what differs, and what of that can be said of the player. Writes a folder with a page, a table and a machine-readable comparison. Without files it compares two bundled demo takes.",
	Usage: []string{
		"[flags] [FIRST SECOND]",
		"-measures                      list the names that -primary and -margin take",
	},
	Examples: []string{
		"",
		"-setup class -primary settled_share,picture_angle_deg january.csv march.csv",
		"-list takes.csv -repeats feb1.csv,feb2.csv,feb3.csv -margin notes_per_second=10 january.csv march.csv",
	},
	Groups: []cli.Group{
		cli.CommonGroup("measures"),
		{Title: "What is asked:", Flags: []string{"primary", "margin"}},
		{Title: "By how much takes of the player differ by themselves:", Flags: []string{"repeats"}},
		{Title: "What is known of the takes:", Flags: []string{"settings", "setup", "list", "dates", "comfort"}},
	},
	Notes: []string{
		"Beside each export lie its settings, NAME.take.json for NAME.csv, as onetake -write-settings starts them, over what folder.take.json says for all exports of the folder; -settings serves the exports that have none. Angles and heights compare only within one set-up, in which nothing was moved: name it in the settings, in the list, or with -setup.",
		"Two takes are two observations. Nobody plays two takes alike, and that these differ does not say that the player has changed. Three takes of one day, in which nothing is meant to change, tell by how much takes of that player differ anyhow: give them with -repeats. Repeats of three days or more tell the same of days.",
		"With so many measures some differ by chance. Name those that the question is about with -primary before you look at the takes; all others are what to look at next.",
		"-margin says what change would still count as none, such as notes_per_second=10 for ten per cent; sameness is said only where the whole interval lies within it.",
		"Nothing here tells why a measure changed. Fast repeated motion can hurt. Stop at pain, numbness or tingling, rest, and see a clinician if it stays. Nothing here is medical advice.",
	},
}

func main() { cli.Main(program, run) }

// flags are those of the command line.
type flags struct {
	cli.Common
	settings, setup, list, primary, margin, dates string
	measures                                      bool
	comfort                                       progress.Comfort
	repeats                                       [][]string // by day
}

func parse(args []string, out io.Writer) (*flags, []string, error) {
	var f flags
	s := program.Flags()
	f.Add(s, "to "+usualFolder+" where you are")
	s.BoolVar(&f.measures, "measures", false, "only list the names of the measures")
	s.StringVar(&f.settings, "settings", "", "settings for the exports that have none beside them, from `FILE`")
	s.StringVar(&f.setup, "setup", "", "`NAME` of the set-up of takes whose settings name none: say it only if nothing was moved between them")
	s.StringVar(&f.list, "list", "", "read player, date, set-up and comfort of the takes from `TAKES.csv`, the list that the program progress reads")
	s.StringVar(&f.dates, "dates", "", "`DAYS` of the first and the second take, such as 2026-01-12,2026-02-16; one day stands for both")
	s.Func("comfort", "how the player `FELT` at either take: good, tired or pain", measured.Comfort(&f.comfort))
	s.StringVar(&f.primary, "primary", "", "`NAMES` of the measures that the question is about, joined by commas")
	s.StringVar(&f.margin, "margin", "", "largest changes that still count as none, `NAME=VALUE` joined by commas: per cent for what is compared by its factor, otherwise in the measure's unit")
	s.Func("repeats", "`FILES`, joined by commas: takes of one day of the same player without a change between them. Give it again for each further day", func(v string) error {
		var day []string
		for _, name := range strings.Split(v, ",") {
			if name = strings.TrimSpace(name); name != "" {
				day = append(day, name)
			}
		}
		if len(day) < 2 {
			return errors.New("give at least two takes of the day, better three")
		}
		f.repeats = append(f.repeats, day)
		return nil
	})
	rest, err := program.Parse(s, args, out)
	return &f, rest, err
}

// usualFolder is where the program writes unless told otherwise.
const usualFolder = "twotakes-out"

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
	o, err := f.options()
	if err != nil {
		return err
	}
	switch {
	case len(files) != 0 && len(files) != 2:
		return cli.Usage(fmt.Errorf("%s given", measured.Count(len(files), "file")), "give two takes, the earlier one first, or none for the demo")
	case len(files) == 0 && (len(f.repeats) > 0 || f.list != ""):
		return cli.Usage(errors.New("no takes are given"), "name the two takes to compare")
	}
	dir := f.Folder(usualFolder)
	if dir != "" {
		if err := cli.CheckFolder(dir, outputNames, f.Force); err != nil {
			return err
		}
	}
	j := &job{}
	if err := j.take(f, files); err != nil {
		return err
	}
	if err := j.compare(o); err != nil {
		return err
	}
	var names []string
	if dir != "" {
		if names, err = j.write(dir, f); err != nil {
			return err
		}
	}
	words := f.Words(out)
	for _, line := range j.summary() {
		fmt.Fprintln(words, line)
	}
	if dir != "" {
		fmt.Fprintf(words, "\nWritten: %s with %s (open it in a browser), %s.\n", dir, names[0], measured.Join(names[1:]))
	}
	return f.PrintJSON(out, j.results())
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

// take gathers and reviews the takes: those that are named, or those of the demo.
func (j *job) take(f *flags, files []string) error {
	m := f.Meter("Reviewing takes")
	defer m.End()
	if len(files) == 0 {
		return j.demo(f, m)
	}
	return j.open(f, files, m)
}

// options are those of the comparison, without repeats.
func (f *flags) options() (o progress.CompareOptions, err error) {
	if o.Primary, err = measured.Names("-primary", f.primary); err != nil {
		return o, err
	}
	if o.Margins, err = measured.Margins("-margin", f.margin); err != nil {
		return o, err
	}
	return o, f.known(make([]progress.Take, 2)) // before anything is read
}

// known fills in what the flags say of the two takes.
func (f *flags) known(takes []progress.Take) error {
	for i := range takes {
		takes[i].Comfort = max(takes[i].Comfort, f.comfort) // pain that the list notes stays
	}
	if f.dates == "" {
		return nil
	}
	days := strings.Split(f.dates, ",")
	if len(days) > 2 {
		return cli.Usage(fmt.Errorf("-dates has %d days", len(days)), "give that of the first and that of the second take")
	}
	for i := range takes {
		text := strings.TrimSpace(days[min(i, len(days)-1)])
		d, err := time.Parse(time.DateOnly, text)
		if err != nil {
			return cli.Usage(fmt.Errorf("-dates: %q is not a day", text), "write it as year-month-day, such as 2026-01-12")
		}
		takes[i].Date = d
	}
	return nil
}

// job is a comparison from its files to its folder.
type job struct {
	names   []string // of the two exports
	takes   []progress.Take
	reviews []*review.Review
	repeats []progress.Take
	notes   []string // on how the takes were read
	lead    string

	repeated   *progress.Repeats
	comparison progress.Comparison
}

// compare holds the takes against each other.
func (j *job) compare(o progress.CompareOptions) error {
	if len(j.repeats) > 0 {
		r, err := repeatability(j.repeats)
		if err != nil {
			return cli.Input(err, "give repeats of one player")
		}
		j.repeated = &r
		o.Repeats = &r
	}
	var err error
	if j.comparison, err = compare(j.takes[0], j.takes[1], o); err != nil {
		return cli.Input(err, "")
	}
	if j.comparison.Swapped {
		j.names[0], j.names[1] = j.names[1], j.names[0]
		j.reviews[0], j.reviews[1] = j.reviews[1], j.reviews[0]
	}
	return nil
}
