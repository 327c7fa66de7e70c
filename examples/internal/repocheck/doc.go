// Package repocheck holds the tests that look at the repository as a whole:
// which room may import which, which imports are banned, what lies at the top
// level, and the listing of the exported API under testdata/api.
//
// After a change of the exported API or of its documentation, run
//
//	go test ./examples/internal/repocheck -update
//
// and read the difference.
package repocheck
