//go:build linux || darwin || freebsd || netbsd || openbsd || dragonfly

package cli

import (
	"errors"
	"os"
	"syscall"
)

// lockFolder locks a folder for as long as the file is open and its program runs;
// errLocked if another does.
func lockFolder(dir string) (*os.File, error) {
	f, err := os.Open(dir)
	if err != nil {
		return nil, err
	}
	if err = syscall.Flock(int(f.Fd()), syscall.LOCK_EX|syscall.LOCK_NB); err != nil {
		f.Close()
		if errors.Is(err, syscall.EWOULDBLOCK) {
			err = errLocked
		}
		return nil, err
	}
	return f, nil
}
