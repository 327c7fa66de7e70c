package live_test

import (
	"encoding/json"
	"errors"
	"math"
	"math/rand/v2"
	"strings"
	"testing"

	"github.com/plectrace/plectrace/motion/live"
	"github.com/plectrace/plectrace/motion/simulate"
	"github.com/plectrace/plectrace/trajectory"
)

// TestBadSamples: what cannot be is an error that says so, and the tracker goes on
// as if it had never come, whether one at a time or in a block.
func TestBadSamples(t *testing.T) {
	take, err := simulate.Make(simulate.Options{Seed: 3, Duration: 6, TrackMarks: true, Confidence: true})
	if err != nil {
		t.Fatal(err)
	}
	all := samples(take)
	_, want := followed(t, take)
	nan, inf := math.NaN(), math.Inf(1)
	for _, c := range []struct {
		name   string
		change func(*live.Sample)
		says   string
	}{
		{"no time", func(s *live.Sample) { s.T = nan }, "time is NaN"},
		{"time in ms since 1970", func(s *live.Sample) { s.T = 1.8e12 }, "time is 1.8e+12"},
		{"infinite time", func(s *live.Sample) { s.T = inf }, "time is +Inf"},
		{"time of another clock", func(s *live.Sample) { s.T = -40 }, "time goes back"},
		{"infinite place", func(s *live.Sample) { s.Tip[1] = -inf }, "coordinate is -Inf"},
		{"place that overflows", func(s *live.Sample) { s.Tip[0] = 1e300 }, "coordinate is 1e+300"},
		{"half a place", func(s *live.Sample) { s.Tip[0] = nan }, "missing and another is not"},
		{"confidence", func(s *live.Sample) { s.Confidence = 1.5 }, "confidence is 1.5"},
		{"no marks", func(s *live.Sample) { s.Marks = nil }, "0 marks"},
		{"a mark too many", func(s *live.Sample) { s.Marks = append(s.Marks, [3]float64{}) }, "3 marks"},
		{"half a mark", func(s *live.Sample) { s.Marks = [][3]float64{{1, nan}, {2, 2}} }, "mark 0"},
		{"infinite mark", func(s *live.Sample) { s.Marks = [][3]float64{{1, 1}, {inf, 2}} }, "mark 1"},
	} {
		for _, block := range []bool{false, true} {
			tr, err := live.New(options(take))
			if err != nil {
				t.Fatal(err)
			}
			var got []live.Event
			for i, s := range all {
				if i%200 == 150 {
					bad := s
					c.change(&bad)
					before, _ := json.Marshal(tr)
					n := len(got)
					if block {
						got, err = tr.PushAll(got, []live.Sample{s, all[min(i+1, len(all)-1)], bad})
						if bad.T == s.T && err == nil {
							t.Fatalf("%s: no error in a block", c.name)
						}
					} else {
						got, err = tr.Push(got, bad)
					}
					var data *trajectory.DataError
					if !errors.As(err, &data) || !strings.Contains(err.Error(), c.says) {
						t.Fatalf("%s: error %v, want one that says %q", c.name, err, c.says)
					}
					if after, _ := json.Marshal(tr); string(after) != string(before) || len(got) != n {
						t.Fatalf("%s: the tracker has changed", c.name)
					}
				}
				if got, err = tr.Push(got, s); err != nil {
					t.Fatal(err)
				}
			}
			if got = tr.Flush(got); len(got) != len(want) {
				t.Errorf("%s: %d events, want %d", c.name, len(got), len(want))
			}
		}
	}
}

// TestMarksThatCoincide: the first marks make the frame; such as cannot are an
// error, later ones leave the tip without a place.
func TestMarksThatCoincide(t *testing.T) {
	o := live.Options{Unit: "px", Frame: trajectory.FrameOptions{
		View:  trajectory.EndOn,
		Marks: trajectory.Marks{Bass: trajectory.Mark{Point: "b"}, Treble: trajectory.Mark{Point: "t"}},
	}}
	tr, err := live.New(o)
	if err != nil {
		t.Fatal(err)
	}
	flat := [][3]float64{{5, 5}, {5, 5}}
	if _, err := tr.Push(nil, live.Sample{T: 1, Marks: flat}); err == nil || !strings.Contains(err.Error(), "coincide") {
		t.Errorf("error %v", err)
	}
	if n := tr.Now().Samples; n != 0 {
		t.Errorf("%d samples were taken", n)
	}
	if _, err := tr.PushAll(nil, []live.Sample{{T: 1, Marks: [][3]float64{{5, 5}, {5, 50}}}, {T: 2, Marks: flat}}); err != nil {
		t.Error(err)
	}
}

// TestBadOptions: New says what is wrong.
func TestBadOptions(t *testing.T) {
	fixed := func() live.Options {
		return live.Options{Frame: trajectory.FrameOptions{View: trajectory.EndOn, Marks: trajectory.Marks{
			Bass: trajectory.Mark{At: []float64{0, 0}}, Treble: trajectory.Mark{At: []float64{0, 50}},
		}}}
	}
	if _, err := live.New(fixed()); err != nil {
		t.Fatal(err)
	}
	for _, c := range []struct {
		name   string
		change func(*live.Options)
		says   string
	}{
		{"view", func(o *live.Options) { o.Frame.View = 0 }, "view is not given"},
		{"no marks", func(o *live.Options) { o.Frame.Marks = trajectory.Marks{} }, "no marks"},
		{"placed and marks", func(o *live.Options) { o.Placed = true }, "placed already"},
		{"half tracked", func(o *live.Options) { o.Frame.Marks.Bass = trajectory.Mark{Point: "b"} }, "some marks"},
		{"window", func(o *live.Options) { o.Window = 2 }, "window is 2"},
		{"window NaN", func(o *live.Options) { o.Window = math.NaN() }, "window"},
		{"every", func(o *live.Options) { o.Every = 3 }, "every 3"},
		{"samples", func(o *live.Options) { o.MaxSamples = 10 }, "10 samples"},
		{"confidence", func(o *live.Options) { o.MinConfidence = 60 }, "confidence is 60"},
		{"rest", func(o *live.Options) { o.RestFor = -1 }, "rest of -1"},
		{"rest NaN", func(o *live.Options) { o.RestAfter = math.NaN() }, "after NaN"},
		{"3-d without a nut", func(o *live.Options) { o.Frame.View = trajectory.Spatial }, "nut"},
	} {
		o := fixed()
		c.change(&o)
		if _, err := live.New(o); err == nil || !strings.Contains(err.Error(), c.says) {
			t.Errorf("%s: error %v, want one that says %q", c.name, err, c.says)
		}
	}
}

// TestBadPlans: Allows says what is wrong with a plan.
func TestBadPlans(t *testing.T) {
	o := live.Options{Placed: true, Frame: trajectory.FrameOptions{View: trajectory.EndOn}}
	for _, p := range []live.Plan{{}, {FrameRate: -60}, {FrameRate: math.NaN()}, {FrameRate: math.Inf(1)}, {FrameRate: 60, NotesPerSecond: -1}, {FrameRate: 60, Noise: -1}, {FrameRate: 60, StrokeLength: math.NaN()}} {
		if list, err := o.Allows(p); err == nil {
			t.Errorf("%+v: %v", p, list)
		}
	}
	if _, err := (live.Options{}).Allows(live.Plan{FrameRate: 60}); err == nil {
		t.Error("no error without a view")
	}
}

// FuzzPush gives trackers samples of every sort. There is no panic, an error leaves
// the tracker alone, times of final strokes go on, and the samples that are held
// are bounded.
func FuzzPush(f *testing.F) {
	f.Add(uint64(1), []byte{0, 1, 2, 3, 4, 5, 6, 7, 8, 9})
	f.Add(uint64(2), []byte("abcdefghijklmnopqrstuvwxyz"))
	f.Add(uint64(9), []byte{200, 200, 100, 30, 30, 31, 32, 33, 255, 0, 128})
	f.Fuzz(func(t *testing.T, seed uint64, script []byte) {
		rng := rand.New(rand.NewPCG(seed, 1))
		o := live.Options{Placed: true, MaxSamples: 512, Frame: trajectory.FrameOptions{View: []trajectory.View{trajectory.EndOn, trajectory.Front, trajectory.Spatial, trajectory.Oblique}[seed%4]}}
		tracked := seed%3 == 0
		if tracked {
			o.Placed = false
			o.Frame.Marks = trajectory.Marks{Bass: trajectory.Mark{Point: "b"}, Treble: trajectory.Mark{Point: "t"}, Nut: []trajectory.Mark{{Point: "n"}}}
		}
		tr, err := live.New(o)
		if err != nil {
			t.Fatal(err)
		}
		now, step, until := rng.Float64(), 1/(20+300*rng.Float64()), math.Inf(-1)
		rate, noise := 1+14*rng.Float64(), rng.ExpFloat64()*0.3
		for _, b := range script[:min(len(script), 64)] {
			for range 1 + int(b)%40 {
				now += step * (1 + 0.1*rng.NormFloat64()*float64(b%3))
				w := 5 * math.Sin(math.Pi*rate*now)
				s := live.Sample{T: now, Tip: [3]float64{w + noise*rng.NormFloat64(), 0.1*w + noise*rng.NormFloat64(), 0.3*w + noise*rng.NormFloat64()}}
				switch b % 16 {
				case 1:
					s.Tip = [3]float64{math.NaN(), math.NaN(), math.NaN()}
				case 2:
					s.Tip[0] += 40
				case 3:
					s.T -= 0.5 * rng.Float64()
				case 4:
					s.T = math.Inf(-1)
				case 5:
					s.Tip[0] = math.NaN()
				case 6:
					s.Tip = [3]float64{}
				case 7:
					now += 20 * rng.Float64()
				case 8:
					step *= 1.01
				case 9:
					s.Tip[0] *= 1e8
				case 10:
					s.T = now - 5
				}
				if tracked {
					s.Marks = [][3]float64{{0, -30, 0}, {0, 30, rng.NormFloat64()}, {300, 0, 0}}
					switch b % 7 {
					case 1:
						s.Marks[1] = [3]float64{math.NaN(), math.NaN(), math.NaN()}
					case 2:
						s.Marks[1] = s.Marks[0]
					case 3:
						s.Marks = s.Marks[:2]
					}
				}
				events, err := tr.Push(nil, s)
				if err != nil && len(events) > 0 {
					t.Fatal("events with an error")
				}
				for _, e := range events {
					if e.Kind != live.Final {
						continue
					}
					if !(e.Stroke.End > e.Stroke.Start) || e.Stroke.Middle() <= until {
						t.Fatalf("stroke %+v after %g", e.Stroke, until)
					}
					until = e.Stroke.End
				}
			}
		}
		text, err := json.Marshal(tr)
		if err != nil {
			t.Fatal(err)
		}
		if err := json.Unmarshal(text, new(live.Tracker)); err != nil {
			t.Fatal(err)
		}
		tr.Flush(nil)
	})
}

// FuzzState gives changed states to UnmarshalJSON: an error, or a tracker that can
// be used.
func FuzzState(f *testing.F) {
	take, err := simulate.Make(simulate.Options{Seed: 5, Duration: 3, FrameRate: 60, Rate: 6})
	if err != nil {
		f.Fatal(err)
	}
	tr, events := followed(f, take)
	if len(events) == 0 {
		f.Fatal("nothing was told")
	}
	text, err := json.Marshal(tr)
	if err != nil {
		f.Fatal(err)
	}
	f.Add(text)
	for _, change := range [][2]string{
		{`"samples":180`, `"samples":-1`}, {`"step":`, `"step":-`}, {`"n":`, `"n":-`}, {`"first_sample":0`, `"first_sample":99999999`},
		{`null`, `7`}, {`"at":`, `"at":-`}, {`"known":true`, `"known":false`}, {`"begun":true`, `"begun":false`}, {`0.`, `9.`}, {`[`, `[[`},
		{`"threads"`, `"x"`}, {`"strokes"`, `"x"`}, {`"columns":[`, `"columns":[[],`}, {`1`, `1e30`},
	} {
		f.Add([]byte(strings.Replace(string(text), change[0], change[1], 3)))
	}
	f.Fuzz(func(t *testing.T, text []byte) {
		var tr live.Tracker
		if json.Unmarshal(text, &tr) != nil {
			if _, err := json.Marshal(&tr); err == nil {
				t.Fatal("an error, and a state")
			}
			return
		}
		last := tr.Now().T
		if last != last {
			last = 0
		}
		for i := range 100 {
			marks := make([][3]float64, 0, 3)
			if _, err := tr.Push(nil, live.Sample{T: last + float64(i+1)/60, Tip: [3]float64{float64(i % 10), float64(i % 10), 1}, Confidence: 1, Marks: marks}); err != nil {
				return
			}
		}
		tr.Flush(nil)
	})
}
