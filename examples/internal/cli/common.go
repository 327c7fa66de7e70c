package cli

import (
	"bytes"
	"encoding/json"
	"errors"
	"flag"
	"fmt"
	"io"
)

// Common are the flags that every program takes: where to write, and how much to
// say.
type Common struct {
	Out                          string
	Force, Quiet, JSON, Notebook bool
}

// NotebookName is the name of the page as a Jupyter notebook, in the folder that is
// written.
const NotebookName = "notebook.ipynb"

// commonFlags are their names, in the order of the help text.
var commonFlags = []string{"out", "force", "json", "quiet", "notebook"}

// Add adds the flags to fs. out is the folder that the program writes to unless
// told otherwise, in words if its name depends on the input: "" for a program
// that writes nothing without -out.
func (c *Common) Add(fs *flag.FlagSet, out string) {
	text := "write to `FOLDER`, which the program makes; otherwise " + out
	if out == "" {
		text = "also write a page and tables to `FOLDER`, which the program makes"
	}
	fs.StringVar(&c.Out, "out", "", text)
	fs.BoolVar(&c.Force, "force", false, "replace what the program wrote there before")
	fs.BoolVar(&c.JSON, "json", false, "print the results as JSON in place of words; a folder is then written only with -out")
	fs.BoolVar(&c.Notebook, "notebook", false, "also write "+NotebookName+": the page as a Jupyter notebook, with the code that ran")
	fs.BoolVar(&c.Quiet, "quiet", false, "print no words and show no progress; errors are printed still")
}

// CommonGroup is the group of the flags that every program takes, and of further
// ones that say what to write.
func CommonGroup(more ...string) Group {
	return Group{Title: "What to write, and where:", Flags: append(append([]string{}, commonFlags...), more...)}
}

// Words returns where words for a reader go, as a terminal shows them: nowhere with
// -quiet and -json.
func (c Common) Words(out io.Writer) io.Writer {
	if c.Quiet || c.JSON {
		return io.Discard
	}
	return printer{out}
}

// Folder returns the folder to write to, "" for none: that of -out, or usual unless
// JSON is printed.
func (c Common) Folder(usual string) string {
	if c.Out == "" && !c.JSON {
		return usual
	}
	return c.Out
}

// InFolder refuses a flag, if given, that says what else to write into a folder,
// where -json alone writes none.
func (c Common) InFolder(flag string, given bool) error {
	if given && c.JSON && c.Out == "" {
		return Usage(errors.New(flag+" writes into the folder, and -json alone writes none"), "add -out FOLDER")
	}
	return nil
}

// PrintJSON prints v if -json is given: bytes as they are, all else as WriteJSON
// writes it.
func (c Common) PrintJSON(out io.Writer, v any) error {
	if !c.JSON {
		return nil
	}
	data, ok := v.([]byte)
	if !ok {
		var b bytes.Buffer
		if err := WriteJSON(&b, v); err != nil {
			return Input(fmt.Errorf("the results cannot be written as JSON: %w", err), "")
		}
		data = b.Bytes()
	}
	if _, err := out.Write(data); err != nil {
		return Input(fmt.Errorf("cannot print the results: %w", plain(err)), "")
	}
	return nil
}

// WriteJSON writes v as encoding/json does, indented, with < > & as they are.
func WriteJSON(w io.Writer, v any) error {
	e := json.NewEncoder(w)
	e.SetEscapeHTML(false)
	e.SetIndent("", "  ")
	return e.Encode(v)
}

// Alone refuses the flags that say where and how to write, for a call that only
// prints: instead names what it does.
func (c Common) Alone(instead string) error {
	if c.Out != "" || c.Force {
		return Usage(errors.New("-out and -force do nothing "+instead), "leave them out")
	}
	return nil
}
