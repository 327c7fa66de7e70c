package clitest

import (
	"encoding/json"
	"strings"
	"testing"
)

// Hostile is a name that would be markup in HTML and in Markdown, were it not escaped.
const Hostile = "<img src=x onerror=alert(1)>|*a*_b_`[c](d)$`"

// WantEscaped checks the files of a folder whose program met Hostile: it is text in
// page.html and in notebook.ipynb, and both show it.
func WantEscaped(t testing.TB, files map[string]string) {
	t.Helper()
	if page := files["page.html"]; strings.Contains(page, "<img") || !strings.Contains(Visible(page), Hostile) {
		t.Error("the name is markup in the page, or not in it")
	}
	var book struct {
		Cells []struct {
			Type    string `json:"cell_type"`
			Source  []string
			Outputs []struct{ Data map[string][]string }
		}
	}
	if err := json.Unmarshal([]byte(files["notebook.ipynb"]), &book); err != nil {
		t.Fatal(err)
	}
	named := false
	for _, c := range book.Cells {
		var texts []string
		if c.Type == "markdown" {
			texts = append(texts, strings.Join(c.Source, ""))
		}
		for _, o := range c.Outputs {
			texts = append(texts, strings.Join(o.Data["text/markdown"], ""))
			if strings.Contains(strings.Join(o.Data["image/svg+xml"], ""), "<img") {
				t.Error("the name is markup in a drawing")
			}
		}
		for _, text := range texts {
			named = named || strings.Contains(text, "onerror=alert")
			for _, mark := range []string{"<img", "|*a*", "[c](d)"} {
				if strings.Contains(text, mark) {
					t.Errorf("%s of the name is markup in the notebook: %s", mark, text)
				}
			}
		}
	}
	if !named {
		t.Error("the notebook does not show the name")
	}
}
