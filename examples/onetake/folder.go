package main

import (
	"bytes"
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"sync"

	"github.com/plectrace/plectrace/examples/internal/cli"
	"github.com/plectrace/plectrace/examples/internal/measured"
	"github.com/plectrace/plectrace/examples/internal/onepage"
	"github.com/plectrace/plectrace/examples/internal/takefile"
	"github.com/plectrace/plectrace/motion/cohort"
	"github.com/plectrace/plectrace/motion/review"
)

// folder is a folder of exports and what came of them.
type folder struct {
	name   string
	takes  []taken
	passed []passed
}

// taken is an export of a folder, with what an index tells of its review, or with
// the reason why there is none.
type taken struct {
	file    string // in the folder
	into    string // the folder of its review, within that of all
	err     error
	earlier bool // a review of it from an earlier run is still there

	strokes   int
	brief     onepage.Brief
	questions []string
	json      []byte
}

// errUnreached is why an export has no review whose turn did not come.
var errUnreached = errors.New("not reviewed, as the program was interrupted")

// reviewFolder reviews every export of a folder, and writes an index of their pages.
// When ctx ends, those under way are finished, and the index is that of the finished
// ones.
func reviewFolder(ctx context.Context, dir string, f *flags, out, complaints io.Writer) error {
	if err := f.oneTakeOnly(); err != nil {
		return err
	}
	names, others, err := exports(dir)
	if err != nil {
		return err
	}
	if len(names) == 0 {
		return cli.Input(fmt.Errorf("the folder %q holds no tracking export", dir), "put the exports there, or name one; see "+program.Name+" -h for what they hold")
	}
	o, err := beside(f)
	if err != nil {
		return err
	}
	from := f.shared(dir)
	if _, _, err := f.read([]string{from}); err != nil {
		return err
	}
	all := &folder{name: dir, takes: make([]taken, len(names)), passed: others}
	for i, into := range pageFolders(names) {
		all.takes[i] = taken{file: names[i], into: into}
	}
	abs, err := filepath.Abs(dir)
	if err != nil {
		return cli.Input(err, "")
	}
	into := f.Folder(filepath.Base(abs) + "-review")
	if into != "" {
		if err := all.mayFill(into, f.Force); err != nil {
			return err
		}
	}
	m := f.Meter("Reviewing " + dir)
	defer m.End()
	var counting sync.Mutex
	done := 0
	takefile.Each(len(names), func(i int) {
		if ctx.Err() != nil {
			all.takes[i].err = errUnreached
			return
		}
		all.review(i, f, from, o, into)
		counting.Lock()
		defer counting.Unlock()
		done++
		m.Count(done, len(names))
	})
	m.End()
	if all.unreached() == len(names) {
		os.Remove(into) // which is left where it holds anything
		return cli.Input(errors.New("interrupted before any take was reviewed"), "run it again")
	}
	if into != "" {
		if err := all.writeIndex(into, f); err != nil {
			return err
		}
	}
	if err := f.PrintJSON(out, all.document(into)); err != nil {
		return err
	}
	all.tell(f.Words(out), into)
	return all.complain(complaints)
}

// mayFill refuses a place for the reviews before any work, and makes the folder.
func (a *folder) mayFill(into string, force bool) error {
	if cli.SameFile(into, a.name) {
		return cli.Input(fmt.Errorf("the reviews cannot go into the folder of the exports, %s", into), "choose another with -out")
	}
	if _, err := os.Lstat(into); err != nil || !force {
		if err := cli.CheckFolder(into, nil, false); err != nil {
			return err
		}
	}
	if err := os.Mkdir(into, 0o777); err == nil {
		return nil
	} else if !errors.Is(err, os.ErrExist) {
		return cli.Input(fmt.Errorf("cannot write the folder %s", into), "choose another with -out")
	}
	probe, err := cli.StageFile(filepath.Join(into, indexFile), nil, force, isIndex)
	if err != nil {
		return err
	}
	probe.Discard()
	for i, t := range a.takes {
		at := filepath.Join(into, t.into)
		if err := cli.CheckFolder(at, onepage.Names, force); err != nil {
			return err
		}
		_, err := os.Stat(at)
		a.takes[i].earlier = err == nil
	}
	return nil
}

// review reviews the i-th export, and writes its folder.
func (a *folder) review(i int, f *flags, from string, o review.Options, into string) {
	t := &a.takes[i]
	name := filepath.Join(a.name, t.file)
	src, err := open(name, f, []string{from, cohort.SettingsName(name)})
	if err == nil {
		err = src.valid()
	}
	if err != nil {
		t.err = err
		return
	}
	rec, err := src.recording()
	if err != nil {
		t.err = err
		return
	}
	r, err := src.review(rec, o)
	if err != nil {
		t.err = err
		return
	}
	if into != "" {
		if _, err := writeReview(filepath.Join(into, t.into), r, src, f); err != nil {
			t.err = err
			return
		}
	}
	t.of(r)
	if f.JSON {
		var b bytes.Buffer
		t.err = r.WriteJSON(&b)
		t.json = b.Bytes()
	}
}

// of keeps what an index tells of a review.
func (t *taken) of(r *review.Review) {
	t.strokes, t.brief, t.questions = len(r.Motion.Strokes), onepage.BriefOf(r), r.Questions
}

// tell prints a line for each take, what was passed over, and where to look.
func (a *folder) tell(words io.Writer, into string) {
	written := 0
	for _, t := range a.takes {
		if t.err != nil {
			continue
		}
		written++
		line := fmt.Sprintf("%s: %s, %s a second; settled %s; angle %s", t.file, measured.Count(t.strokes, "stroke"), t.brief.Rate, t.brief.Settled, t.brief.Angle)
		if n := len(t.questions); n > 0 {
			line += "; " + measured.Count(n, "question")
		}
		fmt.Fprintln(words, line)
	}
	for _, text := range a.passedOver() {
		fmt.Fprintf(words, "Passed over: %s\n", text)
	}
	if into != "" {
		fmt.Fprintf(words, "\nWritten: %s with %s (open it in a browser) and the reviews of %s.\n", into, indexFile, measured.Count(written, "take"))
	}
}

// mostPassed is how many files of a kind are named that are passed over.
const mostPassed = 6

// passedOver names the files that are no exports, all that are of one kind together.
func (a *folder) passedOver() []string {
	var kinds []string
	files := map[string][]string{}
	for _, p := range a.passed {
		if files[p.Why] == nil {
			kinds = append(kinds, p.Why)
		}
		files[p.Why] = append(files[p.Why], p.File)
	}
	var out []string
	for _, k := range kinds {
		names := files[k]
		if more := len(names) - mostPassed; more > 1 {
			names = append(names[:mostPassed:mostPassed], fmt.Sprintf("%d more", more))
		}
		out = append(out, fmt.Sprintf("%s (%s)", measured.Join(names), k))
	}
	return out
}

// unreached is how many exports' turn did not come.
func (a *folder) unreached() int {
	n := 0
	for _, t := range a.takes {
		if t.err == errUnreached {
			n++
		}
	}
	return n
}

// complain prints why takes could not be reviewed, and returns that as a failure.
func (a *folder) complain(complaints io.Writer) error {
	failed, left := 0, a.unreached()
	for _, t := range a.takes {
		if t.err != nil && t.err != errUnreached {
			failed++
			fmt.Fprintf(complaints, "%s: %s\n", program.Name, cli.Printable(t.err.Error()))
		}
	}
	switch {
	case left > 0:
		return cli.Input(fmt.Errorf("interrupted; %d of %s in %s were not reviewed", left, measured.Count(len(a.takes), "export"), a.name), "run it again with -force for all of them")
	case failed == 0:
		return nil
	}
	return cli.Input(fmt.Errorf("%d of %s in %s could not be reviewed", failed, measured.Count(len(a.takes), "export"), a.name), "see the lines above")
}

// folderJSON is what -json prints of a folder.
type folderJSON struct {
	Schema string     `json:"schema"`
	Folder string     `json:"folder"`
	Takes  []takeJSON `json:"takes"`
	Passed []passed   `json:"passed_over"`
}

type takeJSON struct {
	File   string          `json:"file"`
	Page   string          `json:"page,omitempty"`
	Review json.RawMessage `json:"review,omitempty"`
	Error  string          `json:"error,omitempty"`
}

func (a *folder) document(into string) folderJSON {
	d := folderJSON{Schema: "plectrace/folder/1", Folder: a.name, Takes: []takeJSON{}, Passed: append([]passed{}, a.passed...)}
	for _, t := range a.takes {
		j := takeJSON{File: t.file}
		switch {
		case t.err != nil:
			j.Error = t.err.Error()
		default:
			j.Review = t.json
			if into != "" {
				j.Page = t.into + "/" + onepage.PageFile
			}
		}
		d.Takes = append(d.Takes, j)
	}
	return d
}
