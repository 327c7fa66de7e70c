package repocheck

import (
	"slices"
	"strings"
	"testing"
)

// rooms lists, for each package, the packages that it may import. It may also
// import what those may import, and its own internal packages. Test files may
// import anything that the compiler lets them. The picture of this table is in
// DEVELOPERS.md.
var rooms = map[string][]string{
	"variability/robust":   {},
	"variability/estimate": {"variability/robust"},
	"variability/circular": {"variability/estimate"},

	"trajectory/filter":    floor,
	"trajectory":           with(floor, "trajectory/filter"),
	"trajectory/cells":     {},
	"trajectory/tracks":    {"trajectory", "trajectory/cells"},
	"trajectory/camera":    {"trajectory"},
	"tempo":                floor,
	"variability/settling": floor,
	"variability/learning": floor,
	"variability":          floor,

	"motion/internal/turns": with(floor, "trajectory/filter"),
	"motion":                with(floor, "trajectory", "motion/internal/turns"),
	"motion/contact":        {"motion"},
	"motion/drive":          {"motion"},
	"motion/cycle":          {"motion"},
	"motion/simulate":       {"motion", "tempo", "trajectory/camera"},

	"motion/internal/score": {"motion", "motion/simulate"},

	"motion/live":   {"motion", "motion/internal/turns", "trajectory/filter", "tempo", "variability/settling"},
	"motion/review": below,

	"motion/progress": {"motion/review"},
	"motion/cohort":   {"motion/progress"},
	"motion/advice":   {"motion/progress"},
	"motion/cues":     {"motion/review"},

	"motion/figure":      with(floor, "tempo"),
	"motion/figure/take": {"motion/review", "motion/figure"},

	"testdata": {"trajectory/tracks"},
}

var (
	floor = []string{"variability/estimate", "variability/robust", "variability/circular"}
	below = []string{
		"trajectory/tracks", "trajectory/camera", "tempo",
		"variability", "variability/settling", "variability/learning",
		"motion", "motion/contact", "motion/drive", "motion/cycle",
	}
)

func with(list []string, more ...string) []string { return slices.Concat(list, more) }

// room returns the room that the package at dir belongs to: its own entry, or
// that of the package whose internal part it is.
func room(dir string) (string, bool) {
	if _, ok := rooms[dir]; ok {
		return dir, true
	}
	if at := strings.LastIndex(dir, "/internal"); at >= 0 {
		return room(dir[:at])
	}
	return "", false
}

// mayImport reports whether room from may import room to.
func mayImport(from, to string) bool {
	if from == to {
		return true
	}
	return slices.ContainsFunc(rooms[from], func(next string) bool { return mayImport(next, to) })
}

func TestImportGraph(t *testing.T) {
	for _, s := range sources(t) {
		if s.Test || strings.HasPrefix(s.Dir, "examples/") {
			continue
		}
		from, ok := room(s.Dir)
		if !ok {
			t.Errorf("%s: package %s has no room: add it to the table here and to DEVELOPERS.md", s.Path, s.Dir)
			continue
		}
		for _, imp := range s.Imports {
			to, ours := strings.CutPrefix(imp, module+"/")
			if !ours {
				continue
			}
			if to, ok := room(to); !ok || !mayImport(from, to) {
				t.Errorf("%s imports %s: not downward in the table of rooms", s.Path, imp)
			}
		}
	}
}

// TestRooms checks the table itself: it names only rooms, and has no cycle.
func TestRooms(t *testing.T) {
	var visit func(trail []string, r string)
	visit = func(trail []string, r string) {
		if slices.Contains(trail, r) {
			t.Fatalf("cycle in the table of rooms: %v", append(trail, r))
		}
		for _, next := range rooms[r] {
			if _, ok := rooms[next]; !ok {
				t.Errorf("room %s names %s, which is no room", r, next)
			}
			visit(append(trail, r), next)
		}
	}
	for r := range rooms {
		visit(nil, r)
	}

	for _, c := range []struct {
		from, to string
		want     bool
	}{
		{"motion", "trajectory/filter", true}, // by way of trajectory
		{"motion/progress", "variability/robust", true},
		{"trajectory", "motion", false},
		{"motion/review", "motion/figure", false},
		{"variability", "variability/settling", false},
		{"motion/figure", "motion/review", false},
		{"motion/figure/take", "motion/review", true},
	} {
		if got := mayImport(c.from, c.to); got != c.want {
			t.Errorf("mayImport(%s, %s) = %t, want %t", c.from, c.to, got, c.want)
		}
	}
}
