package main

import (
	"fmt"
	"regexp"
	"slices"
	"strings"
	"testing"

	"github.com/plectrace/plectrace/examples/internal/clitest"
	"github.com/plectrace/plectrace/motion/simulate"
	"github.com/plectrace/plectrace/variability/circular"
)

// rich is a take that is filmed with all there is: a card, a rest on a string,
// an arm and a list of onsets. Its review is written to NAME.
func rich(t *testing.T, name string, o simulate.Options, settings string, flags ...string) (out, page string) {
	t.Helper()
	take, export := lesson(t, o)
	clitest.Save(t, name+".csv", export)
	list := "time_s\n"
	for _, x := range take.Truth.Onsets {
		list += fmt.Sprintf("%.6f\n", x.T)
	}
	clitest.Save(t, name+".onsets.csv", list)
	clitest.Save(t, name+".take.json", settings)
	args := append([]string{"-onsets", name + ".onsets.csv", "-keep-reference", name + ".json", "-out", name}, flags...)
	out = mustRun(t, append(args, name+".csv")...)
	page, details := pages(t, name)
	return out, page + details
}

const fullSettings = `{"tip": "tip", "tip_is": "marker", "view": "end-on",
	"marks": {"bass": "bass", "treble": "treble", "distance_mm": 50},
	"card": {"corners": ["card_foot_bass", "card_foot_treble", "card_top_treble", "card_top_bass"]},
	"touch_s": 1.8, "touch_string": 3, "string_count": 6, "crown_radius_mm": 305, "skew_deg": 0,
	"landmarks": {"shoulder": "shoulder", "elbow": "elbow", "wrist": "wrist", "wrist_inner": "wrist_inner", "wrist_outer": "wrist_outer",
		"knuckle_1": "knuckle_1", "knuckle_2": "knuckle_2", "pick_base": "pick_base"}}`

// TestFullPage: the page of a take with all there is.
func TestFullPage(t *testing.T) {
	t.Chdir(t.TempDir())
	o := simulate.Options{
		Seed: 4, Duration: 14, Rate: 9, PathAngle: 20 * circular.Degree, Distance: 600, Raise: 15 * circular.Degree, Card: true, TouchFor: 1, TouchString: 3, MarkerUp: 8, CrownRadius: 305,
		Arm: true, Shares: simulate.Shares{Elbow: 0.2, Forearm: 0.2, Wrist: 0.6}, OnsetOffset: 0.03,
	}
	out, page := rich(t, "full", o, fullSettings)
	text := clitest.Visible(page)
	for _, want := range []string{
		// How this take was read.
		"By the card the camera looks down on the strings by",
		"px for a millimetre, by the card.",
		`Directions and scale are the card's; the instrument is followed by its marks, the tracked points "bass", "treble".`,
		"the tip rests on string 3. The tracked point then sits 8.",
		"mm further out than the tip and", "heights count from there.",
		"mm from one to the next; the fingerboard is crowned to a radius of 305 mm",
		"onsets in the list belong to a stroke; the sound lags behind the film by 30",
		// What the picture does to the arm.
		"It is as seen in the picture: a point that lies nearer to the camera looks to move more",
		"Shares are as seen in the picture",
		"Lag is by how many degrees the point comes after the tip",
	} {
		if !strings.Contains(text, want) {
			t.Errorf("the page leaves out %q", want)
		}
	}
	if strings.Contains(out, "What moves the tip most") || strings.Contains(text, "What moves the tip most") {
		t.Error("joints that cannot be told apart are said to lead")
	}
	if hit := regexp.MustCompile(`[ >(]-0(\.0+)?[ <%)]`).FindString(page + out); hit != "" {
		t.Errorf("a zero with a sign: %q", hit)
	}
	for _, want := range []string{
		`Past the string the tip travels \d\.\d+ \(\d\.\d+ to \d\.\d+\) mm before it turns after a downstroke, \d\.\d+ \(`,
		`The turns scatter by 0\.\d+ \(0\.\d+ to 0\.\d+\) mm on the treble side and 0\.\d+ \(`,
		`out of the strings' way, \d\.\d+ \(-?\d\.\d+ to \d\.\d+\) mm above them`,
	} {
		if !regexp.MustCompile(want).MatchString(text) {
			t.Errorf("the page holds nothing like %s", want)
		}
	}
	heads := tableHeads(page)
	for _, want := range []string{
		"Measure|Value|Interval|From", "Span|BPM|Angle|Carry", "Third|Settled, %|Spans", "Span|Lasts, s|a second|Motion", "Held for|a second|By luck|Beyond luck",
		"Point|Carry|Interval|Lag", "Joint|Share, %|Interval|Scatter, %",
	} {
		if !slices.Contains(heads, want) {
			t.Errorf("no table with the heads %s in %q", want, heads)
		}
	}
	if !strings.Contains(page, "<li>Forearm rotation, wrist or fingers and grip: ") {
		t.Error("why joints stand together is not told below the table")
	}

	// Beside its own motion, with the answer where a narrow screen shows it.
	_, page = rich(t, "again", o, fullSettings, "-reference", "full.json", "-distance-mm", "50")
	if !slices.Contains(tableHeads(page), "What|Answer|Differs by|Margin") {
		t.Errorf("no table of differences in %q", tableHeads(page))
	}
	if text := clitest.Visible(page); !regexp.MustCompile(`Settled, \d+\.\d to \d+\.\d s: (inside|cannot say)\.`).MatchString(text) {
		t.Error("no answer for the settled span")
	}
}

// tableHeads returns the heads of each table of a page.
func tableHeads(page string) []string {
	var heads []string
	for _, row := range regexp.MustCompile(`<thead><tr>(.*?)</tr>`).FindAllStringSubmatch(page, -1) {
		var cells []string
		for _, c := range regexp.MustCompile(`<th[^>]*>(.*?)</th>`).FindAllStringSubmatch(row[1], -1) {
			cells = append(cells, c[1])
		}
		heads = append(heads, strings.Join(cells, "|"))
	}
	return heads
}

// TestMarksWords: what the instrument frame goes by.
func TestMarksWords(t *testing.T) {
	t.Chdir(t.TempDir())
	_, export := lesson(t, simulate.Options{Seed: 4, Duration: 5, Card: true, Distance: 600, Raise: 10 * circular.Degree})
	clitest.Save(t, "lesson.csv", export)
	for _, c := range []struct{ args, want string }{
		{"-bass 500,300 -treble 560,300", "The instrument is taken to stay still: its marks are the fixed places (500, 300), (560, 300)."},
		{"-bass bass -treble treble", `The instrument is followed by its marks: the tracked points "bass", "treble".`},
		{"-bass 500,300 -treble 560,300 -card card_foot_bass+card_foot_treble+card_top_treble+card_top_bass", "The instrument frame is that of the card, and is taken to stay still"},
	} {
		mustRun(t, append(strings.Fields(c.args), "-force", "lesson.csv")...)
		if text := clitest.Visible(clitest.Read(t, "lesson-review/page.html")); !strings.Contains(text, c.want) {
			_, how, _ := strings.Cut(text, "View: ")
			t.Errorf("%s: the page leaves out %q: %.700s", c.args, c.want, how)
		}
	}
}

// TestSlowMotionInside: where the film goes over to slow motion, the question
// about it stands first, once, and nothing is said of speed.
func TestSlowMotionInside(t *testing.T) {
	t.Chdir(t.TempDir())
	for _, c := range []struct {
		name string
		o    simulate.Options
	}{
		{"strokes", simulate.Options{Seed: 4, Duration: 14, Rate: 6, SlowAt: 5, SlowUntil: 9, SlowBy: 4}},
		{"none", simulate.Options{Seed: 4, Duration: 14, Rate: 10, SlowAt: 5, SlowUntil: 9, SlowBy: 8}},
	} {
		_, export := lesson(t, c.o)
		clitest.Save(t, c.name+".csv", export)
		out := mustRun(t, "-out", c.name, c.name+".csv")
		page, _ := pages(t, c.name)
		text := clitest.Visible(page)
		const question = "no time, rate or speed means anything"
		for what, s := range map[string]string{"the summary": out, "the page": text} {
			if n := strings.Count(s, question); n != 1 {
				t.Errorf("%s: %s asks %d times", c.name, what, n)
			}
			for _, word := range []string{"Speed:", "The speed could not", "settled for", "Strokes per second", "Peak speed", "steadier late", "BPM"} {
				if strings.Contains(s, word) {
					t.Errorf("%s: %s says %q", c.name, what, word)
				}
			}
		}
		if first, _, _ := strings.Cut(out[strings.Index(out, "- "):], "\n"); !strings.Contains(first, question) {
			t.Errorf("%s: the summary begins with %q", c.name, first)
		}
		if !strings.Contains(text, "A question first The strokes are several times slower") {
			t.Errorf("%s: the page does not open with the question", c.name)
		}
	}
	// A question that leaves times as they are does not silence them.
	_, export := lesson(t, simulate.Options{Seed: 4, Duration: 8, Rate: 8})
	clitest.Save(t, "lesson.csv", export)
	out := mustRun(t, "-slowed-by", "0.2", "lesson.csv")
	if !strings.Contains(out, "Speed:") || strings.Count(out, "nobody plays that fast") > 1 {
		t.Errorf("another question:\n%s", out)
	}
}
