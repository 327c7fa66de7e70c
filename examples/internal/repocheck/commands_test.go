package repocheck

import (
	"go/ast"
	"os"
	"path"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"testing"
)

// A check is a command with which a figure in a text can be seen again.
type check struct {
	pattern string // of -run
	dir     string // of the package, "" for that of the comment
	flags   []string
}

var (
	// goTest is a command line; it ends at a quotation mark, bracket or stop.
	goTest = regexp.MustCompile("go test ([^\"`();:]*)")
	// cell is what a table of the README has in place of one.
	cell = regexp.MustCompile("`([A-Z]\\w+) (\\./[\\w/]+)((?: -[\\w=. ]+)?)`")
	// testRunner are the flags of go test itself.
	testRunner = []string{"v", "run", "bench", "short", "timeout", "update", "count", "fuzz", "fuzztime"}
)

// checksIn lists the commands in a text. Words that follow a command in the same
// sentence are not of it: a flag is only what begins with -, a package what begins
// with ./.
func checksIn(text string) []check {
	text = strings.Join(strings.Fields(text), " ")
	var found []check
	for _, m := range goTest.FindAllStringSubmatch(text, -1) {
		var c check
		words := strings.Fields(m[1])
		for i, w := range words {
			w = strings.TrimRight(w, ".,")
			switch {
			case w == "-run" && i+1 < len(words):
				c.pattern = strings.Trim(strings.TrimRight(words[i+1], ".,"), "'")
			case strings.HasPrefix(w, "-"):
				name, _, _ := strings.Cut(w[1:], "=")
				c.flags = append(c.flags, name)
			case strings.HasPrefix(w, "./"):
				c.dir = w[2:]
			}
		}
		if c.pattern != "" {
			found = append(found, c)
		}
	}
	for _, m := range cell.FindAllStringSubmatch(text, -1) {
		c := check{pattern: m[1], dir: m[2][2:]}
		for _, w := range strings.Fields(m[3]) {
			if strings.HasPrefix(w, "-") {
				name, _, _ := strings.Cut(w[1:], "=")
				c.flags = append(c.flags, name)
			}
		}
		found = append(found, c)
	}
	return found
}

// TestCommands: the tests that comments, README.md and DEVELOPERS.md name beside a
// figure exist, with the flags that are given to them, and so do the files and folders
// that the two name.
func TestCommands(t *testing.T) {
	all := sources(t)
	tests, flags := map[string][]string{}, map[string]map[string]bool{}
	for _, s := range all {
		if flags[s.Dir] == nil {
			flags[s.Dir] = map[string]bool{}
		}
		ast.Inspect(s.Syntax, func(n ast.Node) bool {
			if lit, ok := n.(*ast.BasicLit); ok {
				flags[s.Dir][strings.Trim(lit.Value, "`\"")] = true
			}
			return true
		})
		for _, d := range s.Syntax.Decls {
			if f, ok := d.(*ast.FuncDecl); ok && f.Recv == nil && s.Test {
				tests[s.Dir] = append(tests[s.Dir], f.Name.Name)
			}
		}
	}
	looked := 0
	look := func(where, text, dir string) {
		for _, c := range checksIn(text) {
			looked++
			if c.dir != "" {
				dir = c.dir
			}
			if dir == strings.ToUpper(dir) { // stands for any package
				continue
			}
			pattern, err := regexp.Compile(c.pattern)
			if err != nil {
				t.Errorf("%s: %v", where, err)
				continue
			}
			if !slices.ContainsFunc(tests[dir], pattern.MatchString) {
				t.Errorf("%s: no test of %s is called %s", where, dir, c.pattern)
			}
			for _, f := range c.flags {
				if !slices.Contains(testRunner, f) && !flags[dir][f] {
					t.Errorf("%s: the tests of %s have no flag -%s", where, dir, f)
				}
			}
		}
	}
	for _, s := range all {
		if !isLibrary(s.Dir) {
			continue
		}
		for _, group := range s.Syntax.Comments {
			look(s.Path, group.Text(), s.Dir)
		}
	}
	for _, name := range []string{"README.md", "DEVELOPERS.md"} {
		text, err := os.ReadFile(filepath.Join(root, name))
		if err != nil {
			t.Fatal(err)
		}
		look(name, string(text), "")
		for _, file := range filesIn(string(text)) {
			if _, err := os.Stat(filepath.Join(root, filepath.FromSlash(file))); err != nil {
				t.Errorf("%s names %s, which is not there", name, file)
			}
		}
	}
	if looked < 30 {
		t.Errorf("%d commands were looked at: has the test lost them?", looked)
	}
}

// named is a file or folder of the repository in a text, by its way from the top.
var named = regexp.MustCompile(`(?:^|[\s(\x60/])((?:examples|motion|trajectory|tempo|variability|testdata|\.ci)/[\w./-]+)`)

// filesIn lists the files and folders of the repository that a text names. Names in
// capitals stand for others, and what goes on with a name of a package is none.
func filesIn(text string) []string {
	var found []string
	for _, m := range named.FindAllStringSubmatch(text, -1) {
		name := strings.TrimRight(m[1], "./")
		base := path.Base(name)
		switch {
		case regexp.MustCompile(`[A-Z]{3}`).MatchString(name) && base != "README.md":
			continue
		case name == "testdata/fuzz": // of any package
			continue
		case strings.Contains(base, ".") && ast.IsExported(base[strings.LastIndex(base, ".")+1:]):
			continue
		}
		found = append(found, name)
	}
	return found
}

func TestReadingOfCommands(t *testing.T) {
	const text = "as measured (go test ./motion -run TestA -v, of -3 and more) and \"go test\n-run 'B|C' -calibrate 20\". Run `go test ./...`, or `SmallestChange ./motion/progress -calibrate 10`."
	got := checksIn(text)
	want := []check{
		{"TestA", "motion", []string{"v", "3"}},
		{"B|C", "", []string{"calibrate"}},
		{"SmallestChange", "motion/progress", []string{"calibrate"}},
	}
	if !slices.EqualFunc(got, want, func(a, b check) bool {
		return a.pattern == b.pattern && a.dir == b.dir && slices.Equal(a.flags, b.flags)
	}) {
		t.Errorf("%v, want %v", got, want)
	}
	files := filesIn("See `motion/review/measures.go`, (testdata/NAME.svg), ./examples/onetake and tempo.")
	if want := []string{"motion/review/measures.go", "examples/onetake"}; !slices.Equal(files, want) {
		t.Errorf("%q, want %q", files, want)
	}
}
