package main

import (
	_ "embed"
	"errors"
	"fmt"
	"os"
	"path/filepath"
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

// finish reviews what was heard, and writes and prints it. Another interrupt ends that
// without a folder, or once the folder is whole.
func (s *session) finish(dir string, f *flags, interrupt <-chan os.Signal) error {
	if s.rec == nil {
		return cli.Input(fmt.Errorf("no sample of %s could be used", s.src.name), "see the lines above")
	}
	done := make(chan error, 1)
	go func() { done <- s.conclude(dir, f) }()
	select {
	case err := <-done:
		return err
	case <-interrupt:
	}
	s.writing.Lock() // for good
	if s.placed {
		return nil
	}
	return cli.Input(errors.New("ended by hand before the review was done"), "nothing is written")
}

// conclude is what finish does.
func (s *session) conclude(dir string, f *flags) error {
	s.trim()
	s.rec.Source = s.src.name
	m := f.Meter("Reviewing " + s.src.name)
	defer m.End()
	r, err := heard(s.rec, s.setup)
	if err != nil {
		return cli.Input(fmt.Errorf("%s: %w", s.src.name, err), "")
	}
	about := f.about
	about.Name, about.Notes = s.src.name, slices.Concat(s.src.notes, s.lost())
	place, wrong := "", error(nil)
	var outputs []cli.Output
	if dir != "" {
		outputs, err = onepage.Outputs(r, about, onepage.Also{Notebook: f.Notebook})
		if err != nil {
			return err
		}
		outputs = append(outputs, cli.Output{Name: liveFile, Write: s.page(r, true).HTML})
		files, err := cli.Files(outputs)
		if err != nil {
			return err
		}
		place, wrong = s.write(dir, files, f.Force)
	}
	m.End()
	if w, ok := s.show.(*eventLines); ok {
		if err := w.review(r, s.lost()); err != nil {
			return cli.Input(err, "")
		}
	}
	fmt.Fprintln(s.words)
	for _, line := range slices.Concat(s.lost(), onepage.Summary(r, about)) {
		fmt.Fprintln(s.words, line)
	}
	if place != "" {
		fmt.Fprintf(s.words, "\nWritten: %s with %s (open it in a browser), %s.\n", place, onepage.PageFile, measured.Join(cli.Names(outputs)[1:]))
	}
	switch {
	case wrong != nil:
		return wrong
	case s.broken != nil:
		return cli.Input(fmt.Errorf("%s could be read as far as line %d only: %w", s.src.name, s.in.number, s.broken), "what came before is reviewed")
	case s.out.err != nil && place != "":
		return cli.Input(fmt.Errorf("cannot print what is told: %w", s.out.err), "the review of what came before is in "+place)
	case s.out.err != nil:
		return cli.Input(fmt.Errorf("cannot print what is told: %w", s.out.err), "")
	}
	return nil
}

// write writes the folder, and tells its place. A take cannot be played again: where the
// folder cannot be written, one for temporary files takes the review, and the error
// says so.
func (s *session) write(dir string, files []cli.File, force bool) (place string, err error) {
	s.writing.Lock()
	defer s.writing.Unlock()
	defer func() { s.placed = place != "" }()
	if err = cli.WriteFolder(dir, files, force, names...); err == nil {
		return dir, nil
	}
	var why *cli.Error
	spare, other := os.MkdirTemp("", "live-review-")
	if other != nil || s.src.replay || !errors.As(err, &why) {
		os.Remove(spare)
		return "", err
	}
	place = filepath.Join(spare, filepath.Base(filepath.Clean(dir)))
	if other := cli.WriteFolder(place, files, false); other != nil {
		os.Remove(spare)
		return "", err
	}
	return place, cli.Input(why.Err, "the review is in "+place+" in its place")
}

// lost tells what the review does not hold, and what is put together in it.
func (s *session) lost() []string {
	out := s.gone()
	switch {
	case s.cut:
		out = append(out, fmt.Sprintf("The take was ended by hand after %.1f s.", s.lasted()))
	case s.broken != nil:
		out = append(out, fmt.Sprintf("Lines could be read as far as line %d only.", s.in.number))
	case s.out.err != nil:
		out = append(out, fmt.Sprintf("The take ended after %.1f s, when nobody read any more what was told.", s.lasted()))
	}
	if s.bad > 0 {
		out = append(out, fmt.Sprintf("%s could not be used and left out; the first was line %d.", measured.Count(s.bad, "line"), s.badFirst))
	}
	if s.in.origin != 0 {
		out = append(out, "Times count from the first sample.")
	}
	for i, c := range s.clock.anew {
		if i == mostClocks {
			out = append(out, fmt.Sprintf("The clock began anew %s in all.", measured.Count(len(s.clock.anew), "time")))
			break
		}
		out = append(out, c.String())
	}
	return out
}

// mostClocks is how many clocks that begin anew are told one by one at the end.
const mostClocks = 3

// toldBlocks are a table of what was told, or two where it was much.
func (s *session) toldBlocks() []notebook.Block {
	all := s.log.lines
	if len(all) == 0 {
		return []notebook.Block{notebook.Text("Nothing was told: too few strokes came.")}
	}
	table := func(caption string, lines []told) notebook.Block {
		t := notebook.Table{Caption: caption, Head: []string{"At, s", "Told"}}
		for _, l := range lines {
			t.Rows = append(t.Rows, []string{fmt.Sprintf("%.1f", l.at), l.text})
		}
		return t
	}
	const caption = "What the player was told, and when. What holds is told every five seconds."
	if s.log.left == 0 {
		return []notebook.Block{table(caption, all)}
	}
	half := mostTold / 2
	return []notebook.Block{
		table(caption+" The beginning.", all[:half]),
		notebook.Text(fmt.Sprintf("%s left out here.", measured.Count(s.log.left, "more line"))),
		table("The end.", all[half:]),
	}
}

// page is what was told while the take was played, and what came of it. beside says
// that it lies in a folder with the review.
func (s *session) page(r *review.Review, beside bool) *notebook.Doc {
	d := notebook.New("A take while it is played")
	d.Lead = fmt.Sprintf("%s, %.1f s", s.src.name, s.lasted())

	while := d.Section("What was told")
	while.Text("Samples go into a tracker one at a time. It is made with the settings of a review, and looks at the same point and marks.")
	while.Step(steps.Of(look, follow, sample, tracked))
	while.Text("Whether a motion is settled shows only after some strokes: it is told a second or three after the time that it names. Settled since a time before the last searching takes that searching back.")
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
