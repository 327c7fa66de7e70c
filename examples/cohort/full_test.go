package main

import (
	"testing"

	"github.com/plectrace/plectrace/examples/internal/clitest"
	"github.com/plectrace/plectrace/examples/internal/takefile"
)

// TestFullDisk: a disk that is full, or a folder that is closed, leaves what was there.
func TestFullDisk(t *testing.T) {
	if testing.Short() {
		t.Skip("slow: the program runs three times")
	}
	clitest.Run(run).Interrupted(t, 2000)
}

// TestStaysInside: no name in a list decides where anything is written.
func TestStaysInside(t *testing.T) {
	if testing.Short() {
		t.Skip("slow: the program runs twice")
	}
	clitest.Run(run).StaysInside(t, takefile.Bundled, "beginner-1")
}
