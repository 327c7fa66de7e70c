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
func mayKeep(f *flags, src *source, dir string) error {
	name := f.keepReference
	if name == "" {
		return nil
	}
	type read struct{ name, what string }
	others := []read{{src.Name, "the export that is read"}, {f.onsets, "the list of onsets"}, {f.reference, "the reference motion to compare with"}}
	for _, s := range src.settings {
		others = append(others, read{s, "the settings file"})
	}
	for _, other := range others {
		if other.name != "" && cli.SameFile(name, other.name) {
			return cli.Input(fmt.Errorf("cannot keep the reference motion in %s: it is %s", name, other.what), "choose another name with -keep-reference")
		}
	}
	if dir != "" && cli.Inside(name, dir) {
		return cli.Input(fmt.Errorf("cannot keep the reference motion in %s: the review's folder %s is replaced as a whole", name, dir), "choose a place beside it with -keep-reference")
	}
	return nil
}

// stageReference writes the settled motion of the take as a reference, still
// beside its place: a run that fails after it leaves nothing.
func stageReference(r *review.Review, src *source, f *flags) (*cli.Staged, error) {
	if f.keepReference == "" {
		return nil, nil
	}
	ref, err := r.KeepReference("the longest settled span of "+filepath.Base(src.Name), cycle.Margins{})
	if err != nil {
		return nil, cli.Input(fmt.Errorf("%s: %w", src.Name, err), "a reference needs a take with a settled span")
	}
	data, err := ref.JSON()
	if err != nil {
		return nil, cli.Input(fmt.Errorf("%s: %w", src.Name, err), "")
	}
	return cli.StageFile(f.keepReference, data, f.Force, isReference)
}

// isReference reports whether a file holds a reference motion.
func isReference(data []byte) bool {
	var file struct{ Schema string }
	err := json.Unmarshal(data, &file)
	return err == nil && file.Schema == cycle.ReferenceSchema
}
