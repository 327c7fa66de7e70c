package main

import (
	"fmt"
	"math"
	"strings"
	"testing"

	"github.com/plectrace/plectrace/examples/internal/clitest"
)

const heads = "time_s,tip_x,tip_y,bass_x,bass_y,treble_x,treble_y"

// export is the text of two seconds of playing at 8 strokes/s. edit, when
// given, changes the cells of a row.
func export(head string, edit func(i int, row []string) []string) string {
	var b strings.Builder
	b.WriteString(head + "\n")
	for i := range 480 {
		t := float64(i) / 240
		swing := math.Sin(2 * math.Pi * 4 * t)
		row := []string{
			fmt.Sprintf("%.6f", t), fmt.Sprintf("%.3f", 500+60*swing), fmt.Sprintf("%.3f", 400+20*swing),
			"600", "300", "600", "500",
		}
		if edit != nil {
			row = edit(i, row)
		}
		b.WriteString(strings.Join(row, ",") + "\n")
	}
	return b.String()
}

// with puts the cells into columns of every row, or of the one row at.
func with(at int, cells map[int]string) func(int, []string) []string {
	return func(i int, row []string) []string {
		if at < 0 || i == at {
			for j, c := range cells {
				row[j] = c
			}
		}
		return row
	}
}

// TestBadInput: every failure is one line that names the file and a next step,
// and leaves nothing behind.
func TestBadInput(t *testing.T) {
	good := export(heads, nil)
	binary := make([]byte, 4096)
	for i := range binary {
		binary[i] = byte(i)
	}
	settings := func(text string) map[string]string {
		return map[string]string{"lesson.csv": good, "lesson.take.json": text}
	}
	one := func(text string) map[string]string { return map[string]string{"lesson.csv": text} }
	var calls []clitest.Bad
	for _, c := range []struct {
		Name        string
		Files       map[string]string
		Args        string // "" is lesson.csv
		Code        int
		Names, Next string
	}{
		// The export.
		{"empty", one(""), "", 1, "lesson.csv", "check the export"},
		{"header only", one(heads + "\n"), "", 1, "lesson.csv, line 1", "check the export"},
		{"prose", one("Dear tutor,\nhere is my take, as promised.\n"), "", 1, "lesson.csv, line 1", "one row per sample"},
		{"binary", one(string(binary)), "", 1, "lesson.csv, line 1", "export the table as"},
		{"one row", one(heads + "\n0,500,400,600,300,600,500\n"), "", 1, "lesson.csv", "at least a few strokes"},
		{"constant", one(export(heads, with(-1, map[int]string{1: "500", 2: "400"}))), "", 1, "lesson.csv", "choose the point that follows the pick"},
		{"all missing", one(export(heads, with(-1, map[int]string{1: "", 2: "nan"}))), "", 1, "lesson.csv", "choose another point"},
		{"time backwards", one(export(heads, with(100, map[int]string{0: "0.2"}))), "", 1, "lesson.csv, line 102, column 1 (time_s)", "sort the rows"},
		{"time repeated", one(export(heads, with(100, map[int]string{0: "0.412500"}))), "", 1, "lesson.csv, line 102, column 1 (time_s)", "a time of its own"},
		{"time missing", one(export(heads, with(100, map[int]string{0: ""}))), "", 1, "lesson.csv, line 102", "; "},
		{"infinity", one(export(heads, with(7, map[int]string{1: "inf"}))), "", 1, "lesson.csv, line 9, column 2 (tip_x)", "empty cells or NaN"},
		{"text among numbers", one(export(heads, with(7, map[int]string{2: "lost"}))), "", 1, "lesson.csv, line 9, column 3 (tip_y)", "; "},
		{"too few cells", one(export(heads, func(i int, row []string) []string { return row[:len(row)-i%2] })), "", 1, "lesson.csv", "; "},
		{"duplicate columns", one(export("time_s,tip_x,tip_y,tip_x,tip_y,bass_x,bass_y", nil)), "", 1, "lesson.csv, line 1, column 4", "rename one"},
		{"half a point", one("time_s,tip_x\n0,1\n1,2\n"), "", 1, "not clear which point is the tip", "no point that has both x and y"},
		{"no time and no rate", one(export("note,tip_x,tip_y,bass_x,bass_y,treble_x,treble_y", nil)), "", 1, "lesson.csv", "-rate"},
		{"milliseconds unsaid", one(export("time,tip_x,tip_y,bass_x,bass_y,treble_x,treble_y", func(i int, row []string) []string {
			row[0] = fmt.Sprint(4 * i)
			return row
		})), "", 1, "lesson.csv", "-time-unit"},
		{"no file", nil, "", 1, "lesson.csv", "check the name"},
		{"empty name", nil, "-out folder ``", 1, `""`, "check the name"},
		{"a folder without exports", map[string]string{"lesson.csv/": ""}, "", 1, "lesson.csv", "put the exports there"},

		// What was tracked.
		{"unknown tip", one(good), "-tip nose lesson.csv", 1, "lesson.csv", "-tip"},
		{"unknown mark", one(good), "-bass nose lesson.csv", 1, "lesson.csv", "the points are"},
		{"unclear tip", one(export("time_s,a_x,a_y,bass_x,bass_y,treble_x,treble_y", nil)), "", 1, "lesson.csv", "-tip"},
		{"hostile unclear tip", one(export("time_s,<script>_x,<script>_y,bass_x,bass_y,treble_x,treble_y", nil)), "", 1, "lesson.csv", `"<script>"`},
		{"coincident marks", one(export(heads, with(-1, map[int]string{6: "300"}))), "", 1, "lesson.csv", "give two places"},
		{"coincident fixed marks", one(good), "-bass 600,300 -treble 600,300 lesson.csv", 1, "lesson.csv", "give two places"},
		{"missing marks", one(export("time_s,tip_x,tip_y,c_x,c_y,d_x,d_y", nil)), "", 1, "lesson.csv", "give a bass mark and a treble mark"},
		{"mark never seen", one(export(heads, with(-1, map[int]string{3: "", 4: ""}))), "", 1, "lesson.csv", "choose another point"},
		{"mark of too many numbers", one(good), "-bass 1,2,3 -treble 4,5,6 lesson.csv", 1, "lesson.csv", "one coordinate for each axis"},
		{"negative distance", one(good), "-distance-mm -3 lesson.csv", 1, "lesson.csv", "measure it on the instrument"},
		{"endless rate", one(good), "-rate Inf lesson.csv", 1, "lesson.csv", "frames per second"},
		{"no slowing", one(good), "-slowed-by NaN lesson.csv", 1, "lesson.csv", "how many times slower"},
		{"unknown time column", one(good), "-time clock lesson.csv", 1, "lesson.csv", "-time"},
		{"3-d view of a plane", one(good), "-view 3-d lesson.csv", 1, "lesson.csv", "; "},
		{"outward along the strings' plane", one(good), "-outward up lesson.csv", 1, "lesson.csv", "; "},

		// The settings file.
		{"settings cut off", settings(`{"tip": `), "", 1, "lesson.take.json: line 1", "-write-settings"},
		{"settings are prose", settings("tip is the tip\n"), "", 1, "lesson.take.json: line 1", "-write-settings"},
		{"settings are empty", settings(""), "", 1, "lesson.take.json", "-write-settings"},
		{"unknown key", settings("{\n\"tip\": \"tip\",\n\"colour\": 3}"), "", 1, `lesson.take.json: line 3: there is no key "colour"`, "-write-settings"},
		{"wrong kind", settings(`{"rate": "fast"}`), "", 1, "lesson.take.json: line 1: rate", "-write-settings"},
		{"another schema", settings(`{"schema": "plectrace/take/9"}`), "", 1, "lesson.take.json", "-write-settings"},
		{"no such settings", one(good), "-settings none.json lesson.csv", 1, "none.json", "-settings"},

		{"a text for a time", settings(`{"touch_s": "two"}`), "", 1, "line 1: touch_s cannot be a text", "see onetake -h, 'The strings'"},
		{"a list for a name", settings(`{"marks": {"distance_mm": [3]}}`), "", 1, "line 1: marks.distance_mm cannot be a list", "-write-settings"},
		{"three corners", settings(`{"card": {"corners": ["a", "b", "c"]}}`), "", 1, "the card has 3 corners", "see onetake -h, 'The camera'"},
		{"touch of no string", settings(`{"touch_string": 2}`), "", 1, "touch_string", "see onetake -h, 'The strings'"},
		{"points of the pick", settings(`{"pick_points": ["tip"]}`), "", 1, "pick_points", "see onetake -h, 'The hand'"},
		{"settings beside it are a folder", map[string]string{"lesson.csv": good, "lesson.take.json/": ""}, "lesson.csv", 1, `"lesson.take.json": it is a folder`, "check the file"},
		{"settings are a folder", map[string]string{"lesson.csv": good, "w/": ""}, "-settings w lesson.csv", 1, `"w": it is a folder`, "-settings"},

		// What lies beside the export.
		{"no onsets", one(good), "-onsets w.csv lesson.csv", 1, `cannot read the onsets from "w.csv": there is no such file`, "check the name"},
		{"onsets are a folder", map[string]string{"lesson.csv": good, "w/": ""}, "-onsets w lesson.csv", 1, `"w": it is a folder`, "check the name"},
		{"onsets are prose", map[string]string{"lesson.csv": good, "w.csv": "one, two, three\n"}, "-onsets w.csv lesson.csv", 1, "w.csv: ", "see onetake -h, 'The strings'"},
		{"reference is prose", map[string]string{"lesson.csv": good, "w.json": "slowly"}, "-reference w.json lesson.csv", 1, "w.json: ", "-keep-reference"},

		// Where to write.
		{"no parent", one(good), "-out no/such/folder lesson.csv", 1, "no/such", "make the folder"},
		{"out is a file", one(good), "-out lesson.csv lesson.csv", 1, "lesson.csv", "-out"},
		{"out is taken", map[string]string{"lesson.csv": good, "lesson-review/": "", "lesson-review/page.html": "old"}, "", 1, "lesson-review", "-force"},

		// The command line.
		{"unknown flag", one(good), "-speed 3 lesson.csv", 2, "-speed", "see onetake -h"},
		{"no number", one(good), "-rate fast lesson.csv", 2, "-rate", "see onetake -h"},
		{"unknown view", one(good), "-view above lesson.csv", 2, "-view", "end-on"},
		{"unknown kind of tip", one(good), "-tip-is thumb lesson.csv", 2, "-tip-is", "marker"},
		{"unknown side", one(good), "-outward out lesson.csv", 2, "-outward", "left"},
		{"unknown note", one(good), "-tempo-note crotchit lesson.csv", 2, "-tempo-note: note value", "see onetake -h"},
		{"unknown task", one(good), "-task dance lesson.csv", 2, "-task", "say one-string or changing-strings"},
		{"no task", one(good), "-task `` lesson.csv", 2, "-task", "say one-string or changing-strings"},
		{"unknown comfort", one(good), "-comfort fine lesson.csv", 2, "-comfort", "say good, tired or pain"},
		{"two files", one(good), "lesson.csv lesson.csv", 2, "2 files", "one file, or the folder"},
		{"reviews in the folder of the exports", map[string]string{"w/": "", "w/lesson.csv": good}, "-force -out w w", 1, "folder of the exports, w", "-out"},
		{"a folder of other files", map[string]string{"w/": "", "w/notes.txt": "more light"}, "w", 1, `"w" holds no tracking export`, "see onetake -h"},
		{"a folder's settings cut off", map[string]string{"w/": "", "w/lesson.csv": good, "w/folder.take.json": "{"}, "w", 1, "folder.take.json: line 1", "-write-settings"},
		{"a folder's settings for one take", map[string]string{"lesson.csv": good, "folder.take.json": `{"colour": 3}`}, "", 1, `folder.take.json: line 1: there is no key "colour"`, "-write-settings"},
		{"no such settings of a folder", map[string]string{"w/": "", "w/lesson.csv": good}, "-settings none.json w", 1, "none.json", "-settings"},
		{"reviews of a folder are there", map[string]string{"w/": "", "w/lesson.csv": good, "w-review/": "", "w-review/index.html": "old"}, "w", 1, "w-review is there already", "-force"},
		{"somebody's own index", map[string]string{"w/": "", "w/lesson.csv": good, "w-review/": "", "w-review/index.html": "old"}, "-force w", 1, "index.html", "move it away"},
		{"a folder to check", map[string]string{"w/": ""}, "-check w", 2, "-check is for one take", "name one of the exports"},
		{"a folder's starter", map[string]string{"w/": ""}, "-write-settings w", 2, "-write-settings is for one take", "folder.take.json"},
		{"onsets of a folder", map[string]string{"w/": ""}, "-onsets w.csv w", 2, "-onsets is for one take", "name the export"},
		{"a folder's reference", map[string]string{"w/": ""}, "-keep-reference w.json w", 2, "-keep-reference is for one take", "name the export"},
		{"no such reference for a folder", map[string]string{"w/": "", "w/lesson.csv": good}, "-reference w.json w", 1, "w.json", "check the name"},
		{"an offset of nothing", one(good), "-captions-offset 3 lesson.csv", 2, "without -captions", "add -captions"},
		{"an endless offset", one(good), "-captions -captions-offset Inf lesson.csv", 2, "-captions-offset", "see onetake -h"},
		{"captions of no folder", one(good), "-captions -json lesson.csv", 2, "-json alone writes none", "add -out"},
		{"a notebook of no folder", one(good), "-notebook -json lesson.csv", 2, "-json alone writes none", "add -out"},
		{"a notebook of a check", one(good), "-notebook -check lesson.csv", 2, "beside -check", "leave them out"},
		{"a folder of a check", one(good), "-out w -check lesson.csv", 2, "beside -check", "leave them out"},
		{"a starter as JSON", one(good), "-json -write-settings lesson.csv", 2, "beside -write-settings", "leave them out"},
		{"a check and a starter", one(good), "-check -write-settings lesson.csv", 2, "two calls", "give one"},
		{"a reference of a check", one(good), "-check -keep-reference w.json lesson.csv", 2, "beside -check", "leave it out"},
		{"settings of nothing", nil, "-write-settings", 2, "no file", "name the export"},
	} {
		if c.Args == "" {
			c.Args = "lesson.csv"
		}
		calls = append(calls, c)
	}
	clitest.Run(run).Refuses(t, nil, calls)
}

// TestOddInput: what looks odd but can be read is read.
func TestOddInput(t *testing.T) {
	const evil = `<script>alert(1)</script>`
	for _, c := range []struct {
		name, file, text string
		args             []string
		says             string // in the summary
		page             string // in the page's source
	}{
		{"hostile header", "lesson.csv", export("time_s,"+evil+"_x,"+evil+"_y,bass_x,bass_y,treble_x,treble_y", nil),
			[]string{"-tip", evil}, "8.00", "&lt;script&gt;alert(1)&lt;/script&gt;"},
		{"spaces and unicode", "späte Übung ♪ 1.csv", export(heads, nil), nil, "8.00", "späte Übung ♪ 1.csv"},
		{"no time column", "lesson.csv", export("note,tip_x,tip_y,bass_x,bass_y,treble_x,treble_y", nil),
			[]string{"-rate", "120"}, "4.00", "120 samples a second"},
		{"slowed film", "lesson.csv", export(heads, nil), []string{"-slowed-by", "0.5"}, "4.00", "120 samples a second"},
		{"slowed film, said", "lesson.csv", export(heads, nil), []string{"-slowed-by", "2"}, "The film is taken to be slowed by 2: times are divided by 2.", "times are divided by 2"},
		{"slowed twice", "lesson.csv", export(heads, nil), []string{"-slowed-by", "4"}, "nobody plays that fast", "nobody plays that fast"},
		{"lengths in pixels", "lesson.csv", export(heads, nil), nil, "Path: ", "Stroke length, px"},
		{"a rate beside a time column", "lesson.csv", export(heads, nil), []string{"-rate", "30"}, "-rate is not used", "240 samples a second"},
		{"too few samples for strokes", "lesson.csv", export(heads, func(i int, row []string) []string {
			swing := math.Sin(math.Pi * 13 * float64(i) / 30) // 30 frames/s, 13 strokes/s
			row[0], row[1], row[2] = fmt.Sprintf("%.6f", float64(i)/30), fmt.Sprintf("%.3f", 500+60*swing), fmt.Sprintf("%.3f", 400+20*swing)
			return row
		}), nil, "about 13 strokes a second", "2.3 samples per stroke"},
	} {
		t.Run(c.name, func(t *testing.T) {
			t.Chdir(t.TempDir())
			clitest.Save(t, c.file, c.text)
			out := mustRun(t, append(c.args, c.file)...)
			page, details := pages(t, strings.TrimSuffix(c.file, ".csv")+"-review")
			page += details
			if !strings.Contains(out, c.says) {
				t.Errorf("the summary leaves out %q:\n%s", c.says, out)
			}
			if !strings.Contains(page, c.page) {
				t.Errorf("the page leaves out %q", c.page)
			}
		})
	}
}
