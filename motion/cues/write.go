package cues

import (
	"fmt"
	"io"
	"math"
	"slices"
	"strings"
)

// latest is the latest time that a caption may have, in seconds: 31 years. Beyond
// it a time is a mistake, and would lose its milliseconds.
const latest = 1e9

// caution is written into every file.
const caution = "Fast repeated motion can hurt. Stop at pain, numbness or tingling, rest, and see a clinician if it stays. Nothing here is medical advice."

// WriteVTT writes the captions as a WebVTT file: the header, a comment block with
// t.Made and t.Notes, one with a caution, and the cues in order of their starts.
// Times are in milliseconds.
//
// Texts may hold anything: & < > are written as references, blank lines are left
// out, and so are control characters. It is an error, and nothing is written, when
// a time is no number, negative or beyond 31 years, a cue ends before it lasts a
// millisecond or has no text, or an identifier is there twice, holds "-->" or the
// end of a line, or begins with NOTE, STYLE or REGION.
func (t Track) WriteVTT(w io.Writer) error {
	if err := t.check(); err != nil {
		return err
	}
	var b strings.Builder
	b.WriteString("WEBVTT\n")
	for _, block := range [][]string{slices.Concat(t.Made, t.Notes), {caution}} {
		if len(block) == 0 {
			continue
		}
		b.WriteString("\nNOTE\n")
		for _, line := range clean(strings.Join(block, "\n")) {
			b.WriteString(strings.ReplaceAll(line, "-->", "-- >") + "\n")
		}
	}
	ordered := slices.Clone(t.Cues)
	slices.SortStableFunc(ordered, byStart)
	for _, c := range ordered {
		b.WriteString("\n")
		if c.ID != "" {
			b.WriteString(c.ID + "\n")
		}
		fmt.Fprintf(&b, "%s --> %s line:%d\n", timestamp(c.Start), timestamp(c.End), c.Line)
		for _, line := range clean(c.Text) {
			b.WriteString(escape.Replace(line) + "\n")
		}
	}
	_, err := io.WriteString(w, b.String())
	return err
}

var escape = strings.NewReplacer("&", "&amp;", "<", "&lt;", ">", "&gt;")

// check reports cues that cannot be written.
func (t Track) check() error {
	used := map[string]bool{}
	for i, c := range t.Cues {
		bad := func(format string, args ...any) error {
			name := ""
			if c.ID != "" {
				name = fmt.Sprintf(" (%q)", c.ID)
			}
			return fmt.Errorf("cues: cue %d%s: %s", i+1, name, fmt.Sprintf(format, args...))
		}
		switch {
		case !(c.Start >= 0) || !(c.End <= latest):
			return bad("it stands from %g to %g s: give times of the film, from 0 to %g (check the offset and slowed_by)", c.Start, c.End, float64(latest))
		case !(milliseconds(c.End) > milliseconds(c.Start)):
			return bad("it stands from %g to %g s: a cue ends at least a millisecond after it starts", c.Start, c.End)
		case len(clean(c.Text)) == 0:
			return bad("it has no text")
		case strings.Contains(c.ID, "-->") || strings.ContainsAny(c.ID, "\r\n\x00") || strings.ToValidUTF8(c.ID, "") != c.ID:
			return bad("its identifier must be text of one line without \"-->\"")
		case strings.HasPrefix(c.ID, "NOTE") || strings.HasPrefix(c.ID, "STYLE") || strings.HasPrefix(c.ID, "REGION"):
			return bad("its identifier begins like a block that is no cue: give another one")
		case c.ID != "" && used[c.ID]:
			return bad("another cue has that identifier")
		}
		used[c.ID] = true
	}
	return nil
}

// milliseconds rounds seconds to whole milliseconds.
func milliseconds(t float64) int64 { return int64(math.Round(t * 1000)) }

// timestamp writes seconds as hours, minutes, seconds and thousandths; hours have
// two digits or more.
func timestamp(t float64) string {
	ms := milliseconds(t)
	return fmt.Sprintf("%02d:%02d:%02d.%03d", ms/3600_000, ms/60_000%60, ms/1000%60, ms%1000)
}
