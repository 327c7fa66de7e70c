package main

import (
	"encoding/json"
	"fmt"
	"path/filepath"

	"github.com/plectrace/plectrace/examples/internal/cli"
	"github.com/plectrace/plectrace/motion/cycle"
	"github.com/plectrace/plectrace/motion/review"
)

// mayKeep refuses a place for the reference motion at which it would stand in
// the way of what is read or written otherwise.
func mayKeep(f *flags, t *take) error {
	name := f.keepReference
	if name == "" {
		return nil
	}
	for _, other := range []struct{ name, what string }{
		{t.name, "the export that is read"},
		{t.settings, "the settings file"},
		{f.onsets, "the list of onsets"},
		{f.reference, "the reference motion to compare with"},
	} {
		if other.name != "" && cli.SameFile(name, other.name) {
			return cli.Input(fmt.Errorf("cannot keep the reference motion in %s: it is %s", name, other.what), "choose another name with -keep-reference")
		}
	}
	if dir := f.folder(t); cli.Inside(name, dir) {
		return cli.Input(fmt.Errorf("cannot keep the reference motion in %s: the review's folder %s is replaced as a whole", name, dir), "choose a place beside it with -keep-reference")
	}
	return nil
}

// stageReference writes the settled motion of the take as a reference, still
// beside its place: a run that fails after it leaves nothing.
func stageReference(r *review.Review, t *take, f *flags) (*cli.Staged, error) {
	if f.keepReference == "" {
		return nil, nil
	}
	ref, err := r.KeepReference("the longest settled span of "+filepath.Base(t.name), cycle.Margins{})
	if err != nil {
		return nil, cli.Input(fmt.Errorf("%s: %w", t.name, err), "a reference needs a take with a settled span")
	}
	data, err := ref.JSON()
	if err != nil {
		return nil, cli.Input(fmt.Errorf("%s: %w", t.name, err), "")
	}
	return cli.StageFile(f.keepReference, data, f.force, isReference)
}

// isReference reports whether a file holds a reference motion.
func isReference(data []byte) bool {
	var file struct{ Schema string }
	err := json.Unmarshal(data, &file)
	return err == nil && file.Schema == cycle.ReferenceSchema
}
