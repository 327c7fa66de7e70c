package contact

import (
	"bufio"
	"errors"
	"fmt"
	"io"
	"math"
	"strconv"
	"strings"
	"unicode"
	"unicode/utf8"
)

// Onset is the moment at which a note starts to sound.
type Onset struct {
	// Time is in seconds.
	Time float64
	// Level is in decibels, to any reference. NaN where it is not known.
	Level float64
}

// OnsetError is what is wrong with a list of onsets, and where.
type OnsetError struct {
	// Line and Column count from 1. Column is that of the field.
	Line, Column int
	// Text is the field, or the line: the first 40 bytes of it, and empty where
	// it is no text.
	Text string
	// Problem says what is wrong with it.
	Problem string
}

// Error implements error.
func (e *OnsetError) Error() string {
	if e.Text == "" {
		return fmt.Sprintf("onsets: line %d, column %d: %s", e.Line, e.Column, e.Problem)
	}
	return fmt.Sprintf("onsets: line %d, column %d: %q: %s", e.Line, e.Column, e.Text, e.Problem)
}

// longest is how much of a text an error quotes, in bytes.
const longest = 40

// onsetError returns what is wrong with a text.
func onsetError(line, column int, text, problem string) *OnsetError {
	strange := func(r rune) bool { return r == utf8.RuneError || !unicode.IsPrint(r) && r != '\t' }
	if strings.ContainsFunc(text, strange) {
		return &OnsetError{line, column, "", "this is no text: give times in seconds as plain text (UTF-8), one a line"}
	}
	if len(text) > longest {
		text = strings.ToValidUTF8(text[:longest], "") + "…"
	}
	return &OnsetError{line, column, text, problem}
}

// ReadOnsets reads a list of onsets as delimited text: times in seconds, in
// order, one a line, and perhaps levels in decibels beside them. Fields are
// separated by commas, semicolons or tabs. A header names the columns
//
//	time_s,level_db
//
// in any order, and other columns are skipped; without a header the first
// column holds the times, and a second one levels. An empty level is not
// known. Blank lines and lines that begin with # are skipped.
//
// The error is an *OnsetError, but for those of r.
func ReadOnsets(r io.Reader) ([]Onset, error) {
	in := bufio.NewScanner(r)
	var list []Onset
	timeColumn, levelColumn := 0, 1
	first := true
	for line := 1; in.Scan(); line++ {
		text := in.Text()
		if line == 1 {
			text = strings.TrimPrefix(text, "\ufeff")
		}
		if text = strings.TrimRight(text, " \r"); strings.TrimSpace(text) == "" || text[0] == '#' {
			continue
		}
		fields := split(text)
		if first {
			first = false
			named, err := header(fields, line, &timeColumn, &levelColumn)
			if err != nil {
				return nil, err
			}
			if named {
				continue
			}
		}
		on, err := onset(fields, line, timeColumn, levelColumn)
		if err != nil {
			return nil, err
		}
		if n := len(list); n > 0 && on.Time <= list[n-1].Time {
			problem := fmt.Sprintf("times must increase, and the one before is %v s: sort the list by time", list[n-1].Time)
			if on.Time == list[n-1].Time {
				problem = "the same time stands in the line before"
			}
			return nil, onsetError(line, timeColumn+1, fields[timeColumn], problem)
		}
		list = append(list, on)
	}
	if err := in.Err(); err != nil {
		if errors.Is(err, bufio.ErrTooLong) {
			return nil, &OnsetError{len(list) + 1, 1, "", "the line is too long for a list of onsets"}
		}
		return nil, fmt.Errorf("onsets: %w", err)
	}
	return list, nil
}

// split cuts a line at the first of tab, semicolon and comma that it holds.
func split(text string) []string {
	sep := ","
	for _, s := range []string{"\t", ";"} {
		if strings.Contains(text, s) {
			sep = s
			break
		}
	}
	fields := strings.Split(text, sep)
	for i, f := range fields {
		fields[i] = strings.Trim(strings.TrimSpace(f), `"`)
	}
	return fields
}

// header reads the names of the columns, if that is what fields are.
func header(fields []string, line int, timeColumn, levelColumn *int) (bool, error) {
	if _, err := strconv.ParseFloat(fields[0], 64); err == nil {
		return false, nil
	}
	t, l := -1, -1
	for i, f := range fields {
		switch strings.ToLower(f) {
		case "time_s":
			t = i
		case "level_db":
			l = i
		}
	}
	if t < 0 {
		return false, onsetError(line, 1, fields[0], "neither a time in seconds nor a header with the column time_s")
	}
	*timeColumn, *levelColumn = t, l
	return true, nil
}

// onset reads one line.
func onset(fields []string, line, timeColumn, levelColumn int) (Onset, error) {
	on := Onset{Level: math.NaN()}
	if timeColumn >= len(fields) {
		return on, onsetError(line, timeColumn+1, strings.Join(fields, ","), "the time is missing")
	}
	var err error
	if on.Time, err = strconv.ParseFloat(fields[timeColumn], 64); err != nil || math.IsNaN(on.Time) || math.IsInf(on.Time, 0) {
		return on, onsetError(line, timeColumn+1, fields[timeColumn], "not a time in seconds")
	}
	if levelColumn < 0 || levelColumn >= len(fields) || fields[levelColumn] == "" {
		return on, nil
	}
	if on.Level, err = strconv.ParseFloat(fields[levelColumn], 64); err != nil || math.IsInf(on.Level, 0) {
		return on, onsetError(line, levelColumn+1, fields[levelColumn], "not a level in decibels")
	}
	return on, nil
}
