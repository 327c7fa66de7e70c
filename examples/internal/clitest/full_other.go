//go:build !(linux || darwin)

package clitest

import "testing"

func onFullDisk(t testing.TB, _ uint64, _ func()) { t.Skip("the size of files cannot be limited here") }
