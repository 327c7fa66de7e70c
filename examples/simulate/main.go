// Simulate writes a take of picking whose truth is known, as a tracker would
// export it: to try a review on, to teach with, or to test a program.
//
//	go run ./examples/simulate
//	go run ./examples/simulate -preset beginner-1
//	go run ./examples/simulate -rate 11 -angle 20 -noise 0.8 -plan 0:fresh,4:settled,12:wander
//
// It writes NAME.csv, the export; NAME.take.json, the set-up that goes with it;
// NAME.truth.json, every stroke and span as it was made; and page.html, which shows
// both what was made and what a review finds of it. With -onsets, NAME.onsets.csv
// lists when the strings sound.
package main

import (
	"encoding/json"
	"fmt"
	"io"
	"strings"

	"github.com/plectrace/plectrace/examples/internal/cli"
	"github.com/plectrace/plectrace/examples/internal/measured"
	"github.com/plectrace/plectrace/motion/simulate"
)

func main() { cli.Main(program, run) }

// run is the program: it reads args and writes files, and a summary to out.
func run(args []string, out io.Writer) error {
	s, err := parse(args, out)
	if err != nil {
		return err
	}
	if s.list {
		return s.printPresets(out)
	}
	folder := s.Folder("simulate-out")
	if folder != "" {
		if err := cli.CheckFolder(folder, s.mayHold(), s.Force); err != nil {
			return err
		}
	}
	all, err := s.make()
	if err != nil {
		return err
	}
	if folder != "" {
		files, err := s.files(all)
		if err != nil {
			return err
		}
		if err := cli.WriteFolder(folder, files, s.Force, s.mayHold()...); err != nil {
			return err
		}
	}
	words := s.Words(out)
	for _, m := range all {
		summarize(words, folder, m)
	}
	fmt.Fprintf(words, "\nWritten: %s with page.html (open it in a browser), %s.\n", folder, measured.Join(s.names()[1:]))
	return s.PrintJSON(out, newResults(all))
}

// printPresets lists the presets.
func (s *setup) printPresets(out io.Writer) error {
	if s.JSON {
		list := map[string]string{}
		for _, p := range simulate.Presets() {
			list[p.Name] = p.Title
		}
		return s.PrintJSON(out, list)
	}
	for _, p := range simulate.Presets() {
		fmt.Fprintf(out, "%-12s %s\n", p.Name, p.Title)
	}
	return nil
}

// make makes the takes and reviews them.
func (s *setup) make() ([]*made, error) {
	m := s.Meter("Making and reviewing takes")
	defer m.End()
	var all []*made
	for i, j := range s.jobs {
		m.Count(i, len(s.jobs))
		one, err := newMade(j)
		if err != nil {
			return nil, err
		}
		all = append(all, one)
	}
	return all, nil
}

// newMade makes a take and reviews it.
func newMade(j job) (*made, error) {
	m := &made{job: j}
	var err error
	if m.take, m.export, err = filmed(j.options); err != nil {
		return nil, cli.Usage(fmt.Errorf("%s: %w", j.asked, err), "see simulate -h")
	}
	if m.path, err = played(m.take.Options); err != nil {
		return nil, err
	}
	if m.settings, err = indented(newSettings(m.take)); err != nil {
		return nil, err
	}
	if m.truth, err = indented(newTruth(m.take)); err != nil {
		return nil, err
	}
	m.compare()
	return m, nil
}

func indented(v any) ([]byte, error) {
	data, err := json.MarshalIndent(v, "", " ")
	return append(data, '\n'), err
}

// names are those of the files, the page first.
func (s *setup) names() []string {
	names := []string{"page.html"}
	if s.Notebook {
		names = append(names, cli.NotebookName)
	}
	for _, j := range s.jobs {
		names = append(names, j.name+".csv", j.name+".take.json", j.name+".truth.json")
		if s.onsets {
			names = append(names, j.name+".onsets.csv")
		}
	}
	return names
}

// mayHold are all that a folder of these takes may hold: an earlier call may have
// written more than this one does.
func (s *setup) mayHold() []string {
	all := *s
	all.Notebook, all.onsets = true, true
	return all.names()
}

// files are the files of the folder.
func (s *setup) files(all []*made) ([]cli.File, error) {
	d := page(all)
	outputs := []cli.Output{{Name: "page.html", Write: d.HTML}}
	if s.Notebook {
		outputs = append(outputs, cli.Output{Name: cli.NotebookName, Write: d.Jupyter})
	}
	files, err := cli.Files(outputs)
	for _, m := range all {
		files = append(files,
			cli.File{Name: m.name + ".csv", Data: m.export},
			cli.File{Name: m.name + ".take.json", Data: m.settings},
			cli.File{Name: m.name + ".truth.json", Data: m.truth})
		if s.onsets {
			files = append(files, cli.File{Name: m.name + ".onsets.csv", Data: onsetList(m.take)})
		}
	}
	return files, err
}

// summarize says in plain words what was made, and what a review finds.
func summarize(w io.Writer, folder string, m *made) {
	o, tr := m.take.Options, m.take.Truth
	fmt.Fprintf(w, "%s/%s.csv: %.3g s at %.4g frames/s, %s view\n", folder, m.name, o.Duration, o.FrameRate, o.View)
	if len(tr.Strokes) == 0 {
		fmt.Fprintln(w, "  no stroke lies wholly within it")
		return
	}
	fmt.Fprintf(w, "  %s, %.2f notes/s; settled %.0f %% of the time", measured.Count(len(tr.Strokes), "stroke"), tr.Rate, 100*tr.SettledShare)
	if tr.SettledShare > 0 {
		fmt.Fprintf(w, " at %.2f notes/s", tr.SettledRate)
	}
	fmt.Fprintf(w, "\n  path angle %.1f degrees, clears the strings: %s\n", tr.PathAngle.Degrees(), tr.Clearing)
	if m.failure != nil {
		fmt.Fprintf(w, "  a review of it fails: %s\n", cli.Input(m.failure, ""))
		return
	}
	found, _, extra := m.counts()
	fmt.Fprintf(w, "  a review finds %d of the strokes, and %d that nobody made\n", found, extra)
}

// preset returns the preset of that name.
func preset(name string) (simulate.Preset, error) {
	var names []string
	for _, p := range simulate.Presets() {
		if p.Name == name {
			return p, nil
		}
		names = append(names, p.Name)
	}
	return simulate.Preset{}, fmt.Errorf("there is no preset %q: choose %s, or all", name, strings.Join(names, ", "))
}
