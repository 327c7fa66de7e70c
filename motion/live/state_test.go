package live_test

import (
	"encoding/json"
	"fmt"
	"math/rand/v2"
	"testing"

	"github.com/plectrace/plectrace/motion/live"
	"github.com/plectrace/plectrace/motion/simulate"
)

// text is an event in full, NaN included.
func text(e live.Event) string { return fmt.Sprintf("%+v", e) }

// TestRestored: trackers that are saved and restored at random moments tell what
// one that runs through does, to the last digit, on takes with all kinds of
// trouble.
func TestRestored(t *testing.T) {
	for seed := range uint64(4) {
		rng := rand.New(rand.NewPCG(seed, 7))
		o := simulate.Presets()[seed%3].Options
		if seed == 3 {
			o.DropOuts, o.Outliers, o.Jumps, o.TimeJitter = 0.05, 0.005, 3, 0.0004
		}
		take, err := simulate.Make(o)
		if err != nil {
			t.Fatal(err)
		}
		all := samples(take)
		_, want := followed(t, take)
		tr, err := live.New(options(take))
		if err != nil {
			t.Fatal(err)
		}
		var got []live.Event
		for len(all) > 0 {
			n := min(len(all), 1+rng.IntN(700))
			if got, err = tr.PushAll(got, all[:n]); err != nil {
				t.Fatal(err)
			}
			all = all[n:]
			b, err := json.Marshal(tr)
			if err != nil {
				t.Fatal(err)
			}
			tr = new(live.Tracker)
			if err := json.Unmarshal(b, tr); err != nil {
				t.Fatal(err)
			}
		}
		got = tr.Flush(got)
		if len(got) != len(want) {
			t.Fatalf("take %d: %d events, want %d", seed, len(got), len(want))
		}
		for i := range got {
			if text(got[i]) != text(want[i]) {
				t.Fatalf("take %d: event %d is\n%s, want\n%s", seed, i, text(got[i]), text(want[i]))
			}
		}
	}
}
