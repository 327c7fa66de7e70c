package main

import (
	"bytes"
	"encoding/json"
	"errors"
	"flag"
	"math"
	"os"
	"path/filepath"
	"reflect"
	"slices"
	"strings"
	"testing"

	"github.com/plectrace/plectrace/examples/internal/cli"
	"github.com/plectrace/plectrace/examples/internal/clitest"
	"github.com/plectrace/plectrace/motion/contact"
	"github.com/plectrace/plectrace/motion/review"
	"github.com/plectrace/plectrace/motion/simulate"
	"github.com/plectrace/plectrace/trajectory"
	"github.com/plectrace/plectrace/trajectory/tracks"
	"github.com/plectrace/plectrace/variability/circular"
)

// mustRun returns what the program prints.
var mustRun = clitest.Run(run).Must

func decode(t *testing.T, file string, v any) {
	t.Helper()
	data, err := os.ReadFile(file)
	if err != nil {
		t.Fatal(err)
	}
	d := json.NewDecoder(bytes.NewReader(data))
	d.DisallowUnknownFields()
	if err := d.Decode(v); err != nil {
		t.Fatalf("%s: %v", file, err)
	}
}

// What is written reads back as the take that was made.
func TestFiles(t *testing.T) {
	dir := filepath.Join(t.TempDir(), "class")
	text := mustRun(t, "-preset", "all", "-out", dir)
	for _, p := range simulate.Presets() {
		take, err := simulate.Make(p.Options)
		if err != nil {
			t.Fatal(err)
		}
		rec, err := tracks.ReadFile(filepath.Join(dir, p.Name+".csv"), tracks.Options{})
		if err != nil {
			t.Fatal(err)
		}
		if len(rec.Points) != len(take.Recording.Points) {
			t.Fatalf("%s: %d points", p.Name, len(rec.Points))
		}
		for i, want := range take.Recording.Points {
			got := rec.Points[i]
			if got.Name != want.Name || !same(got.X, want.X) || !same(got.Y, want.Y) || !same(got.T, want.T) || !same(got.Confidence, want.Confidence) {
				t.Errorf("%s: %s reads back as another", p.Name, want.Name)
			}
		}

		var s review.Setup
		decode(t, filepath.Join(dir, p.Name+".take.json"), &s)
		if s.Tip != "tip" || s.Rate != 240 || s.View != trajectory.EndOn || s.Marks.DistanceMM != 36 {
			t.Errorf("%s: settings %+v", p.Name, s)
		}
		tracked := p.Options.TrackMarks
		if (s.Marks.Bass.Point == "bass" && s.Marks.Treble.Point == "treble") != tracked || (len(s.Marks.Bass.At) == 2) == tracked {
			t.Errorf("%s: marks %+v", p.Name, s.Marks)
		}

		var d struct {
			Schema   string
			Strokes  []map[string]any
			Spans    []map[string]any
			Clearing string
			RateNPS  float64 `json:"rate_nps"`
		}
		data, err := os.ReadFile(filepath.Join(dir, p.Name+".truth.json"))
		if err != nil || json.Unmarshal(data, &d) != nil {
			t.Fatal("no truth")
		}
		if d.Schema != "plectrace/truth/1" || len(d.Strokes) != len(take.Truth.Strokes) || len(d.Spans) != len(take.Truth.Spans) ||
			d.Clearing != take.Truth.Clearing || math.Abs(d.RateNPS-take.Truth.Rate) > 1e-4 {
			t.Errorf("%s: truth %+v", p.Name, d.Schema)
		}
		for i, s := range take.Truth.Strokes {
			m := d.Strokes[i]
			if (m["direction"] == "down") != s.Down || math.Abs(m["start_s"].(float64)-s.Start) > 1e-6 || m["settled"] != s.Settled || (m["struck_s"] == nil) == s.Reached {
				t.Fatalf("%s: stroke %d is %v", p.Name, i, m)
			}
		}
		if !strings.Contains(text, p.Name+".csv: 20 s at 240 frames/s, end-on view") {
			t.Errorf("the summary leaves out %s:\n%s", p.Name, text)
		}
	}
}

// same compares columns that may hold NaN.
func same(a, b []float64) bool {
	if len(a) != len(b) {
		return false
	}
	for i := range a {
		if a[i] != b[i] && !(math.IsNaN(a[i]) && math.IsNaN(b[i])) {
			return false
		}
	}
	return true
}

func TestSettingsIn3D(t *testing.T) {
	dir := filepath.Join(t.TempDir(), "out")
	mustRun(t, "-view", "3-d", "-seconds", "2", "-left-handed", "-slowed-by", "8", "-name", "volume", "-out", dir)
	var s review.Setup
	decode(t, filepath.Join(dir, "volume.take.json"), &s)
	if s.View != trajectory.Spatial || !s.LeftHanded || s.SlowedBy != 8 || len(s.Marks.Bass.At) != 3 || len(s.Marks.Nut) != 1 || s.YUp {
		t.Errorf("%+v", s)
	}
}

// What the film shows beside the playing stands in the settings, and in the
// truth.
func TestSettingsOfTheCamera(t *testing.T) {
	dir := filepath.Join(t.TempDir(), "out")
	mustRun(t, "-distance", "600", "-raise", "15", "-card", "-touch", "1", "-arm", "0,0.2,0.2,0.6,0", "-pick-edge", "20", "-crown", "254", "-seconds", "6", "-out", dir)
	var s review.Setup
	decode(t, filepath.Join(dir, "take.take.json"), &s)
	if len(s.Card.Corners) != 4 || s.TouchS == nil || math.Abs(*s.TouchS-1.8) > 1e-9 || s.TouchString != 3 || s.StringCount != 6 || s.CrownRadiusMM != 254 ||
		len(s.Landmarks) != 8 || len(s.PickPoints) != 2 {
		t.Errorf("%+v", s)
	}
	rec, err := tracks.ReadFile(filepath.Join(dir, "take.csv"), tracks.Options{})
	if err != nil {
		t.Fatal(err)
	}
	for _, name := range s.Points() {
		if _, ok := rec.Point(name); !ok {
			t.Errorf("the export has no point %q", name)
		}
	}
	var d truth
	decode(t, filepath.Join(dir, "take.truth.json"), &d)
	if len(d.Strings) != 6 || len(d.Onsets) == 0 || d.TouchString != 3 || d.FocalPX != 7200 || d.Shares == nil || math.Abs(float64(d.Shares.Wrist)-0.6) > 0.05 ||
		d.Strokes[0].Shares == nil || len(d.Strokes[0].StringsReached) != 1 || *d.Strokes[0].StruckDepth < 0 {
		t.Errorf("%+v", d)
	}
}

// The list of onsets is one that contact reads, in the film's seconds.
func TestOnsetList(t *testing.T) {
	dir := filepath.Join(t.TempDir(), "out")
	args := []string{"-seconds", "8", "-slowed", "4:6:8", "-onset-jitter", "0.003", "-onsets-spurious", "0.1", "-out", dir}
	mustRun(t, args...)
	if _, err := os.Stat(filepath.Join(dir, "take.onsets.csv")); !errors.Is(err, os.ErrNotExist) {
		t.Error("onsets that nobody asked for")
	}
	mustRun(t, append(args, "-force", "-onsets")...)
	f, err := os.Open(filepath.Join(dir, "take.onsets.csv"))
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	got, err := contact.ReadOnsets(f)
	if err != nil {
		t.Fatal(err)
	}
	var d truth
	decode(t, filepath.Join(dir, "take.truth.json"), &d)
	if len(got) != len(d.Onsets) {
		t.Fatalf("%d onsets, truth has %d", len(got), len(d.Onsets))
	}
	for i, o := range got {
		at := float64(d.Onsets[i].T)
		at += 7 * min(max(at-4, 0), 2) // slowed by 8 from 4 to 6 s
		if math.Abs(o.Time-at) > 1e-5 || math.Abs(o.Level-float64(d.Onsets[i].Level)) > 0.01 {
			t.Errorf("onset %d is %+v, truth %+v", i, o, d.Onsets[i])
		}
	}
}

func TestOverwriting(t *testing.T) {
	dir := filepath.Join(t.TempDir(), "out")
	mustRun(t, "-seconds", "1", "-out", dir)
	before, _ := os.ReadFile(filepath.Join(dir, "take.csv"))
	err := run([]string{"-seconds", "1", "-seed", "9", "-out", dir}, &bytes.Buffer{})
	if cli.Code(err) != cli.BadInput {
		t.Errorf("overwrites without -force: %v", err)
	}
	if after, _ := os.ReadFile(filepath.Join(dir, "take.csv")); !bytes.Equal(before, after) {
		t.Error("the take is another now")
	}
	mustRun(t, "-seconds", "1", "-force", "-notebook", "-onsets", "-out", dir)
	mustRun(t, "-seconds", "1", "-seed", "9", "-force", "-out", dir) // what it wrote before is its own, if this time it writes less
	if files := clitest.Tree(t, dir); len(files) != 4 {
		t.Errorf("-force leaves %d files", len(files))
	}
	if after, _ := os.ReadFile(filepath.Join(dir, "take.csv")); bytes.Equal(before, after) {
		t.Error("-force changes nothing")
	}
}

func TestFlags(t *testing.T) {
	for _, c := range []struct {
		args string
		want simulate.Options
	}{
		{"", simulate.Options{
			Seed: 5, Duration: 14, Rate: 9, PathAngle: 24 * circular.Degree, Length: 9, MissShare: 0.02, Noise: 0.6, DropOuts: 0.005,
			Plan:   []simulate.Stretch{{Search: simulate.Fresh}, {Start: 3.5}, {Start: 10.5, Search: simulate.Wander}},
			Pauses: []simulate.Pause{{At: 8, For: 0.8}}, TrackMarks: true, Wrist: true, Carry: 0.4,
		}},
		{"-seed 0", simulate.Options{PathAngle: 20 * circular.Degree}},
		{"-angle -10 -rate 12.5 -seconds 15 -seed 4", simulate.Options{PathAngle: -10 * circular.Degree, Rate: 12.5, Duration: 15, Seed: 4}},
		{"-angle 0 -noise 0 -jitter 0 -angle-scatter 0 -length-scatter 0.1", simulate.Options{Noise: -1, Jitter: -1, AngleScatter: -1 * circular.Degree, LengthScatter: 0.1}},
		{"-angle 0 -plan 0:fresh,4.5:settled,8:tiny-strokes -pauses 5:1.2 -changes 4:1,10:-2", simulate.Options{
			Plan:    []simulate.Stretch{{Search: simulate.Fresh}, {Start: 4.5}, {Start: 8, Search: simulate.TinyStrokes}},
			Pauses:  []simulate.Pause{{At: 5, For: 1.2}},
			Changes: []simulate.Change{{At: 4, By: 1}, {At: 10, By: -2}},
		}},
		{"-angle 0 -view front -y-up -mirrored -from-neck -left-handed -fills both -wrist 0.3 -confidence -tracked-marks -jumps 2", simulate.Options{
			View: trajectory.Front, Orientation: trajectory.Orientation{YUp: true, Mirrored: true, FromNeck: true, LeftHanded: true},
			StraightFills: true, FrozenFills: true, Wrist: true, Carry: 0.3, Confidence: true, TrackMarks: true, Jumps: 2,
		}},
		{"-angle 0 -distance 600 -yaw -5 -card -touch 1.5 -touch-string 2 -crown 254 -string-drag 0.3 -slowed 5:9:8 -marker-across -2 -noise-colour 0.4 -readout 0.003", simulate.Options{
			Distance: 600, Yaw: -5 * circular.Degree, Card: true, TouchFor: 1.5, TouchString: 2, CrownRadius: 254, StringDrag: 0.3,
			SlowAt: 5, SlowUntil: 9, SlowBy: 8, MarkerAcross: -2, NoiseColour: 0.4, Readout: 0.003,
		}},
		{"-angle 0 -arm 0,0.2,0.2,0.6,0 -landmark-noise 0 -skin-error 5 -pick-edge 20", simulate.Options{
			Arm: true, Shares: simulate.Shares{Elbow: 0.2, Forearm: 0.2, Wrist: 0.6}, LandmarkNoise: -1, SkinError: 5, PickEdge: true, EdgeAngle: 20 * circular.Degree,
		}},
		{"-angle 0 -clearing after-upstrokes -profile minimum-jerk -fills frozen -view 3-d", simulate.Options{
			Clearing: "after upstrokes", Profile: simulate.MinimumJerk, FrozenFills: true, View: trajectory.Spatial,
		}},
	} {
		s, err := parse(strings.Fields(c.args), &bytes.Buffer{})
		if err != nil {
			t.Errorf("%s: %v", c.args, err)
			continue
		}
		if got := s.jobs[0].options; !reflect.DeepEqual(got, c.want) {
			t.Errorf("%s: %+v", c.args, got)
		}
	}
	s, err := parse([]string{"-preset", "tutor", "-noise", "2"}, &bytes.Buffer{})
	if err != nil || s.jobs[0].name != "tutor" || s.jobs[0].options.Noise != 2 || s.jobs[0].options.Rate != 11 {
		t.Errorf("a preset and a flag: %+v, %v", s.jobs, err)
	}
}

func TestBadUsage(t *testing.T) {
	dir := filepath.Join(t.TempDir(), "out")
	for _, args := range []string{
		"-rate x", "-rate NaN", "-rate 900", "-preset nobody", "-plan 0:often", "-plan 3", "-changes 4:half", "-pauses 1:x", "-view above", "-seed -1",
		"-list", "-list -force", "-name a/b", "-name ..", "-jumps 1.5", "-slowed 5:9", "-slowed 5:9:x", "-arm 0.5,0.5", "-arm 1,1,0,0,0", "-touch-string two", "-touch-string 9", "-distance 3", "take.csv", "-preset all -name one", "-fills some", "-clearing after-downstrokes -angle 0",
	} {
		err := run(append(strings.Fields(args), "-out", dir), &bytes.Buffer{})
		if cli.Code(err) != cli.BadUsage {
			t.Errorf("%s: %v", args, err)
		}
		if args == "-rate 900" && !strings.HasPrefix(err.Error(), args+": ") {
			t.Errorf("%s is not named: %v", args, err)
		}
		if _, err := os.Stat(dir); !errors.Is(err, os.ErrNotExist) {
			t.Fatalf("%s: something is written", args)
		}
	}
}

// TestNoFolder: what says what else to write does so nowhere without a folder.
func TestNoFolder(t *testing.T) {
	t.Chdir(t.TempDir())
	for _, flag := range []string{"-notebook", "-onsets"} {
		if err := run([]string{"-json", flag}, &bytes.Buffer{}); cli.Code(err) != cli.BadUsage || !strings.Contains(err.Error(), flag+" writes into the folder") {
			t.Errorf("-json %s: %v", flag, err)
		}
	}
}

func TestHelpAndList(t *testing.T) {
	var out bytes.Buffer
	if err := run([]string{"-h"}, &out); !errors.Is(err, flag.ErrHelp) {
		t.Error(err)
	}
	for _, f := range optionFlags {
		if strings.Count(out.String(), "\n  -"+f.name) < 1 {
			t.Errorf("the help leaves out -%s", f.name)
		}
	}
	s := program.Flags()
	new(changes).add(s)
	s.VisitAll(func(f *flag.Flag) {
		if !slices.ContainsFunc(program.Groups, func(g cli.Group) bool { return slices.Contains(g.Flags, f.Name) }) {
			t.Errorf("-%s stands in no group of the help", f.Name)
		}
	})
	if got := mustRun(t, "-list"); !strings.Contains(got, "beginner-1") || !strings.Contains(got, "tutor") {
		t.Errorf("list: %s", got)
	}
}
