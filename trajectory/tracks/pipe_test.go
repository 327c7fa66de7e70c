//go:build unix

package tracks_test

import (
	"errors"
	"path/filepath"
	"strings"
	"syscall"
	"testing"

	"github.com/plectrace/plectrace/trajectory/tracks"
)

// TestPipe: what can be read only once is not looked through, since nobody could read
// its beginning again; and nobody waits for a pipe that nothing comes out of.
func TestPipe(t *testing.T) {
	name := filepath.Join(t.TempDir(), "take.csv")
	if err := syscall.Mkfifo(name, 0o600); err != nil {
		t.Skip("no pipe can be made here:", err)
	}
	_, err := tracks.InspectFile(name)
	var e *tracks.Error
	if !errors.As(err, &e) || e.Rule != "read" || e.File != name || !strings.Contains(e.Msg, "pipe") || e.Hint == "" {
		t.Errorf("%v, want that it is a pipe", err)
	}
}
