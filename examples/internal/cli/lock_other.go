//go:build !(linux || darwin || freebsd || netbsd || openbsd || dragonfly)

package cli

import (
	"errors"
	"os"
)

// lockFolder is not at hand here.
func lockFolder(string) (*os.File, error) { return nil, errors.ErrUnsupported }
