package cues

import (
	"fmt"
	"strings"
	"unicode"
	"unicode/utf8"
)

// lineLength is how many characters a line holds, lineCount how many lines a
// caption (common practice of subtitling, from memory).
const (
	lineLength = 42
	lineCount  = 2
)

// fill writes a head and its parts on lines, as many of the parts as fit and as
// can be read: most is how many characters can. The head is always written.
func fill(head string, parts []string, most int) string {
	lines := []string{head}
	used := utf8.RuneCountInString(head)
	for i, p := range parts {
		sep := ", "
		if i == 0 {
			sep = ": "
		}
		n := utf8.RuneCountInString(p)
		if used += len(sep) + n; used > most {
			break
		}
		last := len(lines) - 1
		switch {
		case utf8.RuneCountInString(lines[last])+len(sep)+n <= lineLength:
			lines[last] += sep + p
		case len(lines) < lineCount && n <= lineLength:
			lines = append(lines, p)
		default:
			return strings.Join(lines, "\n")
		}
	}
	return strings.Join(lines, "\n")
}

// clean returns a text from outside as lines that may stand in a file: what is no
// character or a control character is replaced, blank lines are left out. So are
// the characters that turn the direction of the text after them.
func clean(text string) []string {
	text = strings.NewReplacer("\r\n", "\n", "\r", "\n", "\u2028", "\n", "\u2029", "\n").Replace(strings.ToValidUTF8(text, "\uFFFD"))
	text = strings.Map(func(r rune) rune {
		switch {
		case r == '\n':
			return r
		case r >= '\u202A' && r <= '\u202E' || r >= '\u2066' && r <= '\u2069' || r == '\uFEFF':
			return -1
		case unicode.IsControl(r):
			return ' '
		}
		return r
	}, text)
	var lines []string
	for line := range strings.SplitSeq(text, "\n") {
		if line = strings.TrimSpace(line); line != "" {
			lines = append(lines, line)
		}
	}
	return lines
}

// count returns n with the word for one or for several.
func count(n int, one, several string) string {
	if n == 1 {
		return "1 " + one
	}
	return fmt.Sprintf("%d %s", n, several)
}

// numbers returns a list of increasing numbers, the first and the last where
// there are more than four.
func numbers(ns []int) string {
	if n := len(ns); n > 4 {
		return fmt.Sprintf("%d to %d", ns[0], ns[n-1])
	}
	return strings.Trim(strings.ReplaceAll(fmt.Sprint(ns), " ", ", "), "[]")
}
