// Package clitest holds what the tests of the example programs share: running a
// program, its files, the plain words of what it says, and tables of bad input.
package clitest
