package main

import (
	"bytes"
	"fmt"
	"path/filepath"

	"github.com/plectrace/plectrace/examples/internal/cli"
	"github.com/plectrace/plectrace/examples/internal/measured"
	"github.com/plectrace/plectrace/examples/internal/notebook"
	"github.com/plectrace/plectrace/examples/internal/onepage"
	"github.com/plectrace/plectrace/motion/progress"
)

const (
	indexFile  = "index.html"
	indexTitle = "Reviews of the takes in a folder"
)

// index is the page that leads to those of the takes.
func (a *folder) index(comfort progress.Comfort) *notebook.Doc {
	d := notebook.New(indexTitle)
	if comfort == progress.ComfortPain {
		d.Section("Stop first").Caution("Pain was noted", progress.StopRest()...)
	}
	t := notebook.Table{
		Caption: "A take a line; its name leads to its page, where the intervals stand, and why a value is not known. 1/s is strokes a second over the take, Settled the share of the playing time, Angle the path angle in degrees, or where the view shows none that of the picture, as it says. To ask is the number of questions about the film that come first.",
		Head:    []string{"Take", "Strokes", "1/s", "Settled", "Angle", "To ask"},
		Numeric: []bool{false, true, true, true, true, true},
	}
	var questions, failures, unreached []string
	for _, x := range a.takes {
		if x.err == errUnreached {
			unreached = append(unreached, x.file+"."+x.before())
			continue
		}
		if x.err != nil {
			failures = append(failures, x.err.Error()+"."+x.before())
			continue
		}
		for _, q := range x.questions {
			questions = append(questions, x.file+": "+q)
		}
		t.Rows = append(t.Rows, []string{x.file, fmt.Sprint(x.strokes), x.brief.Rate, x.brief.Settled, x.brief.Angle, fmt.Sprint(len(x.questions))})
		t.Links = append(t.Links, x.into+"/"+onepage.PageFile)
	}
	d.Lead = fmt.Sprintf("%s, %s, %d reviewed", a.name, measured.Count(len(a.takes), "export"), len(t.Rows))
	if len(questions) > 0 {
		d.Section("Questions first").List(questions...)
	}
	if len(t.Rows) > 0 {
		d.Section("Takes").Table(t)
	}
	if len(failures) > 0 {
		d.Section("Could not be reviewed").List(failures...)
	}
	if len(unreached) > 0 {
		s := d.Section("Not reviewed, as the program was interrupted")
		s.List(unreached...)
	}
	if len(a.passed) > 0 {
		d.Section("Passed over").List(a.passedOver()...)
	}
	onepage.Careful(d)
	return d
}

// before says that an earlier review of a take without a new one is still there.
func (t taken) before() string {
	if !t.earlier {
		return ""
	}
	return fmt.Sprintf(" In %s still lies the review of an earlier run.", t.into)
}

// writeIndex writes the index beside the folders of the reviews.
func (a *folder) writeIndex(into string, f *flags) error {
	var b bytes.Buffer
	if err := a.index(f.about.Comfort).HTML(&b); err != nil {
		return cli.Input(fmt.Errorf("%s: %w", indexFile, err), "")
	}
	s, err := cli.StageFile(filepath.Join(into, indexFile), b.Bytes(), f.Force, isIndex)
	if err != nil {
		return err
	}
	return s.Commit()
}

// isIndex reports whether a file is an index that this program wrote.
func isIndex(data []byte) bool {
	return bytes.Contains(data, []byte("<title>"+indexTitle+"</title>"))
}
