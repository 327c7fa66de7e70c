package advice

import (
	"bytes"
	"strings"
	"testing"
)

// FuzzParse: a table of rules is an error of one line, or one that can be asked.
func FuzzParse(f *testing.F) {
	f.Add(rules)
	f.Add([]byte(`{"schema": "` + Schema + `", "rules": []}`))
	f.Add([]byte(`{"schema": "` + Schema + `", "rules": [{"key": "a", "text": "{carry}", "source": "x"}]}`))
	f.Fuzz(func(t *testing.T, text []byte) {
		table, err := Parse(bytes.NewReader(text))
		if err != nil {
			if s := err.Error(); s == "" || strings.ContainsAny(s, "\n\x1b\x00") {
				t.Errorf("error %q", s)
			}
			return
		}
		table.Advise(Evidence{})
	})
}
