package cli

import (
	"io"
	"io/fs"
	"os"
)

// InPlace reports whether what is written to out can be written over: it is a terminal
// that moves its cursor.
func InPlace(out io.Writer) bool {
	file, ok := out.(*os.File)
	if !ok || os.Getenv("TERM") == "dumb" {
		return false
	}
	info, err := file.Stat()
	if err != nil || info.Mode()&fs.ModeCharDevice == 0 {
		return false
	}
	null, err := os.Stat(os.DevNull)
	return err != nil || !os.SameFile(info, null)
}

// Size returns how many columns and rows the terminal has that out is: 80 and 24, as
// terminals have had since the first ones, where it does not say.
func Size(out io.Writer) (columns, rows int) {
	if file, ok := out.(*os.File); ok {
		columns, rows = sizeOf(file)
	}
	if columns <= 0 || rows <= 0 {
		return 80, 24
	}
	return columns, rows
}
