// Package recipetest holds the tests that every program of the cookbook passes.
package recipetest

import (
	"encoding/json"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"testing"

	"github.com/plectrace/plectrace/examples/internal/browsertest"
	"github.com/plectrace/plectrace/examples/internal/clitest"
)

// code is the code of a page, which is folded away.
var code = regexp.MustCompile(`(?s)<details.*?</details>`)

// Prose is what a page says, its code left out.
func Prose(page string) string { return clitest.Visible(code.ReplaceAllString(page, " ")) }

// Check runs a program with args in a folder of its own and checks what each of the
// common flags does: -out and -notebook write a page in plain words with the caution
// and the files, whole, which a browser shows well; -json prints JSON of the schema and writes nothing; -quiet
// prints nothing. It returns the files of the folder. The package's TestMain must be
// that of browsertest.
func Check(t *testing.T, run clitest.Run, schema string, files []string, args ...string) map[string]string {
	t.Helper()
	before := len(clitest.Tree(t, "."))
	printed := run.Must(t, append(slices.Clone(args), "-json")...)
	var got struct {
		Schema string `json:"schema"`
	}
	if err := json.Unmarshal([]byte(printed), &got); err != nil || got.Schema != schema {
		t.Errorf("-json prints the schema %q (%v), want %q:\n%s", got.Schema, err, schema, printed)
	}
	if n := len(clitest.Tree(t, ".")); n != before {
		t.Errorf("-json alone writes %d files", n-before)
	}

	out := append(slices.Clone(args), "-out", "made", "-notebook")
	said := run.Must(t, out...)
	clitest.WantAll(t, "the summary", said, "Written: made with page.html", "notebook.ipynb")
	clitest.WantResults(t, "the summary", said)
	if said := run.Must(t, append(out, "-force", "-quiet")...); said != "" {
		t.Errorf("-quiet prints %q", said)
	}
	if again := run.Must(t, append(out, "-force", "-json")...); again != printed {
		t.Error("-json with a folder prints something else than without")
	}
	made := clitest.Tree(t, "made")
	want := append([]string{"page.html", "notebook.ipynb"}, files...)
	for _, name := range want {
		if made[name] == "" {
			t.Errorf("no %s is written", name)
		}
	}
	if len(made) != len(want) {
		t.Errorf("%d files are written, want %d", len(made), len(want))
	}
	page := Prose(made["page.html"])
	clitest.WantResults(t, "the page", page)
	clitest.WantAll(t, "the page", page, "Stop at pain, numbness or tingling", "see a clinician")
	if !json.Valid([]byte(made["notebook.ipynb"])) {
		t.Error("the notebook is no JSON")
	}
	t.Run("browser", func(t *testing.T) {
		if testing.Short() {
			t.Skip("takes a browser")
		}
		browsertest.Open(t, filepath.Join("made", "page.html")).Check()
	})
	return made
}

// Hostile is a name that would be markup in HTML and in Markdown, were it not escaped.
const Hostile = "<img src=x onerror=alert(1)>|*a*`$"

// WantEscaped checks that Hostile is text wherever a program with it has written it,
// and that the page shows it.
func WantEscaped(t *testing.T, made map[string]string) {
	t.Helper()
	if page := made["page.html"]; strings.Contains(page, "<img") || !strings.Contains(clitest.Visible(page), Hostile) {
		t.Error("the name is markup in the page, or not in it")
	}
	var n struct {
		Cells []struct {
			Type    string `json:"cell_type"`
			Source  []string
			Outputs []struct{ Data map[string][]string }
		}
	}
	if err := json.Unmarshal([]byte(made["notebook.ipynb"]), &n); err != nil {
		t.Fatal(err)
	}
	for _, c := range n.Cells {
		texts := []string{}
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
			if strings.Contains(text, "<img") || strings.Contains(text, "|*a*") {
				t.Errorf("the name is markup in the notebook: %s", text)
			}
		}
	}
}
