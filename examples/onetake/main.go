// Command onetake reviews one take: it reads a tracking export, prints a short
// summary in plain words, and writes a folder with page.html, details.html,
// strokes.csv, spans.csv and review.json. Of a folder it reviews every export, and
// writes an index of their pages. Without an argument it reviews a bundled demo take.
package main

import (
	"context"
	"errors"
	"fmt"
	"io"
	"os"
	"os/signal"
	"slices"
	"strconv"
	"syscall"

	"github.com/plectrace/plectrace/examples/internal/cli"
	"github.com/plectrace/plectrace/examples/internal/measured"
	"github.com/plectrace/plectrace/examples/internal/onepage"
	"github.com/plectrace/plectrace/motion/cohort"
)

var program = cli.Program{
	Name: "onetake",
	Does: "Reviews one take of picking: reads the coordinates that a tracker exported, says in plain words what was measured, and writes a folder with a page, tables and a machine-readable review. Of a FOLDER it reviews every export in it, and writes an index of their pages. Without either it reviews a bundled demo take.",
	Usage: []string{
		"[flags] [FILE]",
		"[flags] FOLDER                 review every export in it",
		"-check [flags] [FILE]          say what this set-up can and cannot measure",
		"-write-settings [flags] FILE   write a starter for the settings file",
	},
	Examples: []string{
		"",
		"-tip tip -bass 212,640 -treble 690,655 -distance-mm 42 lesson.csv",
		"-check -rate 240 -tip pick_tip -bass bass -treble treble -distance-mm 26 lesson.csv",
		"-card card_1+card_2+card_3+card_4 -touch-s 2.5 -touch-string 2 -strings 4 -landmarks wrist=wrist lesson.csv",
		"-captions -captions-offset 12.5 -notebook -out lesson lesson.csv",
		"-distance-mm 42 -task one-string -out evening evening-takes",
	},
	Groups: []cli.Group{
		cli.CommonGroup("captions", "captions-offset", "check", "write-settings", "settings"),
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
		"What the program must know comes from flags, or from small JSON files beside the export: folder.take.json for all exports of that folder, and NAME.take.json for NAME.csv, which wins key by key; a key that is empty says nothing; flags win over both. What is left open is guessed from the header where that is safe, and every guess is printed.",
		"The export is delimited text (comma, semicolon, tab) with a column for each axis of each point, such as tip_x and tip_y, and a time column or -rate. Missing samples are empty or nan.",
		"A mark is the name of a tracked point, or fixed picture coordinates x,y. The bass mark lies on the string plane on the side of the lowest-pitched string, the treble mark on the other; -distance-mm is the distance between them, measured on the instrument.",
		"Of a FOLDER every export gets a folder of its own in FOLDER-review, with index.html beside them: open that. Which of its files are exports shows in their content; what is passed over is listed with the reason. An export that cannot be reviewed is reported, the others are reviewed all the same, and the program ends with the exit code 1. Folders within it are not looked into.",
		onepage.CaptionsNote,
		settingsNote,
		"Fast repeated motion can hurt. Stop at pain, numbness or tingling, rest, and see a clinician if it stays. Nothing here is medical advice.",
	},
	Samples: []cli.Sample{settingsSample},
}

func main() { cli.Main(program, run) }

// run is the program: args are those of the command line, without its name.
func run(args []string, out io.Writer) error { return runWith(args, out, os.Stderr) }

// runWith is run with a place for what is wrong with single takes of a folder.
func runWith(args []string, out, complaints io.Writer) error {
	f := newFlags()
	rest, err := program.Parse(f.set, args, out)
	if err != nil {
		return err
	}
	if err := f.agree(); err != nil {
		return err
	}
	switch {
	case len(rest) > 1:
		return cli.Usage(fmt.Errorf("%s given", measured.Count(len(rest), "file")), "give one file, or the folder that holds them")
	case len(rest) == 0 && f.starter:
		return cli.Usage(errors.New("no file given"), "name the export that the settings are for")
	case len(rest) == 0:
		src, err := demo(f)
		if err != nil {
			return err
		}
		return reviewOne(src, f, out)
	}
	if info, err := os.Stat(rest[0]); err == nil && info.IsDir() {
		ctx, stop := signal.NotifyContext(context.Background(), os.Interrupt, syscall.SIGTERM)
		defer stop()
		context.AfterFunc(ctx, stop) // the second one ends the program at once
		return reviewFolder(ctx, rest[0], f, out, complaints)
	}
	src, err := open(rest[0], f, f.layers(rest[0]))
	if err != nil {
		return err
	}
	return reviewOne(src, f, out)
}

// reviewOne reviews a take, writes its folder and prints the summary; or it does what
// -check or -write-settings ask for.
func reviewOne(src *source, f *flags, out io.Writer) error {
	words := f.Words(out)
	for _, n := range src.Notes {
		fmt.Fprintln(words, n)
	}
	if f.starter {
		return writeStarter(src, f, words)
	}
	dir := f.Folder(src.base + "-review")
	o, err := prepare(src, f, dir)
	if err != nil {
		return err
	}
	m := f.Meter("Reviewing " + src.Name)
	defer m.End()
	said := len(src.Notes)
	rec, err := src.recording()
	if err != nil {
		return err
	}
	if f.check {
		m.End()
		for _, n := range src.Notes[said:] {
			fmt.Fprintln(words, n)
		}
		return check(rec, src, f, out)
	}
	r, err := src.review(rec, o)
	if err != nil {
		return err
	}
	kept, err := stageReference(r, src, f)
	if err != nil {
		return err
	}
	defer kept.Discard()
	var names []string
	if dir != "" {
		if names, err = writeReview(dir, r, src, f); err != nil {
			return err
		}
	}
	if err := kept.Commit(); err != nil {
		return err
	}
	m.End()
	if err := printReview(r, f, out); err != nil {
		return err
	}
	for _, line := range slices.Concat(src.Notes[said:], onepage.Summary(r, src.About)) {
		fmt.Fprintln(words, line)
	}
	if dir != "" {
		fmt.Fprintf(words, "\nWritten: %s with page.html (open it in a browser), %s.\n", dir, measured.Join(names[1:]))
	}
	if f.keepReference != "" {
		fmt.Fprintf(words, "Written: %s, the motion of the longest settled span. Compare other takes with -reference %[1]s\n", f.keepReference)
	}
	return nil
}

// writeStarter writes the settings as far as they are known.
func writeStarter(src *source, f *flags, words io.Writer) error {
	name := f.settings
	if name == "" {
		name = cohort.SettingsName(src.Name)
	}
	data, err := src.setup.Starter()
	if err != nil {
		return err
	}
	if err := cli.WriteFile(name, data, f.Force); err != nil {
		return err
	}
	fmt.Fprintf(words, "Written: %s. Fill in what is empty, change what does not fit, then run %s %s\n", name, program.Name, strconv.Quote(src.Name))
	return nil
}
