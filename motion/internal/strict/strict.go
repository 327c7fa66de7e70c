package strict

import (
	"bytes"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"strings"
	"unicode"
	"unicode/utf8"
)

// limit is the size beyond which a file is none that anybody wrote by hand.
const limit = 1 << 20

// Read returns the text of such a file.
func Read(r io.Reader) ([]byte, error) {
	data, err := io.ReadAll(io.LimitReader(r, limit+1))
	if err == nil && len(data) > limit {
		err = errors.New("the file is over 1 MiB: is it the right one?")
	}
	return data, err
}

// Decode reads one JSON object into v. Errors are of one line.
func Decode(r io.Reader, v any) error {
	data, err := Read(r)
	if err != nil {
		return err
	}
	d := json.NewDecoder(bytes.NewReader(data))
	d.DisallowUnknownFields()
	if err := d.Decode(v); err != nil {
		return inWords(data, d.InputOffset(), err)
	}
	if _, err := d.Token(); err != io.EOF {
		return inWords(data, d.InputOffset(), errors.New("more text follows the closing brace"))
	}
	return nil
}

var kinds = map[string]string{
	"string": "a text", "number": "a number", "array": "a list", "object": "an object", "bool": "true or false",
}

// inWords returns an error of the decoder with the line that it is about.
func inWords(data []byte, offset int64, err error) error {
	var syntax *json.SyntaxError
	var kind *json.UnmarshalTypeError
	switch {
	case errors.As(err, &syntax):
		offset = syntax.Offset
	case errors.As(err, &kind):
		offset = kind.Offset
		value, number, exact := strings.Cut(kind.Value, " ") // "number 4.5": one of another kind
		switch {
		case exact:
			value = number
		case kinds[value] != "":
			value = kinds[value]
		}
		err = fmt.Errorf("%s cannot be %s", keyOf(kind.Field), value)
	case errors.Is(err, io.EOF), errors.Is(err, io.ErrUnexpectedEOF):
		offset, err = int64(len(data)), errors.New("the text ends too early")
	}
	text := strings.TrimPrefix(err.Error(), "json: ")
	if key, ok := strings.CutPrefix(text, "unknown field "); ok {
		// The decoder tells of it at the end of the object.
		offset = int64(max(bytes.Index(data, []byte(key)), 0))
		text = "there is no key " + key
	}
	line := 1 + bytes.Count(data[:min(int(offset), len(data))], []byte("\n"))
	return fmt.Errorf("line %d: %s", line, text)
}

// keyOf returns a field's key as it stands in the file: without the names of
// embedded structs.
func keyOf(field string) string {
	var keys []string
	for _, k := range strings.Split(field, ".") {
		if first, _ := utf8.DecodeRuneInString(k); k != "" && !unicode.IsUpper(first) {
			keys = append(keys, k)
		}
	}
	if len(keys) == 0 {
		return "the file"
	}
	return strings.Join(keys, ".")
}
