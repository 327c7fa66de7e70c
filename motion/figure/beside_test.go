package figure_test

import (
	"slices"
	"strings"
	"testing"

	"github.com/plectrace/plectrace/motion/figure"
)

// TestBeside: figures that name each other's paths are of one scale, whichever of the
// two is drawn, at any width; without that they are not.
func TestBeside(t *testing.T) {
	small := paths
	large := paths
	large.Across, large.Out = nil, nil
	for i, x := range paths.Across {
		large.Across, large.Out = append(large.Across, 3*x+10), append(large.Out, 2*paths.Out[i]-4)
	}
	alone := [2]figure.Paths{small, large}
	small.Beside, large.Beside = []figure.Paths{large}, []figure.Paths{small, {}}
	type tick struct {
		text   string
		x0, x1 float64
	}
	scale := func(f figure.Figure, width int) (out []tick) {
		ls, _ := labels(t, figure.SVG(f, figure.Options{Width: width}))
		for _, l := range ls {
			if strings.Trim(l.text, "−0123456789.") == "" {
				out = append(out, tick{l.text, l.x0, l.x1})
			}
		}
		return out
	}
	for _, width := range widths {
		a, b := scale(small, width), scale(large, width)
		if !slices.Equal(a, b) || len(a) < 4 {
			t.Errorf("%d wide: the scales are %v and %v", width, a, b)
		}
		if slices.Equal(scale(alone[0], width), scale(alone[1], width)) {
			t.Errorf("%d wide: the scales are alike without being told", width)
		}
	}
}
