package main

import (
	"encoding/json"
	"math"
	"path/filepath"
	"regexp"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
	"github.com/plectrace/plectrace/examples/internal/clitest"
	"github.com/plectrace/plectrace/motion"
	"github.com/plectrace/plectrace/motion/review"
	"github.com/plectrace/plectrace/motion/simulate"
	"github.com/plectrace/plectrace/trajectory"
	"github.com/plectrace/plectrace/variability/circular"
	"github.com/plectrace/plectrace/variability/estimate"
)

// jobOf is what the command line asks for.
func jobOf(t *testing.T, args string) job {
	t.Helper()
	s, err := parse(strings.Fields(args), nil)
	if err != nil {
		t.Fatal(err)
	}
	return s.jobs[0]
}

func makeOne(t *testing.T, args string) *made {
	t.Helper()
	m, err := newMade(jobOf(t, args))
	if err != nil {
		t.Fatal(err)
	}
	return m
}

// TestPlayed: the path that is shown runs through the turns of the truth, however
// the take was filmed.
func TestPlayed(t *testing.T) {
	for _, args := range []string{
		"",
		"-preset beginner-1",
		"-view front -skew -17 -mirrored -slowed 5:9:8 -time-jitter 0.0005 -frames 60",
		"-view 3-d -left-handed -arm 0,0.2,0.2,0.6,0 -marker-up 8 -roll 20 -sway 3",
		"-distance 600 -raise 15 -yaw 4 -card -touch 1 -crown 254 -pick-edge 20 -outliers 0.01 -jumps 2 -fills both -hide-down 0.5",
		"-from-neck -exposure 0.002 -readout 0.003 -slowed-by 8",
	} {
		m := makeOne(t, args)
		if len(m.take.Truth.Turns) < 50 {
			t.Fatalf("%q: %d turns", args, len(m.take.Truth.Turns))
		}
		for _, turn := range m.take.Truth.Turns {
			i := int(math.Round(turn.T * 240))
			if i >= len(m.path.T) || math.Abs(m.path.T[i]-turn.T) > 0.5/240+1e-9 {
				t.Fatalf("%q: no place of the tip at %g s", args, turn.T)
			}
			// Half a sample from a turn, of the slowest and longest strokes here.
			if d := math.Hypot(m.path.Across[i]-turn.Across, m.path.Out[i]-turn.Out); d > 0.1 {
				t.Errorf("%q: the tip is %.2f mm from its turn at %.3f s", args, d, turn.T)
			}
		}
	}
}

// TestMatched: strokes are paired by time and direction, each once.
func TestMatched(t *testing.T) {
	made := []simulate.Stroke{
		{Down: true, Start: 0, End: 0.1}, {Start: 0.1, End: 0.2}, {Down: true, Start: 0.2, End: 0.3}, {Start: 0.3, End: 0.4}, {Down: true, Start: 0.5, End: 0.6},
	}
	at := func(d motion.Direction, start, end float64) motion.Stroke {
		return motion.Stroke{Direction: d, Start: start, End: end}
	}
	found := []motion.Stroke{
		at(motion.Down, 0.01, 0.1),  // near enough
		at(motion.Down, 0.1, 0.2),   // the other way
		at(motion.Down, 0.24, 0.34), // too late by 0.04 of 0.1
		at(motion.Up, 0.3, 0.4),
		at(motion.Up, 0.42, 0.48), // in a rest
		at(motion.Down, 0.5, 0.6),
	}
	same := func(at float64) float64 { return at }
	if d := cmp.Diff([]int{0, -1, -1, 3, 5}, matched(made, found, same)); d != "" {
		t.Error(d)
	}
	for i := range found {
		found[i].Start, found[i].End = 8*found[i].Start, 8*found[i].End
	}
	if d := cmp.Diff([]int{0, -1, -1, 3, 5}, matched(made, found, func(at float64) float64 { return 8 * at })); d != "" {
		t.Errorf("in slow motion: %s", d)
	}
}

// TestOverlap: the time in common over that in either, the coefficient of Jaccard
// (1912).
func TestOverlap(t *testing.T) {
	m := func(start, end float64) simulate.Span { return simulate.Span{Settled: true, Start: start, End: end} }
	f := func(start, end float64) review.Span { return review.Span{Settled: true, Start: start, End: end} }
	for _, c := range []struct {
		made  []simulate.Span
		found []review.Span
		want  float64
	}{
		{[]simulate.Span{m(2, 6), m(8, 10)}, []review.Span{f(3, 9)}, 4.0 / 8},
		{[]simulate.Span{m(2, 6)}, []review.Span{f(2, 4), f(4, 6)}, 1},
		{[]simulate.Span{m(2, 6)}, []review.Span{f(7, 8), {Start: 2, End: 6}}, 0},
		{[]simulate.Span{{Start: 0, End: 4}}, nil, math.NaN()},
	} {
		if got := overlap(c.made, c.found); math.Abs(got-c.want) > 1e-12 || (got != got) != (c.want != c.want) {
			t.Errorf("%v and %v overlap by %g, want %g", c.made, c.found, got, c.want)
		}
	}
}

// TestReviewFindsTruth: on takes without trouble nearly all strokes are found and
// most intervals hold the truth.
func TestReviewFindsTruth(t *testing.T) {
	inside, all := 0, 0
	for _, args := range []string{"", "-preset beginner-1", "-preset beginner-2", "-preset tutor", "-seed 3 -skew 4", "-seed 4 -view 3-d -arm 0,0.2,0.2,0.6,0"} {
		m := makeOne(t, args)
		if m.failure != nil {
			t.Errorf("%q: %v", args, m.failure)
			continue
		}
		found, missed, extra := m.counts()
		if found+missed != len(m.take.Truth.Strokes) || missed > len(m.pairs)/50 || extra > len(m.pairs)/50 {
			t.Errorf("%q: %d found, %d missed, %d too many", args, found, missed, extra)
		}
		if ms := 1000 * m.turnError(); !(ms < 2) { // half a frame
			t.Errorf("%q: turns lie %.2f ms apart", args, ms)
		}
		if s := m.settled(); !(s > 0.8) {
			t.Errorf("%q: settled time overlaps by %.2f", args, s)
		}
		for _, c := range m.checks {
			switch c.inside() {
			case "yes":
				inside++
				all++
			case "no":
				all++
				t.Logf("%q: %s %g (%g to %g), want %g", args, c.Measure, c.Found.Value, c.Found.Low, c.Found.High, c.Made)
			}
		}
	}
	// Of 34 intervals at 95 % more than 4 miss the truth in 3 cases of 100
	// (binomial).
	if all < 30 || all-inside > 4 {
		t.Errorf("%d of %d intervals hold the truth", inside, all)
	}
}

// TestNotReviewed: what cannot be reviewed is written all the same, and says why.
func TestNotReviewed(t *testing.T) {
	dir := filepath.Join(t.TempDir(), "out")
	said := mustRun(t, "-frames", "5", "-seconds", "0.3", "-out", dir)
	clitest.WantAll(t, "the summary", said, "a review of it fails: ")
	files := clitest.Tree(t, dir)
	clitest.WantAll(t, "the page", clitest.Visible(files["page.html"]), "This take cannot be reviewed: ")
	var got results
	if err := json.Unmarshal([]byte(mustRun(t, "-frames", "5", "-seconds", "0.3", "-json")), &got); err != nil || got.Takes[0].Review != nil || got.Takes[0].NotReviewed == "" {
		t.Errorf("%+v, %v", got, err)
	}
}

// code is that of the page, which is folded away.
var code = regexp.MustCompile(`(?s)<details.*?</details>`)

// TestPages: no page of any kind of take shows what is no number, and code stands
// on it once.
func TestPages(t *testing.T) {
	dir := t.TempDir()
	for name, args := range map[string]string{
		"demo": "", "front": "-view front -skew -17 -drop-outs 0.02 -hide-down 0.7", "oblique": "-view oblique", "space": "-view 3-d -arm 0,0.2,0.2,0.6,0 -skin-error 5",
		"slowed": "-slowed 5:9:8", "saved": "-slowed-by 8 -touch 1", "slow": "-rate 0.3", "coarse": "-frames 24 -rate 13", "class": "-preset all", "card": "-distance 600 -card",
		"short": "-seconds 0.1", "unseen": "-frames 5 -seconds 0.3", "rare": "-frames 5",
	} {
		out := filepath.Join(dir, name)
		said := mustRun(t, append(strings.Fields(args), "-notebook", "-out", out)...)
		files := clitest.Tree(t, out)
		page := clitest.Visible(files["page.html"])
		clitest.WantResults(t, name+": the page", clitest.Visible(code.ReplaceAllString(files["page.html"], " ")))
		clitest.WantResults(t, name+": the summary", said)
		clitest.WantAll(t, name+": the page", page, "Nobody played this", "Fast repeated motion can hurt", "see a clinician")
		if n := strings.Count(page, "func reviewed("); n > 1 {
			t.Errorf("%s: the code stands on the page %d times", name, n)
		}
		if !json.Valid([]byte(files["notebook.ipynb"])) {
			t.Errorf("%s: the notebook is no JSON", name)
		}
		if size := len(files["page.html"]); size > 1e6 {
			t.Errorf("%s: the page has %d bytes", name, size)
		}
	}
}

// TestDecimals: a truth that lies outside of an interval is seen to do so.
func TestDecimals(t *testing.T) {
	for _, c := range []struct {
		made, low, high float64
		want            int
	}{{0, 5.5e-6, 0.05, 5}, {0.07, 5.5e-6, 0.0700004, 3}, {0, 0, 0.05, 3}, {1, 0.93, 0.9996, 4}} {
		of := check{"missed_share", c.made, estimate.Value[float64]{Value: 0.005, Low: c.low, High: c.high, Level: 0.95, N: 183}}
		if got := of.decimals(); got != c.want {
			t.Errorf("%+v: %d decimals, want %d", c, got, c.want)
		}
	}
}

// TestHostile: a name is text wherever it is shown.
func TestHostile(t *testing.T) {
	const name = clitest.Hostile
	dir := filepath.Join(t.TempDir(), "out")
	mustRun(t, "-seconds", "3", "-name", name, "-notebook", "-out", dir)
	files := clitest.Tree(t, dir)
	if files[name+".csv"] == "" {
		t.Fatal("no export of that name")
	}
	clitest.WantEscaped(t, files)
	clitest.WantAll(t, "the page", clitest.Visible(files["page.html"]), name+".csv is the export")
	var got results
	if err := json.Unmarshal([]byte(mustRun(t, "-seconds", "3", "-name", name, "-json")), &got); err != nil || got.Takes[0].Name != name {
		t.Errorf("%+v, %v", got, err)
	}
}

// TestJSON: the results are those of the files, and nothing else is printed or
// written.
func TestJSON(t *testing.T) {
	t.Chdir(t.TempDir())
	printed := mustRun(t, "-preset", "all", "-json")
	if left := clitest.Tree(t, "."); len(left) > 0 {
		t.Errorf("-json writes %v", left)
	}
	var got results
	if err := json.Unmarshal([]byte(printed), &got); err != nil {
		t.Fatal(err)
	}
	if got.Schema != "plectrace/simulate/1" || len(got.Takes) != 3 {
		t.Fatalf("%+v", got)
	}
	for i, p := range simulate.Presets() {
		take, err := simulate.Make(p.Options)
		if err != nil {
			t.Fatal(err)
		}
		r := got.Takes[i]
		if r.Name != p.Name || r.Strokes != len(take.Truth.Strokes) || math.Abs(float64(r.SettledShare)-take.Truth.SettledShare) > 1e-5 || r.View != trajectory.EndOn.String() {
			t.Errorf("%+v", r)
		}
		if r.Review == nil || r.Review.Found+r.Review.Missed != r.Strokes || len(r.Review.Measures) < 5 {
			t.Errorf("%s: %+v", p.Name, r.Review)
		}
	}
	if said := mustRun(t, "-quiet", "-out", "out"); said != "" || len(clitest.Tree(t, "out")) != 4 {
		t.Errorf("-quiet says %q", said)
	}
}

// TestAsked: the command on the page makes the same take.
func TestAsked(t *testing.T) {
	for _, args := range [][]string{
		nil, {"-preset", "tutor", "-noise", "2"}, {"-angle", "-10", "-y-up", "-mirrored=false", "-plan", "0:fresh, 4:settled", "-rate", "12"},
	} {
		s, err := parse(args, nil)
		if err != nil {
			t.Fatal(err)
		}
		asked := s.jobs[0].asked
		line := strings.TrimPrefix(strings.ReplaceAll(command(asked), "\\\n", ""), "go run ./examples/simulate")
		again, err := parse(split(line), nil)
		if err != nil {
			t.Fatalf("%q: %v", line, err)
		}
		if d := cmp.Diff(s.jobs[0].options, again.jobs[0].options); d != "" {
			t.Errorf("%q makes another take\n%s", line, d)
		}
		for part := range strings.SplitSeq(command(asked), "\n") {
			if len(part) > 80 {
				t.Errorf("a line of %d characters: %s", len(part), part)
			}
		}
	}
}

// split splits a line as a shell does, as far as quoted values go.
func split(line string) (args []string) {
	for i, part := range strings.Split(line, `"`) {
		if i%2 == 1 {
			args = append(args, part)
		} else {
			args = append(args, strings.Fields(part)...)
		}
	}
	return args
}

func TestFaultless(t *testing.T) {
	o := faultless(jobOf(t, "-distance 600 -raise 15 -noise 3 -outliers 0.1 -slowed-by 8 -angle 30").options)
	if o.Distance != 0 || o.Noise >= 0 || o.Outliers != 0 || o.SlowedBy != 0 || o.PathAngle != 30*circular.Degree {
		t.Errorf("%+v", o)
	}
}
