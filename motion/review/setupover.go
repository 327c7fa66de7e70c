package review

import (
	"bytes"
	"encoding/json"
	"io"
	"reflect"
	"strings"

	"github.com/plectrace/plectrace/motion/internal/strict"
)

// ParseSetupOver reads settings from r as ParseSetup does and lays them over others,
// key by key: settings that the takes of a folder share, and what a take says for
// itself. What a key leaves empty ("", 0, no list) it does not say; true and false are
// said where they stand in the text.
func ParseSetupOver(below Setup, r io.Reader) (Setup, error) {
	text, err := strict.Read(r)
	if err != nil {
		return Setup{}, err
	}
	above, err := ParseSetup(bytes.NewReader(text))
	if err != nil {
		return Setup{}, err
	}
	var merged, said, empty, written map[string]any
	for _, o := range []struct {
		of Setup
		to *map[string]any
	}{{below, &merged}, {above, &said}, {Setup{}, &empty}} {
		data, err := o.of.JSON()
		if err == nil {
			err = json.Unmarshal(data, o.to)
		}
		if err != nil {
			return Setup{}, err
		}
	}
	if err := json.Unmarshal(text, &written); err != nil {
		return Setup{}, err
	}
	layOver(merged, said, empty)
	answer(merged, written)
	data, err := json.Marshal(merged)
	if err != nil {
		return Setup{}, err
	}
	return ParseSetup(bytes.NewReader(data))
}

// layOver puts what an object says into another, but for what empty settings say
// too.
func layOver(below, above, empty map[string]any) {
	for key, v := range above {
		if object, ok := v.(map[string]any); ok {
			nothing, _ := empty[key].(map[string]any)
			layOver(within(below, key), object, nothing)
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
