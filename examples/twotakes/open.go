package main

import (
	"fmt"
	"path/filepath"
	"slices"
	"strings"
	"sync/atomic"
	"time"

	"github.com/plectrace/plectrace/examples/internal/cli"
	"github.com/plectrace/plectrace/examples/internal/takefile"
	"github.com/plectrace/plectrace/motion/cohort"
	"github.com/plectrace/plectrace/motion/progress"
)

// open opens and reviews the two takes and the repeats.
func (j *job) open(f *flags, files []string, m *cli.Meter) error {
	all := slices.Clone(files)
	for _, day := range f.repeats {
		all = append(all, day...)
	}
	// A file is reviewed once. Two names of one file are one take.
	var names []string
	at := make([]int, len(all))
	for i, name := range all {
		at[i] = slices.IndexFunc(names, func(n string) bool { return cli.SameFile(n, name) })
		if at[i] < 0 {
			at[i] = len(names)
			names = append(names, name)
		}
	}
	if at[0] == at[1] {
		return cli.Usage(fmt.Errorf("%s is given as both takes", files[0]), "give two takes")
	}
	for i := 2; i < len(all); i++ {
		if slices.Contains(at[2:i], at[i]) {
			return cli.Usage(fmt.Errorf("%s stands twice among the repeats", all[i]), "give each take once")
		}
	}
	setup, err := takefile.Settings(f.settings)
	if err != nil {
		return err
	}
	takes, err := f.look(names)
	if err != nil {
		return err
	}
	for i := range takes {
		if takes[i].Setup == "" {
			takes[i].Setup = f.setup
		}
	}
	opened, err := j.review(names, takes, takefile.Folder("."), cohort.Options{Setup: setup}, m)
	if err != nil {
		return err
	}
	for i := range 2 {
		j.names = append(j.names, files[i])
		j.takes = append(j.takes, takes[at[i]])
		j.reviews = append(j.reviews, opened[at[i]].Review)
	}
	if err := f.known(j.takes); err != nil {
		return err
	}
	next := 2
	for d, day := range f.repeats {
		for _, name := range day {
			t := takes[at[next]]
			next++
			if f.list == "" {
				// Nobody said which days they are; that they are this many counts.
				t.Date = time.Date(2000, 1, 1+d, 0, 0, 0, 0, time.UTC)
			} else if t.Date.IsZero() {
				return cli.Input(fmt.Errorf("%s: %s has no date", f.list, name), "fill in its date: repeats are takes of one day")
			}
			j.repeats = append(j.repeats, t)
		}
	}
	return nil
}

// look returns what the list says of the takes; without a list only their names.
func (f *flags) look(names []string) ([]progress.Take, error) {
	takes := make([]progress.Take, len(names))
	for i, name := range names {
		takes[i].Take = strings.TrimSuffix(filepath.Base(name), filepath.Ext(name))
	}
	if f.list == "" {
		return takes, nil
	}
	roster, err := takefile.Roster(f.list)
	if err != nil {
		return nil, err
	}
	for i, name := range names {
		k := slices.IndexFunc(roster.Takes, func(t progress.Take) bool {
			file := filepath.FromSlash(t.File)
			if !filepath.IsAbs(file) {
				file = filepath.Join(filepath.Dir(f.list), file)
			}
			return cli.SameFile(file, name)
		})
		if k < 0 {
			return nil, cli.Input(fmt.Errorf("%s does not name %s", f.list, name), "add a line for it, or leave -list out")
		}
		takes[i] = roster.Takes[k]
	}
	return takes, nil
}

// review opens and reviews the takes under these names. The error is that of the
// first that fails.
func (j *job) review(names []string, takes []progress.Take, open takefile.Opener, o cohort.Options, m *cli.Meter) ([]cohort.Reviewed, error) {
	opened := make([]cohort.Reviewed, len(names))
	var done atomic.Int32
	takefile.Each(len(names), func(i int) {
		takes[i].File = names[i]
		takes[i], opened[i] = measure(takes[i], open, o)
		m.Count(int(done.Add(1)), len(names))
	})
	for i, t := range opened {
		if err := takefile.Refused(t); err != nil {
			return nil, err
		}
		for _, n := range t.Notes {
			j.notes = append(j.notes, names[i]+": "+n)
		}
	}
	return opened, nil
}

// demo takes the two takes of the bundled beginner.
func (j *job) demo(f *flags, m *cli.Meter) error {
	j.lead = "A beginner in an invented evening class of a plectrum orchestra, five weeks apart. No real player was measured."
	j.names = []string{"beginner-1.csv", "beginner-2.csv"}
	for i := range 2 {
		j.takes = append(j.takes, progress.Take{
			Player: "P01", Date: time.Date(2026, 1, 12+35*i, 0, 0, 0, 0, time.UTC), Take: fmt.Sprint(i + 1), Setup: "class",
		})
	}
	opened, err := j.review(j.names, j.takes, takefile.Bundled, cohort.Options{}, m)
	if err != nil {
		return err
	}
	for _, t := range opened {
		j.reviews = append(j.reviews, t.Review)
	}
	return f.known(j.takes)
}
