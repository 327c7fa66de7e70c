// Package cli holds what the example programs share at the command line: one
// way to read flags and print help, one-line errors that name a next step,
// exit codes, and output folders that are written whole or not at all.
//
// A program is
//
//	var program = cli.Program{Name: "onetake", Does: "...", Usage: []string{"[flags] FILE"}}
//
//	func main() { cli.Main(program, run) }
//
//	func run(args []string, out io.Writer) error { ... }
//
// and a test calls run.
//
// # When something goes wrong
//
// A folder or file is written beside its place and put there at once, so that a disk
// that is full, a folder that is closed and a program that is killed leave what was
// there. After a kill the next program that writes there clears up (stage.go), on
// systems that lock folders: Linux, macOS and the BSDs. Against a failure of the power
// nothing is done. Files that are read as a whole may have 256 MiB (MaxFile). Words
// that could not be printed make the program fail.
package cli
