package main

import (
	"bytes"
	"context"
	"errors"
	"flag"
	"io"
	"net/http"
	"net/http/httptest"
	"strings"
	"testing"

	"github.com/plectrace/plectrace/examples/internal/cli"
	"github.com/plectrace/plectrace/examples/internal/clitest"
)

func TestHelp(t *testing.T) {
	var b bytes.Buffer
	if err := run([]string{"-h"}, &b); !errors.Is(err, flag.ErrHelp) {
		t.Fatal(err)
	}
	clitest.WantAll(t, "the help", b.String(), "-port", "-out", "without a byte of the take leaving", "Ctrl+C", "clinician")
	clitest.WantPlain(t, "the help", b.String())
}

func TestRefuses(t *testing.T) {
	clitest.Run(run).Refuses(t, nil, []clitest.Bad{
		{Name: "a file", Args: "lesson.csv", Code: 2, Names: "1 argument", Next: "give the export to the page"},
		{Name: "no port", Args: "-port 70000", Code: 2, Names: "-port is 70000", Next: "1 to 65535"},
		{Name: "a port for a folder", Args: "-port 8080 -out w", Code: 2, Names: "-port does nothing", Next: "leave one"},
		{Name: "force without a folder", Args: "-force", Code: 2, Names: "-force", Next: "leave it out"},
		{Name: "a folder that is there", Files: map[string]string{"w/": "", "w/mine.txt": "x"}, Args: "-out w", Code: 1, Names: "w is there already", Next: "-force"},
		{Name: "no module", Args: "-out w", Code: 1, Names: "go build failed", Next: "within the folder of plectrace"},
	})
}

// TestHandler: files and nothing else are handed out, and nothing is taken in.
func TestHandler(t *testing.T) {
	h := handler([]cli.File{{Name: "index.html", Data: []byte("<!DOCTYPE html>")}, {Name: "app.js", Data: []byte("1")}})
	for _, c := range []struct {
		method, path string
		code         int
		kind, text   string
	}{
		{"GET", "/", 200, "text/html; charset=utf-8", "<!DOCTYPE html>"},
		{"GET", "/app.js", 200, "text/javascript; charset=utf-8", "1"},
		{"HEAD", "/app.js", 200, "text/javascript; charset=utf-8", ""},
		{"POST", "/", 405, "", ""},
		{"PUT", "/app.js", 405, "", ""},
		{"GET", "/../serve.go", 404, "", ""},
		{"GET", "/app.js/", 404, "", ""},
	} {
		w := httptest.NewRecorder()
		h.ServeHTTP(w, httptest.NewRequest(c.method, c.path, strings.NewReader("take")))
		if w.Code != c.code || c.code == 200 && (w.Header().Get("Content-Type") != c.kind || w.Body.String() != c.text) {
			t.Errorf("%s %s: %d, %q, %q", c.method, c.path, w.Code, w.Header().Get("Content-Type"), w.Body.String())
		}
	}
}

// TestServe: the address that is told works, for this machine alone, until the end.
func TestServe(t *testing.T) {
	ctx, end := context.WithCancel(context.Background())
	defer end()
	files := []cli.File{{Name: "index.html", Data: []byte("here")}}
	err := serve(ctx, files, 0, func(address string) error {
		if !strings.HasPrefix(address, "http://127.0.0.1:") {
			t.Errorf("served at %s", address)
		}
		got, err := http.Get(address)
		if err != nil {
			return err
		}
		defer got.Body.Close()
		if text, err := io.ReadAll(got.Body); err != nil || string(text) != "here" {
			t.Errorf("%q, %v", text, err)
		}
		end()
		return nil
	})
	if err != nil {
		t.Error(err)
	}
}
