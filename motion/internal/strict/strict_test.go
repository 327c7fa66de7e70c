package strict

import (
	"strings"
	"testing"
)

type inner struct {
	Time *float64 `json:"touch_s"`
}

type outer struct {
	Name  string `json:"name"`
	Count int    `json:"strings"`
	Marks struct {
		Bass []float64 `json:"bass"`
	} `json:"marks"`
	inner
	Embedded
}

// Embedded is exported so that the decoder names it in a path.
type Embedded struct {
	On bool `json:"on"`
}

func TestDecode(t *testing.T) {
	for _, c := range []struct{ text, want string }{
		{`{"name": "a", "touch_s": 1, "on": true, "marks": {"bass": [1, 2]}}`, ""},
		{``, "line 1: the text ends too early"},
		{"{\n\"name\": ", "line 2: the text ends too early"},
		{"{\n\"nmae\": 1}", `line 2: there is no key "nmae"`},
		{"{\n\n\"name\": 1}", "line 3: name cannot be a number"},
		{`{"on": "yes"}`, "line 1: on cannot be a text"},
		{`{"marks": {"bass": {}}}`, "line 1: marks.bass cannot be an object"},
		{`{"marks": {"bass": [true]}}`, "line 1: marks.bass cannot be true or false"},
		{`{"strings": 4.5}`, "line 1: strings cannot be 4.5"},
		{`[1]`, "line 1: the file cannot be a list"},
		{"{}\n\n{}", "more text follows"},
		{"words", "line 1: invalid character"},
		{strings.Repeat(" ", limit+1), "over 1 MiB"},
	} {
		var v outer
		err := Decode(strings.NewReader(c.text), &v)
		switch {
		case err == nil && c.want != "":
			t.Errorf("%.40q: no error", c.text)
		case err != nil && (c.want == "" || !strings.Contains(err.Error(), c.want) || strings.Contains(err.Error(), "\n")):
			t.Errorf("%.40q: %v, want %q", c.text, err, c.want)
		}
	}
}
