package main

import (
	"io"
	"testing"

	"github.com/plectrace/plectrace/examples/internal/browsertest"
	"github.com/plectrace/plectrace/examples/internal/clitest"
)

func TestMain(m *testing.M) { browsertest.Main(m) }

//go:generate go test . -run ^TestNotebook$ -update

// TestNotebook: the folder shows what the program makes of the bundled take.
func TestNotebook(t *testing.T) {
	f := newFlags()
	src, err := f.source(nil, nil)
	if err != nil {
		t.Fatal(err)
	}
	s := newSession(src, f, io.Discard, io.Discard)
	if err := s.listen(nil); err != nil {
		t.Fatal(err)
	}
	r, err := heard(s.rec, s.setup)
	if err != nil {
		t.Fatal(err)
	}
	clitest.Notebook(t, program, "examples/live", s.page(r, false))
}

// TestInBrowser: the pages of the folder in a browser.
func TestInBrowser(t *testing.T) {
	if testing.Short() {
		t.Skip("slow")
	}
	t.Chdir(t.TempDir())
	if got := call(nil, "-out", "o"); got.err != nil {
		t.Fatal(got.err)
	}
	for _, name := range []string{"o/live.html", "o/page.html"} {
		t.Run(name, func(t *testing.T) { browsertest.Open(t, name).Check() })
	}
}
