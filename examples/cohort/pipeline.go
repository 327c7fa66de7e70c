package main

import (
	"bytes"
	"context"
	"fmt"
	"io"
	"runtime/debug"
	"slices"
	"strings"

	"github.com/plectrace/plectrace/examples/internal/cli"
	"github.com/plectrace/plectrace/motion/cohort"
	"github.com/plectrace/plectrace/motion/progress"
	"github.com/plectrace/plectrace/variability/estimate"
)

// measureAll measures takes by several workers and hands the records to use in
// the order of the list. At most a few takes for each worker are under way or wait
// for their turn, so that memory does not grow with the list. It ends early when
// use fails or ctx is done.
func measureAll(ctx context.Context, takes []progress.Take, workers int, measure func(progress.Take) *cohort.Record, use func(*cohort.Record) error) error {
	workers = min(workers, len(takes)) // more would have nothing to do
	ctx, cancel := context.WithCancel(ctx)
	defer cancel()
	type slot chan *cohort.Record
	type work struct {
		take progress.Take
		done slot
	}
	jobs := make(chan work)
	turns := make(chan slot, 4*workers) // in the order of the list
	for range workers {
		go func() {
			for w := range jobs {
				w.done <- guarded(measure, w.take)
			}
		}()
	}
	go func() {
		defer close(jobs)
		defer close(turns)
		for _, t := range takes {
			done := make(slot, 1)
			select {
			case turns <- done:
			case <-ctx.Done():
				return
			}
			select {
			case jobs <- work{t, done}:
			case <-ctx.Done():
				return
			}
		}
	}()
	for range takes {
		done, ok := <-turns
		if !ok {
			return ctx.Err()
		}
		select {
		case rec := <-done:
			if err := use(rec); err != nil {
				return err
			}
		case <-ctx.Done():
			return ctx.Err()
		}
	}
	return ctx.Err()
}

// guarded measures a take, and makes a failure of the program itself one of this
// take: it must not cost the others.
func guarded(measure func(progress.Take) *cohort.Record, t progress.Take) (rec *cohort.Record) {
	defer func() {
		if failure := recover(); failure != nil {
			where, _, _ := strings.Cut(lastLine(string(debug.Stack())), " +0x")
			rec = &cohort.Record{Take: t, Failure: &estimate.Absence{Code: cohort.CodeRefused, What: t.File,
				Why: fmt.Sprintf("the program failed on it (%v, %s): please report this with the export", failure, strings.TrimSpace(where))}}
		}
	}()
	return measure(t)
}

// lastLine is the line of a stack that tells where it was.
func lastLine(stack string) string {
	lines := strings.Split(stack, "\n")
	for i, l := range lines {
		if strings.HasPrefix(l, "panic(") && i+3 < len(lines) {
			return lines[i+3]
		}
	}
	return ""
}

// measureAll measures the takes of the list and tells m how far it is.
func (j *job) measureAll(ctx context.Context, m *cli.Meter, use func(*cohort.Record) error) error {
	done := 0
	return measureAll(ctx, j.roster.Takes, j.f.workers, j.measure, func(rec *cohort.Record) error {
		done++
		m.Count(done, len(j.roster.Takes))
		return use(rec)
	})
}

// print prints the rows of the takes. Where they fill the terminal, they themselves
// tell how far it is.
func (j *job) print(ctx context.Context, out io.Writer) error {
	w := &keyed{out: out, on: j.f.key}
	rows, err := cohort.NewRowWriter(w, j.roster.Columns, j.f.noHeader || j.f.key)
	if err != nil {
		return cli.Input(err, "")
	}
	var m *cli.Meter
	if !cli.InPlace(out) {
		m = j.f.Meter("Measuring takes")
		defer m.End()
	}
	err = j.measureAll(ctx, m, func(rec *cohort.Record) error {
		onOneLine(&rec.Take)
		w.key = rec.Player
		if err := rows.Write(rec); err != nil {
			return err
		}
		return rows.Flush()
	})
	return interrupted(err, "the rows printed so far are whole takes")
}

// onOneLine takes line ends out of the cells of a take: rows for other programs are
// a line each.
func onOneLine(t *progress.Take) {
	flat := strings.NewReplacer("\r\n", " ", "\n", " ", "\r", " ")
	for _, s := range []*string{&t.Player, &t.Session, &t.Take, &t.Setup, &t.StoppedBy, &t.Grip} {
		*s = flat.Replace(*s)
	}
	t.Extra = slices.Clone(t.Extra)
	for i := range t.Extra {
		t.Extra[i] = flat.Replace(t.Extra[i])
	}
}

// keyed begins each line with a key and a tab. Lines may come in pieces.
type keyed struct {
	out  io.Writer
	on   bool
	key  string
	part []byte // of a line whose end has not come yet
}

func (k *keyed) Write(p []byte) (int, error) {
	if !k.on {
		return k.out.Write(p)
	}
	k.part = append(k.part, p...)
	end := bytes.LastIndexByte(k.part, '\n') + 1
	var b bytes.Buffer
	for line := range bytes.Lines(k.part[:end]) {
		b.WriteString(k.key)
		b.WriteByte('\t')
		b.Write(line)
	}
	k.part = append(k.part[:0], k.part[end:]...)
	if _, err := k.out.Write(b.Bytes()); err != nil {
		return 0, err
	}
	return len(p), nil
}
