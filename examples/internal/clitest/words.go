package clitest

import (
	"html"
	"regexp"
	"strings"
	"testing"
)

var (
	styles = regexp.MustCompile(`(?s)<style.*?</style>`)
	tags   = regexp.MustCompile(`<[^>]*>`)
)

// Visible is the text of a page as its reader meets it, that of the drawings
// included.
func Visible(page string) string {
	page = tags.ReplaceAllString(styles.ReplaceAllString(page, " "), " ")
	return strings.Join(strings.Fields(html.UnescapeString(page)), " ")
}

// WantAll checks that a text holds parts.
func WantAll(t testing.TB, what, text string, parts ...string) {
	t.Helper()
	for _, p := range parts {
		if !strings.Contains(text, p) {
			t.Errorf("%s does not say %q:\n%s", what, p, text)
		}
	}
}

// verdicts are words that judge a learner, that a learner cannot use, or that drive
// one on.
var verdicts = regexp.MustCompile(`(?i)correct|wrong|efficien|talent|improve|better player|p-value|\bp ?[=<]|censor|correlat|deviation|\bsd\b|significan|quantile|bootstrap|null hypothesis|\bHolm\b|AICc|x axis|(go|play) faster|speed up`)

// ofFiles is what is said of files, not of players.
var ofFiles = regexp.MustCompile(`empty cells or NaN|correct (the|its) (settings|files|plan)|correct \S+\.take\.json`)

// WantPlain checks a text that a learner sees for verdicts.
func WantPlain(t testing.TB, what, text string) {
	t.Helper()
	text = ofFiles.ReplaceAllString(text, "")
	for _, at := range verdicts.FindAllStringIndex(text, -1) {
		t.Errorf("%s says %q", what, text[max(0, at[0]-50):min(len(text), at[1]+50)])
	}
}

// broken are numbers that are none.
var broken = regexp.MustCompile(`NaN|Inf\b|%!`)

// WantResults checks a text of results: it is plain, and its numbers are numbers.
func WantResults(t testing.TB, what, text string) {
	t.Helper()
	WantPlain(t, what, text)
	if hit := broken.FindString(ofFiles.ReplaceAllString(text, "")); hit != "" {
		t.Errorf("%s shows %q", what, hit)
	}
}
