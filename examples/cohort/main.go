// Command cohort measures the takes of a study: it reads a list of takes, reviews
// each, and writes a folder with tidy rows, a codebook, the log of what is left
// out, the answers to the questions of the study's plan, and a page. Without a
// list it makes up a small study.
package main

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"io"
	"os"
	"os/signal"
	"path/filepath"
	"runtime"
	"slices"
	"strings"
	"syscall"

	"github.com/plectrace/plectrace/examples/internal/cli"
	"github.com/plectrace/plectrace/examples/internal/measured"
	"github.com/plectrace/plectrace/examples/internal/takefile"
	"github.com/plectrace/plectrace/motion/cohort"
	"github.com/plectrace/plectrace/motion/progress"
)

var program = cli.Program{
	Name: "cohort",
	Does: "Measures the takes of a study of many players: reads a list of takes, reviews each, and writes a folder with tidy rows for a statistics program, a codebook, a log of the takes that are left out and why, the answers to the study's questions, and a page. Without TAKES it makes up a small study and shows what comes of it.",
	Usage: []string{
		"[flags] [TAKES.csv]",
		"-rows [flags] [TAKES.csv]      print the rows of the takes, for another program to gather",
		"-from-rows [flags] ROWS.csv    gather rows that were printed so",
		"-write-plan FILE               write a starter for the plan",
	},
	Examples: []string{
		"",
		"-plan plan.json -out study takes.csv",
		"-rows takes.csv > rows.csv",
		"-from-rows -plan plan.json -out study rows.csv",
	},
	Groups: []cli.Group{
		cli.CommonGroup("by", "write-plan"),
		{Title: "As a step of a larger job:", Flags: []string{"rows", "header", "no-header", "key", "from-rows"}},
		{Title: "What to read:", Flags: []string{"plan", "settings", "folder", "columns"}},
		{Title: "How to run:", Flags: []string{"workers"}},
	},
	Notes: []string{
		"TAKES.csv has a header and a line for each take: player (a code, not a name), date, session, take, file, setup, stopped_by, grip, comfort (good, tired or pain), and any further columns, which the rows repeat. Files are relative to the list. Beside each export lie its settings, NAME.take.json for NAME.csv; -settings serves those that have none.",
		"A file that cannot be read, and a take that cannot be measured, is left out and logged with the reason; the others go on.",
		"The plan is written before the data are seen. It names the one question of the study (primary), further ones that count as exploratory, which takes tell what (windows), a column that groups players (cluster), and what is left out (exclusions). Its digest stands in what is written.",
		"With -rows the program is one step of a larger job: it reads a list of takes from TAKES.csv, or from standard input with -columns naming what stands in its lines, and prints rows. Nothing is left out then; -from-rows does that, and needs the rows of a take together.",
		"Fast repeated motion can hurt. Stop at pain, numbness or tingling, rest, and see a clinician if it stays. Nothing here is medical advice.",
	},
	Samples: []cli.Sample{
		{Title: "A list of takes:", Text: "player,date,session,take,file,setup,stopped_by,grip,comfort,class\nP01,2026-01-12,,1,p01/jan12-1.csv,class-a,timer,flat,good,monday\n"},
		{Title: "A plan:", Text: samplePlan},
	},
}

const samplePlan = `{
  "schema": "plectrace/plan/1",
  "title": "Evening class, first term",
  "primary": {"predictor": "duration_scatter_share", "outcome": "settled_share"},
  "exploratory": [{"predictor": "duration_scatter_share", "outcome": "settled_notes_per_second"}],
  "windows": {"unit": "day", "early": 2, "baseline": 2, "late": 2},
  "margin": 0.3
}
`

func main() { cli.Main(program, run) }

// run is the program: args are those of the command line, without its name.
func run(args []string, out io.Writer) error {
	ctx, stop := signal.NotifyContext(context.Background(), os.Interrupt, syscall.SIGTERM)
	defer stop()
	return study(ctx, args, os.Stdin, out)
}

// flags are those of the command line.
type flags struct {
	cli.Common
	plan, settings, folder, columns, writePlan, by string
	rows, fromRows, header, noHeader, key          bool
	workers                                        int
}

// study runs the program until it is done or ctx is.
func study(ctx context.Context, args []string, in io.Reader, out io.Writer) error {
	var f flags
	s := program.Flags()
	f.Add(s, "cohort-out")
	s.StringVar(&f.by, "by", "", "in the figure, tell players apart by the further column `COLUMN` of the list; otherwise by the plan's cluster")
	s.StringVar(&f.plan, "plan", "", "read the plan of the study from `FILE`")
	s.StringVar(&f.writePlan, "write-plan", "", "only write a starter for the plan to `FILE`")
	s.StringVar(&f.settings, "settings", "", "settings for the exports that have none beside them, from `FILE`")
	s.StringVar(&f.folder, "folder", "", "look for the exports in `FOLDER`; otherwise in that of the list")
	s.StringVar(&f.columns, "columns", "", "the list has no header; its `COLUMNS`, joined by commas, are these")
	s.BoolVar(&f.rows, "rows", false, "only print the rows of the takes")
	s.BoolVar(&f.noHeader, "no-header", false, "with -rows: leave the header out")
	s.BoolVar(&f.header, "header", false, "with -rows: print the header of the rows and no more; a list without a header needs -columns")
	s.BoolVar(&f.key, "key", false, "with -rows: begin each line with the player and a tab, and leave the header out")
	s.BoolVar(&f.fromRows, "from-rows", false, "read rows instead of takes")
	s.IntVar(&f.workers, "workers", 0, "measure `NUMBER` takes at a time; otherwise one for each processor")
	rest, err := program.Parse(s, args, out)
	if err != nil {
		return err
	}
	switch {
	case len(rest) > 1:
		return cli.Usage(fmt.Errorf("%s given", measured.Count(len(rest), "file")), "give one")
	case f.rows && f.fromRows:
		return cli.Usage(errors.New("-rows and -from-rows are given together"), "print rows first, then gather them")
	case f.fromRows && len(rest) == 0:
		return cli.Usage(errors.New("no file of rows is given"), "name one that -rows printed, or - for standard input")
	case f.workers < 0:
		return cli.Usage(fmt.Errorf("-workers is %d", f.workers), "give 1 or more, or leave it out")
	case (f.header || f.noHeader || f.key) && !f.rows:
		return cli.Usage(errors.New("-header, -no-header and -key go with -rows"), "add -rows, or leave them out")
	case f.header && len(rest) == 0 && f.columns == "":
		return cli.Usage(errors.New("-header is given without a list of takes"), "name the list, or its columns with -columns")
	}
	if f.rows {
		if err := f.only("with -rows"); err != nil {
			return err
		}
		if err := f.Alone("with -rows"); err != nil {
			return err
		}
	}
	if f.workers == 0 {
		f.workers = runtime.GOMAXPROCS(0)
	}
	if f.writePlan != "" {
		if err := f.only("with -write-plan"); err != nil {
			return err
		}
		return writePlan(f, f.Words(out))
	}
	if err := f.InFolder("-notebook", f.Notebook); err != nil {
		return err
	}
	o, plan, err := f.read()
	if err != nil {
		return err
	}
	switch {
	case f.fromRows:
		return gather(ctx, f, rest[0], plan, in, out)
	case len(rest) == 0 && !f.rows && f.columns == "":
		return demo(ctx, f, plan, out)
	}
	if f.header {
		in = strings.NewReader("") // the columns say it all
	}
	name := "-"
	if len(rest) > 0 {
		name = rest[0]
	}
	roster, err := f.list(name, in)
	if err != nil {
		return err
	}
	if f.header {
		rows, err := cohort.NewRowWriter(out, roster.Columns, false)
		if err != nil {
			return cli.Input(err, "")
		}
		return rows.Flush()
	}
	j := job{f: f, roster: roster, open: f.opener(name), options: o, plan: plan}
	if f.rows {
		return j.print(ctx, out)
	}
	return j.run(ctx, out)
}

// only refuses the flags that say how the results of a study are told, for a call
// that makes none.
func (f *flags) only(instead string) error {
	for _, given := range []struct {
		flag string
		is   bool
	}{{"-json", f.JSON}, {"-notebook", f.Notebook}, {"-by", f.by != ""}} {
		if given.is {
			return cli.Usage(fmt.Errorf("%s does nothing %s", given.flag, instead), "leave it out")
		}
	}
	return nil
}

// read reads the plan and the settings that the flags name.
func (f *flags) read() (cohort.Options, cohort.Plan, error) {
	var o cohort.Options
	var plan cohort.Plan
	if f.plan != "" {
		data, err := cli.ReadFile(f.plan, "plan", "check the name, or write a starter with -write-plan")
		if err != nil {
			return o, plan, err
		}
		if plan, err = readPlan(string(data)); err != nil {
			return o, plan, cli.Input(fmt.Errorf("%s: %w", f.plan, err), "correct the plan; -write-plan writes a starter to compare it with")
		}
	}
	var err error
	o.Setup, err = takefile.Settings(f.settings)
	return o, plan, err
}

// list reads the list of takes from a file, or from standard input for "-".
func (f *flags) list(name string, stdin io.Reader) (progress.Roster, error) {
	in, shown, err := source(name, "list of takes", stdin)
	if err != nil {
		return progress.Roster{}, err
	}
	defer in.Close()
	const beyond = 17 << 20 // more than ReadRoster takes, which says so
	data, err := io.ReadAll(io.LimitReader(in, beyond))
	if err != nil {
		return progress.Roster{}, cli.Input(fmt.Errorf("cannot read %s: %w", shown, err), "check the list of takes")
	}
	nothing := false
	if f.columns != "" {
		if nothing = len(bytes.TrimSpace(data)) == 0; nothing { // a step of a larger job may have nothing to do
			data = oneTake(f.columns)
		}
		data = slices.Concat([]byte(f.columns+"\n"), data)
	}
	roster, err := progress.ReadRoster(bytes.NewReader(data), shown)
	if err != nil {
		return roster, cli.Input(err, "")
	}
	if nothing {
		roster.Takes, roster.Notes = nil, nil
	}
	return roster, nil
}

// oneTake is a line of no meaning for a list with these columns: what a list may
// hold is known to its reader alone.
func oneTake(columns string) []byte {
	names := strings.Split(columns, ",")
	for i, name := range names {
		switch strings.ToLower(strings.TrimSpace(name)) {
		case "date", "comfort":
			names[i] = ""
		default:
			names[i] = "1"
		}
	}
	return []byte(strings.Join(names, ",") + "\n")
}

// opener opens the files that a list names.
func (f *flags) opener(list string) takefile.Opener {
	if f.folder == "" && list != "-" {
		return takefile.Folder(filepath.Dir(list))
	}
	return takefile.Folder(f.folder)
}

// writePlan writes a starter for the plan.
func writePlan(f flags, out io.Writer) error {
	plan, err := readPlan(samplePlan)
	if err != nil {
		return err
	}
	data, err := plan.JSON()
	if err != nil {
		return err
	}
	if err := cli.WriteFile(f.writePlan, data, f.Force); err != nil {
		return err
	}
	fmt.Fprintf(out, "Written: %s. Change it to the questions of your study before you look at any data, and keep it.\n", f.writePlan)
	return nil
}
