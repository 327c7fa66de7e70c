package strict

import (
	"bytes"
	"encoding/json"
	"strings"
	"testing"
)

// FuzzDecode: what is read is JSON to encoding/json too; what is not is an error of
// one line that says which.
func FuzzDecode(f *testing.F) {
	for _, s := range []string{`{"a": 1, "b": ["x"]}`, `{"a": 1}x`, `{"c": 1}`, "{\n\"a\": \"x\"}", `{"o": {"n": 1.5}}`, `[`, ``,
		strings.Repeat(`{"o":`, 20000), `{"a": 1, "a": 2}`, `{"\n": 1}`, "null"} {
		f.Add([]byte(s))
	}
	f.Fuzz(func(t *testing.T, text []byte) {
		var v struct {
			A int      `json:"a"`
			B []string `json:"b"`
			O struct {
				N float64 `json:"n"`
			} `json:"o"`
		}
		err := Decode(bytes.NewReader(text), &v)
		if err == nil && !json.Valid(text) {
			t.Error("this is no JSON")
		}
		if err != nil && (!strings.HasPrefix(err.Error(), "line ") && len(text) <= limit || strings.ContainsAny(err.Error(), "\n\r\x1b\x00")) {
			t.Errorf("error %q", err)
		}
	})
}
