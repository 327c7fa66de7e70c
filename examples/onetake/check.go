package main

import (
	"fmt"
	"io"

	"github.com/plectrace/plectrace/motion/review"
	"github.com/plectrace/plectrace/trajectory"
)

// checked is what -check finds, as JSON.
type checked struct {
	Schema   string    `json:"schema"`
	File     string    `json:"file"`
	Notes    []string  `json:"notes"`
	Findings []ability `json:"findings"`
}

// ability is one of them. Can is null for what is neither measured nor missed.
type ability struct {
	Can  *bool  `json:"can"`
	What string `json:"what"`
	Why  string `json:"why"`
}

// check says what the set-up can and cannot measure.
func check(rec *trajectory.Recording, src *source, f *flags, out io.Writer) error {
	findings, err := review.Check(rec, src.setup, review.Options{})
	if err != nil {
		return src.bad(err, "")
	}
	if f.JSON {
		c := checked{Schema: "plectrace/check/1", File: src.Name, Notes: src.Notes}
		for _, x := range findings {
			can := &x.Can
			if x.Aside {
				can = nil
			}
			c.Findings = append(c.Findings, ability{can, x.What, x.Why})
		}
		return f.PrintJSON(out, c)
	}
	words := f.Words(out)
	for _, list := range []struct {
		title string
		holds func(review.Finding) bool
	}{
		{"This set-up can measure:", func(f review.Finding) bool { return f.Can }},
		{"It cannot measure:", func(f review.Finding) bool { return !f.Can && !f.Aside }},
		{"About this take:", func(f review.Finding) bool { return f.Aside }},
	} {
		first := true
		for _, f := range findings {
			if !list.holds(f) {
				continue
			}
			if first {
				fmt.Fprintf(words, "\n%s\n", list.title)
				first = false
			}
			fmt.Fprintf(words, "- %s: %s.\n", f.What, f.Why)
		}
	}
	return nil
}
