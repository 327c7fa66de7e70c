package main

import (
	"encoding/csv"
	"encoding/json"
	"fmt"
	"io"
	"math"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"github.com/plectrace/plectrace/examples/internal/cli"
	"github.com/plectrace/plectrace/examples/internal/clitest"
	"github.com/plectrace/plectrace/motion/cohort"
	"github.com/plectrace/plectrace/motion/progress"
	"github.com/plectrace/plectrace/variability/estimate"
	"gonum.org/v1/gonum/stat"
)

// invented are takes of which two measures are known: several on some days, some
// without a date, some without a measure.
func invented() []*cohort.Record {
	rng := estimate.Stream(3, "invented")
	var takes []*cohort.Record
	for p := range 25 {
		uneven, start := rng.NormFloat64(), rng.NormFloat64()
		for e := range 7 {
			for k := range 1 + (p+e)%2 {
				rec := &cohort.Record{
					Take: progress.Take{
						Player: fmt.Sprintf("P%02d", p), File: fmt.Sprintf("%d-%d-%d.csv", p, e, k),
						Date: time.Date(2026, 1, 7+7*e, 18, 30*k, 0, 0, time.FixedZone("", 3600*(p%3-1))), Extra: []string{"x", []string{"b", "a", "c"}[p%3]},
					},
					View: "end-on", Unit: "mm", Strokes: 150, PerStroke: 26, SampleHz: 240,
				}
				if p == 4 && e == 1 {
					rec.Date = time.Time{}
				}
				value := func(name string, x float64) {
					if (p+3*e+k)%17 != 0 {
						rec.Rows = append(rec.Rows, cohort.Row{Measure: name, Value: estimate.Value[float64]{Value: x, Low: math.NaN(), High: math.NaN(), N: 100}})
					}
				}
				week := float64(e) / 6
				value("duration_scatter_share", 0.08*math.Exp(0.4*uneven+0.1*rng.NormFloat64()))
				value("settled_share", 0.4+0.1*start+week*(0.25-0.1*uneven)+0.03*rng.NormFloat64())
				value("notes_per_second", 8*math.Exp(0.1*start-0.1*week*uneven+0.02*rng.NormFloat64()))
				takes = append(takes, rec)
			}
		}
	}
	return takes
}

// TestScatter holds the points of the figure to the answer of the study, which has
// windows of its own: as many players, and the same partial correlation
//
//	(xy - xz yz) / √((1-xz²)(1-yz²))
//
// of predictor x and late outcome y given the baseline z, as measured.
func TestScatter(t *testing.T) {
	for _, text := range []string{
		`{"primary": {"predictor": "duration_scatter_share", "outcome": "settled_share"}}`,
		`{"primary": {"predictor": "duration_scatter_share", "outcome": "notes_per_second"}, "windows": {"early": 1, "baseline": 2, "late": 3}}`,
		`{"exploratory": [{"predictor": "settled_share", "outcome": "notes_per_second"}], "windows": {"unit": "take", "early": 3, "baseline": 3, "late": 3}}`,
	} {
		plan, err := readPlan(text)
		if err != nil {
			t.Fatal(err)
		}
		r, err := newResult(plan, []string{"other", "Class"}, "class")
		if err != nil {
			t.Fatal(err)
		}
		for _, rec := range invented() {
			if r.Add(rec) {
				r.scatter.add(rec)
			}
		}
		a := r.associations()[0]
		var early, baseline, late []float64
		seen, err := observe(r.Study, a)
		if err != nil {
			t.Fatal(err)
		}
		for _, o := range seen {
			early, baseline, late = append(early, o.Early), append(baseline, o.Baseline), append(late, o.Late)
		}
		xy, xz, yz := stat.Correlation(early, late, nil), stat.Correlation(early, baseline, nil), stat.Correlation(late, baseline, nil)
		partial := (xy - xz*yz) / math.Sqrt((1-xz*xz)*(1-yz*yz))
		if len(early) != a.Players || a.Players < 12 || math.Abs(partial-a.Observed.Value) > 1e-4 {
			t.Errorf("%s: %d players and %.5f, the study has %d and %.5f", text, len(early), partial, a.Players, a.Observed.Value)
		}
		players, line := r.scatter.points(seen, a)
		if len(players) != a.Players || players[0].Group != "a" || players[len(players)-1].Group != "c" {
			t.Errorf("%s: %d players from %+v on", text, len(players), players[0])
		}
		f := scatterFigure(players, line)
		if n := len(f.Groups); n != 3 {
			t.Errorf("%s: %d groups", text, n)
		}
		if a.Slope.Known() != (len(line.X) > 0) {
			t.Errorf("%s: slope %+v, and a line of %d", text, a.Slope, len(line.X))
		}
		for i := range line.X {
			if !(line.Low[i] <= line.Y[i] && line.Y[i] <= line.High[i]) {
				t.Errorf("%s: the line leaves its band at %g", text, line.X[i])
			}
		}
	}
}

// TestJSON: the answers are those of associations.csv, and nothing is written
// unless asked for.
func TestJSON(t *testing.T) {
	dir, list := lessons(t)
	before := clitest.Tree(t, dir)
	t.Chdir(dir)
	printed := must(t, "", "-json", list)
	if got := clitest.Tree(t, dir); len(got) != len(before) {
		t.Errorf("-json writes %d files", len(got)-len(before))
	}
	var got results
	if err := json.Unmarshal([]byte(printed), &got); err != nil {
		t.Fatalf("%v\n%s", err, printed)
	}
	if got.Schema != "plectrace/study/1" || got.Flow[0].Left != 5 || got.Players != 1 || len(got.Exclusions) != 2 || len(got.Answers) != 4 {
		t.Errorf("%+v", got)
	}
	if a := got.Answers[0]; a.Primary || a.Slope.Why == "" || !strings.Contains(printed, `"slope": {
        "value": null,`) || !strings.HasPrefix(a.Verdict, "It cannot be said") {
		t.Errorf("%+v", a)
	}
	if same := must(t, "", "-json", "-quiet", "-notebook", "-out", "study", list); same != printed {
		t.Error("with -out it prints another result")
	}
	files := clitest.Tree(t, "study")
	rows, err := csv.NewReader(strings.NewReader(files["associations.csv"])).ReadAll()
	if err != nil || len(rows) != 1+4*7 {
		t.Errorf("%d rows, %v", len(rows), err)
	}
	if !json.Valid([]byte(files["notebook.ipynb"])) {
		t.Error("no notebook")
	}
	if said := must(t, "", "-quiet", "-force", "-notebook", "-out", "study", list); said != "" {
		t.Errorf("-quiet says %q", said)
	}
	// A demo's list and a notebook of before are the program's own.
	if err := os.WriteFile(filepath.Join("study", "takes.csv"), nil, 0o666); err != nil {
		t.Fatal(err)
	}
	must(t, "", "-force", "-out", "study", list)
	if files := clitest.Tree(t, "study"); files["page.html"] == "" || len(files) != 7 {
		t.Errorf("-force leaves %d files", len(files))
	}
	// What fails prints nothing on standard output.
	out, err := call("", "-json", "-folder", "elsewhere", list)
	if cli.Code(err) != cli.BadInput || out != "" || !strings.Contains(err.Error(), "the first: ") {
		t.Errorf("%v, %q", err, out)
	}
}

// TestHostile: codes, columns and titles are text wherever they are shown.
func TestHostile(t *testing.T) {
	const bad = clitest.Hostile
	dir := t.TempDir()
	r := demoRoster()
	r.Columns = []string{bad}
	for i := range r.Takes {
		r.Takes[i].Player, r.Takes[i].Setup, r.Takes[i].Extra = bad+r.Takes[i].Player, bad, []string{bad + r.Takes[i].Extra[0]}
	}
	plan, err := readPlan(demoPlan)
	if err != nil {
		t.Fatal(err)
	}
	plan.Title = bad
	j := demoJob(flags{by: bad, Common: cli.Common{Notebook: true, Out: filepath.Join(dir, "study")}}, plan)
	j.roster, j.extra, j.f.workers = r, nil, 2
	// Records as if the takes had been measured, so that all players are in it.
	takes := invented()
	err = j.write(t.Context(), io.Discard, func(use func(*cohort.Record) error) error {
		for i, rec := range takes {
			rec.Player, rec.Extra, rec.Setup = bad+rec.Player, []string{bad + rec.Extra[1]}, bad
			if i == 0 {
				rec.Failure = &estimate.Absence{Code: cohort.CodeBroken, Why: bad}
			}
			if err := use(rec); err != nil {
				return err
			}
		}
		return nil
	})
	if err != nil {
		t.Fatal(err)
	}
	files := clitest.Tree(t, filepath.Join(dir, "study"))
	clitest.WantEscaped(t, files)
	if seen := clitest.Visible(files["page.html"]); !strings.Contains(seen, "Shapes go by the column "+bad) {
		t.Error("the page does not name the column")
	}
	for _, name := range []string{"rows.csv", "exclusions.csv", "associations.csv", "groups.csv"} {
		if _, err := csv.NewReader(strings.NewReader(files[name])).ReadAll(); err != nil {
			t.Errorf("%s: %v", name, err)
		}
	}
}
