// Command marks says how far a viewer of a take agrees with the program, and with
// another viewer, on where its motion is settled and where it is searching.
//
//	go run ./examples/cookbook/marks take.csv v01.csv
//	go run ./examples/cookbook/marks take.csv v01.csv v02.csv
//	go run ./examples/cookbook/marks take.csv > spans.csv
//
// A viewer's marks are a table with the columns kind, start_s and end_s. Time that a
// viewer left unmarked counts for nobody. Kappa is agreement beyond that of chance
// (Cohen 1960), over time and not over frames; it has an interval where the take has
// spans enough, which a single take seldom has. Without files two invented viewers
// look at a bundled take.
package main

import (
	_ "embed"
	"fmt"
	"io"

	"github.com/plectrace/plectrace/examples/cookbook/internal/recipe"
	"github.com/plectrace/plectrace/examples/internal/cli"
	"github.com/plectrace/plectrace/examples/internal/measured"
	"github.com/plectrace/plectrace/examples/internal/notebook"
	"github.com/plectrace/plectrace/motion/progress"
)

//go:embed steps.go
var steps notebook.Source

var program = cli.Program{
	Name:  "marks",
	Does:  "Says how far a viewer of a take agrees with the program, and with another viewer, on where its motion is settled and where it is searching, and lists the times at which they do not.",
	Usage: []string{"[flags] [TAKE.csv MARKS.csv [MARKS2.csv]]", "TAKE.csv > SPANS.csv         the program's spans as marks"},
	Examples: []string{
		"",
		"take.csv v01.csv v02.csv",
		"-out viewers take.csv v01.csv v02.csv",
		"take.csv > spans.csv",
	},
	Groups: []cli.Group{{Title: "What is known of the take:", Flags: []string{"settings"}}, recipe.Group()},
	Notes: []string{
		"MARKS.csv has a header and a line for each stretch: kind (settled, searching or any other word), start_s and end_s in seconds of the take; of a film that plays in slow motion divide what its player shows by the set-up's slowed_by. Mark before you look at the program's spans, and let each viewer mark alone.",
		"Beside the take lie its settings, NAME.take.json for NAME.csv, as onetake -write-settings starts them.",
		"One take has few spans, so that the agreement on it is a single observation. Let both view six takes or more.",
		recipe.Care,
	},
	Samples: []cli.Sample{{Title: "Marks:", Text: "kind,start_s,end_s\nsearching,0,4.5\nsettled,4.5,11\n"}},
}

func main() { cli.Main(program, run) }

// options are what the command line says.
type options struct {
	recipe.Flags
	settings string
}

func run(args []string, out io.Writer) error {
	s, files, err := parse(args, out)
	if err != nil {
		return err
	}
	f, err := s.find(files)
	if err != nil {
		return err
	}
	r := recipe.Result{Words: f.words(), Page: f.page(), Files: []cli.Output{{Name: "spans.csv", Write: f.spans}, {Name: "agreement.csv", Write: f.csv}}, JSON: f.json()}
	if len(f.viewers) == 1 {
		r.Table, r.Files = f.spans, r.Files[:1]
	}
	return s.Deliver(out, r)
}

// parse reads the command line.
func parse(args []string, out io.Writer) (s options, files []string, err error) {
	fs := program.Flags()
	fs.StringVar(&s.settings, "settings", "", "settings for a take that has none beside it, from `FILE`")
	s.Add(fs)
	files, err = program.Parse(fs, args, out)
	switch {
	case err != nil:
		return s, nil, err
	case len(files) > 3:
		return s, nil, cli.Usage(fmt.Errorf("%s given", measured.Count(len(files), "file")), "give the take and the marks of one or two viewers")
	}
	if err := recipe.NeedFile(fs, files, "settings"); err != nil {
		return s, nil, err
	}
	names := []string{"spans.csv", "agreement.csv"}
	if len(files) == 1 {
		names = names[:1]
	}
	return s, files, s.Check(names...)
}

// viewer is who says what a take is, moment by moment.
type viewer struct {
	name  string
	marks []progress.Mark
}
