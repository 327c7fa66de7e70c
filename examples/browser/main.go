// Command browser serves a page in which a take is reviewed by the browser itself:
// nothing is installed there, and no byte of the take leaves the machine. It builds
// the page, serves it to this computer alone, and prints its address; with -out it
// writes the page's files for any web server.
package main

import (
	"context"
	"errors"
	"fmt"
	"io"
	"os"
	"os/signal"

	"github.com/plectrace/plectrace/examples/internal/cli"
	"github.com/plectrace/plectrace/examples/internal/measured"
)

var program = cli.Program{
	Name:  "browser",
	Does:  "Builds a page that reviews a take in the browser, without anything installed there and without a byte of the take leaving the machine, and serves it to this computer. The address is printed: open it, and drop a tracking export on the page.",
	Usage: []string{"[flags]"},
	Examples: []string{
		"",
		"-port 8080",
		"-out site",
	},
	Groups: []cli.Group{
		cli.CommonGroup(),
		{Title: "The server:", Flags: []string{"port"}},
	},
	Notes: []string{
		"It needs the go tool, and is started within the folder of plectrace or of a module that requires it: the page's program is built for the browser with it, which takes some seconds, the first time a minute. To end it, press Ctrl+C.",
		"With -out the files are written and nothing is served. They can be put on any web server, as they are; opened from the disk they do not work, since browsers start no workers there.",
		"Fast repeated motion can hurt. Stop at pain, numbness or tingling, rest, and see a clinician if it stays. Nothing here is medical advice.",
	},
}

func main() { cli.Main(program, run) }

// results are what -json prints.
type results struct {
	Schema  string `json:"schema"`
	Address string `json:"address,omitempty"` // where it is served
	Folder  string `json:"folder,omitempty"`  // where it was written
	Files   []size `json:"files"`
}

type size struct {
	Name  string `json:"name"`
	Bytes int    `json:"bytes"`
}

func run(args []string, out io.Writer) error {
	ctx, stop := signal.NotifyContext(context.Background(), os.Interrupt)
	defer stop()
	return runUntil(ctx, args, out)
}

// runUntil is run with what ends the server.
func runUntil(ctx context.Context, args []string, out io.Writer) error {
	var f cli.Common
	fs := program.Flags()
	f.Add(fs, "the page is served and nothing is written")
	port := fs.Int("port", 0, "serve at this `NUMBER` of a port; otherwise at one that is free")
	rest, err := program.Parse(fs, args, out)
	switch {
	case err != nil:
		return err
	case len(rest) > 0:
		return cli.Usage(fmt.Errorf("%s given", measured.Count(len(rest), "argument")), "give the export to the page, once it is open")
	case *port < 0 || *port > 65535:
		return cli.Usage(fmt.Errorf("-port is %d", *port), "give a number from 1 to 65535, or leave it out")
	case f.Out != "" && *port != 0:
		return cli.Usage(errors.New("-port does nothing beside -out"), "leave one of them out")
	case f.Out == "" && f.Force:
		return cli.Usage(errors.New("-force does nothing without -out"), "leave it out")
	}
	if f.Out != "" {
		if err := cli.CheckFolder(f.Out, names(), f.Force); err != nil {
			return err
		}
	}
	m := f.Meter("Building the page")
	defer m.End()
	files, err := build(ctx)
	if err != nil {
		return err
	}
	m.End()
	r := results{Schema: "plectrace/browser/1"}
	for _, x := range files {
		r.Files = append(r.Files, size{x.Name, len(x.Data)})
	}
	if f.Out == "" {
		return serve(ctx, files, *port, func(address string) error {
			fmt.Fprintf(f.Words(out), "Open %s in a browser on this computer. To end, press Ctrl+C here.\n", address)
			r.Address = address
			return f.PrintJSON(out, r)
		})
	}
	if err := cli.WriteFolder(f.Out, files, f.Force); err != nil {
		return err
	}
	r.Folder = f.Out
	total := 0
	for _, x := range r.Files {
		total += x.Bytes
	}
	fmt.Fprintf(f.Words(out), "Written: %s, %s, %.1f MB in all. Put them on a web server, and open index.html there.\n", f.Out, measured.Count(len(files), "file"), float64(total)/1e6)
	return f.PrintJSON(out, r)
}
