package browsertest

import (
	"fmt"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
)

func TestWalked(t *testing.T) {
	stops := func(at ...int) (log []stop) {
		for _, i := range at {
			log = append(log, stop{At: i, What: fmt.Sprint("link ", i), Marked: true, OnPage: true})
		}
		return log
	}
	want := []string{"link 0", "link 1", "link 2", "link 3"}
	for _, c := range []struct {
		name string
		log  []stop
		last int
		want string // all that is found
	}{
		{"through and round", stops(0, 1, 2, 3, 0), 0, ""},
		{"through and out", stops(0, 1, 2, 3), -1, ""},
		{"by a part that scrolls", stops(0, -1, 1, 2, 3), -1, ""},
		{"stuck in the middle", stops(0, 1), 1, "the tab key does not get past link 1: 2 of 4 stops are not reached"},
		{"stuck at the end", stops(0, 1, 2, 3), 3, "the tab key does not get away from link 3"},
		{"one left out", stops(0, 1, 3, 0), 0, "the tab key does not reach link 2"},
		{"not at all", nil, -1, "the tab key does not reach link 0; the tab key does not reach link 1; the tab key does not reach link 2; the tab key does not reach link 3"},
		{"crosswise", stops(0, 2, 1, 3, 0), 0, "the tab key goes back to link 1 after link 2: put them in the order of reading"},
	} {
		if got := strings.Join(walked(want, c.log, c.last), "; "); got != c.want {
			t.Errorf("%s: %q, want %q", c.name, got, c.want)
		}
	}
}

func TestSheets(t *testing.T) {
	page := func(box string) string { return "<</Type /Page\n/MediaBox " + box + ">>" }
	for _, c := range []struct {
		name, pdf, want string
	}{
		{"A4", "<</Type /Pages>>" + page("[0 0 594.95996 841.91998]") + page("[0 0 595.28 841.89]"), ""},
		{"off its corner", page("[10 10 605 852]"), ""},
		{"American", page("[0 0 612 792]"), "sheet 1 of the print is 612 by 792 points"},
		{"the second turned", page("[0 0 595 842]") + page("[0 0 842 595]"), "sheet 2"},
		{"none", "<</Type /Pages>>", "0 pages"},
		{"packed", "<</Type /Page>>", "1 pages and 0 sheets"},
		{"no number", page("[0 0 a 842]"), "sheet 1"},
	} {
		got := strings.Join(sheets([]byte(c.pdf)), "; ")
		if (got == "") != (c.want == "") || !strings.Contains(got, c.want) {
			t.Errorf("%s: %q, want %q", c.name, got, c.want)
		}
	}
}

func TestByWidth(t *testing.T) {
	got := byWidth(map[int][]string{1280: {"a", "c"}, 375: {"a", "b", "b"}})
	want := []string{"at 375 and 1280 pixels: a", "at 375 pixels: b (2 times)", "at 1280 pixels: c"}
	if d := cmp.Diff(want, got); d != "" {
		t.Errorf("(-want +got)\n%s", d)
	}
}
