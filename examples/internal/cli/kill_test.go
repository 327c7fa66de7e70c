package cli_test

import (
	"bufio"
	"fmt"
	"math/rand/v2"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"github.com/plectrace/plectrace/examples/internal/cli"
	"github.com/plectrace/plectrace/examples/internal/clitest"
)

// filesOf are files that belong together: they hold the same number throughout.
func filesOf(k int) (files []cli.File) {
	for _, name := range []string{"a", "b", "c", "d"} {
		files = append(files, cli.File{Name: name, Data: []byte(strings.Repeat(fmt.Sprintf("%08d\n", k), 20_000))})
	}
	return files
}

// TestKilled: of a program that is killed at any moment while it writes a folder or a
// file again and again, each is whole and of one time, or back when the next program
// has written there; and nothing else is left.
func TestKilled(t *testing.T) {
	const writes = "PLECTRACE_TEST_WRITES"
	if dir := os.Getenv(writes); dir != "" {
		for k := 1; ; k++ {
			if err := cli.WriteFolder(filepath.Join(dir, "out"), filesOf(k), true); err != nil {
				t.Fatal(err)
			}
			if err := cli.WriteFile(filepath.Join(dir, "file"), filesOf(k)[0].Data, true); err != nil {
				t.Fatal(err)
			}
			fmt.Println("written", k)
		}
	}
	if testing.Short() {
		t.Skip("slow: two dozen processes")
	}
	canLock(t)
	dir := t.TempDir()
	rng := rand.New(rand.NewPCG(9, 1))
	missing, stages := 0, 0
	for range 24 {
		child := exec.Command(os.Args[0], "-test.run", "^"+t.Name()+"$")
		child.Env = append(os.Environ(), writes+"="+dir)
		out, err := child.StdoutPipe()
		if err != nil {
			t.Fatal(err)
		}
		if err := child.Start(); err != nil {
			t.Fatal(err)
		}
		said := bufio.NewScanner(out)
		for said.Scan() && !strings.HasPrefix(said.Text(), "written ") {
			t.Log(said.Text())
		}
		time.Sleep(time.Duration(rng.IntN(20_000)) * time.Microsecond)
		child.Process.Kill()
		child.Wait()

		left, err := filepath.Glob(filepath.Join(dir, ".writing-*"))
		if err != nil || len(left) > 1 {
			t.Fatalf("%v is left, %v", left, err)
		}
		stages += len(left)
		if _, err := os.Stat(filepath.Join(dir, "out")); err != nil {
			missing++
		}
		// The next program, with another place.
		if err := cli.WriteFile(filepath.Join(dir, "next"), nil, true); err != nil {
			t.Fatal(err)
		}
		got := clitest.Tree(t, dir)
		want := len("00000000\n") * 20_000
		for _, name := range []string{"a", "b", "c", "d"} {
			if text := got["out/"+name]; len(text) != want || text != got["out/a"] || strings.Count(text, text[:9]) != 20_000 {
				t.Fatalf("%s is not whole, or not of the time of the others", name)
			}
		}
		if text := got["file"]; len(text) != want || strings.Count(text, text[:9]) != 20_000 {
			t.Fatal("the file is not whole")
		}
		if len(got) != 7 { // out/ with four, file, next
			t.Fatalf("there are %d things", len(got))
		}
	}
	t.Logf("killed 24 times: %d times a stage was left, %d times the folder was in it", stages, missing)
}
