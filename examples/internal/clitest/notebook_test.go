package clitest

import (
	"strings"
	"testing"
)

func TestDiffers(t *testing.T) {
	for _, c := range []struct {
		want, got string
		differ    bool
	}{
		{"a\nb 1.25\n", "a\r\nb 1.25\n", false},
		{"M1.0,2.5", "M1.1,2.4", false},
		{"M1.0,2.5", "M1.2,2.5", true},
		{"12 strokes", "13 strokes", true},
		{"M12,1", "M11.9,1", false},
		{"1.25", "1.2", true},
		{"1.25 s", "1.25 ms", true},
		{"a\nb", "a", true},
		{"a", "a\nb", true},
		{"-0.1", "0.1", true},
	} {
		if got := Differs(c.want, c.got) != ""; got != c.differ {
			t.Errorf("%q and %q differ: %t, want %t", c.want, c.got, got, c.differ)
		}
	}
}

// TestDiffersBriefly: of a long line, such as a drawing's, the place is shown at which
// it differs.
func TestDiffersBriefly(t *testing.T) {
	long := strings.Repeat("L1.0,2.5", 2000)
	got := Differs("a\n"+long+"x"+long, "a\n"+long+"y"+long)
	if len(got) > 500 || !strings.Contains(got, "2.5x") || !strings.Contains(got, "2.5y") || !strings.HasPrefix(got, "line 2") {
		t.Errorf("%d bytes: %.600s", len(got), got)
	}
}
