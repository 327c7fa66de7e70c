package live_test

import (
	"testing"
	"time"

	"github.com/plectrace/plectrace/motion/live"
	"github.com/plectrace/plectrace/motion/simulate"
	"github.com/plectrace/plectrace/trajectory"
	"github.com/plectrace/plectrace/variability/circular"
)

// loop is a stream without end made of one take played over and over.
type loop struct {
	samples []live.Sample
	length  float64
	i       int
	events  []live.Event
}

func (l *loop) next() live.Sample {
	s := l.samples[l.i%len(l.samples)]
	s.T += float64(l.i/len(l.samples)) * l.length
	l.i++
	return s
}

func endless(t testing.TB, o simulate.Options) (*live.Tracker, *loop) {
	t.Helper()
	take, err := simulate.Make(o)
	if err != nil {
		t.Fatal(err)
	}
	tr, err := live.New(options(take))
	if err != nil {
		t.Fatal(err)
	}
	all := samples(take)
	return tr, &loop{samples: all, length: all[len(all)-1].T - all[0].T + (all[1].T - all[0].T), events: make([]live.Event, 0, 1024)}
}

// TestAllocates: nothing is allocated once a tracker has warmed up, the windows in
// which final strokes are found included. Each run is ten seconds of samples, so
// that not one allocation in 2400 samples is lost in a mean.
func TestAllocates(t *testing.T) {
	if testing.Short() {
		t.Skip("follows minutes of takes")
	}
	for _, c := range []struct {
		name string
		o    simulate.Options
	}{
		{"fixed marks", simulate.Options{}},
		{"tracked marks", simulate.Options{TrackMarks: true, Sway: 20}},
		{"front", simulate.Options{View: trajectory.Front, Skew: 8 * circular.Degree}},
		{"3-d", simulate.Options{View: trajectory.Spatial, TrackMarks: true}},
		{"searching, strings, pauses", simulate.Options{ChangeEvery: 2, Pauses: []simulate.Pause{{At: 5, For: 1}}, Plan: []simulate.Stretch{{Search: simulate.Fresh}, {Start: 8}}}},
		{"frames and points lost", simulate.Options{DropOuts: 0.02, HideDown: 0.3}},
		{"60 frames/s", simulate.Options{FrameRate: 60, Rate: 9}},
		{"few samples", simulate.Options{FrameRate: 30, Rate: 9}},
		{"faults", simulate.Options{DropOuts: 0.01, Outliers: 0.002, Jumps: 20, StraightFills: true, FrozenFills: true}},
		{"faults of marks", simulate.Options{TrackMarks: true, Sway: 20, MarkDropOuts: 0.02, DropOuts: 0.02, Outliers: 0.004}},
		{"jittered time", simulate.Options{TimeJitter: 0.0005}},
		{"jittered time and faults", simulate.Options{TimeJitter: 0.0005, DropOuts: 0.02, Outliers: 0.004, Jumps: 20}},
	} {
		o := c.o
		o.Seed, o.PathAngle, o.Duration = 5, 17*circular.Degree, 160
		if o.FrameRate > 0 {
			o.Duration *= 240 / o.FrameRate // none reaches its end, where the loop leaps
		}
		tr, l := endless(t, o)
		push := func() {
			from := l.i
			for l.i < from+2400 {
				var err error
				if l.events, err = tr.Push(l.events[:0], l.next()); err != nil {
					t.Fatal(err)
				}
			}
		}
		for range 8 {
			push()
		}
		if got := testing.AllocsPerRun(6, push); got > 0 {
			t.Errorf("%s: %g allocations in 2400 samples", c.name, got)
		}
	}
}

// BenchmarkPush is the cost of a sample, all included, against that of the same
// take analysed as a whole.
func BenchmarkPush(b *testing.B) {
	for _, c := range []struct {
		name string
		o    simulate.Options
	}{
		{"plain", simulate.Options{}},
		{"marks", simulate.Options{TrackMarks: true, Sway: 20}},
		{"faults", simulate.Options{DropOuts: 0.01, Outliers: 0.002, Jumps: 6}},
		{"jittered", simulate.Options{TimeJitter: 0.0005}},
	} {
		b.Run(c.name, func(b *testing.B) {
			o := c.o
			o.Seed, o.Duration, o.PathAngle = 1, 60, 17*circular.Degree
			tr, l := endless(b, o)
			for range 4800 {
				l.events, _ = tr.Push(l.events[:0], l.next())
			}
			b.ReportAllocs()
			for b.Loop() {
				l.events, _ = tr.Push(l.events[:0], l.next())
			}
			push := b.Elapsed().Seconds() / float64(b.N)
			take, err := simulate.Make(o)
			if err != nil {
				b.Fatal(err)
			}
			const times = 40
			began := time.Now()
			for range times {
				if _, err := offline(take); err != nil {
					b.Fatal(err)
				}
			}
			whole := time.Since(began).Seconds() / float64(times*len(take.Recording.T))
			b.ReportMetric(push/whole, "times-offline")
		})
	}
}

// BenchmarkProvisional is what a sample costs by itself, without the look at the
// window.
func BenchmarkProvisional(b *testing.B) {
	take, err := simulate.Make(simulate.Options{Seed: 1, Duration: 60, PathAngle: 17 * circular.Degree})
	if err != nil {
		b.Fatal(err)
	}
	o := options(take)
	o.Window, o.Every = 30, 7.5
	tr, err := live.New(o)
	if err != nil {
		b.Fatal(err)
	}
	all := samples(take)
	events := make([]live.Event, 0, 1024)
	i := 0
	b.ReportAllocs()
	for b.Loop() {
		if i == 1700 { // the look comes after 1800
			tr.Reset()
			i = 0
		}
		events, _ = tr.Push(events[:0], all[i])
		i++
	}
}

func BenchmarkOffline(b *testing.B) {
	take, err := simulate.Make(simulate.Options{Seed: 1, Duration: 60, PathAngle: 17 * circular.Degree})
	if err != nil {
		b.Fatal(err)
	}
	b.ReportAllocs()
	for b.Loop() {
		if _, err := offline(take); err != nil {
			b.Fatal(err)
		}
	}
	b.ReportMetric(float64(b.Elapsed().Nanoseconds())/float64(b.N*len(take.Recording.T)), "ns/sample")
}
