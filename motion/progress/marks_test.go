package progress

import (
	"bytes"
	"errors"
	"fmt"
	"math"
	"strings"
	"testing"
	"testing/iotest"

	"github.com/google/go-cmp/cmp"
	"github.com/google/go-cmp/cmp/cmpopts"

	"github.com/plectrace/plectrace/motion/review"
	"github.com/plectrace/plectrace/motion/simulate"
	"github.com/plectrace/plectrace/trajectory"
	"github.com/plectrace/plectrace/variability/estimate"
	"github.com/plectrace/plectrace/variability/settling"
)

func TestReadMarks(t *testing.T) {
	want := []Mark{{"searching", 0, 4.25, 0}, {"settled", 4.25, 12, 0}, {"tremolo", 15, 16.5, 0}}
	for _, c := range []struct{ name, text string }{
		{"plain", "kind,start_s,end_s\nsearching,0,4.25\nsettled,4.25,12\ntremolo,15,16.5\n"},
		{"any order", "kind,start_s,end_s\ntremolo,15,16.5\nsettled,4.25,12\nsearching,0,4.25"},
		{"spreadsheet", "\ufeffKind;Start_s;End_s;note\r\nSearching;0;4,25;\r\n\"Settled \";4,25;12;\"a; b\"\r\n;;;\r\n\r\ntremolo;15;16,5;\r\n"},
		{"comments", "# by V01\n\nend_s\tstart_s\tkind\n# a line\n4.25\t0\tsearching\n12\t4.25\tsettled\n16.5\t15\ttremolo\n"},
		{"old line ends", "kind,start_s,end_s\rsearching,0,4.25\rsettled,4.25,12\rtremolo,15,16.5\r"},
	} {
		got, err := ReadMarks(strings.NewReader(c.text), "marks.csv")
		if err != nil {
			t.Errorf("%s: %v", c.name, err)
			continue
		}
		for i := range got {
			if got[i].Line == 0 {
				t.Errorf("%s: mark %d has no line", c.name, i)
			}
			got[i].Line = 0
		}
		if diff := cmp.Diff(want, got); diff != "" {
			t.Errorf("%s: (-want +got)\n%s", c.name, diff)
		}
	}
}

func TestReadMarksErrors(t *testing.T) {
	const head = "kind,start_s,end_s\n"
	for _, c := range []struct {
		name, text   string
		rule         string
		line, column int
		says         string
	}{
		{"nothing", "", "empty", 0, 0, "begin the file with"},
		{"header only", head, "empty", 0, 0, "no mark"},
		{"no header", "settled,1,2\n", "header", 1, 0, "no column kind"},
		{"column missing", "\nkind,start_s,end\nsettled,1,2\n", "header", 2, 0, "no column end_s"},
		{"column twice", "kind,start_s,end_s,kind\nsettled,1,2,x\n", "duplicate", 1, 4, "comes twice"},
		{"kind missing", head + ",1,2\n", "missing", 2, 1, "kind is missing"},
		{"time missing", head + "settled,1,\n", "missing", 2, 3, "time is missing"},
		{"row too short", head + "settled,1\n", "missing", 2, 3, "time is missing"},
		{"no number", head + "settled,0:12,14\n", "time", 2, 2, "72.5 for 1:12.5"},
		{"infinite", head + "settled,0,inf\n", "time", 2, 3, "not a time"},
		{"hexadecimal", head + "settled,0x1,2\n", "time", 2, 2, "not a time"},
		{"decimal comma", head + "settled,\"1,5\",2\n", "time", 2, 2, "decimal point"},
		{"decimal comma, not in quotes", head + "settled,1,5,2\n", "cells", 2, 4, "decimal point"},
		{"backwards", head + "settled,5,3\n", "order", 2, 3, "right way round"},
		{"no length", head + "\n\nsettled,5,5\n", "order", 4, 3, "not after the start, 5 s"},
		{"overlap", head + "settled,1,5\nsearching,4,7\n", "overlap", 3, 0, "overlaps settled 1 to 5 s (line 2)"},
		{"overlap, later line first", head + "searching,4,7\nsettled,1,5\n", "overlap", 3, 0, "(line 2)"},
		{"within", head + "settled,1,9\nsearching,4,7\n", "overlap", 3, 0, "two viewers in two files"},
		{"quote", head + "\"settled,1,2\n", "quote", 2, 0, "in quotes"},
		{"binary", head + "settled,1,\x00\n", "binary", 0, 0, "CSV UTF-8"},
		{"not UTF-8", head + "gel\xf6st,1,2\n", "binary", 0, 0, "UTF-8"},
		{"control character", head + "a\vb,1,2\n", "kind", 2, 0, "cannot be written"},
		{"large", head + strings.Repeat("#\n", marksLimit/2), "size", 0, 0, "4 MiB"},
	} {
		_, err := ReadMarks(strings.NewReader(c.text), "marks.csv")
		var e *Error
		if !errors.As(err, &e) {
			t.Errorf("%s: got %v", c.name, err)
			continue
		}
		text := err.Error()
		if e.Rule != c.rule || e.Line != c.line || e.Column != c.column || e.File != "marks.csv" || e.Hint == "" || !strings.Contains(text, c.says) || strings.ContainsAny(text, "\n\r") {
			t.Errorf("%s: rule %s at %d:%d: %s", c.name, e.Rule, e.Line, e.Column, text)
		}
		if c.line > 0 && c.column > 0 && !strings.HasPrefix(text, fmt.Sprintf("progress: marks.csv, line %d, column %d", c.line, c.column)) {
			t.Errorf("%s: %s", c.name, text)
		}
	}
	broken := errors.New("broken pipe")
	if _, err := ReadMarks(iotest.ErrReader(broken), "marks.csv"); !errors.Is(err, broken) {
		t.Errorf("got %v", err)
	}
}

func TestWriteMarks(t *testing.T) {
	marks := []Mark{{"settled", 4.1, 12.0000001, 3}, {"string change, slow", 0.1, 4.1, 2}, {"=1+1", 13, 14, 4}}
	var b bytes.Buffer
	if err := WriteMarks(&b, marks); err != nil {
		t.Fatal(err)
	}
	const want = "kind,start_s,end_s\n\"string change, slow\",0.1,4.1\nsettled,4.1,12\n'=1+1,13,14\n"
	if b.String() != want {
		t.Errorf("got %q, want %q", b.String(), want)
	}
	if back, err := ReadMarks(&b, ""); err != nil || back[2].Kind != "=1+1" {
		t.Errorf("%v, %v", back, err)
	}
	b.Reset()
	// A mark that would vanish keeps all in full.
	const full = "kind,start_s,end_s\nsettled,-0.0001,0.0002\nsearching,0.0002,1.23456789\n"
	if err := WriteMarks(&b, []Mark{{"settled", -0.0001, 0.0002, 0}, {"searching", 0.0002, 1.23456789, 0}}); err != nil || b.String() != full {
		t.Errorf("got %q, %v, want %q", b.String(), err, full)
	}
	b.Reset()
	for _, bad := range []Mark{{"", 0, 1, 0}, {"settled", 1, 1, 0}, {"settled", math.NaN(), 1, 0}, {"settled", 0, math.Inf(1), 0}, {"#settled", 0, 1, 0}, {"a\nb", 0, 1, 0}, {"settled", 5, 6, 0}} {
		var e *Error
		if err := WriteMarks(&b, append([]Mark{bad}, marks...)); !errors.As(err, &e) || b.Len() > 0 {
			t.Errorf("%+v: %v, %d bytes", bad, err, b.Len())
		}
	}
}

func FuzzReadMarks(f *testing.F) {
	f.Add("kind,start_s,end_s\nsettled,1,2\n")
	f.Add("\ufeff# x\nkind;start_s;end_s;note\r\n\"Settled\";1,5;2;\r\n")
	f.Fuzz(func(t *testing.T, text string) {
		marks, err := ReadMarks(strings.NewReader(text), "f")
		if err != nil {
			var e *Error
			if !errors.As(err, &e) {
				t.Fatalf("%T: %v", err, err)
			}
			return
		}
		var b bytes.Buffer
		if err := WriteMarks(&b, marks); err != nil {
			t.Fatal(err)
		}
		again, err := ReadMarks(&b, "g")
		if err != nil {
			t.Fatal(err)
		}
		for i := range marks {
			marks[i].Line, again[i].Line = 0, 0
		}
		// Half a millisecond, and the rounding of times that are large.
		if diff := cmp.Diff(marks, again, cmpopts.EquateApprox(1e-15, 0.0005+1e-12)); diff != "" {
			t.Error(diff)
		}
	})
}

// laid returns the marks of two viewers whose times are those of a table, cell
// after cell.
func laid(table [][]float64) (a, b []Mark) {
	at := 0.0
	for i, row := range table {
		for j, s := range row {
			if s > 0 {
				a = append(a, Mark{Kind: string(rune('a' + i)), Start: at, End: at + s})
				b = append(b, Mark{Kind: string(rune('a' + j)), Start: at, End: at + s})
			}
			at += s
		}
	}
	return a, b
}

// TestKappaReference holds kappa against R, and what moments add to it against
// the large-sample variance of Fleiss, Cohen and Everitt (1969), whose worked
// example is the first table: 0.68 in the paper (from memory). The tolerance is
// that of fifteen digits printed.
func TestKappaReference(t *testing.T) {
	for _, c := range readReference(t).Kappa {
		g, err := Agree(laid(c.Table))
		if err != nil {
			t.Fatal(err)
		}
		near(t, "agreed", g.Agreed.Value, c.Agreed, 1e-12)
		near(t, "chance", g.Chance, c.Chance, 1e-12)
		near(t, "kappa", g.Kappa.Value, c.Kappa, 1e-12)
		k := newKappaTable(c.Table)
		mean, variance := 0.0, 0.0
		for i := range k.p {
			for j, p := range k.p[i] {
				x := k.addsToKappa(i, j)
				mean += p * x
				variance += p * x * x
			}
		}
		near(t, "variance", variance, c.Variance, 1e-12)
		if math.Abs(mean) > 1e-12 {
			t.Errorf("moments add %v in the mean", mean)
		}
		if g.Kappa.Level != 0 {
			t.Errorf("an interval from %d spans", g.Kappa.N)
		}
	}
}

// TestPrevalence: kappa is what prevalence and bias make of the adjusted one,
// (PABAK - PI² + BI²)/(1 - PI² + BI²), by T. Byrt, J. Bishop and J. B. Carlin
// (1993), Bias, prevalence and kappa, J. Clin. Epidemiol. 46, 423-429.
func TestPrevalence(t *testing.T) {
	for _, table := range [][][]float64{{{20, 5}, {10, 15}}, {{80, 5}, {10, 5}}, {{1, 30}, {2, 60}}} {
		g, err := Agree(laid(table))
		if err != nil {
			t.Fatal(err)
		}
		p, b := g.Prevalence*g.Prevalence, g.Bias*g.Bias
		near(t, "kappa", (g.Adjusted-p+b)/(1-p+b), g.Kappa.Value, 1e-12)
		near(t, "overlap", g.Overlap[0], table[0][0]/(table[0][0]+table[0][1]+table[1][0]), 1e-12)
	}
}

func TestAgree(t *testing.T) {
	first := []Mark{{"settled", 0, 4, 0}, {"searching", 4, 6, 0}, {"settled", 6, 9, 0}, {"settled", 9, 10, 0}, {"searching", 12, 20, 0}}
	second := []Mark{{"Settled ", 1, 4.5, 0}, {"searching", 4.5, 6.2, 0}, {"settled", 6.2, 11, 0}, {"searching", 11, 18, 0}}
	g, err := Agree(first, second)
	if err != nil {
		t.Fatal(err)
	}
	// Both judge 1 to 10 and 12 to 18: the second says settled for 4 to 4.5
	// where the first says searching, and searching for 6 to 6.2.
	near(t, "judged", g.Judged, 15, 1e-12)
	near(t, "only first", g.OnlyFirst, 3, 1e-12)
	near(t, "only second", g.OnlySecond, 2, 1e-12)
	near(t, "agreed", g.Agreed.Value, 1-0.7/15, 1e-12)
	if diff := cmp.Diff([]string{"searching", "settled"}, g.Kinds); diff != "" {
		t.Error(diff)
	}
	near(t, "searching, then settled", g.Table[0][1], 0.5, 1e-12)
	near(t, "settled, then searching", g.Table[1][0], 0.2, 1e-12)
	// 6 to 10 is one span of the first.
	if g.SpansFirst != 4 || g.SpansSecond != 4 || g.Matched != 4 {
		t.Errorf("%d and %d spans, %d matched", g.SpansFirst, g.SpansSecond, g.Matched)
	}
	near(t, "starts", g.Starts.Value, 0.2, 1e-12) // 0.5, 0.2, -1
	near(t, "starts apart", g.StartsApart.Value, 0.5, 1e-12)
	near(t, "ends", g.Ends.Value, 0.5, 1e-12) // 0.5, 0.2, 1
	if g.Kappa.Level != 0 || !math.IsNaN(g.Kappa.Low) || !strings.Contains(g.NoInterval, "4 spans") {
		t.Errorf("an interval from 4 spans: %+v", g.Kappa)
	}

	// The other way round all that has a side changes it.
	h, err := Agree(second, first)
	if err != nil {
		t.Fatal(err)
	}
	near(t, "kappa", h.Kappa.Value, g.Kappa.Value, 1e-12)
	near(t, "bias", h.Bias, -g.Bias, 1e-12)
	near(t, "starts", h.Starts.Value, -g.Starts.Value, 1e-12)
}

func TestAgreeNothing(t *testing.T) {
	settled := []Mark{{"settled", 0, 4, 0}}
	for _, c := range []struct {
		name        string
		a, b        []Mark
		agreed, why string
	}{
		{"no marks", nil, nil, "not judged", "not judged"},
		{"no time in common", settled, []Mark{{"settled", 4, 9, 0}}, "not judged", "not judged"},
		{"one kind", settled, []Mark{{"settled", 1, 9, 0}}, "", "one kind"},
	} {
		g, err := Agree(c.a, c.b)
		if err != nil {
			t.Fatal(err)
		}
		code := func(v estimate.Value[float64]) string {
			if v.Absent == nil {
				return ""
			}
			return v.Absent.Code
		}
		if code(g.Agreed) != c.agreed || code(g.Kappa) != c.why || g.Starts.Known() {
			t.Errorf("%s: %+v", c.name, g)
		}
	}
	if _, err := Agree(settled, []Mark{{"settled", 0, 4, 0}, {"searching", 3, 5, 0}}); err == nil {
		t.Error("marks that overlap")
	}
	// Full disagreement is no kappa of chance, and full agreement has no interval.
	two := []Mark{{"settled", 0, 4, 0}, {"searching", 4, 8, 0}}
	g, _ := Agree(two, []Mark{{"searching", 0, 4, 0}, {"settled", 4, 8, 0}})
	near(t, "opposite", g.Kappa.Value, -1, 1e-12)
	var many []Mark
	for i := range 40 {
		many = append(many, Mark{[]string{"settled", "searching"}[i%2], float64(i), float64(i + 1), 0})
	}
	g, _ = Agree(many, many)
	if g.Kappa.Value != 1 || g.Kappa.Level != 0 || g.Kappa.N != 40 || !strings.Contains(g.NoInterval, "throughout") {
		t.Errorf("full agreement: %+v", g.Kappa)
	}
}

// TestAgreeTakes: the pooled table is the sum, and a take that one viewer left
// unmarked does not count as a unit.
func TestAgreeTakes(t *testing.T) {
	var first, second [][]Mark
	for i := range 8 {
		d := 0.1 * float64(i)
		first = append(first, []Mark{{"settled", 0, 5 - d, 0}, {"searching", 5 - d, 10, 0}})
		second = append(second, []Mark{{"settled", 0, 5, 0}, {"searching", 5, 10, 0}})
	}
	g, err := AgreeTakes(first, second)
	if err != nil {
		t.Fatal(err)
	}
	near(t, "agreed", g.Agreed.Value, 1-2.8/80, 1e-12)
	if g.NoInterval != "" || g.Kappa.N != 8 || g.Kappa.Level != 0.95 || !(g.Kappa.Low < g.Kappa.Value && g.Kappa.Value < g.Kappa.High && g.Kappa.High < 1) {
		t.Errorf("%+v", g.Kappa)
	}
	second[0], second[1], second[2] = nil, nil, nil
	if g, _ = AgreeTakes(first, second); g.Kappa.Level != 0 || g.Takes != 8 || !strings.Contains(g.NoInterval, "judged 5 takes") {
		t.Errorf("5 takes judged: %+v", g.Kappa)
	}
	defer func() {
		if recover() == nil {
			t.Error("no panic for unequal numbers of takes")
		}
	}()
	AgreeTakes(first, second[:3])
}

// filmed returns a made take, end-on and in set-up A, and its review.
func filmed(t *testing.T, o simulate.Options) (*simulate.Take, *review.Review) {
	t.Helper()
	take, err := simulate.Make(o)
	if err != nil {
		t.Fatal(err)
	}
	s := review.Setup{SetupName: "A", Tip: "tip", TipIs: review.TipOfPick, View: take.Options.View, Orientation: take.Options.Orientation}
	s.Marks.DistanceMM = take.Truth.MarkDistance
	s.Marks.Bass, s.Marks.Treble = trajectory.Mark{At: take.Truth.Bass[:2]}, trajectory.Mark{At: take.Truth.Treble[:2]}
	r, err := review.Run(&take.Recording, s, review.Options{})
	if err != nil {
		t.Fatal(err)
	}
	return take, r
}

// TestSpanMarks: the program's own spans are marks, also by way of its file.
func TestSpanMarks(t *testing.T) {
	if testing.Short() {
		t.Skip("slow")
	}
	take, r := filmed(t, simulate.Options{Seed: 3, Duration: 16, Plan: []simulate.Stretch{{Start: 0, Search: simulate.Fresh}, {Start: 6}}})
	marks, err := SpanMarks(r)
	if err != nil || len(marks) != len(r.Spans) {
		t.Fatalf("%d marks of %d spans: %v", len(marks), len(r.Spans), err)
	}
	var b bytes.Buffer
	if err := r.WriteSpans(&b); err != nil {
		t.Fatal(err)
	}
	written, err := ReadMarks(&b, "spans.csv")
	if err != nil {
		t.Fatal(err)
	}
	g, err := Agree(marks, written)
	if err != nil || g.Agreed.Value < 0.9999 {
		t.Errorf("agreed %v, %v", g.Agreed.Value, err)
	}
	var truth []Mark
	for _, s := range take.Truth.Spans {
		kind := "searching"
		if s.Settled {
			kind = "settled"
		}
		truth = append(truth, Mark{Kind: kind, Start: s.Start, End: s.End})
	}
	if g, err = Agree(truth, marks); err != nil || g.Kappa.Value < 0.6 {
		t.Errorf("the truth and the program: kappa %v, %v", g.Kappa.Value, err)
	}
	t.Logf("the truth and the program: kappa %.2f, agreed %.2f, starts %.2f s later", g.Kappa.Value, g.Agreed.Value, g.Starts.Value)

	none := &review.Review{Settling: settling.Result{Absent: &estimate.Absence{Code: "few", What: "spans", Why: "there are few strokes"}}}
	if _, err := SpanMarks(none); err == nil || !strings.Contains(err.Error(), "few strokes") {
		t.Errorf("no spans: %v", err)
	}
}
