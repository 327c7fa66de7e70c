package cli

import (
	"errors"
	"flag"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"strings"
	"syscall"
	"testing"
)

// TestReadFileLimit: what is larger, or has no end, is refused.
func TestReadFileLimit(t *testing.T) {
	const most = 1 << 20
	name := filepath.Join(t.TempDir(), "f")
	if err := os.WriteFile(name, make([]byte, most), 0o666); err != nil {
		t.Fatal(err)
	}
	if data, err := readFile(name, "table", "", most); err != nil || len(data) != most {
		t.Errorf("as large as may be: %d bytes, %v", len(data), err)
	}
	names := []string{name}
	if err := os.WriteFile(name, make([]byte, most+1), 0o666); err != nil {
		t.Fatal(err)
	}
	if _, err := os.Stat("/dev/zero"); err == nil {
		names = append(names, "/dev/zero")
	}
	for _, name := range names {
		data, err := readFile(name, "table", "check the name", most)
		want := fmt.Sprintf("cannot read the table from %q: it is larger than 1 MiB; check the name", name)
		if data != nil || err == nil || err.Error() != want {
			t.Errorf("%d bytes, %v, want %s", len(data), err, want)
		}
	}
}

// TestHeard: a program whose words do not arrive does not end as if they had, and
// its own failure counts more.
func TestHeard(t *testing.T) {
	unsaid.Store(nil)
	defer unsaid.Store(nil)
	own := Input(errors.New("no tip"), "")
	for _, err := range []error{nil, own, flag.ErrHelp} {
		if got := heard(err); got != err {
			t.Errorf("all is said, and %v becomes %v", err, got)
		}
	}
	w, err := os.Create(filepath.Join(t.TempDir(), "closed"))
	if err := errors.Join(err, w.Close()); err != nil {
		t.Fatal(err)
	}
	if n, err := fmt.Fprintln(Common{}.Words(w), "6.84 a second"); n != 0 || err == nil {
		t.Fatalf("%d bytes, %v are written to what is closed", n, err)
	}
	for _, err := range []error{nil, flag.ErrHelp} {
		if got := heard(err); Code(got) != BadInput || !strings.HasPrefix(got.Error(), "cannot print what there is to say: ") {
			t.Errorf("%v becomes %v", err, got)
		}
	}
	if got := heard(own); got != own {
		t.Errorf("%v becomes %v", own, got)
	}
	var help io.Writer = fullDisk{}
	unsaid.Store(nil)
	p := Program{Name: "onetake"}
	if _, err := p.Parse(p.Flags(), []string{"-h"}, help); !strings.Contains(heard(err).Error(), "the disk is full") {
		t.Errorf("help: %v", heard(err))
	}
}

type fullDisk struct{}

func (fullDisk) Write([]byte) (int, error) { return 0, &os.PathError{Op: "write", Err: syscall.ENOSPC} }
