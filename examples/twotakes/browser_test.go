package main

import (
	"testing"

	"github.com/plectrace/plectrace/examples/internal/browsertest"
)

func TestMain(m *testing.M) { browsertest.Main(m) }

// TestInBrowser opens the page of two takes, with repeats and without.
func TestInBrowser(t *testing.T) {
	if testing.Short() {
		t.Skip("starts a browser")
	}
	t.Chdir(t.TempDir())
	lessons(t)
	must(t, "-out", "demo")
	must(t, "-out", "repeats", "-setup", "desk", "-dates", "2026-01-12", "-comfort", "pain", "-repeats", "r1.csv,r2.csv,r3.csv", "first.csv", "second.csv")
	for _, name := range []string{"demo", "repeats"} {
		t.Run(name, func(t *testing.T) { browsertest.Open(t, name+"/page.html").Check() })
	}
}
