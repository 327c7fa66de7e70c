package live_test

import (
	"math"
	"testing"

	"github.com/plectrace/plectrace/motion/live"
	"github.com/plectrace/plectrace/motion/simulate"
)

// TestTimeShift: a camera whose clock starts elsewhere gives the same events in the same
// order, later by as much. Frames at whole 256ths of a second stay so; after 2^31 s, which is
// 68 years, a float64 tells moments to half a microsecond.
func TestTimeShift(t *testing.T) {
	for _, k := range kinds()[:8] {
		o := k.o
		o.Seed, o.Duration, o.FrameRate, o.TimeDecimals = 5, 12, 256, -1
		take, err := simulate.Make(o)
		if err != nil {
			t.Fatal(err)
		}
		shifted := func(by float64) []live.Event {
			tr, err := live.New(options(take))
			if err != nil {
				t.Fatal(err)
			}
			all := samples(take)
			for i := range all {
				all[i].T += by
			}
			events, err := tr.PushAll(nil, all)
			if err != nil {
				t.Fatal(err)
			}
			return tr.Flush(events)
		}
		want := shifted(0)
		if len(want) < 100 {
			t.Fatalf("%s: %d events: hardly anything is compared", k.name, len(want))
		}
		for _, by := range []float64{4096, 1 << 31} {
			got := shifted(by)
			if len(got) != len(want) {
				t.Errorf("%s, %g s later: %d events, want %d", k.name, by, len(got), len(want))
				continue
			}
			differing := 0
			for i, e := range want {
				g := got[i]
				if g.Kind != e.Kind || math.Abs(g.At-by-e.At) > 1e-9+4e-15*by || math.Abs(g.T-by-e.T) > 1e-9+1e-14*by || math.Abs(g.Stroke.PathAngle.Degrees()-e.Stroke.PathAngle.Degrees()) > 1e-6+1e-11*by {
					if differing++; differing < 4 {
						t.Errorf("%s, %g s later: event %d is %v at %v, want %v at %v", k.name, by, i, g.Kind, g.At-by, e.Kind, e.At)
					}
				}
			}
		}
	}
}
