package main

import (
	"context"
	"io"
	"testing"

	"github.com/plectrace/plectrace/examples/internal/clitest"
	"github.com/plectrace/plectrace/motion/cohort"
)

//go:generate go test . -run ^TestNotebook$ -update

// TestNotebook holds the executed notebook in this folder to what the program makes
// of its demo.
func TestNotebook(t *testing.T) {
	if testing.Short() {
		t.Skip("makes up 180 takes")
	}
	plan, err := readPlan(demoPlan)
	if err != nil {
		t.Fatal(err)
	}
	j := demoJob(flags{workers: 2}, plan)
	r, err := newResult(j.plan, j.roster.Columns, j.f.by)
	if err != nil {
		t.Fatal(err)
	}
	if err := j.study(r, io.Discard, io.Discard, func(use func(*cohort.Record) error) error { return j.measureAll(context.Background(), nil, use) }); err != nil {
		t.Fatal(err)
	}
	clitest.Notebook(t, program, "examples/cohort", page(r, j.lead))
}
