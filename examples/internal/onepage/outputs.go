package onepage

import (
	"slices"

	"github.com/plectrace/plectrace/examples/internal/cli"
	"github.com/plectrace/plectrace/examples/internal/notebook"
	"github.com/plectrace/plectrace/motion/cues"
	"github.com/plectrace/plectrace/motion/review"
)

// Files of a review's folder.
const (
	PageFile     = "page.html"
	DetailsFile  = "details.html"
	StrokesFile  = "strokes.csv"
	SpansFile    = "spans.csv"
	ReviewFile   = "review.json"
	NotebookFile = "notebook.ipynb"
	CaptionsFile = "captions.vtt"
)

// Names are those of all that a review's folder may hold.
var Names = []string{PageFile, DetailsFile, StrokesFile, SpansFile, ReviewFile, NotebookFile, CaptionsFile}

// Also is what to make besides the pages and the tables.
type Also struct {
	Notebook bool
	Captions *cues.Options // nil for none
}

// Outputs are the files of the review's folder, the page first. An error is about
// the captions.
func Outputs(r *review.Review, about About, also Also) ([]cli.Output, error) {
	d := Page(r, about)
	alone := *d // without what lies beside it
	out := []cli.Output{
		{Name: PageFile, Write: d.HTML},
		{Name: DetailsFile, Write: Details(r, about).HTML},
		{Name: StrokesFile, Write: r.WriteStrokes},
		{Name: SpansFile, Write: r.WriteSpans},
		{Name: ReviewFile, Write: r.WriteJSON},
	}
	if also.Notebook {
		out = append(out, cli.Output{Name: NotebookFile, Write: alone.Jupyter})
	}
	last := len(d.Sections) - 1 // the caution stays the last
	care := d.Sections[last]
	d.Sections = slices.Clone(d.Sections[:last])
	if also.Captions != nil {
		t, err := cues.Of(r, *also.Captions)
		if err != nil {
			return nil, err
		}
		out = append(out, cli.Output{Name: CaptionsFile, Write: t.WriteVTT})
		captioned(d.Section("Captions for the film"), t)
	}
	d.Section("Beside this page").Table(contents(cli.Names(out)[1:]))
	d.Sections = append(d.Sections, care)
	return out, nil
}

// CaptionsNote is how to load captions.
const CaptionsNote = "Captions: load captions.vtt in a video player as a subtitle file; most players offer it by themselves where film and captions lie in one folder and share a name, as lesson.mp4 and lesson.vtt. Where the take does not begin with the film, say when with -captions-offset: captions that come too late by a second want one less."

// captioned is the section on the captions.
func captioned(s *notebook.Section, t cues.Track) {
	s.Text(CaptionsNote)
	s.List(slices.Concat(t.Made, t.Notes)...)
}

// contents is the table of the other files of the folder.
func contents(names []string) notebook.Table {
	t := notebook.Table{Caption: "What lies in the same folder.", Head: []string{"File", "Holds"}, Links: names}
	holds := map[string]string{
		DetailsFile:  "all numbers of the take, what was cut and filled, and what the film allows",
		StrokesFile:  "a line for each stroke",
		SpansFile:    "a line for each settled and searching span",
		ReviewFile:   "all of it, for programs",
		NotebookFile: "this page as a Jupyter notebook, with the code that ran",
		CaptionsFile: "captions for the film",
	}
	for _, n := range names {
		t.Rows = append(t.Rows, []string{n, holds[n]})
	}
	return t
}
