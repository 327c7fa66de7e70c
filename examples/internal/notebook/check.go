package notebook

import (
	"errors"
	"fmt"
	"iter"
	"regexp"
)

// check returns an error if the page lacks anything that a renderer needs: all of
// them refuse the same.
func (d *Doc) check() error {
	named := map[string]bool{}
	for f := range d.figures() {
		if err := f.check(); err != nil {
			return fmt.Errorf("notebook: %w", err)
		}
		if named[f.Name] {
			return fmt.Errorf("notebook: two figures are named %q", f.Name)
		}
		named[f.Name] = true
	}
	for _, s := range d.Sections {
		for _, b := range s.Blocks {
			step, ok := b.(Step)
			if !ok {
				continue
			}
			if err := step.check(); err != nil {
				return fmt.Errorf("notebook: section %q: %w", s.Title, err)
			}
		}
	}
	return nil
}

// figures are those of the page, in the order of reading.
func (d *Doc) figures() iter.Seq[Figure] {
	return func(yield func(Figure) bool) {
		for _, s := range d.Sections {
			for _, b := range s.Blocks {
				within := []Block{b}
				if step, ok := b.(Step); ok {
					within = step.Results
				}
				for _, b := range within {
					if f, ok := b.(Figure); ok && !yield(f) {
						return
					}
				}
			}
		}
	}
}

var figureName = regexp.MustCompile(`^[a-z0-9]+(-[a-z0-9]+)*$`)

func (f Figure) check() error {
	switch {
	case f.Of == nil:
		return fmt.Errorf("the figure %q holds no picture: set Of", f.Name)
	case f.Alt == "":
		return fmt.Errorf("the figure %q says nothing to those who cannot see it: set Alt", f.Name)
	case !figureName.MatchString(f.Name):
		return fmt.Errorf("a figure is named %q: set Name to lower-case letters, digits and hyphens", f.Name)
	}
	return nil
}

func (s Step) check() error {
	switch {
	case s.Code.err != nil:
		return s.Code.err
	case s.Code.text == "":
		return errors.New("no function to show")
	}
	for _, b := range s.Results {
		if _, ok := b.(Step); ok {
			return errors.New("a step holds another step")
		}
	}
	return nil
}
