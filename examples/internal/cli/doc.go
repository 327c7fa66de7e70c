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
package cli
