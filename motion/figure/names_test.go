package figure_test

import (
	"bytes"
	"fmt"
	"math"
	"slices"
	"strconv"
	"strings"
	"testing"

	"github.com/plectrace/plectrace/motion/figure"
)

// TestNamesHideNoPlayer: names stand beside points as far as there is room, and none
// on a point, however many there are.
func TestNamesHideNoPlayer(t *testing.T) {
	for _, n := range []int{4, 40, 400} {
		g := figure.Players{}
		for k := range n {
			g.Names = append(g.Names, fmt.Sprintf("P%03d", k))
			g.X, g.Y = append(g.X, math.Sin(float64(k*k))), append(g.Y, math.Cos(float64(3*k*k)))
		}
		for _, width := range widths {
			svg := figure.SVG(figure.CohortScatter{Groups: []figure.Players{g}, Labelled: true}, figure.Options{Width: width})
			ls, height := labels(t, svg)
			var players []byte // the path of the most closed shapes
			for _, m := range shapes.FindAllSubmatch(svg, -1) {
				if bytes.Count(m[1], []byte("Z")) > bytes.Count(players, []byte("Z")) {
					players = m[1]
				}
			}
			if got := bytes.Count(players, []byte("Z")); got != n {
				t.Fatalf("%d wide: %d of %d players are drawn", width, got, n)
			}
			names := 0
			for _, l := range ls {
				if !strings.HasPrefix(l.text, "P") {
					continue
				}
				names++
				if slices.ContainsFunc(places.FindAllSubmatch(players, -1), func(m [][]byte) bool {
					x, _ := strconv.ParseFloat(string(m[1]), 64)
					y, _ := strconv.ParseFloat(string(m[2]), 64)
					y = height - y
					return l.x0 < x && x < l.x1 && l.y0 < y && y < l.y1
				}) {
					t.Errorf("%d wide, %d players: %s lies on a player", width, n, l.text)
				}
			}
			if n == 4 && names != n {
				t.Errorf("%d wide: %d of %d names", width, names, n)
			}
		}
	}
}

// TestLevel: the key tells the level of a band as it is given, and none where none is.
func TestLevel(t *testing.T) {
	f := figure.AngleOverTime{T: []float64{0, 1, 2}, Angle: []float64{10, 11, 12}, Low: []float64{0, 1, 2}, High: []float64{20, 21, 22}}
	for _, c := range []struct {
		level float64
		want  string
	}{{0.95, ">95 % interval of a stroke<"}, {0.9, ">90 % interval of a stroke<"}, {0.995, ">99.5 % interval of a stroke<"}, {0, ">interval of a stroke<"}, {math.NaN(), ">interval of a stroke<"}} {
		f.Level = c.level
		if svg := figure.SVG(f, figure.Options{}); !bytes.Contains(svg, []byte(c.want)) {
			t.Errorf("level %v: there is no %q", c.level, c.want)
		}
	}
}

// TestKinds: every kind of a part has an entry in the key, one without a word too.
func TestKinds(t *testing.T) {
	part := func(from float64, kind string) figure.Part {
		return figure.Part{Span: figure.Span{Start: from, End: from + 1}, Kind: kind}
	}
	f := figure.SpansOverTake{Strips: []figure.Strip{{Parts: []figure.Part{part(0, "settled"), part(1, ""), part(2, "rest")}}}}
	ls, _ := labels(t, figure.SVG(f, figure.Options{}))
	for _, want := range []string{"settled", "without a word", "rest"} {
		if !slices.ContainsFunc(ls, func(l label) bool { return l.text == want }) {
			t.Errorf("the key has no %q", want)
		}
	}
}
