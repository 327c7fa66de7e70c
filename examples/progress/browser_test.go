package main

import (
	"testing"

	"github.com/plectrace/plectrace/examples/internal/browsertest"
)

func TestMain(m *testing.M) { browsertest.Main(m) }

// TestInBrowser opens the page of the demo.
func TestInBrowser(t *testing.T) {
	if testing.Short() {
		t.Skip("makes up 66 takes and starts a browser")
	}
	t.Chdir(t.TempDir())
	must(t)
	browsertest.Open(t, usualFolder+"/page.html").Check()
}
