package main

import (
	"bufio"
	"context"
	"errors"
	"fmt"
	"io"
	"slices"
	"sync"

	"github.com/plectrace/plectrace/examples/internal/cli"
	"github.com/plectrace/plectrace/examples/internal/measured"
	"github.com/plectrace/plectrace/examples/internal/takefile"
	"github.com/plectrace/plectrace/motion/cohort"
	"github.com/plectrace/plectrace/motion/progress"
)

// job is a study from its list of takes to its folder.
type job struct {
	f       flags
	list    string
	roster  progress.Roster
	open    takefile.Opener
	options cohort.Options
	plan    cohort.Plan
	extra   []cli.Output // further files for the folder
	lead    string
}

func (j *job) measure(t progress.Take) *cohort.Record {
	return cohort.Measure(t, j.open, j.options)
}

// run measures the takes and writes the folder.
func (j *job) run(ctx context.Context, out, status io.Writer) error {
	for _, n := range j.roster.Notes {
		fmt.Fprintln(out, n)
	}
	m := newMeter(status, len(j.roster.Takes))
	defer m.end()
	return j.write(ctx, out, func(use func(*cohort.Record) error) error {
		err := measureAll(ctx, j.roster.Takes, j.f.workers, j.measure, func(rec *cohort.Record) error {
			m.step()
			return use(rec)
		})
		m.end()
		return err
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
	j := &job{f: f, list: shown, plan: plan, roster: progress.Roster{Columns: rows.Columns}}
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

// rowsName is the file that is written as the takes come.
const rowsName = "rows.csv"

// write makes the folder from the records that feed hands on.
func (j *job) write(ctx context.Context, out io.Writer, feed func(use func(*cohort.Record) error) error) error {
	s, err := cohort.NewStudy(j.plan, j.roster.Columns, nil)
	if err != nil {
		return cli.Input(err, "")
	}
	outputs := j.outputs(s)
	names := append([]string{rowsName}, cli.Names(outputs)...)
	dir, err := cli.StageFolder(j.f.out, names, j.f.force)
	if err != nil {
		return err
	}
	if err := j.study(s, dir, out, feed); err != nil {
		dir.Discard()
		return interrupted(err, "nothing was written; run it again")
	}
	if steps := s.Flow(); steps[0].Left > 0 && kept(s) == 0 {
		dir.Discard()
		return cli.Input(fmt.Errorf("none of %s could be used%s", measured.Count(steps[0].Left, "take"), byRule(steps)), "see the reasons above; nothing was written")
	}
	files, err := cli.Files(outputs)
	if err != nil {
		dir.Discard()
		return err
	}
	if err := dir.Commit(files); err != nil {
		return err
	}
	for _, line := range summary(s) {
		fmt.Fprintln(out, line)
	}
	others := slices.DeleteFunc(slices.Clone(names), func(n string) bool { return n == "page.html" })
	fmt.Fprintf(out, "\nWritten: %s with page.html (open it in a browser), %s.\n", j.f.out, measured.Join(others))
	return nil
}

// tellFailures is how many takes that fail are told; the others are in exclusions.csv.
const tellFailures = 20

// study adds the records to the study and writes the rows of those that stay.
func (j *job) study(s *cohort.Study, dir *cli.Folder, out io.Writer, feed func(use func(*cohort.Record) error) error) error {
	file, err := dir.Create(rowsName)
	if err != nil {
		return err
	}
	buffer := bufio.NewWriterSize(file, 1<<20)
	rows, err := cohort.NewRowWriter(buffer, j.roster.Columns, false)
	if err != nil {
		return cli.Input(err, "")
	}
	failed := 0
	err = feed(func(rec *cohort.Record) error {
		if rec.Failure != nil {
			if failed++; failed <= tellFailures {
				fmt.Fprintln(out, takefile.Failure(rec))
			}
		}
		if s.Add(rec) {
			return rows.Write(rec)
		}
		return nil
	})
	if failed > tellFailures {
		fmt.Fprintf(out, "... and %d more that could not be measured: see exclusions.csv.\n", failed-tellFailures)
	}
	return errors.Join(err, rows.Flush(), buffer.Flush())
}

// outputs are all files but the rows.
func (j *job) outputs(s *cohort.Study) []cli.Output {
	groups, associations := sync.OnceValue(s.Groups), sync.OnceValue(s.Associations)
	all := []cli.Output{
		{Name: "codebook.csv", Write: cohort.WriteCodebook},
		{Name: "exclusions.csv", Write: s.WriteExclusions},
		{Name: "groups.csv", Write: func(w io.Writer) error { return s.WriteGroups(w, groups()) }},
		{Name: "associations.csv", Write: func(w io.Writer) error { return s.WriteAssociations(w, associations()) }},
		{Name: "plan.json", Write: func(w io.Writer) error {
			data, err := s.Plan().JSON()
			if err == nil {
				_, err = w.Write(data)
			}
			return err
		}},
		{Name: "page.html", Write: func(w io.Writer) error { return j.page(s, groups(), associations()).HTML(w) }},
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
