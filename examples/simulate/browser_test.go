package main

import (
	"path/filepath"
	"testing"

	"github.com/plectrace/plectrace/examples/internal/browsertest"
)

func TestMain(m *testing.M) { browsertest.Main(m) }

// TestInBrowser opens the page of one take, whose name would be markup, and that of
// several.
func TestInBrowser(t *testing.T) {
	if testing.Short() {
		t.Skip("starts a browser")
	}
	for name, args := range map[string][]string{
		"one":     {"-seconds", "8", "-plan", "0:fresh,2:settled", "-name", "<img src=x onerror=window.hacked=1>"},
		"several": {"-preset", "all"},
	} {
		t.Run(name, func(t *testing.T) {
			out := filepath.Join(t.TempDir(), "out")
			mustRun(t, append(args, "-out", out)...)
			browsertest.Open(t, filepath.Join(out, "page.html")).Check()
		})
	}
}
