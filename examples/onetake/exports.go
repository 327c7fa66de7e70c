package main

import (
	"errors"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strings"

	"github.com/plectrace/plectrace/examples/internal/cli"
	"github.com/plectrace/plectrace/motion/cohort"
	"github.com/plectrace/plectrace/motion/contact"
	"github.com/plectrace/plectrace/trajectory/tracks"
)

// passed is a file of a folder that is no export, and what it is.
type passed struct {
	File string `json:"file"`
	Why  string `json:"why"`
}

// exports tells the exports in a folder from what else lies there, by content. A
// file that cannot be read counts as an export, for it to be reported, and so does
// one with settings of its own where nothing else is what these are for.
func exports(dir string) (names []string, others []passed, err error) {
	entries, err := os.ReadDir(dir)
	if err != nil {
		return nil, nil, cli.Input(fmt.Errorf("the folder %q cannot be read", dir), "check that you may read it")
	}
	served := map[string]bool{} // settings files of exports
	for _, e := range entries {
		name := filepath.Join(dir, e.Name())
		if why := kind(name); why != "" {
			others = append(others, passed{e.Name(), why})
			continue
		}
		names = append(names, e.Name())
		served[cohort.SettingsName(name)] = true
	}
	others = slices.DeleteFunc(others, func(p passed) bool {
		name := filepath.Join(dir, p.File)
		settings := cohort.SettingsName(name)
		if p.Why != noTable && p.Why != noPoint || served[settings] || filepath.Base(settings) == cohort.SharedSettings {
			return false
		}
		if _, err := os.Stat(settings); err != nil {
			return false
		}
		names = append(names, p.File)
		return true
	})
	slices.Sort(names)
	return names, others, nil
}

// What a file is that holds nothing to review.
const (
	noTable = "no table of coordinates"
	noPoint = "no point in it has both x and y"
)

// schemaOf finds the schema of a JSON file of this module in its first bytes.
var schemaOf = regexp.MustCompile(`^[\s\x{FEFF}]*\{\s*"schema"\s*:\s*"plectrace/([a-z]+)/`)

// schemas say what the JSON files of this module are.
var schemas = map[string]string{"take": "settings", "reference": "a reference motion", "review": "a review", "plan": "the plan of a study"}

// kind says what a file is that is no export, "" of one that is.
func kind(name string) string {
	info, err := os.Stat(name)
	switch {
	case strings.HasPrefix(filepath.Base(name), "."):
		return "a hidden file"
	case err != nil: // it is reported when it is opened
		return ""
	case info.IsDir():
		return "a folder"
	case !info.Mode().IsRegular():
		return "no file that holds anything"
	case strings.HasSuffix(name, ".take.json"):
		return schemas["take"]
	}
	if m := schemaOf.FindSubmatch(beginning(name)); m != nil {
		if what := schemas[string(m[1])]; what != "" {
			return what
		}
		return "results in JSON"
	}
	layout, err := tracks.InspectFile(name)
	var bad *tracks.Error
	switch {
	case err == nil && len(layout.Points) > 0:
		return ""
	case err == nil:
		return table(name, layout)
	case errors.As(err, &bad) && (bad.Rule == "prose" || bad.Rule == "binary"):
		if isOnsets(name) {
			return "a list of times, such as onsets"
		}
		return noTable
	}
	return "" // an export that is broken
}

// table says what a table is that has no point in it.
func table(name string, layout tracks.Layout) string {
	var columns []string
	positions := false
	for _, c := range layout.Columns {
		columns = append(columns, c.Name)
		positions = positions || c.Axis != ""
	}
	begins := func(head ...string) bool {
		return len(columns) >= len(head) && slices.Equal(columns[:len(head)], head)
	}
	switch {
	case begins("stroke", "direction"):
		return "strokes of a review"
	case begins("kind", "start_s", "end_s"):
		return "spans of a review, or a viewer's marks"
	case len(columns) < 3 && !positions && isOnsets(name):
		return "a list of times, such as onsets"
	}
	return noPoint
}

func isOnsets(name string) bool {
	f, err := os.Open(name)
	if err != nil {
		return false
	}
	defer f.Close()
	found, err := contact.ReadOnsets(f)
	return err == nil && len(found) > 0
}

// beginning are the first bytes of a file.
func beginning(name string) []byte {
	f, err := os.Open(name)
	if err != nil {
		return nil
	}
	defer f.Close()
	data, err := io.ReadAll(io.LimitReader(f, 512))
	if err != nil {
		return nil
	}
	return data
}

// pageFolders are the names of the folders of the exports' reviews: an export's name
// without its ending, or all of it where that would serve two. Names that differ in
// the size of letters alone are one on some computers.
func pageFolders(names []string) []string {
	count := map[string]int{indexFile: 1}
	for _, n := range names {
		count[strings.ToLower(base(n))]++
	}
	taken := map[string]bool{indexFile: true}
	var out []string
	for _, n := range names {
		n = strings.ToValidUTF8(n, "_") // the index is UTF-8, whatever the names of files are
		folder := base(n)
		if count[strings.ToLower(folder)] > 1 {
			folder = n
		}
		for k := 2; taken[strings.ToLower(folder)]; k++ {
			folder = fmt.Sprintf("%s-%d", n, k)
		}
		taken[strings.ToLower(folder)] = true
		out = append(out, folder)
	}
	return out
}
