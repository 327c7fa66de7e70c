package main

import (
	"bytes"
	"encoding/json"
	"maps"
	"math"
	"net/url"
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"

	"github.com/plectrace/plectrace/examples/internal/cli"
	"github.com/plectrace/plectrace/examples/internal/clitest"
	"github.com/plectrace/plectrace/examples/internal/onepage"
	"github.com/plectrace/plectrace/examples/internal/takefile"
	"github.com/plectrace/plectrace/motion/simulate"
	"github.com/plectrace/plectrace/testdata"
	"github.com/plectrace/plectrace/trajectory"
	"github.com/plectrace/plectrace/trajectory/tracks"
	"github.com/plectrace/plectrace/variability/circular"
)

// mustRun returns what the program prints.
var mustRun = clitest.Run(run).Must

// lesson is a take to review, filmed end-on with tracked marks unless the
// options say otherwise, and its export.
func lesson(t *testing.T, o simulate.Options) (*simulate.Take, string) {
	t.Helper()
	o.TrackMarks = true
	take, err := simulate.Make(o)
	if err != nil {
		t.Fatal(err)
	}
	var b bytes.Buffer
	if err := tracks.Write(&b, &take.Recording, tracks.WriteOptions{}); err != nil {
		t.Fatal(err)
	}
	return take, b.String()
}

// result is what a program reads from review.json.
type result struct {
	Schema   string
	Rate     map[string]struct{ Value *float64 }
	Angle    struct{ Value *float64 } `json:"path_angle_deg"`
	Measures []struct {
		Name  string
		Value *float64
	}
	Missing []struct{ What, Why string }
}

func (r result) value(name string) float64 {
	for _, m := range r.Measures {
		if m.Name == name && m.Value != nil {
			return *m.Value
		}
	}
	return math.NaN()
}

func reviewIn(t *testing.T, folder string) result {
	t.Helper()
	var r result
	if err := json.Unmarshal([]byte(clitest.Read(t, filepath.Join(folder, "review.json"))), &r); err != nil {
		t.Fatal(err)
	}
	return r
}

// pages are the page of a review and that of its numbers, checked as a whole.
func pages(t *testing.T, folder string) (page, details string) {
	t.Helper()
	page, details = clitest.Read(t, filepath.Join(folder, onepage.PageFile)), clitest.Read(t, filepath.Join(folder, onepage.DetailsFile))
	first := regexp.MustCompile(`<h2[^>]*>([^<]*)`).FindStringSubmatch(page)
	if first == nil || !slices.Contains([]string{"Check this first", "A question first", "Stop first"}, first[1]) {
		t.Errorf("the page opens with %q", first)
	}
	wantPage(t, folder, page, "treble side", "What was found", "The numbers", "What could not be measured, and why", "How this take was read")
	wantPage(t, folder, details, "The numbers", "What was cut and filled", "What this film allows")
	return page, details
}

// wantPage checks a page of a folder, and that it says all that.
func wantPage(t *testing.T, folder, page string, says ...string) {
	t.Helper()
	text := clitest.Visible(page)
	clitest.WantResults(t, "the page", text)
	if strings.Contains(strings.ToLower(page), "<script") {
		t.Error("the page has a script")
	}
	outside := strings.ReplaceAll(page, `xmlns="http://www.w3.org/2000/svg"`, "")
	for _, link := range regexp.MustCompile(`<a href="([^"#][^"]*)"`).FindAllStringSubmatch(page, -1) {
		to, err := url.PathUnescape(link[1])
		if err != nil {
			t.Fatal(err)
		}
		if _, err := os.Stat(filepath.Join(folder, filepath.FromSlash(to))); err != nil || !filepath.IsLocal(to) {
			t.Errorf("a link leads to %q: %v", to, err)
		}
		outside = strings.ReplaceAll(outside, link[0], "")
	}
	if hit := regexp.MustCompile(`(?i)(src|href|action)="[^#]|url\(|@import|https?:`).FindString(outside); hit != "" {
		t.Errorf("the page asks for something outside of it: %q", hit)
	}
	clitest.WantAll(t, "the page", text, says...)
	clitest.WantAll(t, "the page", text, "Stop at pain, numbness or tingling.", "see a clinician", "Nothing on this page is medical advice")
}

func TestDemo(t *testing.T) {
	t.Chdir(t.TempDir())
	out := mustRun(t)
	files := clitest.Tree(t, ".")
	want := []string{"demo-review/", "demo-review/details.html", "demo-review/page.html", "demo-review/review.json", "demo-review/spans.csv", "demo-review/strokes.csv"}
	if d := cmp.Diff(want, slices.Sorted(maps.Keys(files))); d != "" {
		t.Errorf("files (-want +got)\n%s", d)
	}
	pages(t, "demo-review")
	clitest.WantPlain(t, "the summary", out)
	for _, want := range []string{"Demo:", "No real player was measured", "Speed:", "BPM in sixteenths", "usual and useful", "Written: demo-review"} {
		if !strings.Contains(out, want) {
			t.Errorf("the summary leaves out %q:\n%s", want, out)
		}
	}
	for name, head := range map[string]string{
		"demo-review/strokes.csv": "stroke,direction,start_s,end_s,duration_s,length,path_angle_deg,path_angle_low_deg,path_angle_high_deg,skew_deg,curvature,height_start,height_end,peak_speed,reached,follow_through,turn_hidden,settled,string_played,crossing_s,depth,crossing_speed,slowing,struck,onset_s,level_db,edge_angle_deg,lean_deg,carry,leading_joint,rate_nps\n1,",
		"demo-review/spans.csv":   "kind,start_s,end_s,strokes,rate_nps,path_angle_deg,path_angle_low_deg,path_angle_high_deg,picture_angle_deg,carry,unevenness,reference\nsea",
	} {
		if !strings.HasPrefix(files[name], head) {
			t.Errorf("%s begins with %.300q", name, files[name])
		}
	}
	r := reviewIn(t, "demo-review")
	if r.Schema != "plectrace/review/1" || r.Angle.Value == nil || r.Rate["notes_per_second"].Value == nil || len(r.Missing) == 0 {
		t.Errorf("review.json: %+v", r)
	}
	// A wrong sign turns the main finding round.
	mustRun(t, "-mirrored", "-out", "turned")
	if a, b := *r.Angle.Value, *reviewIn(t, "turned").Angle.Value; math.Abs(a+b) > 0.01 {
		t.Errorf("path angle %.2f, and %.2f with -mirrored", a, b)
	}
}

func TestPagesArePlain(t *testing.T) {
	if testing.Short() {
		t.Skip("many takes, or long ones")
	}
	t.Chdir(t.TempDir())
	for _, name := range testdata.Names {
		clitest.Copy(t, ".", takefile.Bundled, name+".csv", name+".take.json")
		out := mustRun(t, "-out", name, name+".csv")
		clitest.WantPlain(t, name, out)
		pages(t, name)
		clitest.WantPlain(t, name+", checked", mustRun(t, "-check", name+".csv"))
	}
	for _, c := range []struct {
		name string
		o    simulate.Options
		want string // on the page
	}{
		{"front", simulate.Options{View: trajectory.Front, Skew: -17 * circular.Degree}, "This view shows no path angle"},
		{"oblique", simulate.Options{View: trajectory.Oblique}, "compare it only within this set-up"},
		{"searching", simulate.Options{Plan: []simulate.Stretch{{Search: simulate.Fresh}}}, "The player is searching throughout"},
		{"slow-film", simulate.Options{FrameRate: 30, Rate: 13}, "from the spectrum alone"},
		{"handful", simulate.Options{Duration: 0.7, Rate: 8}, "too few to tell on which side of the string"},
		{"handful-angle", simulate.Options{Duration: 0.65, Rate: 8, PathAngle: 20 * circular.Degree}, "degrees to the strings, from only "},
		{"short", simulate.Options{Duration: 3, Rate: 8}, "cannot be said: the take is too short for that"},
		{"seen-front", simulate.Options{View: trajectory.Front}, "travel out of the instrument and back does not show"},
		{"seen-end-on", simulate.Options{}, "travel along the strings does not show"},
		{"hidden", simulate.Options{HideDown: 0.3}, "a turn was hidden"},
		{"rest-hint", simulate.Options{Duration: 5, Pauses: []simulate.Pause{{For: 5}}}, "is the player playing?"},
		{"settled", simulate.Options{}, "one motion from start to end"},
		{"at-rest", simulate.Options{Duration: 5, Pauses: []simulate.Pause{{For: 5}}}, "The speed could not be measured"},
	} {
		c.o.Seed = 4
		if c.o.Duration == 0 {
			c.o.Duration = 8
		}
		_, export := lesson(t, c.o)
		clitest.Save(t, c.name+".csv", export)
		view := c.o.View
		if view == trajectory.ViewUnknown {
			view = trajectory.EndOn
		}
		clitest.WantPlain(t, c.name, mustRun(t, "-view", view.String(), "-distance-mm", "50", "-out", c.name, c.name+".csv"))
		page, details := pages(t, c.name)
		if !strings.Contains(clitest.Visible(page+details), c.want) {
			t.Errorf("%s: the page leaves out %q", c.name, c.want)
		}
	}
}

// TestSettings: what must be known comes from flags or from the file beside the
// export, and flags win.
func TestSettings(t *testing.T) {
	t.Chdir(t.TempDir())
	take, export := lesson(t, simulate.Options{Seed: 2, Duration: 8, Rate: 8, PathAngle: 22 * circular.Degree})
	clitest.Save(t, "lesson.csv", export)
	flags := []string{"-tip", "tip", "-tip-is", "pick", "-bass", "bass", "-treble", "treble", "-distance-mm", "50", "-view", "end-on"}

	if out := mustRun(t, append(flags, "-out", "flags", "lesson.csv")...); strings.Contains(out, "taken to be") {
		t.Errorf("guesses about what was said:\n%s", out)
	}
	byFlags := reviewIn(t, "flags")
	if want := take.Truth.PathAngle.Degrees(); math.Abs(*byFlags.Angle.Value-want) > 0.6 {
		t.Errorf("path angle %.2f degrees, want %.2f", *byFlags.Angle.Value, want)
	}
	if got, want := *byFlags.Rate["notes_per_second"].Value, take.Truth.Rate; math.Abs(got/want-1) > 0.005 {
		t.Errorf("rate %.3f, want %.3f", got, want)
	}
	if mustRun(t, "lesson.csv"); clitest.Read(t, "lesson-review/strokes.csv") == clitest.Read(t, "flags/strokes.csv") {
		t.Error("the distance of the marks changes nothing")
	}

	clitest.Save(t, "lesson.take.json", `{"tip": "tip", "tip_is": "pick", "view": "end-on", "mirrored": true,
		"marks": {"bass": "bass", "treble": "treble", "distance_mm": 100}}`)
	out := mustRun(t, "-out", "file", "lesson.csv")
	if !strings.Contains(out, "Settings from lesson.take.json.") {
		t.Errorf("the summary does not name the settings:\n%s", out)
	}
	byFile := reviewIn(t, "file")
	if a, b := *byFlags.Angle.Value, *byFile.Angle.Value; math.Abs(a+b) > 0.01 {
		t.Errorf("path angle %.2f, and %.2f with mirrored in the file", a, b)
	}
	if a, b := byFlags.value("length"), byFile.value("length"); math.Abs(b/a-2) > 0.01 {
		t.Errorf("length %.2f, and %.2f with twice the distance", a, b)
	}
	mustRun(t, "-distance-mm", "50", "-mirrored=false", "-out", "both", "lesson.csv")
	if clitest.Read(t, "both/strokes.csv") != clitest.Read(t, "flags/strokes.csv") {
		t.Error("flags do not win over the file")
	}
	if err := os.Rename("lesson.take.json", "other.json"); err != nil {
		t.Fatal(err)
	}
	mustRun(t, "-settings", "other.json", "-out", "named", "lesson.csv")
	if clitest.Read(t, "named/strokes.csv") != clitest.Read(t, "file/strokes.csv") {
		t.Error("-settings is not the file beside the export")
	}
}

func TestWriteSettings(t *testing.T) {
	t.Chdir(t.TempDir())
	_, export := lesson(t, simulate.Options{Seed: 2, Duration: 5, Rate: 8, PathAngle: 22 * circular.Degree})
	clitest.Save(t, "lesson.csv", export)
	flags := []string{"-distance-mm", "50", "-mirrored", "-outward", "up", "lesson.csv"}
	mustRun(t, append([]string{"-out", "flags"}, flags...)...)

	out := mustRun(t, append([]string{"-write-settings"}, flags...)...)
	if !strings.Contains(out, "Written: lesson.take.json") {
		t.Errorf("it does not say what was written:\n%s", out)
	}
	clitest.WantPlain(t, "-write-settings", out)
	mustRun(t, "-out", "file", "lesson.csv")
	if clitest.Read(t, "file/strokes.csv") != clitest.Read(t, "flags/strokes.csv") {
		t.Error("the settings written are not those in force")
	}

	before := clitest.Tree(t, ".")
	err := run([]string{"-write-settings", "lesson.csv"}, &bytes.Buffer{})
	if cli.Code(err) != cli.BadInput || !strings.Contains(err.Error(), "-force") {
		t.Errorf("settings are replaced without -force: %v", err)
	}
	if d := cmp.Diff(before, clitest.Tree(t, ".")); d != "" {
		t.Errorf("(-before +after)\n%s", d)
	}
	mustRun(t, "-write-settings", "-force", "-distance-mm", "60", "lesson.csv")
	if !strings.Contains(clitest.Read(t, "lesson.take.json"), `"distance_mm": 60`) {
		t.Error("-force replaces nothing")
	}

	// Elsewhere, where there is none yet.
	mustRun(t, "-write-settings", "-settings", "other.json", "lesson.csv")
	mustRun(t, "-settings", "other.json", "-out", "other", "lesson.csv")

	// Where the tip is not clear, the starter is the place to say so.
	clitest.Save(t, "codes.csv", strings.Replace(export, "tip_x,tip_y", "A1_x,A1_y", 1))
	if out := mustRun(t, "-write-settings", "codes.csv"); !strings.Contains(out, `"A1"`) || !strings.Contains(clitest.Read(t, "codes.take.json"), `"tip": ""`) {
		t.Errorf("a starter without a tip:\n%s", out)
	}
}

func TestCheckOnly(t *testing.T) {
	t.Chdir(t.TempDir())
	_, export := lesson(t, simulate.Options{Seed: 2, Duration: 6, Rate: 9, FrameRate: 60})
	clitest.Save(t, "lesson.csv", export)
	before := clitest.Tree(t, ".")
	out := mustRun(t, "-check", "lesson.csv")
	if d := cmp.Diff(before, clitest.Tree(t, ".")); d != "" {
		t.Errorf("-check writes something (-before +after)\n%s", d)
	}
	_, cannot, found := strings.Cut(out, "It cannot measure:")
	if !found || !strings.Contains(out, "This set-up can measure:\n") || !strings.Contains(cannot, "- path angle: ") ||
		!strings.Contains(cannot, "8 are needed") || !strings.Contains(cannot, "distance_mm") {
		t.Errorf("-check says\n%s", out)
	}
	for _, line := range strings.Split(strings.TrimSpace(out), "\n") {
		if line != "" && !strings.HasSuffix(line, ".") && !strings.HasSuffix(line, ":") {
			t.Errorf("no sentence: %q", line)
		}
	}
}

// TestCheckDemo: -check, too, looks at the demo when no export is named.
func TestCheckDemo(t *testing.T) {
	t.Chdir(t.TempDir())
	out := mustRun(t, "-check")
	if !strings.Contains(out, "Demo:") || !strings.Contains(out, "This set-up can measure:\n- ") {
		t.Errorf("-check says\n%s", out)
	}
	if files := clitest.Tree(t, "."); len(files) > 0 {
		t.Errorf("-check writes %v", slices.Sorted(maps.Keys(files)))
	}
}

func TestOverwriting(t *testing.T) {
	t.Chdir(t.TempDir())
	mustRun(t)
	before := clitest.Tree(t, ".")
	err := run([]string{"-mirrored"}, &bytes.Buffer{})
	if cli.Code(err) != cli.BadInput || !strings.Contains(err.Error(), "-force") {
		t.Errorf("without -force: %v", err)
	}
	if d := cmp.Diff(before, clitest.Tree(t, ".")); d != "" {
		t.Errorf("without -force something changed (-before +after)\n%s", d)
	}
	mustRun(t, "-mirrored", "-force")
	if clitest.Tree(t, ".")["demo-review/strokes.csv"] == before["demo-review/strokes.csv"] {
		t.Error("-force changes nothing")
	}

	clitest.Save(t, "demo-review/thesis.txt", "years of work")
	before = clitest.Tree(t, ".")
	if err := run([]string{"-force"}, &bytes.Buffer{}); cli.Code(err) != cli.BadInput || !strings.Contains(err.Error(), "thesis.txt") {
		t.Errorf("a file of another's: %v", err)
	}
	if d := cmp.Diff(before, clitest.Tree(t, ".")); d != "" {
		t.Errorf("a file of another's (-before +after)\n%s", d)
	}
}
