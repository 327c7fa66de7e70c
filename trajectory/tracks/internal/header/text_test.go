package header

import (
	"testing"

	"github.com/google/go-cmp/cmp"
)

// TestText holds single bytes against the code points of ISO 8859-1, which are the
// first 256 of Unicode (The Unicode Standard, chapter "Latin-1 Supplement").
func TestText(t *testing.T) {
	for _, c := range []struct{ in, want string }{
		{"tip", "tip"}, {"Bünd", "Bünd"}, {"B\xfcnd", "Bünd"}, {"\xe9\xdf", "éß"}, {"", ""},
	} {
		if got := Text(c.in); got != c.want {
			t.Errorf("%q is %q, want %q", c.in, got, c.want)
		}
	}
	rows := [][]string{{"time", "B\xfcnd_x", "B\xfcnd_y"}}
	cols := Parse(rows, 3)
	if diff := cmp.Diff([]string{"Bünd", "Bünd"}, []string{cols[1].Point, cols[2].Point}); diff != "" {
		t.Errorf("(-want +got)\n%s", diff)
	}
	if rows[0][1] != "B\xfcnd_x" {
		t.Error("the rows were changed")
	}
}
