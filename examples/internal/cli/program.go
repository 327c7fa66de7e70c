package cli

import (
	"flag"
	"fmt"
	"io"
	"strings"
	"unicode/utf8"
)

// Program says what a program is for. Its texts are wrapped when they are
// printed, so they hold no line ends of their own, except Examples.
type Program struct {
	Name string
	// Does is what the program does, in one or two sentences.
	Does string
	// Usage lists the ways to call it, without its name: "[flags] FILE".
	Usage []string
	// Examples are calls to try, one a line, without the name.
	Examples []string
	// Groups order the flags in the help text. Flags that stand in no group
	// come first, in the order of their names.
	Groups []Group
	// Notes are paragraphs that teach, printed after the examples.
	Notes []string
	// Samples are files that the program reads, printed last and as they are.
	Samples []Sample
}

// Sample is what a file may hold, with a line about it.
type Sample struct{ Title, Text string }

// Group is a titled list of flags, by name.
type Group struct {
	Title string
	Flags []string
}

// Flags returns an empty set of flags for the program.
func (p Program) Flags() *flag.FlagSet {
	fs := flag.NewFlagSet(p.Name, flag.ContinueOnError)
	fs.SetOutput(io.Discard) // Parse and Main do the printing
	fs.Usage = func() {}
	return fs
}

// Parse reads args into fs and returns the other arguments. Flags may stand
// before and after them; "--" ends the flags. On -h it prints the help text to
// out and returns flag.ErrHelp; other errors are failures of usage.
func (p Program) Parse(fs *flag.FlagSet, args []string, out io.Writer) ([]string, error) {
	var rest []string
	for {
		err := fs.Parse(args)
		if err == flag.ErrHelp {
			p.help(fs, printer{out})
			return nil, err
		}
		if err != nil {
			return nil, Usage(err, "see "+p.Name+" -h")
		}
		read := len(args) - fs.NArg()
		if fs.NArg() == 0 || read > 0 && args[read-1] == "--" {
			return append(rest, fs.Args()...), nil
		}
		rest = append(rest, fs.Arg(0))
		args = fs.Args()[1:]
	}
}

const width = 80 // of the help text, in characters

// help prints what the program does, how to call it, and its flags.
func (p Program) help(fs *flag.FlagSet, out io.Writer) {
	fmt.Fprint(out, wrap(p.Does, ""), "\n")
	for i, u := range p.Usage {
		lead := "usage: "
		if i > 0 {
			lead = "       "
		}
		fmt.Fprintf(out, "%s%s %s\n", lead, p.Name, u)
	}

	grouped := map[string]bool{}
	for _, g := range p.Groups {
		for _, name := range g.Flags {
			grouped[name] = true
		}
	}
	fs.VisitAll(func(f *flag.Flag) {
		if !grouped[f.Name] {
			helpFlag(f, out)
		}
	})
	for _, g := range p.Groups {
		fmt.Fprintf(out, "\n%s\n", g.Title)
		for _, name := range g.Flags {
			helpFlag(fs.Lookup(name), out)
		}
	}

	if len(p.Examples) > 0 {
		fmt.Fprint(out, "\nTry:\n")
		for _, e := range p.Examples {
			fmt.Fprintf(out, "  %s\n", strings.TrimSpace(p.Name+" "+e))
		}
	}
	for _, n := range p.Notes {
		fmt.Fprint(out, "\n", wrap(n, ""))
	}
	for _, s := range p.Samples {
		fmt.Fprint(out, "\n", wrap(s.Title, ""), "\n")
		for line := range strings.Lines(s.Text) {
			fmt.Fprint(out, "  ", line)
		}
	}
}

// helpFlag prints a flag with what it takes, what it means and its default.
func helpFlag(f *flag.Flag, out io.Writer) {
	kind, text := flag.UnquoteUsage(f)
	if kind != "" {
		kind = " " + kind
	}
	if zero := f.DefValue == "" || f.DefValue == "false" || f.DefValue == "0"; !zero {
		text += " (default " + f.DefValue + ")"
	}
	fmt.Fprintf(out, "\n  -%s%s\n%s", f.Name, kind, wrap(text, "        "))
}

// wrap breaks text at spaces into indented lines of at most width characters,
// where its words allow.
func wrap(text, indent string) string {
	var b strings.Builder
	n := 0 // characters on this line
	for _, word := range strings.Fields(text) {
		w := utf8.RuneCountInString(word)
		switch {
		case n == 0:
			b.WriteString(indent)
			n = len(indent)
		case n+1+w > width:
			b.WriteString("\n" + indent)
			n = len(indent)
		default:
			b.WriteByte(' ')
			n++
		}
		b.WriteString(word)
		n += w
	}
	return b.String() + "\n"
}
