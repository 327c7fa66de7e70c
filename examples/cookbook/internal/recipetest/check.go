package recipetest

import (
	"encoding/json"
	"io"
	"path/filepath"
	"regexp"
	"slices"
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

// Asked is what a call of a program finds: parse reads its arguments, find does the
// rest.
func Asked[S, F any](t *testing.T, parse func([]string, io.Writer) (S, []string, error), find func(S, []string) (F, error), args ...string) F {
	t.Helper()
	s, files, err := parse(args, io.Discard)
	if err != nil {
		t.Fatal(err)
	}
	f, err := find(s, files)
	if err != nil {
		t.Fatal(err)
	}
	return f
}
