package main

import (
	"testing"

	"github.com/plectrace/plectrace/examples/internal/clitest"
	"github.com/plectrace/plectrace/examples/internal/onepage"
	"github.com/plectrace/plectrace/motion/review"
)

//go:generate go test . -run ^TestNotebook$ -update

// TestNotebook: the folder shows what the program makes of the bundled take.
func TestNotebook(t *testing.T) {
	src, err := demo(newFlags())
	if err != nil {
		t.Fatal(err)
	}
	rec, err := src.recording()
	if err != nil {
		t.Fatal(err)
	}
	r, err := src.review(rec, review.Options{})
	if err != nil {
		t.Fatal(err)
	}
	clitest.Notebook(t, program, "examples/onetake", onepage.Page(r, src.About))
}
