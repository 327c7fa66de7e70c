package browsertest

import (
	"flag"
	"testing"
)

var file = flag.String("page", "", "check the page in this `file`, by its full path")

func TestMain(m *testing.M) { Main(m) }

// TestFile checks a page by hand:
//
//	go test ./examples/internal/browsertest -run TestFile -page /tmp/out/page.html -screenshots /tmp/pictures
func TestFile(t *testing.T) {
	if *file == "" {
		t.Skip("-page names no page")
	}
	Open(t, *file).Check()
}
