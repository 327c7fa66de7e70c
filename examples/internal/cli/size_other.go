//go:build !linux && !darwin

package cli

import "os"

// sizeOf is for systems that are not asked.
func sizeOf(*os.File) (columns, rows int) { return 0, 0 }
