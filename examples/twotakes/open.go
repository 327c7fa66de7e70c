package main

import (
	"bytes"
	"fmt"
	"io"
	"io/fs"
	"path"
	"path/filepath"
	"slices"
	"strings"
	"time"

	"github.com/plectrace/plectrace/examples/internal/cli"
	"github.com/plectrace/plectrace/examples/internal/takefile"
	"github.com/plectrace/plectrace/motion/progress"
	"github.com/plectrace/plectrace/testdata"
)

// open opens and reviews the two takes and the repeats.
func (j *job) open(f *flags, files []string) error {
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
	options := make([]takefile.Options, len(names))
	for i := range names {
		options[i] = takefile.Options{Setup: setup, SetupName: f.setup}
		if s := takes[i].Setup; s != "" {
			options[i].SetupName = s
		}
	}
	opened, err := j.review(names, takefile.Folder("."), options)
	if err != nil {
		return err
	}
	for i, t := range opened {
		takes[i].Summary = t.Review.Summary()
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

// review opens and reviews exports. The error is that of the first that fails.
func (j *job) review(names []string, open takefile.Opener, o []takefile.Options) ([]*takefile.Take, error) {
	takes, failed := make([]*takefile.Take, len(names)), make([]error, len(names))
	takefile.Each(len(names), func(i int) {
		takes[i], failed[i] = takefile.Open(names[i], open, o[i])
	})
	for i, t := range takes {
		if failed[i] != nil {
			return nil, failed[i]
		}
		for _, n := range t.Notes {
			j.notes = append(j.notes, names[i]+": "+n)
		}
	}
	return takes, nil
}

// demo takes the two takes of the bundled beginner.
func (j *job) demo(f *flags) error {
	j.lead = "A beginner in an invented evening class of a plectrum orchestra, five weeks apart. No real player was measured."
	open := func(name string) (io.ReadCloser, error) {
		export, settings, err := testdata.Take(strings.TrimSuffix(strings.TrimSuffix(name, ".csv"), ".take.json"))
		if err != nil {
			return nil, fs.ErrNotExist
		}
		if path.Ext(name) == ".json" {
			export = settings
		}
		return io.NopCloser(bytes.NewReader(export)), nil
	}
	j.names = []string{"beginner-1.csv", "beginner-2.csv"}
	opened, err := j.review(j.names, open, []takefile.Options{{SetupName: "class"}, {SetupName: "class"}})
	if err != nil {
		return err
	}
	for i, t := range opened {
		j.takes = append(j.takes, progress.Take{
			Player: "P01", Date: time.Date(2026, 1, 12+35*i, 0, 0, 0, 0, time.UTC), Take: fmt.Sprint(i + 1), Summary: t.Review.Summary(),
		})
		j.reviews = append(j.reviews, t.Review)
	}
	return f.known(j.takes)
}
