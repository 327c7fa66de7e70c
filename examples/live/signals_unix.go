//go:build unix

package main

import (
	"os"
	"os/signal"
	"syscall"
)

// ends are the signals that end a take: Ctrl-C, and a terminal or a system that closes.
var ends = []os.Signal{os.Interrupt, syscall.SIGTERM, syscall.SIGHUP}

// outlive keeps the program going where nobody reads any more what it prints.
func outlive() { signal.Ignore(syscall.SIGPIPE) }
