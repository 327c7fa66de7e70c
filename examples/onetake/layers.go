package main

import (
	"bytes"
	"errors"
	"fmt"
	"io/fs"

	"github.com/plectrace/plectrace/examples/internal/cli"
	"github.com/plectrace/plectrace/motion/cohort"
	"github.com/plectrace/plectrace/motion/review"
)

// layer is a settings file. One that is named has to be there.
type layer struct {
	name  string
	named bool
}

// layers are the settings files of an export, each laid over the one before.
type layers []layer

// layers are those of the export of that name: the file that is named takes the
// place of both of those beside it.
func (f *flags) layers(export string) layers {
	if f.settings != "" {
		return layers{{f.settings, !f.starter}}
	}
	return layers{{name: cohort.SharedSettingsName(export)}, {name: cohort.SettingsName(export)}}
}

// read returns the settings in the files that are there, and the names of these.
func (l layers) read() (review.Setup, []string, error) {
	var setup review.Setup
	var names []string
	for _, file := range l {
		data, err := cli.ReadFile(file.name, "settings", "check the name given with -settings")
		if errors.Is(err, fs.ErrNotExist) && !file.named {
			continue
		}
		if err != nil {
			return setup, nil, err
		}
		own, err := review.ParseSetupOver(setup, bytes.NewReader(data))
		if err != nil {
			return setup, nil, cli.Input(fmt.Errorf("%s: %w", file.name, err), nextStep(err, "compare it with the starter that -write-settings makes"))
		}
		setup, names = own, append(names, file.name)
	}
	return setup, names, nil
}
