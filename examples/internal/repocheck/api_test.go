package repocheck

import (
	"flag"
	"io/fs"
	"os"
	"os/exec"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
)

var update = flag.Bool("update", false, "rewrite testdata/api")

// apiDir holds one listing for each library package, in the packages' folders.
var apiDir = filepath.Join(root, "testdata", "api")

// TestAPI compares what "go doc -all" prints for each library package with the
// listing kept for it, so that no change of the API goes unseen.
func TestAPI(t *testing.T) {
	goTool, err := exec.LookPath("go")
	if err != nil {
		t.Skip("the go tool is not on the PATH: the API listing was not checked")
	}
	var packages []string
	for _, s := range sources(t) {
		if s.library() && !strings.Contains(s.Dir+"/", "/internal/") {
			packages = append(packages, s.Dir)
		}
	}
	slices.Sort(packages)
	packages = slices.Compact(packages)

	if *update {
		if err := os.RemoveAll(apiDir); err != nil {
			t.Fatal(err)
		}
	}
	for _, pkg := range packages {
		t.Run(pkg, func(t *testing.T) {
			doc := exec.Command(goTool, "doc", "-all", "./"+pkg)
			doc.Dir = root
			got, err := doc.CombinedOutput()
			if err != nil {
				t.Fatalf("go doc: %v\n%s", err, got)
			}
			golden := filepath.Join(apiDir, filepath.FromSlash(pkg)+".txt")
			if *update {
				if err := os.MkdirAll(filepath.Dir(golden), 0o777); err != nil {
					t.Fatal(err)
				}
				if err := os.WriteFile(golden, got, 0o666); err != nil {
					t.Fatal(err)
				}
				return
			}
			want, err := os.ReadFile(golden)
			if err != nil {
				t.Fatalf("%v\nrun this test with -update", err)
			}
			if diff := cmp.Diff(lines(want), lines(got)); diff != "" {
				t.Errorf("the API of %s is not as listed (-listed +now); if that is meant, run this test with -update:\n%s", pkg, diff)
			}
		})
	}

	err = filepath.WalkDir(apiDir, func(name string, d fs.DirEntry, err error) error {
		if err != nil || d.IsDir() {
			return err
		}
		rel, err := filepath.Rel(apiDir, name)
		if err != nil {
			return err
		}
		if pkg := strings.TrimSuffix(filepath.ToSlash(rel), ".txt"); !slices.Contains(packages, pkg) {
			t.Errorf("testdata/api/%s lists a package that is gone; run this test with -update", filepath.ToSlash(rel))
		}
		return nil
	})
	if err != nil {
		t.Fatal(err)
	}
}

// lines splits a listing, whatever the line ends of the check-out.
func lines(text []byte) []string {
	return strings.Split(strings.ReplaceAll(string(text), "\r\n", "\n"), "\n")
}
