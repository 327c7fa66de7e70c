package testdata_test

import (
	"bytes"
	"math"
	"testing"

	"github.com/plectrace/plectrace/motion/review"
	"github.com/plectrace/plectrace/motion/simulate"
	"github.com/plectrace/plectrace/testdata"
	"github.com/plectrace/plectrace/trajectory/tracks"
)

// TestTakesAreSimulated holds the embedded exports to what package simulate
// makes of its presets. They are written with two or three decimals; another
// processor may round the last of them otherwise.
func TestTakesAreSimulated(t *testing.T) {
	presets := simulate.Presets()
	if len(presets) != len(testdata.Names) {
		t.Fatalf("%d presets, %d takes", len(presets), len(testdata.Names))
	}
	for i, name := range testdata.Names {
		p := presets[i]
		if p.Name != name {
			t.Fatalf("take %d is %q, the preset %q", i, name, p.Name)
		}
		export, settings, err := testdata.Take(name)
		if err != nil {
			t.Fatal(err)
		}
		if _, err := review.ParseSetup(bytes.NewReader(settings)); err != nil {
			t.Errorf("%s: %v", name, err)
		}
		got, err := tracks.Read(bytes.NewReader(export), tracks.Options{})
		if err != nil {
			t.Fatal(err)
		}
		take, err := simulate.Make(p.Options)
		if err != nil {
			t.Fatal(err)
		}
		want := take.Recording
		if len(got.Points) != len(want.Points) || len(got.T) != len(want.T) {
			t.Fatalf("%s: %d points of %d samples, want %d of %d", name, len(got.Points), len(got.T), len(want.Points), len(want.T))
		}
		for k, q := range want.Points {
			for _, c := range []struct {
				axis      string
				got, want []float64
			}{{"x", got.Points[k].X, q.X}, {"y", got.Points[k].Y, q.Y}} {
				for j := range c.want {
					if g, w := c.got[j], c.want[j]; !(math.Abs(g-w) <= 0.011) && !(math.IsNaN(g) && math.IsNaN(w)) {
						t.Fatalf("%s: %s_%s sample %d is %v, simulated %v: write the takes again (see DEVELOPERS.md)", name, q.Name, c.axis, j, g, w)
					}
				}
			}
		}
	}
}

func TestTakeUnknown(t *testing.T) {
	if _, _, err := testdata.Take("nobody"); err == nil {
		t.Error("no error for a take that is not there")
	}
}
