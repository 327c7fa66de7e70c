package main

import (
	_ "embed"
	"fmt"
	"io"
	"slices"

	"github.com/plectrace/plectrace/examples/internal/cli"
	"github.com/plectrace/plectrace/examples/internal/measured"
	"github.com/plectrace/plectrace/examples/internal/notebook"
	"github.com/plectrace/plectrace/examples/internal/onepage"
	"github.com/plectrace/plectrace/motion/review"
)

//go:embed steps.go
var steps notebook.Source

// liveFile is the page of what was told while the take was played.
const liveFile = "live.html"

// names are those of all that the folder may hold.
var names = append(slices.Clone(onepage.Names), liveFile)

// finish reviews what was heard, and writes and prints it.
func (s *session) finish(dir string, f *flags, out io.Writer) error {
	if s.rec == nil {
		return cli.Input(fmt.Errorf("no sample of %s could be used", s.src.name), "see the lines above")
	}
	s.rec.Source = s.src.name
	m := f.Meter("Reviewing " + s.src.name)
	defer m.End()
	r, err := heard(s.rec, s.setup)
	if err != nil {
		return cli.Input(fmt.Errorf("%s: %w", s.src.name, err), "")
	}
	about := f.about
	about.Name, about.Notes = s.src.name, slices.Concat(s.src.notes, s.lost())
	var written []string
	if dir != "" {
		outputs, err := onepage.Outputs(r, about, onepage.Also{Notebook: f.Notebook})
		if err != nil {
			return err
		}
		outputs = append(outputs, cli.Output{Name: liveFile, Write: s.page(r, true).HTML})
		files, err := cli.Files(outputs)
		if err != nil {
			return err
		}
		if err := cli.WriteFolder(dir, files, f.Force, names...); err != nil {
			return err
		}
		written = cli.Names(outputs)
	}
	m.End()
	if w, ok := s.show.(*eventLines); ok {
		if err := w.review(r); err != nil {
			return cli.Input(err, "")
		}
	}
	fmt.Fprintln(s.words)
	for _, line := range slices.Concat(s.lost(), onepage.Summary(r, about)) {
		fmt.Fprintln(s.words, line)
	}
	if dir != "" {
		fmt.Fprintf(s.words, "\nWritten: %s with %s (open it in a browser), %s.\n", dir, onepage.PageFile, measured.Join(written[1:]))
	}
	if s.broken != nil {
		return cli.Input(fmt.Errorf("%s could be read as far as line %d only: %w", s.src.name, s.in.number, s.broken), "what came before is reviewed")
	}
	return nil
}

// lost tells what the review does not hold.
func (s *session) lost() []string {
	var out []string
	if s.cut {
		out = append(out, fmt.Sprintf("The take was ended by hand after %.1f s.", s.rec.T[len(s.rec.T)-1]-s.rec.T[0]))
	}
	if s.bad > 0 {
		out = append(out, fmt.Sprintf("%s could not be used and left out; the first was line %d.", measured.Count(s.bad, "line"), s.badFirst))
	}
	if s.in.origin != 0 {
		out = append(out, "Times count from the first sample.")
	}
	return out
}

// mostTold is how many lines of what was told a page shows.
const mostTold = 150

// toldBlocks are a table of what was told.
func (s *session) toldBlocks() []notebook.Block {
	if len(s.log) == 0 {
		return []notebook.Block{notebook.Text("Nothing was told: too few strokes came.")}
	}
	t := notebook.Table{
		Caption: "What the player was told, and when. What holds is told every five seconds.",
		Head:    []string{"At, s", "Told"},
	}
	for _, l := range s.log[:min(len(s.log), mostTold)] {
		t.Rows = append(t.Rows, []string{fmt.Sprintf("%.1f", l.at), l.text})
	}
	out := []notebook.Block{t}
	if n := len(s.log) - mostTold; n > 0 {
		out = append(out, notebook.Text(fmt.Sprintf("%s left out here.", measured.Count(n, "more line"))))
	}
	return out
}

// page is what was told while the take was played, and what came of it. beside says
// that it lies in a folder with the review.
func (s *session) page(r *review.Review, beside bool) *notebook.Doc {
	d := notebook.New("A take while it is played")
	d.Lead = fmt.Sprintf("%s, %.1f s", s.src.name, s.rec.T[len(s.rec.T)-1]-s.rec.T[0])

	while := d.Section("What was told")
	while.Text("Samples go into a tracker one at a time. It is made with the settings of a review, and looks at the same point and marks.")
	while.Step(steps.Of(follow, sample, tracked))
	while.Text("Whether a motion is settled shows only after some strokes: it is told a second or three after the time that it names.")
	while.Step(steps.Of(push, say, tell, status, minutes, percent), s.toldBlocks()...)

	end := d.Section("What was heard in the end")
	end.Text("At the end, or at Ctrl-C, all samples are reviewed as those of any take.")
	end.Text(s.lost()...)
	n := s.tracker.Now()
	end.Step(steps.Of(heard, strokes), notebook.List{Items: []string{
		fmt.Sprintf("%s in the review; %s told for good while it was played, %s at once.", measured.Count(len(r.Motion.Strokes), "stroke"), measured.Count(n.Final, "stroke"), measured.Count(n.Provisional, "stroke")),
		fmt.Sprintf("%s told at once and taken back.", measured.Count(n.Withdrawn, "stroke")),
	}}, notebook.Figure{
		Name: "strokes", Of: strokes(r),
		Alt:     "The tip's place across the strings over time, with settled and searching spans.",
		Caption: "The tip across the strings over time. The spans are those of the review, which knows the whole take.",
	})
	if beside {
		end.Table(notebook.Table{
			Caption: "In the same folder.", Head: []string{"File", "Holds"},
			Rows:  [][]string{{onepage.PageFile, "the review of the take"}},
			Links: []string{onepage.PageFile},
		})
	}
	onepage.Careful(d)
	return d
}
