package main

import (
	"bytes"
	"io"

	"github.com/plectrace/plectrace/examples/internal/cli"
	"github.com/plectrace/plectrace/examples/internal/onepage"
	"github.com/plectrace/plectrace/motion/cues"
	"github.com/plectrace/plectrace/motion/review"
)

// writeReview writes the folder of a review, and returns the names of its files.
func writeReview(dir string, r *review.Review, src *source, f *flags) ([]string, error) {
	also := onepage.Also{Notebook: f.Notebook}
	if f.captions {
		also.Captions = &cues.Options{Offset: f.offset}
	}
	out, err := onepage.Outputs(r, src.About, also)
	if err != nil {
		return nil, src.bad(err, "see -captions-offset")
	}
	files, err := cli.Files(out)
	if err != nil {
		return nil, err
	}
	return cli.Names(out), cli.WriteFolder(dir, files, f.Force, onepage.Names...)
}

// printReview prints the review as JSON, if that is asked for.
func printReview(r *review.Review, f *flags, out io.Writer) error {
	if !f.JSON {
		return nil
	}
	var b bytes.Buffer
	if err := r.WriteJSON(&b); err != nil {
		return err
	}
	return f.PrintJSON(out, b.Bytes())
}
