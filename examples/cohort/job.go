package main

import (
	"bufio"
	"bytes"
	"context"
	"errors"
	"fmt"
	"io"
	"os"
	"slices"
	"strings"

	"github.com/plectrace/plectrace/examples/internal/cli"
	"github.com/plectrace/plectrace/motion/cohort"
	"github.com/plectrace/plectrace/motion/progress"
)

// job is a study from its list of takes to its folder.
type job struct {
	f       flags
	list    string
	roster  progress.Roster
	open    func(string) (io.ReadCloser, error)
	options cohort.Options
	plan    cohort.Plan
	extra   []cli.File // further files for the folder
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
func gather(ctx context.Context, f flags, name string, plan cohort.Plan, in io.Reader, out io.Writer) error {
	shown := name
	if name == "-" {
		shown = "standard input"
	} else {
		file, err := os.Open(name)
		if err != nil {
			_, err := cli.ReadFile(name, "rows", "check the name and the folder")
			return err
		}
		defer file.Close()
		in = file
	}
	rows, err := cohort.NewRowReader(bufio.NewReaderSize(in, 1<<20), shown)
	if err != nil {
		return input(err)
	}
	j := &job{f: f, list: shown, plan: plan, roster: progress.Roster{Columns: rows.Columns}}
	return j.write(ctx, out, func(use func(*cohort.Record) error) error {
		for {
			rec, err := rows.Read()
			switch {
			case err == io.EOF:
				return nil
			case err != nil:
				return input(err)
			case ctx.Err() != nil:
				return ctx.Err()
			}
			if err := use(rec); err != nil {
				return err
			}
		}
	})
}

// write makes the folder from the records that feed hands on.
func (j *job) write(ctx context.Context, out io.Writer, feed func(use func(*cohort.Record) error) error) error {
	s, err := cohort.NewStudy(j.plan, j.roster.Columns, nil)
	if err != nil {
		return input(err)
	}
	names := []string{"codebook.csv", "exclusions.csv", "groups.csv", "associations.csv", "plan.json", "page.html"}
	for _, file := range j.extra {
		names = append(names, file.Name)
	}
	dir, err := openFolder(j.f.out, names, j.f.force)
	if err != nil {
		return err
	}
	buffer := bufio.NewWriterSize(dir.rows, 1<<20)
	rows, err := cohort.NewRowWriter(buffer, j.roster.Columns, false)
	if err != nil {
		dir.discard()
		return input(err)
	}
	failed := 0
	err = feed(func(rec *cohort.Record) error {
		if rec.Failure != nil {
			if failed++; failed <= 20 {
				fmt.Fprintf(out, "%s: %s\n", rec.File, rec.Failure.Why)
			}
		}
		if s.Add(rec) {
			return rows.Write(rec)
		}
		return nil
	})
	if failed > 20 {
		fmt.Fprintf(out, "... and %d more that could not be measured: see exclusions.csv.\n", failed-20)
	}
	if err = errors.Join(err, rows.Flush(), buffer.Flush()); err != nil {
		dir.discard()
		return interrupted(err, "nothing was written; run it again")
	}
	files, err := j.files(s)
	if err != nil {
		dir.discard()
		return err
	}
	if err := dir.commit(append(files, j.extra...)); err != nil {
		return err
	}
	for _, line := range summary(s) {
		fmt.Fprintln(out, line)
	}
	fmt.Fprintf(out, "\nWritten: %s with page.html (open it in a browser), %s.\n", j.f.out, list(append([]string{rowsName}, others(names)...)))
	return nil
}

// others are the names without that of the page.
func others(names []string) []string {
	return slices.DeleteFunc(slices.Clone(names), func(n string) bool { return n == "page.html" })
}

// list joins names as a sentence does.
func list(names []string) string {
	last := len(names) - 1
	return strings.Join(names[:last], ", ") + " and " + names[last]
}

// files are all but the rows.
func (j *job) files(s *cohort.Study) ([]cli.File, error) {
	groups, associations := s.Groups(), s.Associations()
	var files []cli.File
	for _, f := range []struct {
		name  string
		write func(io.Writer) error
	}{
		{"codebook.csv", cohort.WriteCodebook},
		{"exclusions.csv", s.WriteExclusions},
		{"groups.csv", func(w io.Writer) error { return s.WriteGroups(w, groups) }},
		{"associations.csv", func(w io.Writer) error { return s.WriteAssociations(w, associations) }},
		{"plan.json", func(w io.Writer) error {
			data, err := s.Plan().JSON()
			if err == nil {
				_, err = w.Write(data)
			}
			return err
		}},
		{"page.html", func(w io.Writer) error { return j.page(s, groups, associations).HTML(w) }},
	} {
		var b bytes.Buffer
		if err := f.write(&b); err != nil {
			return nil, fmt.Errorf("%s: %w", f.name, err)
		}
		files = append(files, cli.File{Name: f.name, Data: b.Bytes()})
	}
	return files, nil
}

// input is an error about what is read, without the name of the package.
func input(err error) error {
	if err == nil {
		return nil
	}
	text := err.Error()
	for _, p := range []string{"cohort: ", "progress: "} {
		text = strings.TrimPrefix(text, p)
	}
	return cli.Input(errors.New(text), "")
}

// interrupted makes the end of the context an error in words.
func interrupted(err error, next string) error {
	if errors.Is(err, context.Canceled) {
		return cli.Input(errors.New("interrupted"), next)
	}
	return err
}
