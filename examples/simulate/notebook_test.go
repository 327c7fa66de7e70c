package main

import (
	"testing"

	"github.com/plectrace/plectrace/examples/internal/clitest"
)

//go:generate go test . -run ^TestNotebook$ -update

// TestNotebook holds the executed notebook in this folder to what the program makes
// without flags.
func TestNotebook(t *testing.T) {
	clitest.Notebook(t, program, "examples/simulate", page([]*made{makeOne(t, "")}))
}
