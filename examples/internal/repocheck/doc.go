// Package repocheck holds the tests that look at the repository as a whole: which room
// may import which, which imports are banned, what lies at the top level, how large
// files and packages are; that each package says in its doc.go what it is for, with a
// table of its formulas where it has any; that the names in brackets and tables, the
// tests behind figures and the files that are named exist; that every exported function
// has an example; and the listing of the exported API under testdata/api.
//
// After a change of the exported API or of its documentation, run
//
//	go test ./examples/internal/repocheck -update
//
// and read the difference.
package repocheck
