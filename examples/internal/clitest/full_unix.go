//go:build linux || darwin

package clitest

import (
	"os/signal"
	"syscall"
	"testing"
)

// onFullDisk calls do while no file can grow beyond so many bytes: to the one who
// writes, that is a disk that is full.
func onFullDisk(t testing.TB, bytes uint64, do func()) {
	t.Helper()
	var before syscall.Rlimit
	if err := syscall.Getrlimit(syscall.RLIMIT_FSIZE, &before); err != nil {
		t.Skip("the size of files cannot be limited here:", err)
	}
	signal.Ignore(syscall.SIGXFSZ) // which would end the program
	limit := before
	limit.Cur = min(bytes, limit.Max)
	if err := syscall.Setrlimit(syscall.RLIMIT_FSIZE, &limit); err != nil {
		t.Skip("the size of files cannot be limited here:", err)
	}
	defer func() {
		if err := syscall.Setrlimit(syscall.RLIMIT_FSIZE, &before); err != nil {
			t.Fatal(err)
		}
	}()
	do()
}
