package main

import (
	"bytes"
	"context"
	"encoding/json"
	"maps"
	"os"
	"path/filepath"
	"regexp"
	"runtime"
	"slices"
	"strings"
	"sync/atomic"
	"testing"

	"github.com/google/go-cmp/cmp"

	"github.com/plectrace/plectrace/examples/internal/cli"
	"github.com/plectrace/plectrace/examples/internal/clitest"
	"github.com/plectrace/plectrace/examples/internal/onepage"
	"github.com/plectrace/plectrace/motion/simulate"
	"github.com/plectrace/plectrace/variability/circular"
)

// evening fills a folder with what lies about after an evening class: two takes, a
// broken one, and files that are none.
func evening(t *testing.T, dir string) {
	t.Helper()
	files := map[string]string{
		dir + "/":                   "",
		dir + "/broken.csv":         heads + "\n0,500,lost,600,300,600,500\n1,500,400,600,300,600,500\n",
		dir + "/onsets.csv":         "time_s,level_db\n0.5,-20\n0.6,-21\n",
		dir + "/tutor.json":         `{"schema": "plectrace/reference/1"}`,
		dir + "/review.json":        `{"schema": "plectrace/review/1"}`,
		dir + "/strokes.csv":        "stroke,direction,start_s\n1,down,0.1\n",
		dir + "/spans.csv":          "kind,start_s,end_s\nsettled,0.1,3\n",
		dir + "/notes.txt":          "Bring more light next week.\n",
		dir + "/lesson-2.mp4":       "\x00\x01\x02film",
		dir + "/.hidden":            "x",
		dir + "/earlier/":           "",
		dir + "/earlier/lesson.csv": "not looked at",
		dir + "/folder.take.json":   `{"tip": "tip", "tip_is": "pick", "view": "end-on", "mirrored": true, "marks": {"bass": "bass", "treble": "treble", "distance_mm": 100}}`,
		dir + "/lesson-2.take.json": `{"tip": "", "mirrored": false, "marks": {"distance_mm": 50}}`,
	}
	for i, angle := range []circular.Angle{22, 14} {
		_, export := lesson(t, simulate.Options{Seed: uint64(i) + 2, Duration: 8, Rate: 8, PathAngle: angle * circular.Degree})
		files[dir+"/lesson-"+string(rune('1'+i))+".csv"] = export
	}
	clitest.Plant(t, ".", files)
}

// reviewAll reviews a folder whose broken.csv cannot be reviewed.
func reviewAll(t *testing.T, args ...string) (out, complaints string) {
	t.Helper()
	var o, c bytes.Buffer
	err := runWith(args, &o, &c)
	if cli.Code(err) != cli.BadInput || !strings.Contains(err.Error(), "1 of 3 exports in evening could not be reviewed") {
		t.Fatalf("%q: %v", args, err)
	}
	return o.String(), c.String()
}

func TestFolder(t *testing.T) {
	t.Chdir(t.TempDir())
	evening(t, "evening")
	out, complaints := reviewAll(t, "evening", "-captions", "-notebook")
	files := clitest.Tree(t, "evening-review")
	want := []string{indexFile}
	for _, take := range []string{"lesson-1/", "lesson-2/"} {
		want = append(want, take)
		for _, name := range onepage.Names {
			want = append(want, take+name)
		}
	}
	slices.Sort(want)
	if d := cmp.Diff(want, slices.Sorted(maps.Keys(files))); d != "" {
		t.Errorf("files (-want +got)\n%s", d)
	}
	clitest.WantAll(t, "the summary", out, "lesson-1.csv: ", "lesson-2.csv: ", "strokes, ", " a second; settled ", "Passed over: ", "lesson-2.mp4", "Written: evening-review with index.html (open it in a browser) and the reviews of 2 takes.")
	if !regexp.MustCompile(`^onetake: evening/broken\.csv, line 2, column 3 \(tip_y\): [^\n]*\n$`).MatchString(complaints) {
		t.Errorf("on standard error stands %q", complaints)
	}
	index := files[indexFile]
	wantPage(t, "evening-review", index, "evening, 3 exports, 2 reviewed", "Could not be reviewed", "evening/broken.csv, line 2, column 3 (tip_y)",
		"folder.take.json and lesson-2.take.json (settings)", "lesson-2.mp4 and notes.txt (no table of coordinates)", "onsets.csv (a list of times, such as onsets)",
		"tutor.json (a reference motion)", "review.json (a review)", "strokes.csv (strokes of a review)", ".hidden (a hidden file)", "earlier (a folder)")
	if got := tableHeads(index); !slices.Equal(got, []string{"Take|Strokes|1/s|Settled|Angle|To ask"}) {
		t.Errorf("tables %q", got)
	}
	for _, take := range []string{"lesson-1", "lesson-2"} {
		pages(t, filepath.Join("evening-review", take))
		if !strings.Contains(index, `<a href="`+take+`/page.html">`+take+`.csv</a>`) {
			t.Errorf("the index does not lead to %s", take)
		}
	}

	// A take in a folder is what it is by itself.
	mustRun(t, "-out", "alone", "evening/lesson-2.csv")
	if clitest.Read(t, "alone/strokes.csv") != files["lesson-2/strokes.csv"] {
		t.Error("the review of a folder is not that of its takes")
	}
}

// TestFolderSettings: a take's own settings win over those of the folder key by key,
// and flags over both.
func TestFolderSettings(t *testing.T) {
	t.Chdir(t.TempDir())
	evening(t, "evening")
	reviewAll(t, "evening", "-out", "files")
	first, second := reviewIn(t, "files/lesson-1"), reviewIn(t, "files/lesson-2")
	// The marks of made takes are 50 mm apart: twice the distance makes twice the
	// length, and a mirror turns the angle round.
	if a := *first.Angle.Value; a > -15 {
		t.Errorf("mirrored by the folder's settings: %.1f degrees", a)
	}
	if a := *second.Angle.Value; a < 8 || a > 20 {
		t.Errorf("not mirrored by its own settings: %.1f degrees", a)
	}
	if ratio := first.value("length") / second.value("length"); ratio < 1.8 || ratio > 2.2 {
		t.Errorf("length %.2f by the folder's distance and %.2f by its own", first.value("length"), second.value("length"))
	}
	page := clitest.Visible(clitest.Read(t, "files/lesson-2/page.html"))
	clitest.WantAll(t, "the page", page, "Settings from "+filepath.Join("evening", "folder.take.json")+", then "+filepath.Join("evening", "lesson-2.take.json")+".")

	reviewAll(t, "evening", "-out", "flags", "-distance-mm", "25", "-mirrored=false")
	for _, take := range []string{"lesson-1", "lesson-2"} {
		r := reviewIn(t, "flags/"+take)
		if l := r.value("length") / second.value("length"); *r.Angle.Value < 8 || l < 0.45 || l > 0.55 {
			t.Errorf("%s: %.1f degrees, %.2f of the length: flags do not win", take, *r.Angle.Value, l)
		}
	}

	clitest.Save(t, "other.json", `{"mirrored": false, "marks": {"distance_mm": 100}}`)
	reviewAll(t, "evening", "-out", "named", "-settings", "other.json")
	if a, b := *reviewIn(t, "named/lesson-1").Angle.Value, reviewIn(t, "named/lesson-2").value("length"); a < 15 || b != second.value("length") {
		t.Errorf("-settings in place of folder.take.json: %.1f degrees, length %.2f", a, b)
	}
}

// TestFolderJSON: the results of all takes, and nothing else, on standard output.
func TestFolderJSON(t *testing.T) {
	t.Chdir(t.TempDir())
	evening(t, "evening")
	before := clitest.Tree(t, ".")
	out, _ := reviewAll(t, "evening", "-json")
	if d := cmp.Diff(before, clitest.Tree(t, ".")); d != "" {
		t.Errorf("-json writes files (-before +after)\n%s", d)
	}
	var got struct {
		Schema, Folder string
		Takes          []struct {
			File, Page, Error string
			Review            *result
		}
		Passed []struct{ File, Why string } `json:"passed_over"`
	}
	d := json.NewDecoder(strings.NewReader(out))
	if err := d.Decode(&got); err != nil {
		t.Fatal(err)
	}
	if d.More() || got.Schema != "plectrace/folder/1" || got.Folder != "evening" || len(got.Takes) != 3 || len(got.Passed) != 11 {
		t.Fatalf("%+v", got)
	}
	if b := got.Takes[0]; b.File != "broken.csv" || b.Review != nil || !strings.Contains(b.Error, "line 2") {
		t.Errorf("the broken one: %+v", b)
	}
	if b := got.Takes[1]; b.Error != "" || b.Page != "" || b.Review == nil || b.Review.Schema != "plectrace/review/1" {
		t.Errorf("the first take: %+v", b)
	}
	out, _ = reviewAll(t, "evening", "-json", "-out", "both")
	if !strings.Contains(out, `"page": "lesson-1/page.html"`) {
		t.Error("the pages that were written are not named")
	}
}

// ending is a context that ends when it has been asked so many times.
type ending struct {
	context.Context
	left atomic.Int32
}

func (e *ending) Err() error {
	if e.left.Add(-1) < 0 {
		return context.Canceled
	}
	return nil
}

// TestFolderInterrupted: what was finished stands in the index, and the rest is named
// there as not reviewed; without any finished review nothing is left.
func TestFolderInterrupted(t *testing.T) {
	t.Chdir(t.TempDir())
	evening(t, "evening")
	defer runtime.GOMAXPROCS(runtime.GOMAXPROCS(1)) // one take after the other
	call := func(takes int32, args ...string) (said string, err error) {
		f := newFlags()
		if err := f.set.Parse(args); err != nil {
			t.Fatal(err)
		}
		ctx := &ending{Context: context.Background()}
		ctx.left.Store(takes)
		var o, c bytes.Buffer
		err = reviewFolder(ctx, "evening", f, &o, &c)
		return o.String() + c.String(), err
	}
	if _, err := call(0); cli.Code(err) != cli.BadInput || !strings.Contains(err.Error(), "interrupted before any take was reviewed; run it again") {
		t.Errorf("at once: %v", err)
	}
	if _, err := os.Lstat("evening-review"); err == nil {
		t.Error("a folder is left behind")
	}
	said, err := call(2)
	if cli.Code(err) != cli.BadInput || !strings.Contains(err.Error(), "interrupted; 1 of 3 exports in evening were not reviewed; run it again with -force") {
		t.Errorf("after two: %v", err)
	}
	clitest.WantAll(t, "what it says", said, "broken.csv, line 2", "the reviews of 1 take.")
	files := clitest.Tree(t, "evening-review")
	clitest.WantAll(t, "the index", clitest.Visible(files[indexFile]), "3 exports, 1 reviewed", "Not reviewed, as the program was interrupted")
	reviews := 0
	for name, page := range files {
		if strings.HasSuffix(name, "/"+onepage.PageFile) {
			reviews++
			if !strings.Contains(page, "</html>") || !strings.Contains(files[indexFile], `href="`+name+`"`) {
				t.Errorf("%s is not whole, or not in the index", name)
			}
		}
	}
	if reviews != 1 {
		t.Errorf("%d reviews", reviews)
	}
	// What an earlier run left stays, and is said to be still there.
	if _, err := call(0, "-force"); err == nil || cmp.Diff(files, clitest.Tree(t, "evening-review")) != "" {
		t.Errorf("interrupted at once, it changes what was there: %v", err)
	}
	if _, err := call(1, "-force"); !strings.Contains(err.Error(), "2 of 3 exports") {
		t.Errorf("anew: %v", err)
	}
	clitest.WantAll(t, "the index", clitest.Visible(clitest.Tree(t, "evening-review")[indexFile]), "lesson-1.csv. In lesson-1 still lies the review of an earlier run.", "lesson-2.csv.")
}

// TestFolderPain: where pain is noted, the index opens with it.
func TestFolderPain(t *testing.T) {
	t.Chdir(t.TempDir())
	evening(t, "evening")
	reviewAll(t, "evening", "-comfort", "pain", "-quiet")
	for _, name := range []string{indexFile, "lesson-1/page.html"} {
		page := clitest.Read(t, filepath.Join("evening-review", name))
		if i := strings.Index(page, "<h2"); !strings.Contains(page[i:i+60], "Stop first") {
			t.Errorf("%s opens with %.60q", name, page[i:])
		}
	}
}

// TestFolderAgain: nothing of anybody else's is replaced or lost, links are replaced
// and not followed, and a review that fails leaves that of an earlier run.
func TestFolderAgain(t *testing.T) {
	t.Chdir(t.TempDir())
	evening(t, "evening")
	reviewAll(t, "evening")
	before := clitest.Tree(t, ".")
	refused := func(says string, args ...string) {
		t.Helper()
		err := run(args, &bytes.Buffer{})
		if cli.Code(err) != cli.BadInput || !strings.Contains(err.Error(), says) {
			t.Errorf("%q: %v, want %q", args, err, says)
		}
		if d := cmp.Diff(before, clitest.Tree(t, ".")); d != "" {
			t.Fatalf("%q leaves (-before +after)\n%s", args, d)
		}
	}
	refused("-force", "evening")
	refused("folder of the exports", "evening", "-out", "evening", "-force")
	refused("make the folder", "evening", "-out", "no/such")
	refused("write the folder", "evening", "-out", "evening/lesson-1.csv")

	clitest.Save(t, "evening/lesson-1.csv", "time_s,tip_x,tip_y\n")
	var o, c bytes.Buffer
	if err := runWith([]string{"evening", "-force", "-mirrored=false"}, &o, &c); !strings.Contains(err.Error(), "2 of 3 exports") {
		t.Error(err)
	}
	after := clitest.Tree(t, "evening-review")
	if after["lesson-1/page.html"] != before["evening-review/lesson-1/page.html"] || after["lesson-2/page.html"] == "" {
		t.Error("a take that fails loses the review of an earlier run")
	}
	clitest.WantAll(t, "the index", clitest.Visible(after[indexFile]), "In lesson-1 still lies the review of an earlier run.", "3 exports, 1 reviewed")

	clitest.Save(t, "evening-review/lesson-2/thesis.txt", "years of work")
	before = clitest.Tree(t, ".")
	refused("thesis.txt", "evening", "-force")
	clitest.Save(t, "evening-review/index.html", "<title>My own page</title>")
	if err := os.Remove("evening-review/lesson-2/thesis.txt"); err != nil {
		t.Fatal(err)
	}
	before = clitest.Tree(t, ".")
	refused("index.html", "evening", "-force")
}

func TestFolderLinks(t *testing.T) {
	t.Chdir(t.TempDir())
	evening(t, "evening")
	clitest.Plant(t, ".", map[string]string{"elsewhere/": "", "elsewhere/page.html": "not to be touched", "there.html": "<title>" + indexTitle + "</title>", "evening-review/": ""})
	for at, to := range map[string]string{"evening-review/lesson-1": "../elsewhere", "evening-review/index.html": "../there.html", "evening/gone.csv": "nowhere", "evening/linked": "../elsewhere"} {
		if err := os.Symlink(to, at); err != nil {
			t.Skip(err)
		}
	}
	var o, c bytes.Buffer
	if err := runWith([]string{"evening", "-force"}, &o, &c); cli.Code(err) != cli.BadInput || !strings.Contains(err.Error(), "2 of 4") {
		t.Fatal(err)
	}
	clitest.WantAll(t, "standard error", c.String(), `there is no file "evening/gone.csv"`)
	if clitest.Read(t, "elsewhere/page.html") != "not to be touched" || clitest.Read(t, "there.html") != "<title>"+indexTitle+"</title>" {
		t.Error("a link was followed")
	}
	for _, name := range []string{"evening-review/lesson-1", "evening-review/index.html"} {
		if info, err := os.Lstat(name); err != nil || info.Mode()&os.ModeSymlink != 0 {
			t.Errorf("%s is a link still: %v", name, err)
		}
	}
}

// TestPageFolders: every export has a folder of its own, on computers too that do not
// tell capitals.
func TestPageFolders(t *testing.T) {
	for _, c := range []struct{ names, want string }{
		{"a.csv b.csv", "a b"},
		{"a.c3d a.csv b.trc", "a.c3d a.csv b"},
		{"A.csv a.trc", "A.csv a.trc"},
		{"a a.csv", "a a.csv"},
		{"a.csv a.csv.txt a.trc", "a.csv a.csv.txt-2 a.trc"},
		{"index.html.csv", "index.html.csv"},
		{"a.b.csv", "a.b"},
	} {
		if got := strings.Join(pageFolders(strings.Fields(c.names)), " "); got != c.want {
			t.Errorf("%s: %s, want %s", c.names, got, c.want)
		}
	}
}

// TestExportOfItsOwn: a file with settings of its own is meant as a take, whatever it
// holds, but not the film of one.
func TestExportOfItsOwn(t *testing.T) {
	dir := t.TempDir()
	for name, text := range map[string]string{
		"a.csv": "Dear tutor,\nhere it is.\n", "a.take.json": "{}",
		"b.csv": export(heads, nil), "b.mp4": "film", "b.take.json": "{}",
		"c.csv": "Dear tutor,\nno settings.\n", "folder.csv": "words\n", "folder.take.json": "{}",
	} {
		clitest.Save(t, filepath.Join(dir, name), text)
	}
	names, _, err := exports(dir)
	if d := cmp.Diff([]string{"a.csv", "b.csv"}, names); d != "" || err != nil {
		t.Errorf("%v (-want +got)\n%s", err, d)
	}
}
