package main

import (
	"bytes"
	"encoding/csv"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"maps"
	"slices"
	"strconv"
	"strings"
)

// errObject says what a line that begins with a brace has to be.
var errObject = errors.New(`it is not a JSON object of numbers; write one object a line, such as {"time_s": 0.5, "tip_x": 212.4, "tip_y": 640.1}`)

// object reads a line as a JSON object of numbers, nulls and texts.
func object(text string) (map[string]any, error) {
	d := json.NewDecoder(strings.NewReader(text))
	d.UseNumber()
	var o map[string]any
	if err := d.Decode(&o); err != nil || o == nil {
		return nil, errObject
	}
	if _, err := d.Token(); err != io.EOF {
		return nil, errObject
	}
	return o, nil
}

// keysOf are the names in an object, sorted.
func keysOf(text string) ([]string, error) {
	o, err := object(text)
	return slices.Sorted(maps.Keys(o)), err
}

// objectRow is an object as a row of delimited text, in the order of keys. others are
// the names in it that are none of them.
func objectRow(text string, keys []string) (cells string, others []string, err error) {
	o, err := object(text)
	if err != nil {
		return "", nil, err
	}
	values := make([]string, len(keys))
	for i, k := range keys {
		switch v := o[k].(type) {
		case nil:
		case json.Number:
			values[i] = v.String()
		case string:
			values[i] = v
		default:
			return "", nil, fmt.Errorf("%s is no number; write a number, or null where there is none", strconv.Quote(k))
		}
		delete(o, k)
	}
	return row(values), slices.Sorted(maps.Keys(o)), nil
}

// row joins cells. Line ends in them become blanks: a row is a line.
func row(cells []string) string {
	var b bytes.Buffer
	w := csv.NewWriter(&b)
	flat := make([]string, len(cells))
	for i, c := range cells {
		flat[i] = strings.Join(strings.FieldsFunc(c, func(r rune) bool { return r == '\n' || r == '\r' }), " ")
	}
	w.Write(flat) // a buffer takes all
	w.Flush()
	return strings.TrimRight(b.String(), "\n")
}
