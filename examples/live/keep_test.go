package main

import (
	"fmt"
	"math"
	"strings"
	"testing"

	"github.com/plectrace/plectrace/examples/internal/clitest"
	"github.com/plectrace/plectrace/trajectory"
)

// stamped is a sample with a time, and with its number as the place of the tip.
func stamped(t float64, n int) timed {
	at := float64(n)
	return timed{&trajectory.Recording{T: []float64{t}, Points: []trajectory.Path{{Name: "tip", T: []float64{t}, X: []float64{at}, Y: []float64{-at}}}}, n + 1}
}

// TestKeepBounds: however long it goes on, no more is kept than the limit and an eighth,
// and the columns stay together.
func TestKeepBounds(t *testing.T) {
	k := kept{most: 10}
	for i := range 5000 {
		k.add(stamped(float64(i)/100+7, i).frame)
		n := len(k.rec.T)
		if n > 1127 || i > 1000 && n < 1000 {
			t.Fatalf("%d samples after %d", n, i+1)
		}
	}
	k.trim()
	tip := k.rec.Points[0]
	if n := len(k.rec.T); n < 1000 || n > 1002 || cap(k.rec.T) > 3000 {
		t.Errorf("%d samples are kept, in room for %d", n, cap(k.rec.T))
	}
	if err := k.rec.Validate(); err != nil {
		t.Error(err)
	}
	for i, x := range tip.X {
		if tip.Y[i] != -x || math.Abs(tip.T[i]-x/100-7) > 1e-9 {
			t.Fatalf("sample %d is %v, %v at %v", i, x, tip.Y[i], tip.T[i])
		}
	}
	clitest.WantAll(t, "what is told", strings.Join(k.gone(), ""), "last 0:10 are kept", "the 0:39 before")
}

// TestKeep: the review is that of what is kept, and what was let go is told.
func TestKeep(t *testing.T) {
	t.Chdir(t.TempDir())
	export, settings := bundled(t, "tutor")
	clitest.Save(t, "s.take.json", settings)
	got := call(strings.NewReader(part(export, 0, 3600)), "-settings", "s.take.json", "-keep", "0.1", "-out", "o", "-")
	if got.err != nil {
		t.Fatal(got.err)
	}
	clitest.WantAll(t, "the program", got.out, "Only the last 0:06 are kept")
	clitest.WantAll(t, "the page", clitest.Visible(clitest.Read(t, "o/page.html")), "Only the last 0:06 are kept")
	// Rows 2159 to 3599 lie within 6 s of the last.
	want := strokesCSV(t, offline(t, part(export, 2159, 3600), settings))
	if diff := clitest.Differs(want, clitest.Read(t, "o/strokes.csv")); diff != "" {
		t.Error(diff)
	}
}

// TestRecord: of much that is told the first and the last is shown.
func TestRecord(t *testing.T) {
	var s session
	for i := range 3 * mostTold {
		s.log.add(told{float64(i), fmt.Sprintf("event %d", i)})
	}
	if n := len(s.log.lines); n != mostTold || s.log.left != 2*mostTold || s.log.lines[mostTold/2-1].at != mostTold/2-1 || s.log.lines[n-1].at != 3*mostTold-1 {
		t.Errorf("%d are kept of %d, %d left out", n, 3*mostTold, s.log.left)
	}
	if blocks := s.toldBlocks(); len(blocks) != 3 {
		t.Errorf("%d blocks", len(blocks))
	}
}
