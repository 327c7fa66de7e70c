package simulate

import (
	"fmt"
	"math"
	"reflect"
	"strings"
	"testing"

	"github.com/plectrace/plectrace/trajectory"
)

func TestOptionsRefused(t *testing.T) {
	for _, c := range []struct {
		want string
		o    Options
	}{
		{"Duration", Options{Duration: 1e9}},
		{"samples", Options{Duration: 7200, FrameRate: 1e5}},
		{"Rate", Options{Rate: 100}},
		{"PathAngle", Options{PathAngle: 1.5}},
		{"DownShare", Options{DownShare: 1}},
		{"Lead", Options{Lead: 1}},
		{"Jitter", Options{Jitter: 0.5}},
		{"MissShare", Options{MissShare: -0.1}},
		{"DropOuts", Options{DropOuts: 0.9}},
		{"Exposure", Options{Exposure: 1}},
		{"Profile", Options{Profile: 7}},
		{"View", Options{View: 9}},
		{"Strings", Options{Strings: 1}},
		{"ChangeEvery", Options{ChangeEvery: 0.001}},
		{"Decimals", Options{Decimals: 400}},
		{"CrownRadius", Options{CrownRadius: 20}},
		{"StringDrag", Options{StringDrag: 1}},
		{"CardFor", Options{CardFor: -1}},
		{"TouchFor", Options{TouchFor: -1}},
		{"TouchString", Options{TouchString: 7}},
		{"Yaw", Options{Yaw: 1.5}},
		{"Distance", Options{Distance: 10}},
		{"Readout", Options{Readout: 0.01}},
		{"NoiseColour", Options{NoiseColour: 1}},
		{"SlowBy", Options{SlowBy: 0.5}},
		{"SlowUntil", Options{SlowBy: 8, SlowAt: 3, SlowUntil: 2}},
		{"Shares", Options{Shares: Shares{Wrist: 0.9}}},
		{"ShareScatter", Options{ShareScatter: 1}},
		{"ForearmAngle", Options{ForearmAngle: 1.5}},
		{"SkinError", Options{SkinError: -1}},
		{"EdgeScatter", Options{EdgeScatter: 1}},
		{"OnsetLost", Options{OnsetLost: 2}},
		{"Plan[0]", Options{Plan: []Stretch{{Start: -1}}}},
		{"Plan[1]", Options{Plan: []Stretch{{Start: 0, End: 5}, {Start: 4}}}},
		{"Plan[0]", Options{Plan: []Stretch{{Start: 5, End: 5}}}},
		{"Plan[0]", Options{Plan: []Stretch{{Search: 9}}}},
		{"Plan[0]", Options{Plan: []Stretch{{RateBy: -1}}}},
		{"Plan[0]", Options{Plan: []Stretch{{AngleBy: 2}}}},
		{"Plan[0]", Options{Plan: []Stretch{{Start: math.NaN()}}}},
		{"Plan[0]", Options{Plan: []Stretch{{End: math.Inf(1)}}}},
		{"Pauses[0]", Options{Pauses: []Pause{{At: 1}}}},
		{"Pauses[1]", Options{Pauses: []Pause{{At: 1, For: 2}, {At: 2, For: 1}}}},
		{"Changes[0]", Options{Changes: []Change{{At: 1}}}},
		{"Changes[0]", Options{Changes: []Change{{At: 1, By: 1, Over: 3}}}},
		{"Changes[1]", Options{Changes: []Change{{At: 4, By: 1}, {At: 1, By: 1}}}},
	} {
		_, err := Make(c.o)
		if err == nil || !strings.Contains(err.Error(), c.want) || !strings.HasPrefix(err.Error(), "simulate: ") {
			t.Errorf("%s: %v", c.want, err)
		}
	}
}

// No option may be NaN or infinite.
func TestNoNaN(t *testing.T) {
	typ := reflect.TypeFor[Options]()
	for i := range typ.NumField() {
		if typ.Field(i).Type.Kind() != reflect.Float64 {
			continue
		}
		for _, v := range []float64{math.NaN(), math.Inf(1)} {
			var o Options
			reflect.ValueOf(&o).Elem().Field(i).SetFloat(v)
			if _, err := Make(o); err == nil {
				t.Errorf("%s of %v is taken", typ.Field(i).Name, v)
			}
		}
	}
}

func TestOff(t *testing.T) {
	o := Options{
		Jitter: -1, AngleScatter: -1, SkewScatter: -1, LengthScatter: -1, Noise: -1, MarkNoise: -1,
		CardNoise: -1, ShareScatter: -1, LandmarkNoise: -1, LevelSpread: -1, EdgeScatter: -1, ForearmAngle: -1,
	}.withDefaults().resolved()
	if o.Jitter != 0 || o.AngleScatter != 0 || o.SkewScatter != 0 || o.LengthScatter != 0 || o.Noise != 0 || o.MarkNoise != 0 ||
		o.CardNoise != 0 || o.ShareScatter != 0 || o.LandmarkNoise != 0 || o.LevelSpread != 0 || o.EdgeScatter != 0 || o.ForearmAngle != 0 {
		t.Errorf("%+v", o)
	}
	if o.Rate != 10 || o.Length != 10 || o.FrameRate != 240 || o.Scale != 12 || o.View != trajectory.EndOn || o.Duration != 20 {
		t.Errorf("defaults: %+v", o)
	}
}

// The options that a take echoes make it again.
func TestEcho(t *testing.T) {
	for _, o := range []Options{{}, busy(), quiet(Options{View: trajectory.Spatial, SearchAngle: -1, MarkNoise: 0.2}), tutor(), everything()} {
		k := mustMake(t, o)
		again := mustMake(t, k.Options)
		if !same(k, again) || !reflect.DeepEqual(k.Options, again.Options) {
			t.Errorf("%+v is not made again", o)
		}
	}
}

// everything is a take with all that is filmed, tracked and heard.
func everything() Options {
	o := busy()
	o.CrownRadius, o.StringDrag = 300, 0.3
	o.Card, o.TouchFor, o.TouchString = true, 0.6, 2
	o.Distance, o.Yaw, o.Raise, o.Readout, o.Exposure, o.NoiseColour = 700, 0.1, 0.2, 0.003, 0.002, 0.5
	o.SlowAt, o.SlowUntil, o.SlowBy = 6, 8, 4
	o.MarkerUp, o.MarkerAcross, o.MarkerAlong = 6, 2, 1
	o.PickEdge, o.EdgeAngle, o.TrackMarks, o.Confidence, o.DropOuts = true, 0.4, true, true, 0.02
	o.Arm, o.SkinError = true, 6
	o.OnsetJitter, o.OnsetOffset, o.OnsetLost, o.OnsetSpurious = 0.004, 0.02, 0.02, 0.02
	return o
}

// What is filmed, tracked and heard does not change what is played, apart from
// a later start.
func TestStrokesStay(t *testing.T) {
	o := everything()
	o.Card, o.TouchFor, o.CrownRadius, o.StringDrag, o.DropOuts = false, 0, 0, 0, 0
	want, got := mustMake(t, busy()).Truth, mustMake(t, o).Truth
	if !reflect.DeepEqual(want.Turns, got.Turns) {
		t.Error("the turns are others")
	}
	for i, s := range got.Strokes {
		w := want.Strokes[i]
		s.Shares, s.EdgeAngle = w.Shares, w.EdgeAngle
		if fmt.Sprint(s) != fmt.Sprint(w) { // NaN is NaN
			t.Fatalf("stroke %d is %+v, was %+v", i, s, w)
		}
	}
	k := mustMake(t, everything())
	for _, p := range k.Recording.Points {
		if err := p.Validate(); err != nil {
			t.Error(err)
		}
	}
	if n := len(k.Recording.Points); n != 1+1+8+2+4 {
		t.Errorf("%d points", n)
	}
}

// Takes that are short, slow or hardly filmed have no strokes, and no panics.
func TestLittle(t *testing.T) {
	for _, o := range []Options{
		{Duration: 0.1, Rate: 0.5}, {Duration: 0.1, FrameRate: 1}, {Duration: 0.3, FrameRate: 10, Jumps: 3, HideDown: 1, HideUp: 1, DropOuts: 0.5},
		{Duration: 1, Pauses: []Pause{{At: 0, For: 5}}}, {Duration: 0.5, Outliers: 0.2, Jumps: 1000, StraightFills: true, FrozenFills: true, DropOuts: 0.3},
	} {
		k := mustMake(t, o)
		for _, p := range k.Recording.Points {
			if err := p.Validate(); err != nil {
				t.Errorf("%+v: %v", o, err)
			}
		}
	}
	tr := mustMake(t, Options{Duration: 0.1, Rate: 0.5}).Truth
	if len(tr.Strokes) != 0 || !math.IsNaN(tr.Rate) || !math.IsNaN(float64(tr.PathAngle)) || !math.IsNaN(tr.SettledShare) {
		t.Errorf("no strokes: %+v", tr)
	}
}

func TestPresets(t *testing.T) {
	names := map[string]bool{}
	takes := map[string]*Take{}
	for _, p := range Presets() {
		if names[p.Name] || p.Title == "" || p.Options.Seed == 0 {
			t.Errorf("%+v", p)
		}
		names[p.Name] = true
		k := mustMake(t, p.Options)
		takes[p.Name] = k
		if n := len(k.Recording.T); n != 4801 {
			t.Errorf("%s: %d samples", p.Name, n)
		}
		for _, q := range k.Recording.Points {
			if err := q.Validate(); err != nil {
				t.Errorf("%s: %v", p.Name, err)
			}
		}
		if _, ok := k.Recording.Point("wrist"); !ok {
			t.Errorf("%s has no wrist", p.Name)
		}
		if k.Truth.Clearing != "after downstrokes" {
			t.Errorf("%s clears %s", p.Name, k.Truth.Clearing)
		}
	}
	first, second, tutor := takes["beginner-1"], takes["beginner-2"], takes["tutor"]
	// The beginner searches most of the time, in settled spans that grow.
	if first.Truth.SettledShare > 0.5 {
		t.Errorf("first take settled for %v", first.Truth.SettledShare)
	}
	last := 0.0
	for _, s := range first.Truth.Spans {
		if s.Settled {
			if s.End-s.Start <= last {
				t.Errorf("settled span of %v s after one of %v s", s.End-s.Start, last)
			}
			last = s.End - s.Start
		}
	}
	if !(first.Truth.SettledShare < second.Truth.SettledShare && second.Truth.SettledShare < tutor.Truth.SettledShare) ||
		!(first.Truth.SettledRate < second.Truth.SettledRate && second.Truth.SettledRate < tutor.Truth.SettledRate) {
		t.Error("the takes do not get faster and steadier")
	}
	near(t, "sixteenths at 165 BPM", tutor.Truth.SettledRate, 11, 0.1)
}

func BenchmarkMake(b *testing.B) {
	for _, c := range []struct {
		name string
		o    Options
	}{{"zero", Options{}}, {"beginner-1", beginnerFirst()}} {
		b.Run(c.name, func(b *testing.B) {
			b.ReportAllocs()
			for b.Loop() {
				mustMake(b, c.o)
			}
		})
	}
}
