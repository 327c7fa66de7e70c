package recipe

import (
	"bytes"
	"errors"
	"flag"
	"fmt"
	"io"

	"github.com/plectrace/plectrace/examples/internal/cli"
	"github.com/plectrace/plectrace/examples/internal/measured"
	"github.com/plectrace/plectrace/examples/internal/notebook"
)

// Care is the note of caution for the help text.
const Care = "Fast repeated motion can hurt. Stop at pain, numbness or tingling, rest, and see a clinician if it stays. Nothing here is medical advice."

// Flags are those of every program of the cookbook.
type Flags struct {
	cli.Common
}

// Add adds the flags to fs.
func (f *Flags) Add(fs *flag.FlagSet) {
	f.Common.Add(fs, "")
}

// Group is their group in the help text.
func Group() cli.Group { return cli.CommonGroup() }

const pageName = "page.html"

// names are those of all files that the folder may hold.
func names(files []string) []string {
	return append([]string{pageName, cli.NotebookName}, files...)
}

// Check refuses flags that do nothing, and a folder that cannot be written. files
// are the names of what stands beside the page.
func (f Flags) Check(files ...string) error {
	if f.Out == "" {
		if f.Force || f.Notebook {
			return cli.Usage(errors.New("-force and -notebook do nothing without a folder to write"), "add -out FOLDER")
		}
		return nil
	}
	return cli.CheckFolder(f.Out, names(files), f.Force)
}

// Result is what a program found.
type Result struct {
	// Words tell a reader, lines with their ends.
	Words string
	// Table writes what is printed in place of words, for another program to read,
	// unless a folder is written; nil for a program that answers in words.
	Table func(io.Writer) error
	// Page and Files are for the folder.
	Page  *notebook.Doc
	Files []cli.Output
	// JSON is what -json prints.
	JSON any
}

// Deliver writes the folder, if one is asked for, and prints the result.
func (f Flags) Deliver(out io.Writer, r Result) error {
	words := r.Words
	if f.Out != "" {
		outputs := append([]cli.Output{{Name: pageName, Write: r.Page.HTML}}, r.Files...)
		if f.Notebook {
			outputs = append(outputs, cli.Output{Name: cli.NotebookName, Write: r.Page.Jupyter})
		}
		files, err := cli.Files(outputs)
		if err != nil {
			return err
		}
		if err := cli.WriteFolder(f.Out, files, f.Force, names(cli.Names(r.Files))...); err != nil {
			return err
		}
		written := cli.Names(outputs)
		written[0] += " (open it in a browser)"
		words += fmt.Sprintf("\nWritten: %s with %s.\n", f.Out, measured.Join(written))
	} else if r.Table != nil && !f.JSON {
		var b bytes.Buffer
		if err := r.Table(&b); err != nil {
			return cli.Input(err, "")
		}
		return printed(out.Write(b.Bytes()))
	}
	if err := f.PrintJSON(out, r.JSON); err != nil {
		return err
	}
	return printed(io.WriteString(f.Words(out), words))
}

func printed(_ int, err error) error {
	if err != nil {
		return cli.Input(fmt.Errorf("cannot print the results: %w", err), "")
	}
	return nil
}

// NewPage begins a page.
func NewPage(title, lead string) *notebook.Doc {
	d := notebook.New(title)
	d.Lead = lead
	return d
}

// EndPage adds the caution that every page carries.
func EndPage(d *notebook.Doc) *notebook.Doc {
	d.Care("")
	return d
}
