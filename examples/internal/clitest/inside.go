package clitest

import (
	"fmt"
	"io"
	"maps"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"

	"github.com/plectrace/plectrace/trajectory/cells"
)

// Outward are names that would lead out of a folder, or could not stand in one, if a
// program made names of files of them.
var Outward = []string{"../../up", "..", "/etc/elsewhere", `C:\elsewhere`, "a\nb", strings.Repeat("long", 100)}

// StaysInside checks that what is written of a list of takes, whose players, sessions,
// set-ups and grips have the names of Outward, are the files that it is of one with
// plain names, in the folder of -out and nowhere else. name is a take that open opens.
func (run Run) StaysInside(t *testing.T, open func(name string) (io.ReadCloser, error), name string) {
	t.Helper()
	t.Chdir(t.TempDir())
	if err := os.MkdirAll(filepath.Join("far", "below"), 0o777); err != nil {
		t.Fatal(err)
	}
	t.Chdir(filepath.Join("far", "below"))
	Copy(t, ".", open, name+".csv", name+".take.json")
	file := func(i int) string { return fmt.Sprint("take", i) }
	for i := range Outward {
		Save(t, file(i)+".csv", Read(t, name+".csv"))
		Save(t, file(i)+".take.json", Read(t, name+".take.json"))
	}
	written := func(of func(i int) string) []string {
		var list strings.Builder
		rows := cells.NewWriter(&list)
		rows.Write([]string{"player", "date", "session", "take", "file", "setup", "grip"})
		for i := range Outward {
			rows.Write([]string{of(i), "2026-01-05", of(i + 1), "1", file(i) + ".csv", of(i + 2), of(i + 3)})
		}
		if err := rows.Flush(); err != nil {
			t.Fatal(err)
		}
		Save(t, "list.csv", list.String())
		before := Tree(t, "../..")
		run.Must(t, "list.csv", "-out", "out", "-quiet")
		after := Tree(t, "../..")
		maps.DeleteFunc(after, func(name, text string) bool {
			was, there := before[name]
			return there && text == was
		})
		if err := os.RemoveAll("out"); err != nil {
			t.Fatal(err)
		}
		return slices.Sorted(maps.Keys(after))
	}
	plain := written(func(i int) string { return string(rune('a' + i%len(Outward))) })
	if d := cmp.Diff(plain, written(func(i int) string { return Outward[i%len(Outward)] })); d != "" || len(plain) < 3 {
		t.Errorf("of plain names %q are written, others (-plain +others)\n%s", plain, d)
	}
	for _, name := range plain[1:] { // behind the folder itself
		if !strings.HasPrefix(name, "far/below/out/") {
			t.Errorf("%s is not in the folder of -out", name)
		}
	}
}
