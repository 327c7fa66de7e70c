package main

import (
	"errors"
	"fmt"
	"io"
	"io/fs"
	"path/filepath"
	"slices"

	"github.com/plectrace/plectrace/examples/internal/cli"
	"github.com/plectrace/plectrace/examples/internal/takefile"
	"github.com/plectrace/plectrace/motion/cohort"
	"github.com/plectrace/plectrace/motion/review"
)

// layers are the names of the settings files of an export, each laid over the one
// before: the file that is named takes the place of both of those beside it.
func (f *flags) layers(export string) []string {
	if f.settings != "" {
		return []string{f.settings}
	}
	return cohort.SettingsNames(export)
}

// shared is the settings file that the exports of a folder share.
func (f *flags) shared(dir string) string {
	if f.settings != "" {
		return f.settings
	}
	return filepath.Join(dir, cohort.SharedSettings)
}

// read returns the settings in the files that are there, and the names of these. One
// that is named has to be there, unless it is to be written.
func (f *flags) read(layers []string) (review.Setup, []string, error) {
	unopened := false // one that is there: its text is not what is wrong
	open := func(name string) (io.ReadCloser, error) {
		file, err := takefile.Folder(".")(name)
		unopened = unopened || err != nil && !errors.Is(err, fs.ErrNotExist)
		return file, err
	}
	setup, found, err := cohort.Settings(open, layers...)
	switch {
	case unopened && f.settings != "":
		return setup, nil, cli.Input(err, "look at the name given with -settings")
	case unopened:
		return setup, nil, cli.Input(err, "")
	case err != nil:
		return setup, nil, cli.Input(err, nextStep(err, "compare it with the starter that -write-settings makes"))
	case f.settings != "" && !f.starter && !slices.Contains(found, f.settings):
		return setup, nil, cli.Input(fmt.Errorf("there is no settings file %q", f.settings), "check the name given with -settings")
	}
	return setup, found, nil
}
