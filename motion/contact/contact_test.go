package contact_test

import (
	"encoding/json"
	"errors"
	"io"
	"math"
	"strings"
	"testing"
	"testing/iotest"

	"github.com/google/go-cmp/cmp"
	"github.com/google/go-cmp/cmp/cmpopts"

	"github.com/plectrace/plectrace/motion"
	"github.com/plectrace/plectrace/motion/contact"
	"github.com/plectrace/plectrace/trajectory"
	"github.com/plectrace/plectrace/variability/estimate"
)

func TestStrings(t *testing.T) {
	s := contact.Strings{Number: 6}.Within(52)
	if s.SpacingMM != 10.4 || s.Across(1) != 26 || s.Across(6) != -26 || s.Within(99).SpacingMM != 10.4 {
		t.Errorf("six strings within 52 mm: %+v, from %v to %v", s, s.Across(1), s.Across(6))
	}
	if low, high := s.Height(1); low != 0 || high != 0 {
		t.Errorf("string 1: %v to %v, want the plane", low, high)
	}
	// √(184²-5.2²) - √(184²-26²), by hand.
	if low, high := s.Height(3); low != 0 || math.Abs(high-1.7725) > 5e-4 {
		t.Errorf("string 3, crown unknown: %v to %v", low, high)
	}
	for _, flat := range []float64{-1, math.Inf(1)} {
		s.CrownRadiusMM = flat
		if low, high := s.Height(3); low != 0 || high != 0 {
			t.Errorf("flat: %v to %v", low, high)
		}
	}
	for name, c := range map[string]struct {
		strings contact.Strings
		says    []string
	}{
		"none":              {contact.Strings{}, []string{"string_count is 0", "1 to 40"}},
		"no spacing":        {contact.Strings{Number: 4}, []string{"string_spacing_mm is not given"}},
		"spacing negative":  {contact.Strings{Number: 4, SpacingMM: -2}, []string{"string_spacing_mm is -2"}},
		"spacing not known": {contact.Strings{Number: 4, SpacingMM: math.NaN()}, []string{"string_spacing_mm"}},
		"too wide":          {contact.Strings{Number: 40, SpacingMM: 90}, []string{"string 1 lies at 1755 mm"}},
		"places":            {contact.Strings{Number: 3, AcrossMM: []float64{5, 0}}, []string{"across_mm has 2", "string_count is 3"}},
		"order":             {contact.Strings{Number: 3, AcrossMM: []float64{-5, 0, 5}}, []string{"across_mm", "string 2"}},
		"place not known":   {contact.Strings{Number: 2, AcrossMM: []float64{5, math.NaN()}}, []string{"string 2"}},
		"gap negative":      {contact.Strings{Number: 4, SpacingMM: 10, PairGapMM: -1}, []string{"pair_gap_mm is -1"}},
		"gap too wide":      {contact.Strings{Number: 4, SpacingMM: 9, PairGapMM: 4.5}, []string{"pair_gap_mm is 4.5", "string_spacing_mm is 9"}},
		"gap of places":     {contact.Strings{Number: 3, AcrossMM: []float64{9, 4, -9}, PairGapMM: 3}, []string{"pair_gap_mm is 3", "across_mm are 5"}},
		"crown":             {contact.Strings{Number: 6, SpacingMM: 10, CrownRadiusMM: 20}, []string{"crown_radius_mm is 20", "50 mm apart"}},
		"crown not known":   {contact.Strings{Number: 6, SpacingMM: 10, CrownRadiusMM: math.NaN()}, []string{"crown_radius_mm"}},
		"too many":          {contact.Strings{Number: 41, SpacingMM: 1}, []string{"string_count is 41", "1 to 40"}},
	} {
		err := c.strings.Validate()
		if err == nil {
			t.Errorf("%s: no error", name)
			continue
		}
		for _, w := range append(c.says, "strings: ") {
			if !strings.Contains(err.Error(), w) {
				t.Errorf("%s: %q does not say %q", name, err, w)
			}
		}
	}
	for name, good := range map[string]contact.Strings{
		"one":    {Number: 1},
		"places": {Number: 3, AcrossMM: []float64{9, 1, -9}},
		"pairs":  {Number: 4, SpacingMM: 12, PairGapMM: 2, CrownRadiusMM: 300},
	} {
		if err := good.Validate(); err != nil {
			t.Errorf("%s: %v", name, err)
		}
	}
}

func TestText(t *testing.T) {
	for _, a := range []contact.Answer{contact.Unknown, contact.Yes, contact.No} {
		text, err := json.Marshal(a)
		var b contact.Answer
		if err != nil || json.Unmarshal(text, &b) != nil || a != b {
			t.Errorf("%v became %s and %v", a, text, b)
		}
	}
	for _, a := range []contact.EdgeKind{contact.EdgeUnknown, contact.EdgeRotation, contact.EdgeLean} {
		text, err := json.Marshal(a)
		var b contact.EdgeKind
		if err != nil || json.Unmarshal(text, &b) != nil || a != b {
			t.Errorf("%v became %s and %v", a, text, b)
		}
	}
	var a contact.Answer
	var k contact.EdgeKind
	if a.UnmarshalText([]byte("perhaps")) == nil || k.UnmarshalText([]byte("x")) == nil || contact.Answer(7).String() != "Answer(7)" {
		t.Error("unknown text taken")
	}
	for want, s := range map[string]contact.Stroke{
		"4 3": {Reached: contact.Yes, Strings: []int{4, 3}}, "none": {Reached: contact.No}, "": {},
	} {
		if got := s.Numbers(); got != want {
			t.Errorf("%+v: %q, want %q", s, got, want)
		}
	}
}

func TestReadOnsets(t *testing.T) {
	nan := math.NaN()
	for _, c := range []struct {
		name, in string
		want     []contact.Onset
	}{
		{"header", "time_s,level_db\n0.5,-20\n0.75,-18.5\n", []contact.Onset{{Time: 0.5, Level: -20}, {Time: 0.75, Level: -18.5}}},
		{"bare column", "0.5\n0.75\n", []contact.Onset{{Time: 0.5, Level: nan}, {Time: 0.75, Level: nan}}},
		{"two bare columns, tabs, CRLF", "0.5\t-20\r\n0.75\t\r\n", []contact.Onset{{Time: 0.5, Level: -20}, {Time: 0.75, Level: nan}}},
		{"other columns and order, semicolons, byte order mark", "\ufeff\"name\";\"level_dB\";\"Time_s\"\n# by hand\n\na;-3;-1e-1\n", []contact.Onset{{Time: -0.1, Level: -3}}},
		{"times only by name", "time_s,bar\n1,2\n", []contact.Onset{{Time: 1, Level: nan}}},
		{"level missing", "time_s,level_db\n1\n", []contact.Onset{{Time: 1, Level: nan}}},
		{"level said to be missing", "1,NaN\n", []contact.Onset{{Time: 1, Level: nan}}},
		{"empty", "", nil},
		{"header alone", "time_s\n", nil},
	} {
		got, err := contact.ReadOnsets(strings.NewReader(c.in))
		if err != nil || !cmp.Equal(got, c.want, cmpopts.EquateNaNs()) {
			t.Errorf("%s: %v, %v; want %v", c.name, got, err, c.want)
		}
	}
	for _, c := range []struct {
		name, in     string
		line, column int
	}{
		{"no header", "onset,level\n1,2\n", 1, 1},
		{"not a time", "time_s\n1\nx\n", 3, 1},
		{"infinite", "1\n+Inf\n", 2, 1},
		{"not a number", "NaN\n", 1, 1},
		{"not a level", "time_s,level_db\n1,loud\n", 2, 2},
		{"falling", "1\n2\n1.5\n", 3, 1},
		{"twice", "level_db,time_s\n-3,1\n-3,1\n", 3, 2},
		{"short", "level_db,time_s\n-3\n", 2, 2},
		{"endless line", strings.Repeat("1", 1<<17), 1, 1},
	} {
		_, err := contact.ReadOnsets(strings.NewReader(c.in))
		var e *contact.OnsetError
		if !errors.As(err, &e) || e.Line != c.line || e.Column != c.column {
			t.Errorf("%s: %v, want line %d, column %d", c.name, err, c.line, c.column)
		}
	}
	for _, c := range []struct{ name, in, want string }{
		{"out of order", "2\n1.5\n", `onsets: line 2, column 1: "1.5": times must increase, and the one before is 2 s: sort the list by time`},
		{"a long text", strings.Repeat("aé", 20) + "\n", `onsets: line 1, column 1: "` + strings.Repeat("aé", 13) + `a…": neither a time in seconds nor a header with the column time_s`},
		{"not text", "\x89PNG\x1a\x00\x00\xff\xd8" + strings.Repeat("\x01\xfe", 500), "onsets: line 1, column 1: this is no text: give times in seconds as plain text (UTF-8), one a line"},
		{"two bytes a letter", "\xff\xfet\x00i\x00m\x00e\x00", "onsets: line 1, column 1: this is no text: give times in seconds as plain text (UTF-8), one a line"},
	} {
		_, err := contact.ReadOnsets(strings.NewReader(c.in))
		if err == nil || err.Error() != c.want {
			t.Errorf("%s: %v\nwant %s", c.name, err, c.want)
		}
	}
	if _, err := contact.ReadOnsets(iotest.ErrReader(io.ErrUnexpectedEOF)); !errors.Is(err, io.ErrUnexpectedEOF) {
		t.Errorf("a reader that fails: %v", err)
	}
}

func FuzzReadOnsets(f *testing.F) {
	f.Add("time_s,level_db\n0.5,-20\n")
	f.Add("0.5\n\"0.75\"\n")
	f.Fuzz(func(t *testing.T, in string) {
		on, err := contact.ReadOnsets(strings.NewReader(in))
		for i := 1; err == nil && i < len(on); i++ {
			if !(on[i].Time > on[i-1].Time) {
				t.Fatalf("%q: %v", in, on)
			}
		}
	})
}

// simple is a take of a hundred strokes on string 2 of 3, 10 mm apart, with
// every tenth a miss.
func simple(t testing.TB) (*motion.Motion, trajectory.Placed, contact.Strings) {
	t.Helper()
	p := trajectory.Placed{Name: "tip", Unit: "mm"}
	rng := stream("contact/simple", 1)
	for i := range 2400 {
		x := float64(i) / 24 // strokes
		lift := 0.0
		if k := int(x); k%10 == 7 {
			lift = 2.5 * math.Pow(math.Sin(math.Pi*(x-float64(k))), 2)
		}
		p.T = append(p.T, float64(i)/240)
		p.Across = append(p.Across, 1-5*math.Cos(math.Pi*x)+0.02*rng.NormFloat64())
		p.Out = append(p.Out, -1-1.5*math.Cos(math.Pi*x)+lift+0.02*rng.NormFloat64())
	}
	m, err := motion.Analyze(p, motion.Options{})
	if err != nil {
		t.Fatal(err)
	}
	return m, p, contact.Strings{Number: 3, SpacingMM: 10, CrownRadiusMM: -1}
}

func TestFindSimple(t *testing.T) {
	m, p, s := simple(t)
	c, err := contact.Find(m, p, s, contact.Options{})
	if err != nil {
		t.Fatal(err)
	}
	for i, st := range c.Strokes {
		k := int(m.Strokes[i].Middle() * 10)
		want, reached := "2", contact.Yes
		if k%10 == 7 {
			want, reached = "none", contact.No
		}
		if st.Numbers() != want || st.Reached != reached || st.Played != 2 {
			t.Errorf("stroke %d: %+v, want %s", i, st, want)
		}
		// The tip passes the middle string, 1 mm short of its own middle.
		if x := 1 / 5.0; math.Abs(st.Time-(float64(k)+0.5+map[bool]float64{true: -1, false: 1}[st.Direction == motion.Down]*math.Asin(x)/math.Pi)/10) > 5e-4 {
			t.Errorf("stroke %d at %v", i, st.Time)
		}
		if want := math.Pi / 0.1 * 5 * math.Sqrt(1-0.04) * math.Hypot(1, 0.3); k%10 != 7 && math.Abs(st.Speed/want-1) > 0.05 {
			t.Errorf("stroke %d: speed %v, want %v", i, st.Speed, want)
		}
	}
	for _, c := range []struct {
		name       string
		v          estimate.Value[float64]
		want, near float64
	}{
		{"follow-through of downstrokes", c.FollowThrough(motion.Down), 6, 0.05},
		{"follow-through of upstrokes", c.FollowThrough(motion.Up), 4, 0.05},
		{"depth of downstrokes", c.Depth(motion.Down), 1.3, 0.05},
		{"depth of upstrokes", c.Depth(motion.Up), 1.3, 0.05},
		{"missed", c.Missed(), 0.1, 0.011},
	} {
		if !c.v.Known() || math.Abs(c.v.Value-c.want) > c.near || !(c.v.Low <= c.want+c.near && c.v.High >= c.want-c.near) {
			t.Errorf("%s: %+v, want %v", c.name, c.v, c.want)
		}
	}
	told, err := contact.Find(m, p, s, contact.Options{Played: 3})
	if err != nil || told.Strokes[4].Played != 3 || told.Strokes[4].Numbers() != "2" {
		t.Errorf("string 3 said to be played: %+v, %v", told.Strokes[4], err)
	}
}

func TestFindAbsent(t *testing.T) {
	m, p, s := simple(t)
	front := p
	front.Out, front.Along = nil, p.Out
	relative, few := *m, *m
	relative.Options.Relative, relative.Options.RelativeWhy = true, "a marker is tracked"
	few.SamplesPerStroke = 3
	pixels := p
	pixels.Unit = "px"
	for _, c := range []struct {
		name   string
		m      *motion.Motion
		p      trajectory.Placed
		code   string
		follow bool
	}{
		{"marker", &relative, p, "grade", false},
		{"few samples", &few, p, "samples per stroke", false},
		{"pixels", m, pixels, "unit", false},
		{"no strokes", &motion.Motion{SamplesPerStroke: math.NaN()}, p, "no strokes", false},
		{"front", m, front, "view", true},
	} {
		r, err := contact.Find(c.m, c.p, s, contact.Options{})
		if err != nil {
			t.Fatal(err)
		}
		if len(r.Absent) == 0 || r.Absent[0].Code != c.code || r.Absent[0].Why == "" || len(r.Strokes) != len(c.m.Strokes) {
			t.Errorf("%s: %+v", c.name, r.Absent)
		}
		for _, st := range r.Strokes {
			if st.Reached != contact.Unknown || !math.IsNaN(st.P) || st.Numbers() != "" || !math.IsNaN(st.Depth) {
				t.Fatalf("%s: %+v", c.name, st)
			}
		}
		if v := r.Missed(); v.Known() || v.Absent.Code != c.code {
			t.Errorf("%s: missed %+v", c.name, v)
		}
		if v := r.FollowThrough(motion.Down); v.Known() != c.follow || c.follow && math.Abs(v.Value-6) > 0.05 {
			t.Errorf("%s: follow-through %+v", c.name, v)
		}
		if v := r.Slowing(motion.Up); !c.follow && (v.Known() || v.Absent.Code != c.code) {
			t.Errorf("%s: slowing %+v", c.name, v)
		}
		if v := r.DepthSpread(motion.Up); v.Known() || v.Absent == nil {
			t.Errorf("%s: spread %+v", c.name, v)
		}
	}
	for says, o := range map[string]contact.Options{"string_played is 4 and string_count is 3": {Played: 4}, "a certainty of 0.3": {Certainty: 0.3}} {
		if _, err := contact.Find(m, p, s, o); err == nil || !strings.Contains(err.Error(), says) {
			t.Errorf("%v, want %q", err, says)
		}
	}
	if _, err := contact.Find(m, trajectory.Placed{}, s, contact.Options{}); err == nil {
		t.Error("no path: no error")
	}
	if _, err := contact.Find(m, p, contact.Strings{}, contact.Options{}); err == nil {
		t.Error("no strings: no error")
	}
}

// TestFindInvariant holds that the answers do not depend on where time starts,
// and that a mirrored instrument swaps the strings and the directions.
func TestFindInvariant(t *testing.T) {
	rng := stream("contact/invariant", 1)
	q := randomPlayer(rng)
	q.hz, q.strings = 120, contact.Strings{Number: 6, SpacingMM: 10, CrownRadiusMM: 300}
	pl := q.play(80, rng)
	_, want, err := q.measure(&pl)
	if err != nil {
		t.Fatal(err)
	}
	mirrored := pl
	mirrored.path.Across = append([]float64(nil), pl.path.Across...)
	mirrored.path.T = append([]float64(nil), pl.path.T...)
	for i := range mirrored.path.T {
		mirrored.path.Across[i] *= -1
		mirrored.path.T[i] += 100
	}
	_, got, err := q.measure(&mirrored)
	if err != nil || len(got.Strokes) != len(want.Strokes) {
		t.Fatalf("%d strokes, want %d: %v", len(got.Strokes), len(want.Strokes), err)
	}
	for i, w := range want.Strokes {
		g := got.Strokes[i]
		if g.Direction == w.Direction || g.Reached != w.Reached || len(g.Strings) != len(w.Strings) || math.Abs(g.Time-100-w.Time) > 1e-6 || math.Abs(g.Depth-w.Depth) > 1e-6 {
			t.Fatalf("stroke %d: %+v, want %+v", i, g, w)
		}
		for k := range g.Strings {
			if g.Strings[k] != 7-w.Strings[k] {
				t.Fatalf("stroke %d: strings %v, want the others of %v", i, g.Strings, w.Strings)
			}
		}
	}
}
