// Command onetake reviews one take: it reads a tracking export, prints a short
// summary in plain words, and writes a folder with page.html, strokes.csv,
// spans.csv and review.json. Without a file it reviews a bundled demo take.
package main

import (
	"bytes"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"path/filepath"
	"strconv"
	"strings"

	"github.com/plectrace/plectrace/examples/internal/cli"
	"github.com/plectrace/plectrace/examples/internal/measured"
	"github.com/plectrace/plectrace/motion/cohort"
	"github.com/plectrace/plectrace/motion/contact"
	"github.com/plectrace/plectrace/motion/cycle"
	"github.com/plectrace/plectrace/motion/review"
	"github.com/plectrace/plectrace/testdata"
	"github.com/plectrace/plectrace/trajectory"
	"github.com/plectrace/plectrace/trajectory/tracks"
)

var program = cli.Program{
	Name: "onetake",
	Does: "Reviews one take of picking: reads the coordinates that a tracker exported, says in plain words what was measured, and writes a folder with a page, tables and a machine-readable review. Without FILE it reviews a bundled demo take.",
	Usage: []string{
		"[flags] [FILE]",
		"-check [flags] [FILE]          say what this set-up can and cannot measure",
		"-write-settings [flags] FILE   write a starter for the settings file",
	},
	Examples: []string{
		"",
		"-tip tip -bass 212,640 -treble 690,655 -distance-mm 42 lesson.csv",
		"-check -rate 240 -tip pick_tip -bass bass -treble treble -distance-mm 26 lesson.csv",
		"-card card_1+card_2+card_3+card_4 -touch-s 2.5 -touch-string 2 -strings 4 -landmarks wrist=wrist lesson.csv",
	},
	Groups: []cli.Group{
		{Title: "What to write, and where:", Flags: []string{"out", "force", "check", "write-settings", "settings"}},
		{Title: "What was tracked:", Flags: []string{"tip", "tip-is", "bass", "treble", "nut", "distance-mm", "marks-elsewhere", "unit", "min-confidence"}},
		{Title: "Time:", Flags: []string{"rate", "time", "time-unit", "slowed-by", "exposure-s", "tempo-bpm", "tempo-note", "click-s"}},
		{Title: "How it was filmed (signs):", Flags: []string{"view", "y-up", "left-handed", "mirrored", "from-neck", "outward"}},
		{Title: theCamera + ":", Flags: []string{"card", "raise-deg", "skew-deg", "setup"}},
		{Title: theStrings + ":", Flags: []string{"strings", "pair-gap-mm", "crown-radius-mm", "string-played", "touch-s", "touch-string", "onsets", "onset-lag-s"}},
		{Title: theHand + ":", Flags: []string{"landmarks", "pick-points"}},
		{Title: "The player:", Flags: []string{"task", "comfort"}},
		{Title: "A motion to compare with:", Flags: []string{"reference", "keep-reference"}},
	},
	Notes: []string{
		"What the program must know comes from flags, or from a small JSON file beside the export, NAME.take.json for NAME.csv; flags win. What is left open is guessed from the header where that is safe, and every guess is printed.",
		"The export is delimited text (comma, semicolon, tab) with a column for each axis of each point, such as tip_x and tip_y, and a time column or -rate. Missing samples are empty or nan.",
		"A mark is the name of a tracked point, or fixed picture coordinates x,y. The bass mark lies on the string plane on the side of the lowest-pitched string, the treble mark on the other; -distance-mm is the distance between them, measured on the instrument.",
		settingsNote,
		"Fast repeated motion can hurt. Stop at pain, numbness or tingling, rest, and see a clinician if it stays. Nothing here is medical advice.",
	},
	Samples: []cli.Sample{settingsSample},
}

func main() { cli.Main(program, run) }

// run is the program: args are those of the command line, without its name.
func run(args []string, out io.Writer) error {
	f := newFlags()
	rest, err := program.Parse(f.set, args, out)
	if err != nil {
		return err
	}
	switch {
	case len(rest) > 1:
		return cli.Usage(fmt.Errorf("%s given", measured.Count(len(rest), "file")), "give one file: one take at a time")
	case len(rest) == 0 && f.starter:
		return cli.Usage(errors.New("no file given"), "name the export that the settings are for")
	}
	var t *take
	if len(rest) == 0 {
		t, err = demo(f)
	} else {
		t, err = open(rest[0], f)
	}
	if err != nil {
		return err
	}
	t.player = f.player
	for _, n := range t.notes {
		fmt.Fprintln(out, n)
	}
	if f.starter {
		return writeStarter(t, f, out)
	}
	if err := t.setup.Validate(); err != nil {
		return cli.Input(fmt.Errorf("%s: %w", t.name, err), nextStep(err, "see "+program.Name+" -h, or start from the file that -write-settings makes"))
	}
	said := len(t.notes)
	rec, err := t.read()
	if err != nil {
		return badExport(err)
	}
	for _, n := range t.notes[said:] {
		fmt.Fprintln(out, n)
	}
	if f.check {
		return check(rec, t, out)
	}
	if err := mayKeep(f, t); err != nil {
		return err
	}
	o, err := beside(f)
	if err != nil {
		return err
	}
	r, err := review.Run(rec, t.setup, o)
	if err != nil {
		return cli.Input(fmt.Errorf("%s: %w", t.name, err), nextStep(err, ""))
	}
	files, err := cli.Files(outputs(r, t))
	if err != nil {
		return err
	}
	kept, err := stageReference(r, t, f)
	if err != nil {
		return err
	}
	defer kept.Discard()
	dir := f.folder(t)
	if err := cli.WriteFolder(dir, files, f.force); err != nil {
		return err
	}
	if err := kept.Commit(); err != nil {
		return err
	}
	for _, line := range summary(r, t.player) {
		fmt.Fprintln(out, line)
	}
	fmt.Fprintf(out, "\nWritten: %s with page.html (open it in a browser), strokes.csv, spans.csv and review.json.\n", dir)
	if f.keepReference != "" {
		fmt.Fprintf(out, "Written: %s, the motion of the longest settled span. Compare other takes with -reference %[1]s\n", f.keepReference)
	}
	return nil
}

// folder is where the review goes.
func (f *flags) folder(t *take) string {
	if f.out != "" {
		return f.out
	}
	return t.base + "-review"
}

// take is an export with what is known about it.
type take struct {
	name, base string // of the export; without folder and ending
	settings   string // the file they were read from, if there was one
	setup      review.Setup
	notes      []string
	open       func() (io.ReadCloser, error)
	timed      bool // the export has a time column
	player     player
}

// demo is the bundled take of a beginner. Flags win over its settings too: what
// a wrong sign does is worth a look.
func demo(f *flags) (*take, error) {
	const name = "beginner-1"
	data, settings, err := testdata.Take(name)
	if err != nil {
		return nil, err
	}
	s, err := review.ParseSetup(bytes.NewReader(settings))
	if err != nil {
		return nil, fmt.Errorf("the demo's settings: %w", err)
	}
	t := &take{
		name: name + ".csv", base: "demo", setup: s, timed: true,
		notes: []string{
			"Demo: a beginner's first take in an invented evening class of a plectrum orchestra. No real player was measured.",
		},
		open: func() (io.ReadCloser, error) { return io.NopCloser(bytes.NewReader(data)), nil },
	}
	f.apply(&t.setup)
	return t, nil
}

// open looks at the export and gathers its settings: file, flags, guesses.
func open(name string, f *flags) (*take, error) {
	t := &take{name: name, base: strings.TrimSuffix(filepath.Base(name), filepath.Ext(name))}
	t.open = func() (io.ReadCloser, error) { return os.Open(name) }
	switch info, err := os.Stat(name); {
	case errors.Is(err, fs.ErrNotExist):
		return nil, cli.Input(fmt.Errorf("there is no file %q", name), "check the name and the folder")
	case err == nil && info.IsDir():
		return nil, cli.Input(fmt.Errorf("%q is a folder", name), "name the export in it")
	}
	layout, err := tracks.InspectFile(name)
	if err != nil {
		return nil, badExport(err)
	}
	t.timed = layout.Time != ""
	if err := t.readSettings(name, f); err != nil {
		return nil, err
	}
	f.apply(&t.setup)
	spatial := false
	for _, c := range layout.Columns {
		spatial = spatial || c.Axis == "z"
	}
	var notes []string
	t.setup, notes = t.setup.Guess(layout.Points, spatial)
	t.notes = append(t.notes, notes...)
	if t.timed && f.rate && t.setup.Time != "-" {
		t.notes = append(t.notes, fmt.Sprintf("The export has a column of times (%s), so -rate is not used; -time - does without that column.", layout.Time))
	}
	for _, c := range layout.Columns {
		if layout.Format == tracks.FormatC3D && c.Role == tracks.RoleOther {
			t.notes = append(t.notes, fmt.Sprintf("%q in the export is not a position, and is left out.", c.Name))
		}
	}
	switch points := quoted(layout.Points); {
	case t.setup.Tip != "":
	case f.starter: // to be filled in
		t.notes = append(t.notes, "It is not clear which point is the tip: the export holds "+points+".")
	default:
		return nil, cli.Input(fmt.Errorf("%s: it is not clear which point is the tip", name),
			"name it with -tip; the export holds "+points)
	}
	return t, nil
}

// quoted lists the names of points, quoted, a dozen at most.
func quoted(names []string) string {
	var q []string
	for i, n := range names {
		if i == 12 {
			q = append(q, fmt.Sprintf("and %d more", len(names)-i))
			break
		}
		q = append(q, strconv.Quote(n))
	}
	if len(q) == 0 {
		return "no point that has both x and y"
	}
	return strings.Join(q, ", ")
}

// badExport returns an error of the reader as a failure of the input. Where a
// flag helps, the next step names it.
func badExport(err error) error {
	var e *tracks.Error
	if !errors.As(err, &e) {
		return cli.Input(err, "check the file")
	}
	next := map[string]string{
		"rate":       "say -rate FRAMES or -time NAME",
		"time-unit":  "say -time-unit UNIT",
		"column":     "see -time",
		"point":      "see -tip, -bass, -treble, -nut, -card, -landmarks and -pick-points",
		"unit":       "see -unit",
		"confidence": "see -min-confidence",
		"read":       "check that the file can be read",
	}[e.Rule]
	return cli.Input(e, next)
}

// readSettings reads the settings file, if there is one.
func (t *take) readSettings(name string, f *flags) error {
	file := f.settings
	if file == "" {
		file = cohort.SettingsName(name)
	}
	data, err := cli.ReadFile(file, "settings", "check the name given with -settings")
	switch {
	case errors.Is(err, fs.ErrNotExist) && (f.settings == "" || f.starter):
		return nil
	case err != nil:
		return err
	}
	s, err := review.ParseSetup(bytes.NewReader(data))
	if err != nil {
		return cli.Input(fmt.Errorf("%s: %w", file, err), nextStep(err, "compare it with the starter that -write-settings makes"))
	}
	t.settings = file
	t.setup = s
	t.notes = append(t.notes, "Settings from "+file+".")
	return nil
}

// read reads the points that the settings name.
func (t *take) read() (*trajectory.Recording, error) {
	in, err := t.open()
	if err != nil {
		return nil, err
	}
	defer in.Close()
	o, note := t.setup.Tracks(t.timed)
	if note != "" {
		t.notes = append(t.notes, note)
	}
	o.Source = t.name
	return tracks.Read(in, o)
}

// beside reads what lies beside the export: onsets and a reference motion.
func beside(f *flags) (review.Options, error) {
	var o review.Options
	read := func(name, what, next string, parse func(io.Reader) error) error {
		if name == "" {
			return nil
		}
		data, err := cli.ReadFile(name, what, "check the name and the folder")
		if err != nil {
			return err
		}
		if err := parse(bytes.NewReader(data)); err != nil {
			return cli.Input(fmt.Errorf("%s: %w", name, err), next)
		}
		return nil
	}
	err := read(f.onsets, "onsets", hint(theStrings), func(r io.Reader) (err error) {
		if o.Onsets, err = contact.ReadOnsets(r); o.Onsets == nil {
			o.Onsets = []contact.Onset{}
		}
		return err
	})
	if err != nil {
		return o, err
	}
	return o, read(f.reference, "reference motion", "give a file that -keep-reference wrote", func(r io.Reader) error {
		ref, err := cycle.ParseReference(r)
		o.Reference = &ref
		return err
	})
}

// writeStarter writes the settings as far as they are known.
func writeStarter(t *take, f *flags, out io.Writer) error {
	name := f.settings
	if name == "" {
		name = cohort.SettingsName(t.name)
	}
	data, err := t.setup.Starter()
	if err != nil {
		return err
	}
	if err := cli.WriteFile(name, data, f.force); err != nil {
		return err
	}
	fmt.Fprintf(out, "Written: %s. Fill in what is empty, change what does not fit, then run %s %s\n", name, program.Name, strconv.Quote(t.name))
	return nil
}

// check says what the set-up can and cannot measure.
func check(rec *trajectory.Recording, t *take, out io.Writer) error {
	findings, err := review.Check(rec, t.setup, review.Options{})
	if err != nil {
		return cli.Input(fmt.Errorf("%s: %w", t.name, err), nextStep(err, ""))
	}
	for _, list := range []struct {
		title string
		holds func(review.Finding) bool
	}{
		{"This set-up can measure:", func(f review.Finding) bool { return f.Can }},
		{"It cannot measure:", func(f review.Finding) bool { return !f.Can && !f.Aside }},
		{"About this take:", func(f review.Finding) bool { return f.Aside }},
	} {
		first := true
		for _, f := range findings {
			if !list.holds(f) {
				continue
			}
			if first {
				fmt.Fprintf(out, "\n%s\n", list.title)
				first = false
			}
			fmt.Fprintf(out, "- %s: %s.\n", f.What, f.Why)
		}
	}
	return nil
}
