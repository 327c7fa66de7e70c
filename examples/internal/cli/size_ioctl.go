//go:build linux || darwin

package cli

import (
	"os"
	"syscall"
	"unsafe"
)

// sizeOf asks the terminal how large it is, 0 where it does not say.
func sizeOf(terminal *os.File) (columns, rows int) {
	var size struct{ rows, columns, width, height uint16 }
	if _, _, no := syscall.Syscall(syscall.SYS_IOCTL, terminal.Fd(), syscall.TIOCGWINSZ, uintptr(unsafe.Pointer(&size))); no != 0 {
		return 0, 0
	}
	return int(size.columns), int(size.rows)
}
