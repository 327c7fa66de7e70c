//go:build !unix

package main

import (
	"os"
	"syscall"
)

// ends are the signals that end a take: Ctrl-C, and a terminal or a system that closes.
var ends = []os.Signal{os.Interrupt, syscall.SIGTERM}

// outlive does nothing where no signal tells that nobody reads any more.
func outlive() {}
