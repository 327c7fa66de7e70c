package main

import (
	"fmt"
	"os"
	"regexp"
	"strings"
	"testing"

	"github.com/plectrace/plectrace/examples/internal/clitest"
	"github.com/plectrace/plectrace/motion/live"
	"github.com/plectrace/plectrace/motion/review"
	"github.com/plectrace/plectrace/tempo"
	"github.com/plectrace/plectrace/trajectory/tracks"
)

// TestCard: a card that is seen from the front and stands where the marks are tells what
// they do; its foot is a card's long edge of 85.60 mm (ISO/IEC 7810).
func TestCard(t *testing.T) {
	t.Chdir(t.TempDir())
	export, settings := bundled(t, "tutor")
	export = part(export, 0, 1800)
	// The foot's direction is that of the marks, at their 12 px/mm; the height is 53.98 mm.
	bass, treble := [2]float64{944.933, 324.526}, [2]float64{975.067, 755.474}
	var corners []string
	for _, c := range [][2]float64{{-0.5, 0}, {0.5, 0}, {0.5, 1}, {-0.5, 1}} {
		along, up := c[0]*85.60/36, c[1]*53.98/36
		dx, dy := treble[0]-bass[0], treble[1]-bass[1]
		corners = append(corners, fmt.Sprintf("[%.4f,%.4f]", (bass[0]+treble[0])/2+along*dx+up*dy, (bass[1]+treble[1])/2+along*dy-up*dx))
	}
	card := regexp.MustCompile(`(?s)"marks": \{.*?\n \},`).ReplaceAllString(settings, `"card": {"corners": [`+strings.Join(corners, ",")+`]},`)
	angles := func(settings string) (unit string, deg []float64, strokes string) {
		clitest.Save(t, "s.take.json", settings)
		got := call(strings.NewReader(export), "-settings", "s.take.json", "-json", "-force", "-out", "o", "-")
		if got.err != nil || got.complaints != "" {
			t.Fatal(got.err, got.complaints)
		}
		all := events(t, got.out)
		for _, l := range all {
			if l.Event == live.Final.String() {
				deg = append(deg, float64(*l.Stroke.Angle))
			}
		}
		return all[0].Unit, deg, clitest.Read(t, "o/strokes.csv")
	}
	_, want, _ := angles(settings)
	unit, got, strokes := angles(card)
	if unit != "mm" || len(got) != len(want) || len(got) < 70 {
		t.Fatalf("%d strokes in %s, want %d in mm", len(got), unit, len(want))
	}
	for i := range got {
		if d := got[i] - want[i]; d > 0.05 || d < -0.05 {
			t.Errorf("stroke %d has %.3f degrees, want %.3f", i, got[i], want[i])
		}
	}
	if diff := clitest.Differs(strokesCSV(t, offline(t, export, card)), strokes); diff != "" {
		t.Error(diff)
	}
}

// TestReplayC3D: a file that has no lines is replayed too; the review is that of the file.
func TestReplayC3D(t *testing.T) {
	data, err := os.ReadFile("../cookbook/c3d/testdata/hand.c3d")
	if err != nil {
		t.Fatal(err)
	}
	t.Chdir(t.TempDir())
	const settings = `{"schema":"plectrace/take/1","tip":"tip","tip_is":"pick","view":"3-d","marks":{"bass":[0,0,0],"treble":[40,0,0],"nut":[[20,300,0]]}}`
	clitest.Save(t, "hand.c3d", string(data))
	clitest.Save(t, "hand.take.json", settings)
	if got := call(nil, "-replay", "hand.c3d", "-speed", "0", "-out", "o"); got.err != nil {
		t.Fatal(got.err)
	}
	rec, err := tracks.ReadFile("hand.c3d", tracks.Options{})
	if err != nil {
		t.Fatal(err)
	}
	s, err := review.ParseSetup(strings.NewReader(settings))
	if err != nil {
		t.Fatal(err)
	}
	s, _ = s.Guess([]string{"tip", "knuckle_1", "wrist", "elbow"}, true)
	r, err := review.Run(rec, s, review.Options{})
	if err != nil {
		t.Fatal(err)
	}
	if diff := clitest.Differs(strokesCSV(t, r), clitest.Read(t, "o/strokes.csv")); diff != "" {
		t.Error(diff)
	}
}

// TestOtherLines: names that the first object has not are told once; a header of other
// columns ends the take, since what follows would be read as something else; one above
// the numbers may stand in a comment.
func TestOtherLines(t *testing.T) {
	t.Chdir(t.TempDir())
	export, settings := bundled(t, "tutor")
	clitest.Save(t, "s.take.json", settings)
	head, rows, _ := strings.Cut(part(export, 0, 1200), "\n")
	other := head + "\n" + rows + strings.NewReplacer("tip_x", "tip_y", "tip_y", "tip_x").Replace(head) + "\n" + rows
	got := call(strings.NewReader(other), "-settings", "s.take.json", "-out", "o", "-")
	if got.err == nil || !strings.Contains(got.err.Error(), "line 1201 only: below it stands a header of other columns") {
		t.Error(got.err)
	}
	want := strokesCSV(t, offline(t, head+"\n"+rows, settings))
	if diff := clitest.Differs(want, clitest.Read(t, "o/strokes.csv")); diff != "" {
		t.Error(diff)
	}
	if got := call(strings.NewReader("# made today\n# "+head+"\n"+rows), "-settings", "s.take.json", "-force", "-out", "o", "-"); got.err != nil {
		t.Error(got.err)
	}
	if diff := clitest.Differs(want, clitest.Read(t, "o/strokes.csv")); diff != "" {
		t.Error(diff)
	}
	text := strings.Replace(objects(t, head+"\n"+rows), `"tip_x":968`, `"tipx":1,"tip_x":968`, -1)
	got = call(strings.NewReader(text), "-settings", "s.take.json", "-force", "-out", "o", "-")
	if got.err != nil || strings.Count(got.complaints, "\n") != 1 || !strings.Contains(got.complaints, `"tipx" is not in the first object`) {
		t.Errorf("%v, %q", got.err, got.complaints)
	}
}

// TestNarrowTerminal: nothing is wider than a narrow terminal, or lost on it.
func TestNarrowTerminal(t *testing.T) {
	_, settings := bundled(t, "tutor")
	s, err := review.ParseSetup(strings.NewReader(settings))
	if err != nil {
		t.Fatal(err)
	}
	rows := 30
	shown := &terminal{}
	sc := &screen{out: shown, size: func() (int, int) { return 40, rows }, log: &journal{out: new(strings.Builder), note: tempo.Sixteenth, setup: &s, keep: new(record)}}
	sc.silent(3)
	clitest.WantAll(t, "before the first sample", strings.Join(shown.lines, "\n"), "No line has come for 3 s")
	sc.told([]live.Event{{Kind: live.Rest, Seconds: 60}}, []string{strings.Repeat("long ", 20) + strings.Repeat("x", 99)}, live.Now{T: 1, Playing: 60, Played: 60, NotesPerSecond: 11})
	text := strings.Join(shown.lines, "\n")
	for _, l := range shown.lines {
		if n := len([]rune(l)); n >= 40 {
			t.Errorf("%d columns: %q", n, l)
		}
	}
	clitest.WantAll(t, "the display", strings.Join(strings.Fields(text), " "), "TIME FOR A REST", live.Caution, "none now", "BPM in sixteenths")
	rows = 5
	sc.told(nil, []string{"again"}, live.Now{T: 2})
	if len(shown.lines) != 4 {
		t.Errorf("%d lines on 5 rows: %q", len(shown.lines), shown.lines)
	}
}
