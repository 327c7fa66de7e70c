// Marks says how far a viewer of a take agrees with the program, and with another
// viewer, on where its motion is settled and where it is searching.
//
//	go run ./examples/cookbook/marks take.csv v01.csv
//	go run ./examples/cookbook/marks take.csv v01.csv v02.csv
//	go run ./examples/cookbook/marks -out spans.csv take.csv
//
// A viewer's marks are a table with the columns kind, start_s and end_s. Time that a
// viewer left unmarked counts for nobody. Kappa is agreement beyond that of chance
// (Cohen 1960), over time and not over frames; it has an interval where the take has
// spans enough, which a single take seldom has. Without files two invented viewers
// look at a bundled take.
package main

import (
	"bytes"
	"errors"
	"fmt"
	"io"
	"slices"
	"strings"

	"github.com/plectrace/plectrace/examples/internal/cli"
	"github.com/plectrace/plectrace/examples/internal/measured"
	"github.com/plectrace/plectrace/examples/internal/takefile"
	"github.com/plectrace/plectrace/motion/cohort"
	"github.com/plectrace/plectrace/motion/progress"
)

var program = cli.Program{
	Name:  "marks",
	Does:  "Says how far a viewer of a take agrees with the program, and with another viewer, on where its motion is settled and where it is searching, and lists the times at which they do not.",
	Usage: []string{"[flags] [TAKE.csv MARKS.csv [MARKS2.csv]]", "-out SPANS.csv TAKE.csv         write the program's spans as marks"},
	Examples: []string{
		"",
		"take.csv v01.csv v02.csv",
		"-out spans.csv take.csv",
	},
	Notes: []string{
		"MARKS.csv has a header and a line for each stretch: kind (settled, searching or any other word), start_s and end_s in seconds of the take; of a film that plays in slow motion divide what its player shows by the set-up's slowed_by. Mark before you look at the program's spans, and let each viewer mark alone.",
		"Beside the take lie its settings, NAME.take.json for NAME.csv, as onetake -write-settings starts them.",
		"One take has few spans, so that the agreement on it is a single observation. Let both view six takes or more.",
		"Fast repeated motion can hurt. Stop at pain, numbness or tingling, rest, and see a clinician if it stays. Nothing here is medical advice.",
	},
	Samples: []cli.Sample{{Title: "Marks:", Text: "kind,start_s,end_s\nsearching,0,4.5\nsettled,4.5,11\n"}},
}

func main() { cli.Main(program, run) }

// viewer is who says what a take is, moment by moment.
type viewer struct {
	name  string
	marks []progress.Mark
}

func run(args []string, out io.Writer) error {
	s := program.Flags()
	file := s.String("out", "", "write the program's spans as marks to `FILE`, to be compared elsewhere")
	force := s.Bool("force", false, "replace FILE")
	settings := s.String("settings", "", "settings for a take that has none beside it, from `FILE`")
	rest, err := program.Parse(s, args, out)
	if err != nil {
		return err
	}
	switch {
	case len(rest) > 3:
		return cli.Usage(fmt.Errorf("%s given", measured.Count(len(rest), "file")), "give the take and the marks of one or two viewers")
	case len(rest) == 1 && *file == "":
		return cli.Usage(errors.New("no marks are given"), "name a file of marks, or write the program's with -out")
	}
	var viewers []viewer
	if len(rest) == 0 {
		fmt.Fprintln(out, "Demo: the first take of a beginner in an invented evening class, seen by two invented viewers. No real player was measured.")
		viewers, err = demo()
	} else {
		viewers, err = load(rest, *settings)
	}
	if err != nil {
		return err
	}
	var told strings.Builder
	for i := range viewers {
		for k := range i {
			if err := tell(&told, viewers[k], viewers[i]); err != nil {
				return err
			}
		}
	}
	if *file != "" {
		var b bytes.Buffer
		if err := progress.WriteMarks(&b, viewers[0].marks); err != nil {
			return cli.Input(err, "")
		}
		if err := cli.WriteFile(*file, b.Bytes(), *force); err != nil {
			return err
		}
		fmt.Fprintf(&told, "\nWritten: %s, the program's spans as marks.\n", *file)
	}
	_, err = io.WriteString(out, told.String())
	return err
}

// load reviews the take and reads the marks. The program is the first viewer.
func load(files []string, settings string) ([]viewer, error) {
	setup, err := takefile.Settings(settings)
	if err != nil {
		return nil, err
	}
	t, err := takefile.Open(progress.Take{File: files[0]}, takefile.Folder("."), cohort.Options{Setup: setup})
	if err != nil {
		return nil, err
	}
	viewers, err := ofProgram(t)
	if err != nil {
		return nil, err
	}
	for _, name := range files[1:] {
		data, err := cli.ReadFile(name, "marks", "check the name and the folder")
		if err != nil {
			return nil, err
		}
		marks, err := progress.ReadMarks(bytes.NewReader(data), name)
		if err != nil {
			return nil, cli.Input(err, "")
		}
		if err := within(name, marks, t.Review.Tip.T); err != nil {
			return nil, err
		}
		viewers = append(viewers, viewer{name, marks})
	}
	return viewers, nil
}

// slack is by how much marks may reach beyond the take, in seconds: a viewer stops
// the film a little late.
const slack = 1

// within returns an error when a mark lies outside the take, whose samples have the
// times t: its times are then in another unit, or of another film.
func within(name string, marks []progress.Mark, t []float64) error {
	first, last := t[0], t[len(t)-1]
	for _, m := range marks {
		if m.Start < first-slack || m.End > last+slack {
			return cli.Input(fmt.Errorf("%s: line %d: %g to %g s lies outside the take, which lasts from %.1f to %.1f s", name, m.Line, m.Start, m.End, first, last),
				"give seconds of the take; of a film that plays slowed, its time divided by slowed_by")
		}
	}
	return nil
}

// shareKind reports whether two viewers used a kind in common.
func shareKind(x, y []progress.Mark) bool {
	return slices.ContainsFunc(x, func(a progress.Mark) bool {
		return slices.ContainsFunc(y, func(b progress.Mark) bool { return strings.EqualFold(a.Kind, b.Kind) })
	})
}

// ofProgram is the program as a viewer.
func ofProgram(t cohort.Reviewed) ([]viewer, error) {
	marks, err := progress.SpanMarks(t.Review)
	if err != nil {
		return nil, cli.Input(err, "review the take with onetake to see why")
	}
	if len(marks) == 0 {
		return nil, cli.Input(errors.New("the take has no spans to hold marks against"), "review it with onetake to see why")
	}
	return []viewer{{"the program", marks}}, nil
}

// tell says how far two viewers agree.
func tell(b *strings.Builder, x, y viewer) error {
	g, err := progress.Agree(x.marks, y.marks)
	if err != nil {
		return cli.Input(err, "")
	}
	say := func(format string, args ...any) { fmt.Fprintf(b, format+"\n", args...) }
	say("\n%s and %s:", measured.Upper(x.name), y.name)
	if !g.Agreed.Known() {
		say("- It cannot be said: %s.", measured.Why(g.Agreed.Absent))
		return nil
	}
	if !shareKind(x.marks, y.marks) {
		say("- It cannot be said: they use no kind in common. The program says settled and searching.")
		return nil
	}
	say("- Both judged %.1f s and say the same for %s of it; %.0f %% would be chance.", g.Judged, measured.Share(g.Agreed), 100*g.Chance)
	if g.OnlyFirst+g.OnlySecond > 0.05 {
		say("- %.1f s were judged by one of them alone and do not count.", g.OnlyFirst+g.OnlySecond)
	}
	if g.Kappa.Known() {
		say("- Kappa, agreement beyond chance, 1 where it is full: %s.", measured.Value(g.Kappa))
	} else {
		say("- Kappa cannot be had: %s.", measured.Why(g.Kappa.Absent))
	}
	if g.NoInterval != "" {
		say("- How far that may be off is not known: %s.", g.NoInterval)
	}
	for i, kind := range g.Kinds {
		say("- %s: both say it for %.0f %% of the time for which either does.", measured.Upper(kind), 100*g.Overlap[i])
	}
	if g.StartsApart.Known() {
		say("- %d stretches match; their beginnings lie %.1f s apart.", g.Matched, g.StartsApart.Value)
	}
	list := differences(x.marks, y.marks)
	for _, d := range list {
		say("- Look at %.1f to %.1f s: %s says %s, %s says %s.", d.start, d.end, x.name, d.first, y.name, d.second)
	}
	return nil
}

// difference is a stretch on which two viewers differ.
type difference struct {
	start, end    float64
	first, second string
}

// leastDifference is how long a stretch must be to be worth a look, in seconds: two
// viewers place one boundary a few tenths apart.
const leastDifference = 0.5

// differences lists the stretches that both judged and name differently, in order of
// time.
func differences(x, y []progress.Mark) []difference {
	var out []difference
	for _, a := range x {
		for _, b := range y {
			start, end := max(a.Start, b.Start), min(a.End, b.End)
			if end-start >= leastDifference && !strings.EqualFold(a.Kind, b.Kind) {
				out = append(out, difference{start, end, a.Kind, b.Kind})
			}
		}
	}
	return out
}

// The marks of two invented viewers of the demo take.
const (
	marksOfV01 = "kind,start_s,end_s\nsearching,0,3.5\nsettled,3.5,5.2\nsearching,5.2,8\nsettled,8,11.2\nsearching,11.2,15\nsettled,15,19\nsearching,19,20\n"
	marksOfV02 = "kind,start_s,end_s\nsearching,0,8.5\nsettled,8.5,10.8\nsearching,10.8,15.4\nsettled,15.4,19.3\n"
)

// demo lets two invented viewers look at the bundled beginner's first take.
func demo() ([]viewer, error) {
	t, err := takefile.Open(progress.Take{File: "beginner-1.csv"}, takefile.Bundled, cohort.Options{})
	if err != nil {
		return nil, err
	}
	viewers, err := ofProgram(t)
	if err != nil {
		return nil, err
	}
	for _, v := range []struct{ name, text string }{{"viewer V01", marksOfV01}, {"viewer V02", marksOfV02}} {
		marks, err := progress.ReadMarks(strings.NewReader(v.text), v.name)
		if err != nil {
			return nil, err
		}
		viewers = append(viewers, viewer{v.name, marks})
	}
	return viewers, nil
}
