package motion

import (
	"testing"

	"github.com/google/go-cmp/cmp"
)

func TestInOrder(t *testing.T) {
	edge := func(at float64) node { return node{at: at, edge: true} }
	top := func(at float64) node { return node{at: at, top: true} }
	low := func(at float64) node { return node{at: at} }
	for _, c := range []struct {
		name       string
		give, want []node
	}{
		{"in order", []node{edge(0), top(2), low(4), edge(9)}, []node{edge(0), top(2), low(4), edge(9)}},
		{"a pair crossed", []node{edge(0), top(5), low(4), top(6), edge(9)}, []node{edge(0), top(6), edge(9)}},
		{"two pairs", []node{edge(0), top(5), low(6), top(1), edge(9)}, []node{edge(0), top(5), edge(9)}},
		{"the same time", []node{edge(0), top(5), low(5), edge(9)}, []node{edge(0), edge(9)}},
		{"turns at the ends stay", []node{edge(0), top(0), low(9), edge(9)}, []node{edge(0), top(0), low(9), edge(9)}},
		{"two runs", []node{edge(5), edge(9), {run: 1, at: 2, edge: true}, {run: 1, at: 4, edge: true}}, []node{edge(5), edge(9), {run: 1, at: 2, edge: true}, {run: 1, at: 4, edge: true}}},
	} {
		if d := cmp.Diff(c.want, inOrder(c.give), cmp.AllowUnexported(node{})); d != "" {
			t.Errorf("%s (-want +got)\n%s", c.name, d)
		}
	}
}
