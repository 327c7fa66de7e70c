package delimited

import (
	"encoding/json"
	"math"
	"os"
	"strconv"
	"testing"

	"github.com/google/go-cmp/cmp"
)

// The reference values are made by testdata/reference/delimited.py.
type reference struct {
	Cells []struct {
		Name, Text string
		Rows       [][]string
	}
	Numbers []struct{ Text, Value string }
}

func load(t *testing.T) (r reference) {
	t.Helper()
	b, err := os.ReadFile("../../../../testdata/reference/delimited.json")
	if err != nil {
		t.Fatal(err)
	}
	if err := json.Unmarshal(b, &r); err != nil {
		t.Fatal(err)
	}
	if len(r.Cells) == 0 || len(r.Numbers) == 0 {
		t.Fatal("no reference values")
	}
	return r
}

// TestRecordsReference holds Records against the rows that Python's csv module
// gives for the examples of RFC 4180.
func TestRecordsReference(t *testing.T) {
	for _, c := range load(t).Cells {
		var got [][]string
		for _, rec := range Records(c.Text, ',', 1000, true) {
			got = append(got, rec.Cells)
		}
		if diff := cmp.Diff(c.Rows, got); diff != "" {
			t.Errorf("%s: (-want +got)\n%s", c.Name, diff)
		}
	}
}

// TestParseReference holds Parse, to the bit, against Python's float.
func TestParseReference(t *testing.T) {
	for _, n := range load(t).Numbers {
		want, err := strconv.ParseFloat(n.Value, 64) // hexadecimal, exact
		if err != nil {
			t.Fatal(err)
		}
		got, kind := Parse([]byte(n.Text), '.')
		if kind != Number || math.Float64bits(got) != math.Float64bits(want) {
			t.Errorf("%s: got %v (%v), want %v", n.Text, got, kind, want)
		}
	}
}
