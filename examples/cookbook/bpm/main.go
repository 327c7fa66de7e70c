// Command bpm prints the table of the practice room: how many notes a second each
// note value makes at each tempo, and at which tempo notes come at a rate that was
// measured.
package main

import (
	_ "embed"
	"errors"
	"fmt"
	"io"
	"strconv"
	"strings"

	"github.com/plectrace/plectrace/examples/cookbook/internal/recipe"
	"github.com/plectrace/plectrace/examples/internal/cli"
	"github.com/plectrace/plectrace/examples/internal/notebook"
	"github.com/plectrace/plectrace/tempo"
)

//go:embed steps.go
var steps notebook.Source

var program = cli.Program{
	Name:  "bpm",
	Does:  "Prints how many notes a second each note value makes at each tempo, and back: the tempo at which notes come at a given rate.",
	Usage: []string{"[flags] [RATE ...]"},
	Examples: []string{
		"",
		"9.6",
		"-tempi 96:180:12 -values 16,16t,32",
		"-beat 4. -values 8,16 -tempi 60,80,100",
	},
	Groups: []cli.Group{{Title: "What stands in the tables:", Flags: []string{"tempi", "values", "beat"}}, recipe.Group()},
	Notes: []string{
		"RATE is in notes per second, as onetake measures it; every stroke is taken for a note.",
		"Note values are 4 (a quarter note), 8, 16, 32; 8. is dotted, 8t a triplet (3 in the time of 2), 16(6:4) a sextuplet. Words will do: sixteenths, eighth triplets, semiquavers.",
		recipe.Care,
	},
}

func main() { cli.Main(program, run) }

// asked is what the tables hold.
type asked struct {
	tempi, rates []float64
	beat         tempo.NoteValue
	values       []tempo.NoteValue
}

func run(args []string, out io.Writer) error {
	f, a, err := parse(args, out)
	if err != nil {
		return err
	}
	return f.Deliver(out, recipe.Result{Words: a.words(), Page: a.page(), Files: []cli.Output{{Name: "bpm.csv", Write: a.csv}}, JSON: a.json()})
}

// parse reads the command line.
func parse(args []string, out io.Writer) (f recipe.Flags, a asked, err error) {
	fs := program.Flags()
	tempi := fs.String("tempi", "", "beats per minute: `FROM:TO:STEP`, or a list joined by commas; 60:200:10 otherwise")
	values := fs.String("values", "8,8t,16,16t,32", "`NAMES` of the note values, joined by commas")
	beat := fs.String("beat", "4", "the `NOTE` that the metronome counts")
	f.Add(fs)
	rest, err := program.Parse(fs, args, out)
	if err != nil {
		return f, a, err
	}
	switch {
	case len(rest) > 0 && *tempi != "":
		err = cli.Usage(errors.New("-tempi and rates are two questions"), "give one of them")
	case len(rest) > 0:
		a.rates, err = numbers("a rate", "notes per second", rest, 100)
	case *tempi != "":
		a.tempi, err = list(*tempi)
	default:
		a.rates = []float64{4, 6, 8, 9.6, 10, 11, 12, 14, 16}
		a.tempi, err = list("60:200:10")
	}
	if err != nil {
		return f, a, err
	}
	for _, name := range strings.Split(*values+","+*beat, ",") {
		v, err := tempo.ParseNoteValue(name)
		if err != nil {
			return f, a, cli.Usage(err, "write 8, 16, 8. or 8t; see bpm -h")
		}
		a.values = append(a.values, v)
	}
	last := len(a.values) - 1
	a.values, a.beat = a.values[:last], a.values[last]
	return f, a, f.Check("bpm.csv")
}

// list reads FROM:TO:STEP, or numbers joined by commas, in beats per minute.
func list(text string) ([]float64, error) {
	const what, unit, most = "a tempo", "beats per minute", 1000
	parts := strings.Split(text, ":")
	if len(parts) == 1 {
		return numbers(what, unit, strings.Split(text, ","), most)
	}
	v, err := numbers(what, unit, parts, most)
	switch {
	case err != nil:
		return nil, err
	case len(v) != 3 || v[1] < v[0] || (v[1]-v[0])/v[2] > 200:
		return nil, cli.Usage(fmt.Errorf("-tempi %q is no series of up to 200 tempi", text), "write FROM:TO:STEP, such as 60:200:10")
	}
	var all []float64
	for k := 0; v[0]+float64(k)*v[2] <= v[1]*(1+1e-12); k++ {
		all = append(all, v[0]+float64(k)*v[2])
	}
	return all, nil
}

// numbers reads positive numbers of at most that size.
func numbers(what, unit string, texts []string, most float64) ([]float64, error) {
	var all []float64
	for _, text := range texts {
		v, err := strconv.ParseFloat(strings.TrimSpace(text), 64)
		if err != nil || !(v > 0 && v <= most) {
			return nil, cli.Usage(fmt.Errorf("%q is not %s", text, what), fmt.Sprintf("give %s above 0, up to %g", unit, most))
		}
		all = append(all, v)
	}
	return all, nil
}
