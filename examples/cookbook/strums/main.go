// Command strums tells which way a hand was going at the moments of its strums, from
// one channel of a motion sensor on the hand (or one coordinate of a tracked point) and
// a list of the strums' times, as from a recording of the sound.
//
//	go run ./examples/cookbook/strums channel.csv times.csv > directions.csv
//	go run ./examples/cookbook/strums -down falling -out strums channel.csv times.csv
//
// It needs no frame and no scale: a direction is a sign. Without files it makes a
// channel whose strums are known.
package main

import (
	_ "embed"
	"fmt"
	"io"

	"github.com/plectrace/plectrace/examples/cookbook/internal/recipe"
	"github.com/plectrace/plectrace/examples/internal/cli"
	"github.com/plectrace/plectrace/examples/internal/measured"
	"github.com/plectrace/plectrace/examples/internal/notebook"
)

//go:embed steps.go
var steps notebook.Source

var program = cli.Program{
	Name:  "strums",
	Does:  "Tells which way the hand was going at the moments of its strums, from one channel of a motion sensor on the hand and a list of times.",
	Usage: []string{"[flags] CHANNEL TIMES > DIRECTIONS.csv", "[flags]"},
	Examples: []string{
		"",
		"channel.csv times.csv > directions.csv",
		"-down falling -out strums channel.csv times.csv",
		"-json channel.csv times.csv",
	},
	Groups: []cli.Group{{Title: "What the channel is:", Flags: []string{"down"}}, recipe.Group()},
	Notes: []string{
		"CHANNEL has two columns, time in seconds and value, separated by commas, semicolons or tabs; a header is skipped. TIMES has times in its first column, and perhaps D or U in its second: the table then says beside each answer what the list says, and the page, the words and the JSON how many agree.",
		"Without files the program makes a channel of an invented beginner's hand, sampled 19 times a second, and tells how many of its answers are true.",
		recipe.Care,
	},
}

func main() { cli.Main(program, run) }

func run(args []string, out io.Writer) error {
	s, files, err := parse(args, out)
	if err != nil {
		return err
	}
	f, err := s.find(files)
	if err != nil {
		return err
	}
	r := recipe.Result{Words: f.words(), Page: f.page(), Files: []cli.Output{{Name: "directions.csv", Write: f.csv}}, JSON: f.json()}
	if !f.invented {
		r.Table = f.csv
	}
	return s.Deliver(out, r)
}

// settings are what the command line says.
type settings struct {
	recipe.Flags
	down string
}

// parse reads the command line.
func parse(args []string, out io.Writer) (s settings, files []string, err error) {
	fs := program.Flags()
	fs.StringVar(&s.down, "down", "rising", "`WAY` that the channel goes in a downstroke: rising or falling")
	s.Add(fs)
	files, err = program.Parse(fs, args, out)
	switch {
	case err != nil:
		return s, nil, err
	case s.down != "rising" && s.down != "falling":
		return s, nil, cli.Usage(fmt.Errorf("-down is %q", s.down), "say rising or falling")
	case len(files) != 0 && len(files) != 2:
		return s, nil, cli.Usage(fmt.Errorf("%s given", measured.Count(len(files), "file")), "give the channel and the list of times, or neither")
	}
	if err := recipe.NeedFile(fs, files, "down"); err != nil {
		return s, nil, err
	}
	return s, files, s.Check("directions.csv")
}
