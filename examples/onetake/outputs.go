package main

import (
	"bytes"
	"io"
	"slices"

	"github.com/plectrace/plectrace/examples/internal/cli"
	"github.com/plectrace/plectrace/examples/internal/notebook"
	"github.com/plectrace/plectrace/motion/cues"
	"github.com/plectrace/plectrace/motion/review"
)

// Files of a review's folder.
const (
	pageFile     = "page.html"
	detailsFile  = "details.html"
	strokesFile  = "strokes.csv"
	spansFile    = "spans.csv"
	reviewFile   = "review.json"
	notebookFile = "notebook.ipynb"
	captionsFile = "captions.vtt"
)

// outputNames are all that a review's folder may hold.
var outputNames = []string{pageFile, detailsFile, strokesFile, spansFile, reviewFile, notebookFile, captionsFile}

// writeReview writes the folder of a review, and returns the names of its files.
func writeReview(dir string, r *review.Review, src *source, f *flags) ([]string, error) {
	out, err := outputs(r, src, f)
	if err != nil {
		return nil, err
	}
	files, err := cli.Files(out)
	if err != nil {
		return nil, err
	}
	folder, err := cli.StageFolder(dir, outputNames, f.Force)
	if err != nil {
		return nil, err
	}
	return cli.Names(out), folder.Commit(files)
}

// outputs are the files of the review's folder, the page first.
func outputs(r *review.Review, src *source, f *flags) ([]cli.Output, error) {
	d := page(r, src)
	alone := *d // without what lies beside it
	out := []cli.Output{
		{Name: pageFile, Write: d.HTML},
		{Name: detailsFile, Write: details(r, src).HTML},
		{Name: strokesFile, Write: r.WriteStrokes},
		{Name: spansFile, Write: r.WriteSpans},
		{Name: reviewFile, Write: r.WriteJSON},
	}
	if f.notebook {
		out = append(out, cli.Output{Name: notebookFile, Write: alone.Jupyter})
	}
	last := len(d.Sections) - 1 // the caution stays the last
	care := d.Sections[last]
	d.Sections = slices.Clone(d.Sections[:last])
	if f.captions {
		t, err := cues.Of(r, cues.Options{Offset: f.offset})
		if err != nil {
			return nil, src.bad(err, "see -captions-offset")
		}
		out = append(out, cli.Output{Name: captionsFile, Write: t.WriteVTT})
		captioned(d.Section("Captions for the film"), t)
	}
	d.Section("Beside this page").Table(contents(cli.Names(out)[1:]))
	d.Sections = append(d.Sections, care)
	return out, nil
}

// captionsNote is how to load captions.
const captionsNote = "Captions: load captions.vtt in a video player as a subtitle file; most players offer it by themselves where film and captions lie in one folder and share a name, as lesson.mp4 and lesson.vtt. Where the take does not begin with the film, say when with -captions-offset: captions that come too late by a second want one less."

// captioned is the section on the captions.
func captioned(s *notebook.Section, t cues.Track) {
	s.Text(captionsNote)
	s.List(slices.Concat(t.Made, t.Notes)...)
}

// contents is the table of the other files of the folder.
func contents(names []string) notebook.Table {
	t := notebook.Table{Caption: "What lies in the same folder.", Head: []string{"File", "Holds"}, Links: names}
	holds := map[string]string{
		detailsFile:  "all numbers of the take, what was cut and filled, and what the film allows",
		strokesFile:  "a line for each stroke",
		spansFile:    "a line for each settled and searching span",
		reviewFile:   "all of it, for programs",
		notebookFile: "this page as a Jupyter notebook, with the code that ran",
		captionsFile: "captions for the film",
	}
	for _, n := range names {
		t.Rows = append(t.Rows, []string{n, holds[n]})
	}
	return t
}

// printReview prints the review as JSON, if that is asked for.
func printReview(r *review.Review, f *flags, out io.Writer) error {
	if !f.JSON {
		return nil
	}
	var b bytes.Buffer
	if err := r.WriteJSON(&b); err != nil {
		return err
	}
	return f.PrintJSON(out, b.Bytes())
}
