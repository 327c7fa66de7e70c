package main

import (
	"bytes"
	"path/filepath"
	"testing"

	"github.com/plectrace/plectrace/examples/internal/browsertest"
	"github.com/plectrace/plectrace/examples/internal/cli"
)

func TestMain(m *testing.M) { browsertest.Main(m) }

// TestInBrowser: the pages of a take and the index of a folder, in a browser.
func TestInBrowser(t *testing.T) {
	if testing.Short() {
		t.Skip("slow")
	}
	t.Chdir(t.TempDir())
	evening(t, "evening")
	if err := runWith([]string{"evening", "-captions", "-notebook"}, &bytes.Buffer{}, &bytes.Buffer{}); cli.Code(err) != cli.BadInput {
		t.Fatal(err)
	}
	mustRun(t)
	for _, name := range []string{"evening-review/index.html", "evening-review/lesson-1/page.html", "demo-review/page.html", "demo-review/details.html"} {
		t.Run(filepath.Base(filepath.Dir(name))+"/"+filepath.Base(name), func(t *testing.T) { browsertest.Open(t, name).Check() })
	}
}
