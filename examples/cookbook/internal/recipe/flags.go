package recipe

import (
	"errors"
	"flag"
	"fmt"
	"slices"
	"strings"

	"github.com/plectrace/plectrace/examples/internal/cli"
)

// Points adds the flag -points, a list of names.
func Points(fs *flag.FlagSet, points *[]string, usage string) {
	fs.Func("points", usage, func(text string) error {
		for _, name := range strings.Split(text, ",") {
			if name = strings.TrimSpace(name); name == "" {
				return errors.New("a name is empty")
			}
			*points = append(*points, name)
		}
		return nil
	})
}

// NeedFile refuses the flags of these names, which say something of a file, for a call
// without one.
func NeedFile(fs *flag.FlagSet, files []string, names ...string) (err error) {
	fs.Visit(func(f *flag.Flag) {
		if len(files) == 0 && err == nil && slices.Contains(names, f.Name) {
			err = cli.Usage(fmt.Errorf("-%s is given without a file", f.Name), "name the file, or leave the flag out")
		}
	})
	return err
}
