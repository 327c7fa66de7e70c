package main

import (
	"path/filepath"
	"testing"

	"github.com/plectrace/plectrace/examples/internal/browsertest"
)

func TestMain(m *testing.M) { browsertest.Main(m) }

// TestInBrowser opens the page of a study with an answer, and of one without.
func TestInBrowser(t *testing.T) {
	if testing.Short() {
		t.Skip("makes up 180 takes and starts a browser")
	}
	_, list := lessons(t)
	for name, args := range map[string][]string{"demo": nil, "small": {list}} {
		t.Run(name, func(t *testing.T) {
			out := filepath.Join(t.TempDir(), "study")
			must(t, "", append([]string{"-out", out}, args...)...)
			browsertest.Open(t, filepath.Join(out, "page.html")).Check()
		})
	}
}
