package main

import (
	"bytes"
	"encoding/json"
	"errors"
	"fmt"
	"io/fs"
	"path/filepath"
	"reflect"
	"strings"

	"github.com/plectrace/plectrace/examples/internal/cli"
	"github.com/plectrace/plectrace/motion/cohort"
	"github.com/plectrace/plectrace/motion/review"
)

// sharedSettings is the name of the settings file that all exports of a folder
// share.
const sharedSettings = "folder.take.json"

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
	return layers{{name: filepath.Join(filepath.Dir(export), sharedSettings)}, {name: cohort.SettingsName(export)}}
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
		own, err := review.ParseSetup(bytes.NewReader(data))
		if err == nil && len(names) > 0 {
			own, err = over(setup, own, data)
		}
		if err != nil {
			return setup, nil, cli.Input(fmt.Errorf("%s: %w", file.name, err), nextStep(err, "compare it with the starter that -write-settings makes"))
		}
		setup, names = own, append(names, file.name)
	}
	return setup, names, nil
}

// over lays settings over others, key by key. What a key leaves empty it does not
// say, as everywhere in settings; true and false are said where they stand in the text.
func over(below, above review.Setup, text []byte) (review.Setup, error) {
	var objects [4]map[string]any
	for i, of := range []func() ([]byte, error){below.JSON, above.JSON, review.Setup{}.JSON, func() ([]byte, error) { return text, nil }} {
		data, err := of()
		if err != nil {
			return below, err
		}
		if err := json.Unmarshal(data, &objects[i]); err != nil {
			return below, err
		}
	}
	merged, said, empty, written := objects[0], objects[1], objects[2], objects[3]
	lay(merged, said, empty)
	answer(merged, written)
	data, err := json.Marshal(merged)
	if err != nil {
		return below, err
	}
	return review.ParseSetup(bytes.NewReader(data))
}

// lay puts what an object says into another, but for what empty settings say too.
func lay(below, above, empty map[string]any) {
	for key, v := range above {
		if object, ok := v.(map[string]any); ok {
			nothing, _ := empty[key].(map[string]any)
			lay(within(below, key), object, nothing)
		} else if !reflect.DeepEqual(v, empty[key]) {
			below[key] = v
		}
	}
}

// answer puts every true and false of an object into another.
func answer(below, written map[string]any) {
	for key, v := range written {
		key = strings.ToLower(key)
		switch v := v.(type) {
		case bool:
			below[key] = v
		case map[string]any:
			answer(within(below, key), v)
		}
	}
}

// within is the object at a key, made where there is none.
func within(o map[string]any, key string) map[string]any {
	inner, ok := o[key].(map[string]any)
	if !ok {
		inner = map[string]any{}
		o[key] = inner
	}
	return inner
}
