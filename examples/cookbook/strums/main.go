// Strums tells which way a hand was going at the moments of its strums, from one
// channel of a motion sensor on the hand (or one coordinate of a tracked point)
// and a list of the strums' times, as from a recording of the sound.
//
//	go run ./examples/cookbook/strums channel.csv times.csv
//	go run ./examples/cookbook/strums -down falling channel.csv times.csv
//
// The channel has two columns, time in seconds and value; the list has times in
// its first column, and perhaps D or U in its second: the program then says how
// many of its answers agree. It needs no frame and no scale: a direction is a
// sign. Without files it makes a channel whose strums are known.
package main

import (
	"bytes"
	"encoding/csv"
	"fmt"
	"io"
	"math"
	"os"
	"strconv"
	"strings"

	"github.com/plectrace/plectrace/examples/internal/cli"
	"github.com/plectrace/plectrace/motion"
	"github.com/plectrace/plectrace/motion/simulate"
	"github.com/plectrace/plectrace/trajectory"
)

var program = cli.Program{
	Name:  "strums",
	Does:  "Tells which way the hand was going at the moments of its strums, from one channel of a motion sensor on the hand and a list of times.",
	Usage: []string{"[flags] CHANNEL TIMES", "[flags]"},
	Examples: []string{
		"",
		"channel.csv times.csv",
		"-down falling -out directions.csv channel.csv times.csv",
	},
	Notes: []string{
		"CHANNEL has two columns, time in seconds and value, separated by commas, semicolons or tabs; a header is skipped. TIMES has times in its first column, and perhaps D or U in its second.",
		"Without files the program makes a channel of an invented beginner's hand, sampled 19 times a second, and prints its answers beside the truth.",
		"Fast repeated motion can hurt. Stop at pain, numbness or tingling, rest, and see a clinician if it stays. Nothing here is medical advice.",
	},
}

func main() { cli.Main(program, run) }

// strum is a moment with the direction that the list says, if it does.
type strum struct {
	time float64
	said motion.Direction
}

func run(args []string, out io.Writer) error {
	fs := program.Flags()
	file := fs.String("out", "", "write the table to `FILE` instead of printing it")
	force := fs.Bool("force", false, "replace FILE")
	down := fs.String("down", "rising", "`WAY` that the channel goes in a downstroke: rising or falling")
	rest, err := program.Parse(fs, args, out)
	if err != nil {
		return err
	}
	switch {
	case *down != "rising" && *down != "falling":
		return cli.Usage(fmt.Errorf("-down is %q", *down), "say rising or falling")
	case len(rest) != 0 && len(rest) != 2:
		return cli.Usage(fmt.Errorf("%d files given", len(rest)), "give the channel and the list of times, or neither")
	}
	var p trajectory.Placed
	var strums []strum
	if len(rest) == 0 {
		p, strums, err = demo()
		*down = "rising"
		fmt.Fprintln(out, "Demo: the hand of a beginner in an invented evening class, sampled 19 times a second. No real player was measured.")
	} else {
		p, strums, err = load(rest[0], rest[1])
	}
	if err != nil {
		return err
	}
	if *down == "falling" {
		for i := range p.Across {
			p.Across[i] = -p.Across[i]
		}
	}
	m, err := motion.Analyze(p, motion.Options{Relative: true, RelativeWhy: "one channel has no heights"})
	if err != nil {
		return cli.Input(err, "check the channel")
	}
	table, agree, known := answer(m, p, strums)
	if *file == "" {
		if _, err := out.Write(table); err != nil {
			return err
		}
	} else if err := cli.WriteFile(*file, table, *force); err != nil {
		return err
	}
	if known > 0 {
		fmt.Fprintf(out, "%d of %d directions are those of the list (%.1f %%)\n", agree, known, 100*float64(agree)/float64(known))
	}
	return nil
}

// answer returns the table of directions, and how many of those that the list
// says agree.
func answer(m *motion.Motion, p trajectory.Placed, strums []strum) (table []byte, agree, known int) {
	var b bytes.Buffer
	b.WriteString("time_s,direction\n")
	for _, s := range strums {
		d := m.DirectionAt(p, s.time)
		fmt.Fprintf(&b, "%.4f,%s\n", s.time, d)
		if s.said != motion.DirectionUnknown {
			known++
			if s.said == d {
				agree++
			}
		}
	}
	return b.Bytes(), agree, known
}

// demo is a simulated hand, whose tip's place across is the channel.
func demo() (trajectory.Placed, []strum, error) {
	take, err := simulate.Make(simulate.Options{
		Seed: 21, Duration: 30, Rate: 4, Length: 60, Jitter: 0.12, LengthScatter: 0.2, Noise: 1.5, Scale: 1, FrameRate: 19, TimeJitter: 0.002,
	})
	if err != nil {
		return trajectory.Placed{}, nil, err
	}
	tip, _ := take.Recording.Point("tip")
	p := placed(tip.T, tip.X)
	var strums []strum
	for _, s := range take.Truth.Strokes {
		d := motion.Up
		if s.Down {
			d = motion.Down
		}
		if s.Reached {
			strums = append(strums, strum{s.Struck, d})
		}
	}
	return p, strums, nil
}

// placed makes a path of one channel.
func placed(t, x []float64) trajectory.Placed {
	return trajectory.Placed{Name: "channel", T: t, Across: x, Along: make([]float64, len(x))}
}

// load reads the channel and the list.
func load(channel, times string) (trajectory.Placed, []strum, error) {
	rows, err := read(channel, 2)
	if err != nil {
		return trajectory.Placed{}, nil, err
	}
	var t, x []float64
	for _, r := range rows {
		if len(t) > 0 && r.time <= t[len(t)-1] {
			return trajectory.Placed{}, nil, cli.Input(fmt.Errorf("%s, line %d: the time %g s does not come after %g s", channel, r.line, r.time, t[len(t)-1]), "sort the channel by time")
		}
		v, err := strconv.ParseFloat(r.rest[0], 64)
		if err != nil || math.IsInf(v, 0) {
			return trajectory.Placed{}, nil, cli.Input(fmt.Errorf("%s, line %d, column 2: %q is not a number", channel, r.line, short(r.rest[0])), "give one value for each time")
		}
		t, x = append(t, r.time), append(x, v)
	}
	p := placed(t, x)
	for i, v := range x {
		if v != v {
			p.Along[i] = v // missing on all axes at once
		}
	}
	if rows, err = read(times, 1); err != nil {
		return p, nil, err
	}
	var strums []strum
	for _, r := range rows {
		s := strum{time: r.time}
		if len(r.rest) > 0 {
			switch strings.ToUpper(strings.TrimSpace(r.rest[0])) {
			case "D", "DOWN":
				s.said = motion.Down
			case "U", "UP":
				s.said = motion.Up
			}
		}
		strums = append(strums, s)
	}
	return p, strums, nil
}

// row is a line of a file: a time and what follows it.
type row struct {
	line int
	time float64
	rest []string
}

// read reads a delimited file whose first column holds times.
func read(name string, columns int) ([]row, error) {
	data, err := os.ReadFile(name)
	if err != nil {
		return nil, cli.Input(err, "check the name and the folder")
	}
	r := csv.NewReader(bytes.NewReader(bytes.TrimPrefix(data, []byte("\ufeff"))))
	r.FieldsPerRecord, r.TrimLeadingSpace = -1, true
	first, _, _ := strings.Cut(string(data), "\n")
	for _, c := range []rune{'\t', ';'} {
		if strings.ContainsRune(first, c) {
			r.Comma = c
		}
	}
	var rows []row
	for {
		fields, err := r.Read()
		if err == io.EOF {
			break
		}
		if err != nil {
			return nil, cli.Input(fmt.Errorf("%s: %w", name, err), "give delimited text")
		}
		line, _ := r.FieldPos(0)
		t, err := strconv.ParseFloat(strings.TrimSpace(fields[0]), 64)
		switch {
		case err != nil && len(rows) == 0 && line == 1:
			continue // a header
		case err != nil || math.IsNaN(t) || math.IsInf(t, 0):
			return nil, cli.Input(fmt.Errorf("%s, line %d, column 1: %q is not a time in seconds", name, line, short(fields[0])), "give times in the first column")
		case len(fields) < columns:
			return nil, cli.Input(fmt.Errorf("%s, line %d: %d columns", name, line, len(fields)), "give a time and a value on each line")
		}
		rows = append(rows, row{line, t, fields[1:]})
	}
	if len(rows) == 0 {
		return nil, cli.Input(fmt.Errorf("%s holds no times", name), "check that it is the right file")
	}
	return rows, nil
}

// short is a text of at most 40 bytes.
func short(s string) string { return strings.ToValidUTF8(s[:min(len(s), 40)], "?") }
