package tempo_test

import (
	"encoding/json"
	"math"
	"os"
	"strings"
	"testing"

	"gonum.org/v1/gonum/floats/scalar"

	"github.com/plectrace/plectrace/tempo"
)

// golden is testdata/reference/tempo.json, made by tempo.py there.
type golden struct {
	Notes []struct {
		Type                 string
		Dots, Actual, Normal int
		Num, Den             int64
	}
	SetTempo []struct {
		BPM    float64
		Micros int
	} `json:"set_tempo"`
	LombScargle struct {
		T, Y, Hz     []float64
		FloatingMean []float64 `json:"floating_mean"`
	}
}

func load(t *testing.T) (g golden) {
	t.Helper()
	text, err := os.ReadFile("../testdata/reference/tempo.json")
	if err != nil {
		t.Fatal(err)
	}
	if err := json.Unmarshal(text, &g); err != nil {
		t.Fatal(err)
	}
	return g
}

func near(got, want, tol float64) bool {
	return scalar.Same(got, want) || scalar.EqualWithinAbsOrRel(got, want, tol, tol)
}

// TestMusicXML checks all 42 plain and dotted note types and six tuplets, and
// that the name of each is read back.
func TestMusicXML(t *testing.T) {
	for _, c := range load(t).Notes {
		v, err := tempo.FromMusicXML(c.Type, c.Dots, c.Actual, c.Normal)
		if err != nil {
			t.Errorf("%+v: %v", c, err)
			continue
		}
		if num, den := v.Fraction(); num != c.Num || den != c.Den {
			t.Errorf("%+v: length %d/%d", c, num, den)
		}
		if v.MusicXML() != c.Type {
			t.Errorf("%+v: type %q", c, v.MusicXML())
		}
		if back, err := tempo.ParseNoteValue(v.String()); err != nil || back != v {
			t.Errorf("%v is read as %v, %v", v, back, err)
		}
	}
	for _, c := range []struct {
		noteType             string
		dots, actual, normal int
	}{{"sixteenth", 0, 0, 0}, {"", 0, 0, 0}, {"16th", 5, 0, 0}, {"16th", -1, 0, 0}, {"16th", 0, 3, 0}, {"16th", 0, -3, 2}, {"16th", 0, 300, 2}} {
		if v, err := tempo.FromMusicXML(c.noteType, c.dots, c.actual, c.normal); err == nil {
			t.Errorf("%+v is read as %v", c, v)
		}
	}
}

func TestParseNoteValue(t *testing.T) {
	for _, c := range []struct {
		in       string
		text     string
		num, den int64
	}{
		{"16", "16", 1, 4}, {"1/16", "16", 1, 4}, {"16th", "16", 1, 4}, {"Sixteenth", "16", 1, 4}, {" 16 ", "16", 1, 4},
		{"8.", "8.", 3, 4}, {"8..", "8..", 7, 8}, {"eighth.", "8.", 3, 4}, {"quarter", "4", 1, 1}, {"4", "4", 1, 1},
		{"8t", "8t", 1, 3}, {"eightht", "8t", 1, 3}, {"8.t", "8.t", 1, 2}, {"16(6:4)", "16(6:4)", 1, 6},
		{"8(3:2)", "8t", 1, 3}, {"16(5:4)", "16(5:4)", 1, 5}, {"quartert", "4t", 2, 3}, {"1", "1", 4, 1}, {"whole", "1", 4, 1},
		{"half", "2", 2, 1}, {"breve", "breve", 8, 1}, {"long.", "long.", 24, 1}, {"maxima", "maxima", 32, 1},
		{"32nd", "32", 1, 8}, {"thirty-second", "32", 1, 8}, {"1024", "1024", 1, 256}, {"1/64th", "64", 1, 16},
	} {
		v, err := tempo.ParseNoteValue(c.in)
		if err != nil {
			t.Errorf("%q: %v", c.in, err)
			continue
		}
		if num, den := v.Fraction(); num != c.num || den != c.den || v.String() != c.text {
			t.Errorf("%q is %v of %d/%d, want %s of %d/%d", c.in, v, num, den, c.text, c.num, c.den)
		}
	}
	for _, in := range []string{
		"", "t", ".", "3", "12", "2048", "1/3", "8tt", "8.....", "8(3:2", "8(3)", "8(0:2)", "8(3:-2)", "8t(3:2)", "8x", "-8", "crotchits", "0",
	} {
		if v, err := tempo.ParseNoteValue(in); err == nil {
			t.Errorf("%q is read as %v", in, v)
		}
	}
}

// TestNoteWords reads note values as musicians write them. The British names
// and what a tuplet without a ratio stands for are common practice.
func TestNoteWords(t *testing.T) {
	for _, c := range []struct{ in, text string }{
		{"sixteenths", "16"}, {"16ths", "16"}, {"Sixteenth notes", "16"}, {"32nds", "32"}, {"thirty-seconds", "32"}, {"thirty second notes", "32"},
		{"sixty-fourths", "64"}, {"halves", "2"}, {"half notes", "2"}, {"wholes", "1"},
		{"eighth triplets", "8t"}, {"triplet eighths", "8t"}, {"8th triplet", "8t"}, {"8 triplet", "8t"}, {"quarter-note triplets", "4t"},
		{"sextuplet sixteenths", "16(6:4)"}, {"sextuplets", "16(6:4)"}, {"16 sextuplet", "16(6:4)"}, {"sextuplet 8ths", "8(6:4)"},
		{"quintuplet sixteenths", "16(5:4)"}, {"quintuplets", "16(5:4)"}, {"septuplet", "16(7:4)"}, {"32nd nonuplet", "32(9:8)"},
		{"dotted eighth", "8."}, {"dotted eighths", "8."}, {"eighths dotted", "8."}, {"double dotted quarter", "4.."}, {"double-dotted quarters", "4.."},
		{"triple dotted half", "2..."}, {"dotted eighth triplets", "8.t"}, {"8. triplet", "8.t"}, {"eighths(3:2)", "8t"}, {"sixteenths (5:4)", "16(5:4)"},
		{"semibreve", "1"}, {"minims", "2"}, {"crotchet", "4"}, {"quavers", "8"}, {"semiquavers", "16"}, {"demisemiquaver", "32"}, {"demi-semi-quavers", "32"},
		{"hemidemisemiquavers", "64"}, {"dotted crotchet", "4."}, {"quaver triplets", "8t"},
	} {
		v, err := tempo.ParseNoteValue(c.in)
		if err != nil || v.String() != c.text {
			t.Errorf("%q is %v, %v, want %s", c.in, v, err, c.text)
			continue
		}
		if back, err := tempo.ParseNoteValue(v.String()); err != nil || back != v {
			t.Errorf("%q: %v is read as %v, %v", c.in, v, back, err)
		}
	}
	// Errors say what was not understood and give examples.
	for _, c := range []struct{ in, want string }{
		{"triplets", "of which note"}, {"nonuplet", "of which note"}, {"duplet quavers", `"duplet"`}, {"sixteens", `"sixteens"`},
		{"eighth quarters", `"quarters" comes after "eighth"`}, {"triplet sextuplets", `comes after "triplet"`}, {"double quarter", `before "dotted"`},
		{"dotted dotted eighth", `"dotted"`}, {"dotted 8.", "twice"}, {"eighth triplets(3:2)", "twice"}, {"dotted", "no note"}, {"notes", "no note"},
		{"quarter double", `before "dotted"`}, {"eighth-", "hyphen"}, {"five", `"five"`},
	} {
		v, err := tempo.ParseNoteValue(c.in)
		if err == nil {
			t.Errorf("%q is read as %v", c.in, v)
			continue
		}
		if msg := err.Error(); !strings.Contains(msg, c.want) || !strings.Contains(msg, "rite for example") {
			t.Errorf("%q: %q, want %q and examples", c.in, msg, c.want)
		}
	}
}

func TestNoteValueText(t *testing.T) {
	type setting struct{ Note tempo.NoteValue }
	text, err := json.Marshal(setting{tempo.Sextuplet})
	if err != nil || string(text) != `{"Note":"16(6:4)"}` {
		t.Errorf("%s, %v", text, err)
	}
	var s setting
	if err := json.Unmarshal([]byte(`{"Note":"8t"}`), &s); err != nil || s.Note != tempo.EighthTriplet {
		t.Errorf("%v, %v", s, err)
	}
	if err := json.Unmarshal([]byte(`{"Note":"9"}`), &s); err == nil || s.Note != tempo.EighthTriplet {
		t.Errorf("a ninth note: %v, %v", s, err)
	}
	bad := tempo.NoteValue{Halvings: 9}
	if _, err := json.Marshal(setting{bad}); err == nil {
		t.Error("a note that cannot be written is written")
	}
	if num, den := bad.Fraction(); num != 0 || den != 1 || bad.MusicXML() != "" || bad.String() != "NoteValue(9,0,0:0)" {
		t.Errorf("%v: %d/%d, %q", bad, num, den, bad.MusicXML())
	}
}

// TestNotesPerSecond holds the arithmetic of common practice.
func TestNotesPerSecond(t *testing.T) {
	for _, c := range []struct {
		bpm  tempo.BPM
		note tempo.NoteValue
		want tempo.NotesPerSecond
		hz   float64
	}{
		{165, tempo.Sixteenth, 11, 5.5},
		{200, tempo.Sixteenth, 40. / 3, 20. / 3},
		{120, tempo.Eighth, 4, 2},
		{120, tempo.EighthTriplet, 6, 3},
		{140, tempo.NoteValue{Halvings: 2, Actual: 5, Normal: 4}, 35. / 3, 35. / 6},
		{150, tempo.Sextuplet, 15, 7.5},
		{240, tempo.ThirtySecond, 32, 16},
		{60, tempo.Quarter, 1, 0.5},
	} {
		got := c.bpm.NotesPerSecond(c.note)
		if !near(float64(got), float64(c.want), 1e-15) || !near(got.Hz(), c.hz, 1e-15) || tempo.FromHz(got.Hz()) != got {
			t.Errorf("%v of %v: %v, %v Hz, want %v, %v", c.bpm, c.note, got, got.Hz(), c.want, c.hz)
		}
		if back := got.BPM(c.note); !near(float64(back), float64(c.bpm), 1e-15) {
			t.Errorf("%v of %v: back to %v", c.bpm, c.note, back)
		}
	}
	dotted := func(h int) tempo.NoteValue { return tempo.NoteValue{Halvings: h, Dots: 1} }
	for _, c := range []struct { // MusicXML metronome marks and their sound tempo
		beat      tempo.NoteValue
		perMinute float64
		want      tempo.BPM
	}{
		{tempo.Eighth, 240, 120}, {dotted(0), 80, 120}, {tempo.NoteValue{Halvings: -1}, 60, 120}, {dotted(1), 160, 120},
		{dotted(-1), 40, 120}, {tempo.Sixteenth, 660, 165},
	} {
		if got := tempo.Marked(c.beat, c.perMinute); got != c.want {
			t.Errorf("%v = %v: %v, want %v", c.beat, c.perMinute, got, c.want)
		}
		if got := c.want.In(c.beat); !near(got, c.perMinute, 1e-15) {
			t.Errorf("%v in %v: %v, want %v", c.want, c.beat, got, c.perMinute)
		}
	}
	if got := tempo.Sixteenth.NotesPerBeat(dotted(0)); got != 6 {
		t.Errorf("%v sixteenths in a dotted quarter", got)
	}
}

func TestSetTempo(t *testing.T) {
	for _, c := range load(t).SetTempo {
		us, err := tempo.BPM(c.BPM).Micros()
		if err != nil || us != c.Micros {
			t.Errorf("%v BPM: %d, %v, want %d", c.BPM, us, err, c.Micros)
		}
		if back := float64(tempo.FromMicros(us)); math.Abs(back-c.BPM) > 60e6/float64(us)*0.5/float64(us) {
			t.Errorf("%v BPM comes back as %v", c.BPM, back)
		}
	}
	// What holds in a Standard MIDI File without a set-tempo event.
	if got := tempo.FromMicros(500_000); got != 120 {
		t.Errorf("default is %v", got)
	}
	for _, b := range []tempo.BPM{0, -120, 3.5, tempo.BPM(math.NaN()), tempo.BPM(math.Inf(1)), 2e8} {
		if us, err := b.Micros(); err == nil {
			t.Errorf("%v BPM is %d", b, us)
		}
	}
}
