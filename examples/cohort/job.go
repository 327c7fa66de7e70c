package main

import (
	"bufio"
	"context"
	"errors"
	"fmt"
	"io"
	"slices"
	"strings"
	"sync"

	"github.com/plectrace/plectrace/examples/internal/cli"
	"github.com/plectrace/plectrace/examples/internal/measured"
	"github.com/plectrace/plectrace/examples/internal/notebook"
	"github.com/plectrace/plectrace/examples/internal/takefile"
	"github.com/plectrace/plectrace/motion/cohort"
	"github.com/plectrace/plectrace/motion/progress"
)

// job is a study from its list of takes to its folder.
type job struct {
	f       flags
	roster  progress.Roster
	open    takefile.Opener
	options cohort.Options
	plan    cohort.Plan
	extra   []cli.Output // further files for the folder
	lead    string
}

func (j *job) measure(t progress.Take) *cohort.Record {
	return measure(t, j.open, j.options)
}

// run measures the takes and writes the folder.
func (j *job) run(ctx context.Context, out io.Writer) error {
	for _, n := range j.roster.Notes {
		fmt.Fprintln(j.f.Words(out), n)
	}
	return j.write(ctx, out, func(use func(*cohort.Record) error) error {
		m := j.f.Meter("Measuring takes")
		defer m.End()
		return j.measureAll(ctx, m, use)
	})
}

// gather makes the folder from rows.
func gather(ctx context.Context, f flags, name string, plan cohort.Plan, stdin io.Reader, out io.Writer) error {
	in, shown, err := source(name, "rows", stdin)
	if err != nil {
		return err
	}
	defer in.Close()
	rows, err := cohort.NewRowReader(bufio.NewReaderSize(in, 1<<20), shown)
	if err != nil {
		return cli.Input(err, "")
	}
	j := &job{f: f, plan: plan, roster: progress.Roster{Columns: rows.Columns}}
	return j.write(ctx, out, func(use func(*cohort.Record) error) error {
		for {
			rec, err := rows.Read()
			switch {
			case err == io.EOF:
				return nil
			case err != nil:
				return cli.Input(err, "")
			case ctx.Err() != nil:
				return ctx.Err()
			}
			if err := use(rec); err != nil {
				return err
			}
		}
	})
}

// source opens the file of that name, which holds what, or standard input for "-".
func source(name, what string, stdin io.Reader) (in io.ReadCloser, shown string, err error) {
	if name == "-" {
		return io.NopCloser(stdin), "standard input", nil
	}
	in, err = cli.OpenFile(name, what, "check the name and the folder")
	return in, name, err
}

// Files of a study's folder: that which is written as the takes come, and those
// which not every study has.
const (
	rowsName = "rows.csv"
	demoList = "takes.csv"
)

// mayHold are all that a study's folder may hold, if it holds these: an earlier
// study may have written more than this one does.
func mayHold(names []string) []string {
	for _, n := range []string{cli.NotebookName, demoList} {
		if !slices.Contains(names, n) {
			names = append(slices.Clip(names), n)
		}
	}
	return names
}

// write makes the study of the records that feed hands on, its folder and what is
// printed.
func (j *job) write(ctx context.Context, out io.Writer, feed func(use func(*cohort.Record) error) error) error {
	r, err := newResult(j.plan, j.roster.Columns, j.f.by)
	if err != nil {
		return err
	}
	words := j.f.Words(out)
	outputs := j.outputs(r)
	folder, names := j.f.Folder("cohort-out"), append([]string{rowsName}, cli.Names(outputs)...)
	if folder == "" {
		if err := j.study(r, io.Discard, words, feed); err != nil {
			return err
		}
	} else {
		dir, err := cli.StageFolder(folder, mayHold(names), j.f.Force)
		if err != nil {
			return err
		}
		rows, err := dir.Create(rowsName)
		if err == nil {
			err = j.study(r, rows, words, feed)
		}
		var files []cli.File
		if err == nil {
			files, err = cli.Files(outputs)
		}
		if err != nil {
			dir.Discard()
			return err
		}
		if err := dir.Commit(files); err != nil {
			return err
		}
	}
	for _, line := range summary(r.Study, r.associations()) {
		fmt.Fprintln(words, line)
	}
	others := slices.DeleteFunc(slices.Clone(names), func(n string) bool { return n == "page.html" })
	fmt.Fprintf(words, "\nWritten: %s with page.html (open it in a browser), %s.\n", folder, measured.Join(others))
	return j.f.PrintJSON(out, newResults(r.Study, r.associations()))
}

// result is a study with what is asked of it, each worked out once.
type result struct {
	*cohort.Study
	scatter      *scatter
	units        map[string]bool // of lengths
	groups       func() []cohort.Group
	associations func() []cohort.Association
}

func newResult(plan cohort.Plan, columns []string, by string) (*result, error) {
	s, err := cohort.NewStudy(plan, columns, nil)
	if err != nil {
		return nil, cli.Input(err, "")
	}
	points, err := newScatter(plan, columns, by)
	return &result{s, points, map[string]bool{}, sync.OnceValue(s.Groups), sync.OnceValue(s.Associations)}, err
}

// inUnits is a unit of the table of measures with the study's own unit of lengths,
// where it has one.
func (r *result) inUnits(unit string) string {
	own := "unit of length"
	for u := range r.units {
		if len(r.units) == 1 && u != "" {
			own = u
		}
	}
	return strings.ReplaceAll(unit, "unit", own)
}

// tellFailures is how many takes that fail are told; the others are in exclusions.csv.
const tellFailures = 20

// study adds the records to the study and writes the rows of those that stay. A study
// of which nothing stays is an error.
func (j *job) study(r *result, out, words io.Writer, feed func(use func(*cohort.Record) error) error) error {
	buffer := bufio.NewWriterSize(out, 1<<20)
	rows, err := cohort.NewRowWriter(buffer, j.roster.Columns, false)
	if err != nil {
		return cli.Input(err, "")
	}
	failed, first := 0, ""
	err = feed(func(rec *cohort.Record) error {
		if rec.Failure != nil {
			failure := takefile.Failure(rec)
			if failed++; failed <= tellFailures {
				fmt.Fprintln(words, failure)
			}
			if first == "" {
				first = "; the first: " + failure
			}
		}
		kept, err := keep(r.Study, rows, rec)
		if kept {
			r.scatter.add(rec)
			if !r.units[rec.Unit] {
				r.units[strings.Clone(rec.Unit)] = true
			}
		}
		return err
	})
	if failed > tellFailures {
		fmt.Fprintf(words, "... and %d more that could not be measured: see exclusions.csv.\n", failed-tellFailures)
	}
	if err := errors.Join(err, rows.Flush(), buffer.Flush()); err != nil {
		return interrupted(err, "nothing was written; run it again")
	}
	if steps := r.Flow(); steps[0].Left > 0 && kept(r.Study) == 0 {
		return cli.Input(fmt.Errorf("none of %s could be used%s%s", measured.Count(steps[0].Left, "take"), byRule(steps), first), "nothing was written")
	}
	return nil
}

// outputs are all files but the rows.
func (j *job) outputs(r *result) []cli.Output {
	page := sync.OnceValue(func() *notebook.Doc { return page(r, j.lead) })
	all := []cli.Output{
		{Name: "codebook.csv", Write: cohort.WriteCodebook},
		{Name: "exclusions.csv", Write: r.WriteExclusions},
		{Name: "groups.csv", Write: func(w io.Writer) error { return r.WriteGroups(w, r.groups()) }},
		{Name: "associations.csv", Write: func(w io.Writer) error { return r.WriteAssociations(w, r.associations()) }},
		{Name: "plan.json", Write: func(w io.Writer) error {
			data, err := r.Plan().JSON()
			if err == nil {
				_, err = w.Write(data)
			}
			return err
		}},
		{Name: "page.html", Write: func(w io.Writer) error { return page().HTML(w) }},
	}
	if j.f.Notebook {
		all = append(all, cli.Output{Name: cli.NotebookName, Write: func(w io.Writer) error { return page().Jupyter(w) }})
	}
	return append(all, j.extra...)
}

// interrupted makes the end of the context an error in words.
func interrupted(err error, next string) error {
	if errors.Is(err, context.Canceled) {
		return cli.Input(errors.New("interrupted"), next)
	}
	return err
}
