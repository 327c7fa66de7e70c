// Simulate writes a take of picking whose truth is known, as a tracker would
// export it: to try a review on, to teach with, or to test a program.
//
//	go run ./examples/simulate -preset beginner-1
//	go run ./examples/simulate -rate 11 -angle 20 -noise 0.8 -plan 0:fresh,4:settled,12:wander
//
// It writes three files: NAME.csv, the export; NAME.take.json, the set-up that
// goes with it; NAME.truth.json, every stroke and span as it was made. With
// -onsets, NAME.onsets.csv lists when the strings sound.
package main

import (
	"bytes"
	"encoding/json"
	"fmt"
	"io"
	"strings"

	"github.com/plectrace/plectrace/examples/internal/cli"
	"github.com/plectrace/plectrace/motion/simulate"
	"github.com/plectrace/plectrace/trajectory/tracks"
)

func main() { cli.Main(program, run) }

// run is the program: it reads args and writes files, and a summary to out.
func run(args []string, out io.Writer) error {
	s, err := parse(args, out)
	if err != nil {
		return err
	}
	if s.list {
		for _, p := range simulate.Presets() {
			fmt.Fprintf(out, "%-12s %s\n", p.Name, p.Title)
		}
		return nil
	}
	var files []cli.File
	var summary strings.Builder
	for _, j := range s.jobs {
		take, err := simulate.Make(j.options)
		if err != nil {
			return cli.Usage(err, "see simulate -h")
		}
		f, err := render(j.name, take)
		if err != nil {
			return err
		}
		files = append(files, f...)
		if s.onsets {
			files = append(files, cli.File{Name: j.name + ".onsets.csv", Data: onsetList(take)})
		}
		summarize(&summary, s.out, j.name, take)
	}
	if err := cli.WriteFolder(s.out, files, s.force); err != nil {
		return err
	}
	_, err = io.WriteString(out, summary.String())
	return err
}

// render returns the three files of a take.
func render(name string, take *simulate.Take) ([]cli.File, error) {
	var export bytes.Buffer
	if err := tracks.Write(&export, &take.Recording, tracks.WriteOptions{}); err != nil {
		return nil, err
	}
	files := []cli.File{{Name: name + ".csv", Data: export.Bytes()}}
	for _, f := range []struct {
		suffix string
		v      any
	}{{".take.json", newSettings(take)}, {".truth.json", newTruth(take)}} {
		data, err := json.MarshalIndent(f.v, "", " ")
		if err != nil {
			return nil, err
		}
		files = append(files, cli.File{Name: name + f.suffix, Data: append(data, '\n')})
	}
	return files, nil
}

// summarize says in plain words what was made.
func summarize(w io.Writer, folder, name string, take *simulate.Take) {
	o, tr := take.Options, take.Truth
	fmt.Fprintf(w, "%s/%s.csv: %.3g s at %.4g frames/s, %s view\n", folder, name, o.Duration, o.FrameRate, o.View)
	fmt.Fprintf(w, "  %d strokes, %.2f notes/s; settled %.0f %% of the time", len(tr.Strokes), tr.Rate, 100*tr.SettledShare)
	if tr.SettledShare > 0 {
		fmt.Fprintf(w, " at %.2f notes/s", tr.SettledRate)
	}
	fmt.Fprintf(w, "\n  path angle %.1f degrees, clears the strings: %s\n", tr.PathAngle.Degrees(), tr.Clearing)
}

// preset returns the preset of that name.
func preset(name string) (simulate.Preset, error) {
	for _, p := range simulate.Presets() {
		if p.Name == name {
			return p, nil
		}
	}
	return simulate.Preset{}, fmt.Errorf("there is no preset %q", name)
}
