package settling_test

import (
	"fmt"
	"testing"

	"github.com/plectrace/plectrace/variability/settling"
)

// BenchmarkFind is a take that settles and searches by turns, up to 10 minutes
// of about 12 strokes a second; what HistoryOf and Explore take should be little
// beside it.
func BenchmarkFind(b *testing.B) {
	for _, seconds := range []float64{18, 600} {
		rng := seeded("benchmark", 0)
		tk := never(rng)
		tk.rate, tk.seconds = 11.7, seconds
		for t := 2.0; t < seconds; t += 9 {
			tk.spans = append(tk.spans, [2]float64{t, t + 5})
			tk.centres = append(tk.centres, centre(rng))
		}
		ss, _ := tk.make(rng)
		b.Run(fmt.Sprintf("%d strokes", len(ss)), func(b *testing.B) {
			b.ReportAllocs()
			for b.Loop() {
				settling.Find(ss, settling.Options{})
			}
		})
		r := settling.Find(ss, settling.Options{})
		b.Run(fmt.Sprintf("%d strokes, history", len(ss)), func(b *testing.B) {
			b.ReportAllocs()
			for b.Loop() {
				settling.HistoryOf(ss, r, settling.HistoryOptions{})
			}
		})
		b.Run(fmt.Sprintf("%d strokes, exploration", len(ss)), func(b *testing.B) {
			b.ReportAllocs()
			for b.Loop() {
				settling.Explore(ss, r, settling.ExploreOptions{})
			}
		})
	}
}
