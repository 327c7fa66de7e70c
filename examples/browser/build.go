package main

import (
	"bytes"
	"compress/gzip"
	"context"
	"embed"
	"errors"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"strings"

	"github.com/plectrace/plectrace/examples/internal/cli"
	"github.com/plectrace/plectrace/testdata"
)

//go:embed site
var site embed.FS

// The page's program, and the take that it shows without a file.
const (
	wasm = "github.com/plectrace/plectrace/examples/browser/wasm"
	demo = "beginner-1"
)

// sources are the files of the page that are written by hand.
var sources = []string{"index.html", "style.css", "program.js", "form.js", "drawing.js", "app.js", "worker.js"}

// Files of the page that are made.
const (
	programFile  = "plectrace.wasm.gz"
	supportFile  = "wasm_exec.js"
	demoFile     = "demo.csv.gz"
	settingsFile = "demo.take.json"
)

func names() []string {
	return append(append([]string{}, sources...), supportFile, programFile, demoFile, settingsFile)
}

// build makes all files of the page.
func build(ctx context.Context) ([]cli.File, error) {
	var files []cli.File
	for _, name := range sources {
		data, err := site.ReadFile("site/" + name)
		if err != nil {
			return nil, err
		}
		files = append(files, cli.File{Name: name, Data: data})
	}
	root, err := goTool(ctx, "env", "GOROOT")
	if err != nil {
		return nil, err
	}
	support, err := cli.ReadFile(filepath.Join(strings.TrimSpace(root), "lib", "wasm", supportFile), "support of Go for browsers", "install Go as go.dev has it, with its folder lib")
	if err != nil {
		return nil, err
	}
	program, err := compile(ctx)
	if err != nil {
		return nil, err
	}
	take, settings, err := testdata.Take(demo)
	if err != nil {
		return nil, err
	}
	return append(files,
		cli.File{Name: supportFile, Data: support}, cli.File{Name: programFile, Data: pack(program)},
		cli.File{Name: demoFile, Data: pack(take)}, cli.File{Name: settingsFile, Data: settings},
	), nil
}

// compile compiles the page's program for the browser.
func compile(ctx context.Context) ([]byte, error) {
	dir, err := os.MkdirTemp("", "plectrace-page-")
	if err != nil {
		return nil, cli.Input(fmt.Errorf("the page cannot be built: %w", err), "free some space for temporary files")
	}
	defer os.RemoveAll(dir)
	name := filepath.Join(dir, "plectrace.wasm")
	if _, err := goTool(ctx, "build", "-trimpath", "-buildvcs=false", "-ldflags", "-s -w", "-o", name, wasm); err != nil {
		return nil, err
	}
	return cli.ReadFile(name, "page's program", "build it again")
}

// goTool runs the go tool for the browser, and returns what it prints.
func goTool(ctx context.Context, args ...string) (string, error) {
	tool, err := exec.LookPath("go")
	if err != nil {
		return "", cli.Input(errors.New("the go tool is not on the PATH"), "install Go, from go.dev, and start this again")
	}
	command := exec.CommandContext(ctx, tool, args...)
	command.Env = append(os.Environ(), "GOOS=js", "GOARCH=wasm", "CGO_ENABLED=0")
	var said bytes.Buffer
	command.Stderr = &said
	printed, err := command.Output()
	if err != nil {
		first, _, _ := strings.Cut(strings.TrimSpace(said.String()), "\n")
		return "", cli.Input(fmt.Errorf("go %s failed: %s", args[0], first), "start this within the folder of plectrace, or of a module that requires it")
	}
	return string(printed), nil
}

// pack compresses data as well as gzip can.
func pack(data []byte) []byte {
	var b bytes.Buffer
	w, err := gzip.NewWriterLevel(&b, gzip.BestCompression)
	if err == nil {
		_, err = w.Write(data)
	}
	if err = errors.Join(err, w.Close()); err != nil {
		panic(err) // a buffer takes all, and the level is one of gzip
	}
	return b.Bytes()
}
