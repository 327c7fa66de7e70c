// Package recipe holds what the programs of the cookbook share: their flags, and
// how results become words, a table, JSON or a folder.
//
//	var f recipe.Flags
//	fs := program.Flags()
//	f.Add(fs)
//	rest, err := program.Parse(fs, args, out)
//	...
//	err = f.Check("axis.csv") // before long work
//	...
//	return f.Deliver(out, recipe.Result{Words: ..., Page: ..., Files: ..., JSON: ...})
package recipe
