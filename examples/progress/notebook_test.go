package main

import (
	"io"
	"testing"

	"github.com/plectrace/plectrace/examples/internal/clitest"
)

//go:generate go test . -run ^TestNotebook$ -update

// TestNotebook holds the executed notebook in this folder to what the program makes
// without a list.
func TestNotebook(t *testing.T) {
	if testing.Short() {
		t.Skip("makes up 66 takes")
	}
	f, _, err := parse(nil, io.Discard)
	if err != nil {
		t.Fatal(err)
	}
	j, err := prepare(f, nil)
	if err != nil {
		t.Fatal(err)
	}
	if err := j.measure(nil, io.Discard); err != nil {
		t.Fatal(err)
	}
	if err := j.follow(); err != nil {
		t.Fatal(err)
	}
	clitest.Notebook(t, program, "examples/progress", j.page())
}
