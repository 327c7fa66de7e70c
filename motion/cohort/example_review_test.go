package cohort_test

import (
	"bytes"
	"fmt"
	"io"
	"io/fs"
	"path/filepath"
	"strings"

	"github.com/plectrace/plectrace/motion/cohort"
	"github.com/plectrace/plectrace/motion/progress"
	"github.com/plectrace/plectrace/testdata"
)

func ExampleReview() {
	export, settings, err := testdata.Take("beginner-2")
	if err != nil {
		fmt.Println(err)
		return
	}
	open := func(name string) (io.ReadCloser, error) {
		switch name {
		case "p01.csv":
			return io.NopCloser(bytes.NewReader(export)), nil
		case cohort.SettingsName("p01.csv"):
			return io.NopCloser(bytes.NewReader(settings)), nil
		}
		return nil, fs.ErrNotExist
	}
	take := cohort.Review(progress.Take{Player: "P01", File: "p01.csv"}, open, cohort.Options{})
	fmt.Printf("%d strokes, %.1f strokes a second\n", take.Strokes, take.Value("notes_per_second").Value)
	fmt.Println(len(take.Review.Spans), "spans")
	// Output:
	// 162 strokes, 8.2 strokes a second
	// 6 spans
}

func ExampleSettings() {
	files := map[string]string{
		"tuesday/folder.take.json": `{"tip": "tip", "rate": 240}`,
		"tuesday/p01.take.json":    `{"rate": 120}`,
	}
	open := func(name string) (io.ReadCloser, error) {
		text, ok := files[filepath.ToSlash(name)]
		if !ok {
			return nil, fs.ErrNotExist
		}
		return io.NopCloser(strings.NewReader(text)), nil
	}
	for _, export := range []string{"tuesday/p01.csv", "tuesday/p02.csv", "friday/p01.csv"} {
		s, found, err := cohort.Settings(open, cohort.SettingsNames(export)...)
		fmt.Printf("%s: tip %q, %g frames/s, from %d files, %v\n", export, s.Tip, s.Rate, len(found), err)
	}
	// Output:
	// tuesday/p01.csv: tip "tip", 120 frames/s, from 2 files, <nil>
	// tuesday/p02.csv: tip "tip", 240 frames/s, from 1 files, <nil>
	// friday/p01.csv: tip "", 0 frames/s, from 0 files, <nil>
}
