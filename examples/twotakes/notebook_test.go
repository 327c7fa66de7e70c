package main

import (
	"io"
	"testing"

	"github.com/plectrace/plectrace/examples/internal/clitest"
	"github.com/plectrace/plectrace/motion/progress"
)

//go:generate go test . -run ^TestNotebook$ -update

// TestNotebook holds the executed notebook in this folder to what the program makes
// without files.
func TestNotebook(t *testing.T) {
	f, _, err := parse(nil, io.Discard)
	if err != nil {
		t.Fatal(err)
	}
	var j job
	if err := j.take(f, nil); err != nil {
		t.Fatal(err)
	}
	if err := j.compare(progress.CompareOptions{}); err != nil {
		t.Fatal(err)
	}
	clitest.Notebook(t, program, "examples/twotakes", j.page())
}
