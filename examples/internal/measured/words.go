package measured

import (
	"fmt"
	"strings"
	"unicode/utf8"

	"github.com/plectrace/plectrace/variability/estimate"
)

// Count is a number of things.
func Count(n int, what string) string {
	if n == 1 {
		return "1 " + what
	}
	return fmt.Sprintf("%d %ss", n, what)
}

// Upper begins a sentence.
func Upper(s string) string {
	_, n := utf8.DecodeRuneInString(s)
	return strings.ToUpper(s[:n]) + s[n:]
}

// Lower goes on with a sentence.
func Lower(s string) string {
	_, n := utf8.DecodeRuneInString(s)
	return strings.ToLower(s[:n]) + s[n:]
}

// Title is a measure's title with its unit.
func Title(title, unit string) string {
	if unit == "" || strings.HasSuffix(title, unit) {
		return title
	}
	return title + ", " + unit
}

// Join joins words as a sentence does, with commas and an "and".
func Join(words []string) string {
	if len(words) < 2 {
		return strings.Join(words, "")
	}
	last := len(words) - 1
	return strings.Join(words[:last], ", ") + " and " + words[last]
}

// Why is the reason for which there is no value.
func Why(a *estimate.Absence) string {
	if a == nil {
		return "it was not measured"
	}
	return a.Why
}

// Reasons are why things could not be had, in the order in which they come.
type Reasons struct {
	whys []string
	what map[string][]string
}

// Add notes that something could not be had, and why.
func (r *Reasons) Add(why, what string) {
	if r.what == nil {
		r.what = map[string][]string{}
	}
	if r.what[why] == nil {
		r.whys = append(r.whys, why)
	}
	r.what[why] = append(r.what[why], what)
}

// Sentences tell what could not be had and why, all that has one reason together.
func (r *Reasons) Sentences() []string {
	var out []string
	for _, why := range r.whys {
		out = append(out, fmt.Sprintf("%s: %s.", Upper(strings.Join(r.what[why], "; ")), why))
	}
	return out
}
