package cohort_test

import (
	"bytes"
	"fmt"
	"io"
	"io/fs"

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
