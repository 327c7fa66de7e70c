package cli

import (
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
)

// WriteFile writes one file, whole or not at all, and refuses to replace one
// that is there unless force is set.
func WriteFile(name string, data []byte, force bool) error {
	fail := func(err error, next string) error {
		return Input(fmt.Errorf("cannot write %s: %w", name, plain(err)), next)
	}
	if _, err := os.Lstat(name); err == nil && !force {
		return fail(errors.New("it is there already"), "replace it with -force, or move it away")
	} else if err != nil && !errors.Is(err, fs.ErrNotExist) {
		return fail(err, "choose another place")
	}
	temp, err := os.CreateTemp(filepath.Dir(name), ".writing-")
	if err != nil {
		return fail(err, "choose another place")
	}
	_, err = temp.Write(data)
	err = errors.Join(err, temp.Chmod(0o666&^0o022), temp.Close())
	if err == nil {
		err = os.Rename(temp.Name(), name)
	}
	if err != nil {
		os.Remove(temp.Name())
		return fail(err, "choose another place")
	}
	return nil
}
