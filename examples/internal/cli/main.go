package cli

import (
	"errors"
	"flag"
	"fmt"
	"io"
	"os"
	"slices"
	"strings"
)

// Exit codes.
const (
	OK       = 0
	BadInput = 1 // the data, or a file
	BadUsage = 2 // the command line
)

// Error is a failure as the user reads it: what is wrong, without the names of
// packages, and what to do next.
type Error struct {
	Err  error
	Next string
	Code int
}

func (e *Error) Error() string {
	text := inWords(e.Err.Error())
	if e.Next == "" {
		return text
	}
	return text + "; " + e.Next
}

func (e *Error) Unwrap() error { return e.Err }

// Input returns err as a failure of the input, with the next step to take.
func Input(err error, next string) error { return &Error{err, next, BadInput} }

// Usage returns err as a failure of the command line, with the next step.
func Usage(err error, next string) error { return &Error{err, next, BadUsage} }

// Code returns the exit code for what a program's run returned: OK for nil and
// for flag.ErrHelp, BadInput for an error that says nothing else.
func Code(err error) int {
	var e *Error
	switch {
	case err == nil || errors.Is(err, flag.ErrHelp):
		return OK
	case errors.As(err, &e):
		return e.Code
	}
	return BadInput
}

// Main runs a program with the arguments of the command line, prints its
// failure, if any, on one line of standard error, and exits. Words that could not be
// printed are a failure too.
func Main(p Program, run func(args []string, out io.Writer) error) {
	err := heard(run(os.Args[1:], os.Stdout))
	code := Code(err)
	if code != OK {
		fmt.Fprintln(os.Stderr, oneLine(p.Name, err))
	}
	os.Exit(code)
}

// heard returns what run returned, and for a success of which not all could be said
// an error.
func heard(err error) error {
	if lost := unsaid.Load(); lost != nil && Code(err) == OK {
		return Input(fmt.Errorf("cannot print what there is to say: %w", plain(*lost)), "")
	}
	return err
}

// oneLine returns the text of err on one line, as a terminal shows it, after the
// program's name. What stands in it several times, line after line, is told once.
func oneLine(name string, err error) string {
	lines := slices.Compact(strings.Split(inWords(err.Error()), "\n"))
	return Printable(name + ": " + strings.Join(strings.Fields(strings.Join(lines, " ")), " "))
}
