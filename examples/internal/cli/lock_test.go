package cli_test

import (
	"runtime"
	"slices"
	"testing"
)

// canLock skips a test where a folder that is being written cannot be told from one
// that was left behind.
func canLock(t *testing.T) {
	t.Helper()
	if !slices.Contains([]string{"linux", "darwin", "freebsd", "netbsd", "openbsd", "dragonfly"}, runtime.GOOS) {
		t.Skip("no folder can be locked here: what is left behind stays")
	}
}
