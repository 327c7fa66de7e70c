package main

import (
	"io"

	"github.com/plectrace/plectrace/examples/internal/cli"
	"github.com/plectrace/plectrace/examples/internal/measured"
	"github.com/plectrace/plectrace/motion/cohort"
	"github.com/plectrace/plectrace/variability/estimate"
)

// Files of the folder.
const (
	pageFile   = "page.html"
	rowsFile   = "progress.csv"
	trendsFile = "trends.csv"
	jsonFile   = "progress.json"
)

// outputNames are all that the folder may hold.
var outputNames = []string{pageFile, rowsFile, trendsFile, jsonFile, cli.NotebookName}

// write writes the folder, and returns the names of its files.
func (j *job) write(dir string, f flags) ([]string, error) {
	d := j.page()
	outputs := []cli.Output{
		{Name: pageFile, Write: d.HTML}, {Name: rowsFile, Write: j.rows}, {Name: trendsFile, Write: j.trends},
		{Name: jsonFile, Write: j.json},
	}
	if f.Notebook {
		outputs = append(outputs, cli.Output{Name: cli.NotebookName, Write: d.Jupyter})
	}
	files, err := cli.Files(outputs)
	if err != nil {
		return nil, err
	}
	return cli.Names(outputs), cli.WriteFolder(dir, files, f.Force, outputNames...)
}

// rows writes one line for each take and measure, as the program cohort does and
// reads.
func (j *job) rows(out io.Writer) error {
	w, err := cohort.NewRowWriter(out, j.roster.Columns, false)
	if err != nil {
		return err
	}
	for _, t := range j.takes {
		if err := w.Write(t.record); err != nil {
			return err
		}
	}
	return w.Flush()
}

// trends writes one line for each player, measure and group of takes that may be
// compared.
func (j *job) trends(out io.Writer) error {
	w := measured.NewTable(out, "player", "measure", "title", "unit", "setup", "primary", "takes", "days", "first", "last",
		"per_week", "per_week_low", "per_week_high", "change", "change_low", "change_high", "p", "p_adjusted", "smallest_change_one_day", "smallest_change_two_days", "curve", "absent", "why")
	for _, p := range j.players {
		for _, s := range p.Series {
			row := []any{p.Player, s.Name, s.Title, s.Unit, s.Setup, s.Primary, s.Takes, len(s.Days)}
			if s.Absent != nil {
				for range 13 {
					row = append(row, "")
				}
				w.Line(append(row, s.Absent.Code, s.Absent.Why)...)
				continue
			}
			row = append(row, s.Days[0].Value, s.Days[len(s.Days)-1].Value)
			for _, v := range []estimate.Value[float64]{s.PerWeek, s.Change} {
				row = append(row, measured.Cells(v)...)
			}
			r, _ := p.Repeats.Of(s.Name)
			row = append(row, s.Trend.P, s.Adjusted, measured.Cells(r.Smallest(1, 1, false))[0], measured.Cells(r.Smallest(1, 1, true))[0])
			curve := ""
			if s.Curve != nil {
				curve = s.Curve.Verdict.String()
			}
			absent, why := "", ""
			if a := s.Trend.Absent; a != nil {
				absent, why = a.Code, measured.Why(a)
			}
			w.Line(append(row, curve, absent, why)...)
		}
	}
	return w.Flush()
}
